//! Numbers under a bell-shaped curve by the ziggurat method.

use super::curve::Curve;
use super::generator::{Generator, Stream, signed_unit};

/// Layers of equal area.
const LAYERS: usize = 256;
/// Where the tail may begin: nearer for the normal distribution, farther for t with the fewest
/// degrees of freedom.
const TAILS: (f64, f64) = (3.0, 20.0);
/// Halvings of the distance between: what the layers then have too much is rejected, a number
/// in some hundreds.
const HALVINGS: usize = 14;

/// The edges of the layers and the height of the curve at them.
#[derive(Debug, Clone)]
pub struct Ziggurat {
    edge: [f64; LAYERS + 1],
    height: [f64; LAYERS + 1],
    curve: Curve,
}

impl Ziggurat {
    /// The layers that cover a curve most closely.
    #[must_use]
    pub fn new(curve: Curve) -> Self {
        let (mut near, mut far) = TAILS;
        let mut found = Self::with_tail(curve, near);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (near + far);
            let tried = Self::with_tail(curve, middle);
            if tried.gap() < 0.0 {
                far = middle;
            } else {
                (near, found) = (middle, tried);
            }
        }
        found
    }

    /// The layers under which the tail begins at a place.
    fn with_tail(curve: Curve, tail: f64) -> Self {
        let (mut edge, mut height) = ([0.0; LAYERS + 1], [1.0; LAYERS + 1]);
        height[1] = curve.height(tail);
        // the lowest layer holds the tail: its edge is that of a rectangle of its area
        let area = tail * height[1] + curve.tail_bound(tail);
        (edge[0], edge[1]) = (area / height[1], tail);
        for layer in 1..LAYERS {
            height[layer + 1] = height[layer] + area / edge[layer];
            if height[layer + 1] >= 1.0 {
                break;
            }
            edge[layer + 1] = curve.place(height[layer + 1]);
        }
        Self {
            edge,
            height,
            curve,
        }
    }

    /// How far the uppermost layer reaches above the top, which it must; negative when not.
    #[must_use]
    pub fn gap(&self) -> f64 {
        self.height[LAYERS] - 1.0
    }

    /// Fills a column with numbers under the curve.
    ///
    /// `[marsaglia2000]`, with layer and place taken from different bits as `[doornik2005]`
    /// demands. Nearly 99 of 100 numbers cost one draw and one comparison.
    pub fn fill(&self, stream: &mut Stream, column: &mut [f64]) {
        stream.fill(column, |bits, rare| {
            let layer = usize::from(bits.to_le_bytes()[0]);
            let x = signed_unit(bits) * self.edge[layer];
            if x.abs() < self.edge[layer + 1] {
                x
            } else {
                self.beside(layer, x, rare)
            }
        });
    }

    /// The number when a place is outside the sure part of its layer: the place when it is
    /// under the curve, otherwise another.
    #[cold]
    fn beside(&self, mut layer: usize, mut x: f64, generator: &mut Generator) -> f64 {
        loop {
            if x.abs() < self.edge[layer + 1] {
                return x;
            }
            if layer == 0 {
                if let Some(far) = self.curve.tail(self.edge[1], generator) {
                    return far.copysign(x);
                }
            } else {
                let (low, high) = (self.height[layer], self.height[layer + 1]);
                if low + (high - low) * generator.unit() < self.curve.height(x) {
                    return x;
                }
            }
            let bits = generator.bits();
            layer = usize::from(bits.to_le_bytes()[0]);
            x = signed_unit(bits) * self.edge[layer];
        }
    }
}

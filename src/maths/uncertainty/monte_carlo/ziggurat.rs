//! Normally distributed numbers by the ziggurat method.

use super::generator::{Generator, signed_unit};

/// Layers of equal area.
const LAYERS: usize = 256;
/// Where the tail begins, for 256 layers. `[marsaglia2000]`
const TAIL: f64 = 3.654_152_885_361_008_8;
/// Area of a layer, for the density that is one at zero. `[marsaglia2000]`
const AREA: f64 = 0.004_928_673_233_99;

/// The edges of the layers and the density at them.
#[derive(Debug, Clone)]
pub struct Ziggurat {
    edge: [f64; LAYERS + 1],
    density: [f64; LAYERS + 1],
}

impl Ziggurat {
    /// The tables, from the two constants of the method.
    #[must_use]
    pub fn new() -> Self {
        let mut edge = [0.0; LAYERS + 1];
        let mut density = [1.0; LAYERS + 1];
        // the lowest layer holds the tail: its edge is that of a rectangle of its area
        edge[0] = AREA / kernel(TAIL);
        density[0] = kernel(edge[0]);
        edge[1] = TAIL;
        density[1] = kernel(TAIL);
        for layer in 1..LAYERS - 1 {
            density[layer + 1] = density[layer] + AREA / edge[layer];
            edge[layer + 1] = (-2.0 * libm::log(density[layer + 1])).sqrt();
        }
        Self { edge, density }
    }

    /// The next number with mean zero and standard deviation one.
    ///
    /// `[marsaglia2000]`, with layer and place taken from different bits as `[doornik2005]`
    /// demands. Nearly 99 of 100 numbers cost one draw and one comparison.
    #[inline]
    pub fn normal(&self, generator: &mut Generator) -> f64 {
        loop {
            let bits = generator.bits();
            let layer = usize::from(bits.to_le_bytes()[0]);
            let x = signed_unit(bits) * self.edge[layer];
            if x.abs() < self.edge[layer + 1] || self.is_below(layer, x, generator) {
                return x;
            }
            if layer == 0 {
                return tail(generator).copysign(x);
            }
        }
    }

    /// Whether a point outside the sure part of its layer lies below the density.
    #[cold]
    fn is_below(&self, layer: usize, x: f64, generator: &mut Generator) -> bool {
        if layer == 0 {
            return false;
        }
        let (low, high) = (self.density[layer], self.density[layer + 1]);
        low + (high - low) * generator.unit() < kernel(x)
    }

    /// What the uppermost layer lacks of reaching the top: nothing, for the right constants.
    #[must_use]
    pub fn gap(&self) -> f64 {
        let last = LAYERS - 1;
        self.density[last] + AREA / self.edge[last] - 1.0
    }
}

impl Default for Ziggurat {
    fn default() -> Self {
        Self::new()
    }
}

/// A number from the tail beyond its beginning, by Marsaglia's method.
#[cold]
fn tail(generator: &mut Generator) -> f64 {
    loop {
        let x = -libm::log(generator.open_unit()) / TAIL;
        let y = -libm::log(generator.open_unit());
        if 2.0 * y >= x * x {
            return TAIL + x;
        }
    }
}

/// The density but for its factor.
fn kernel(x: f64) -> f64 {
    libm::exp(-0.5 * x * x)
}

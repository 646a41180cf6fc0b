//! Dose, beverage and water, and the ratios between them: a small equation solver.

use super::error::MathsError;
use super::range::Range;

/// Beverage mass over dose.
pub const BREW_RATIO: Range = Range::new("brew ratio", 0.1, 1_000.0, "1");
/// Brew water over dose.
pub const WATER_RATIO: Range = Range::new("water ratio", 0.1, 1_000.0, "1");
/// Liquid kept by the grounds over dose.
pub const RETAINED_RATIO: Range = Range::new("retained ratio", 0.0, 20.0, "1");

/// Liquid that spent filter and immersion grounds keep, per gram of dose, as weighed.
/// Common practice, no source; chart read-outs support 2.0 to 2.1.
pub const RETAINED_FILTER: f64 = 2.0;
/// Liquid that a spent espresso puck keeps, per gram of dose, as weighed. Common practice, no
/// source.
pub const RETAINED_ESPRESSO: f64 = 1.0;

/// One of the six quantities of a recipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// Dry coffee, g.
    Dose,
    /// Beverage in the cup, g.
    Beverage,
    /// Brew water, g.
    Water,
    /// Beverage over dose.
    BrewRatio,
    /// Water over dose.
    WaterRatio,
    /// Water less beverage, over dose.
    RetainedRatio,
}

const COUNT: usize = 6;

/// How a quantity follows from others.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Relation {
    /// The two are multiplied.
    Product(Quantity, Quantity),
    /// The first over the second.
    Quotient(Quantity, Quantity),
    /// The two are added.
    Sum(Quantity, Quantity),
    /// The first less the second.
    Difference(Quantity, Quantity),
    /// The first less the second, over the third.
    DifferenceOver(Quantity, Quantity, Quantity),
    /// Not derived: what the kind of brew usually retains.
    Assumed,
}

/// A derived quantity and how it was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Derivation {
    /// What was found.
    pub quantity: Quantity,
    /// From what.
    pub relation: Relation,
}

/// The quantities that are known; the rest is to be found.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Known {
    /// Dry coffee, g.
    pub dose_g: Option<f64>,
    /// Beverage in the cup, g.
    pub beverage_g: Option<f64>,
    /// Brew water, g.
    pub water_g: Option<f64>,
    /// Beverage over dose.
    pub brew_ratio: Option<f64>,
    /// Water over dose.
    pub water_ratio: Option<f64>,
    /// Water less beverage, over dose.
    pub retained_ratio: Option<f64>,
}

/// All six quantities.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    values: [f64; COUNT],
    /// What was derived, in the order in which it was.
    pub derivations: Vec<Derivation>,
}

impl Solution {
    /// The value of a quantity, in g or as a pure number.
    #[must_use]
    pub const fn value(&self, quantity: Quantity) -> f64 {
        self.values[quantity as usize]
    }
}

/// All quantities of a recipe from any sufficient set of them.
///
/// # Equation
/// `B = r D`, `W = w D`, `w = r + a`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | D, B, W | dose, beverage, water | g |
/// | r, w, a | brew ratio, water ratio, retained ratio | 1 |
///
/// Given values stay as they are. `a` is taken from `usually_retained` only when neither it
/// nor both ratios are known.
///
/// # Source
/// Mass balance of the brew, both masses read off a scale: `[massbalance]`.
///
/// # Valid for
/// Masses in [`Mass::LIQUID`](super::quantity::Mass::LIQUID) and ratios in the ranges above.
///
/// # Errors
/// [`MathsError::NoSolution`] when too little is known; [`MathsError::Inconsistent`] when more
/// is known than is needed and it disagrees by more than half a unit in the last digit of the
/// value given with the fewest digits, or when the beverage outweighs the water.
///
/// # Example
/// ```
/// # use extraction_maths::maths::ratio::{Known, Quantity, RETAINED_ESPRESSO, solve};
/// let known = Known { dose_g: Some(18.0), brew_ratio: Some(2.0), ..Known::default() };
/// let recipe = solve(&known, RETAINED_ESPRESSO)?;
/// assert_eq!(recipe.value(Quantity::Beverage), 36.0);
/// assert_eq!(recipe.value(Quantity::Water), 54.0);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn solve(known: &Known, usually_retained: f64) -> Result<Solution, MathsError> {
    // the digits given matter only where more is known than is needed and it does not agree
    let exact = attempt(known, usually_retained, |_| 0.0);
    let solution = match exact {
        Err(MathsError::Inconsistent { .. }) => {
            attempt(known, usually_retained, relative_half_digit)?
        }
        outcome => outcome?,
    };
    if solution.value(Quantity::RetainedRatio) < 0.0 {
        return Err(MathsError::Inconsistent {
            rule: "the beverage cannot outweigh the water it was brewed with",
            left: solution.value(Quantity::Beverage),
            right: solution.value(Quantity::Water),
            unit: "g",
        });
    }
    Ok(solution)
}

/// Solves with an allowance for the digits of each given value, relative to it.
fn attempt(
    known: &Known,
    usually_retained: f64,
    allowance: fn(f64) -> f64,
) -> Result<Solution, MathsError> {
    let mut work = Work::new(known, allowance);
    work.derive_all();
    if work.value(Quantity::RetainedRatio).is_none() {
        let relation = Relation::Assumed;
        work.set(Quantity::RetainedRatio, usually_retained, 0.0, relation);
        work.derive_all();
    }
    work.finish()
}

/// A value and half a unit in its last digit, relative to it.
type Entry = Option<(f64, f64)>;

struct Work {
    entries: [Entry; COUNT],
    derivations: Vec<Derivation>,
}

impl Work {
    fn new(known: &Known, allowance: fn(f64) -> f64) -> Self {
        let given = |value: Option<f64>| value.map(|value| (value, allowance(value)));
        Self {
            entries: [
                given(known.dose_g),
                given(known.beverage_g),
                given(known.water_g),
                given(known.brew_ratio),
                given(known.water_ratio),
                given(known.retained_ratio),
            ],
            derivations: Vec::new(),
        }
    }

    const fn value(&self, quantity: Quantity) -> Entry {
        self.entries[quantity as usize]
    }

    fn set(&mut self, quantity: Quantity, value: f64, half_digit: f64, relation: Relation) {
        self.entries[quantity as usize] = Some((value, half_digit));
        self.derivations.push(Derivation { quantity, relation });
    }

    /// Derives until nothing more follows; each round but the last finds one at least.
    fn derive_all(&mut self) {
        use Quantity::{Beverage, BrewRatio, Dose, RetainedRatio, Water, WaterRatio};
        use Relation::{Difference, DifferenceOver, Product, Quotient, Sum};
        const WAYS: [(Quantity, Relation); 10] = [
            (BrewRatio, Quotient(Beverage, Dose)),
            (WaterRatio, Quotient(Water, Dose)),
            (RetainedRatio, Difference(WaterRatio, BrewRatio)),
            (Beverage, Product(BrewRatio, Dose)),
            (Water, Product(WaterRatio, Dose)),
            (Dose, Quotient(Beverage, BrewRatio)),
            (Dose, Quotient(Water, WaterRatio)),
            (WaterRatio, Sum(BrewRatio, RetainedRatio)),
            (BrewRatio, Difference(WaterRatio, RetainedRatio)),
            (Dose, DifferenceOver(Water, Beverage, RetainedRatio)),
        ];
        loop {
            let before = self.derivations.len();
            for (quantity, relation) in WAYS {
                if self.value(quantity).is_none()
                    && let Some((value, half_digit)) = self.follow(relation)
                {
                    self.set(quantity, value, half_digit, relation);
                }
            }
            if self.derivations.len() == before {
                return;
            }
        }
    }

    fn follow(&self, relation: Relation) -> Entry {
        let pair = |a, b| Some((self.value(a)?, self.value(b)?));
        match relation {
            Relation::Product(a, b) => pair(a, b).map(|((a, u), (b, v))| (a * b, u.max(v))),
            Relation::Quotient(a, b) => pair(a, b)
                .filter(|(_, b)| b.0 > 0.0)
                .map(|((a, u), (b, v))| (a / b, u.max(v))),
            Relation::Sum(a, b) => pair(a, b).map(|((a, u), (b, v))| (a + b, u.max(v))),
            Relation::Difference(a, b) => pair(a, b).map(|((a, u), (b, v))| (a - b, u.max(v))),
            Relation::DifferenceOver(a, b, c) => {
                let ((a, u), (b, v)) = pair(a, b)?;
                let (c, w) = self.value(c).filter(|c| c.0 > 0.0)?;
                Some(((a - b) / c, u.max(v).max(w)))
            }
            Relation::Assumed => None,
        }
    }

    fn finish(self) -> Result<Solution, MathsError> {
        use Quantity::{Beverage, BrewRatio, Dose, RetainedRatio, Water, WaterRatio};
        let mut values = [0.0; COUNT];
        for (value, entry) in values.iter_mut().zip(self.entries) {
            *value = entry
                .map(|(value, _)| value)
                .ok_or(MathsError::NoSolution {
                    equation: "the recipe",
                    reason: "a mass and one more mass or ratio are needed",
                })?;
        }
        self.agree(Beverage, Relation::Product(BrewRatio, Dose), "g")?;
        self.agree(Water, Relation::Product(WaterRatio, Dose), "g")?;
        self.agree(WaterRatio, Relation::Sum(BrewRatio, RetainedRatio), "1")?;
        Ok(Solution {
            values,
            derivations: self.derivations,
        })
    }

    /// Holds a quantity against another way to it, to the digits given.
    fn agree(
        &self,
        quantity: Quantity,
        way: Relation,
        unit: &'static str,
    ) -> Result<(), MathsError> {
        let (Some((value, u)), Some((other, v))) = (self.value(quantity), self.follow(way)) else {
            return Ok(());
        };
        // the last term is rounding of the arithmetic itself
        let allowed = u.max(v).max(1e-12) * value.abs().max(other.abs());
        if (value - other).abs() <= allowed {
            return Ok(());
        }
        Err(MathsError::Inconsistent {
            rule: match quantity {
                Quantity::Beverage => "beverage mass must be brew ratio times dose",
                Quantity::Water => "water mass must be water ratio times dose",
                Quantity::Dose
                | Quantity::BrewRatio
                | Quantity::WaterRatio
                | Quantity::RetainedRatio => "water ratio must be brew ratio plus retained ratio",
            },
            left: value,
            right: other,
            unit,
        })
    }
}

/// Half a unit in the last decimal digit that a number needs, relative to the number.
fn relative_half_digit(value: f64) -> f64 {
    // the shortest text that reads back as the same number is what the caller wrote
    let text = format!("{value:e}");
    let mantissa = text.split('e').next().unwrap_or_default();
    let decimals = mantissa.split('.').nth(1).map_or(0, str::len);
    let leading = mantissa.parse::<f64>().unwrap_or(1.0).abs().max(1.0);
    let mut half = 0.5;
    for _ in 0..decimals {
        half /= 10.0;
    }
    half / leading
}

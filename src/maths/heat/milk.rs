//! Composition and heat of milk.

use crate::maths::error::MathsError;
use crate::maths::quantity::{HeatCapacity, MassFraction, SpecificEnthalpy, Temperature};
use crate::maths::range::Range;

/// Milk for which a heat is given, from fresh out of the cold to its boiling in the open.
pub const MILK_TEMPERATURE: Range = Range::new("milk temperature", 0.0, 100.0, "°C");
/// Fat of milk and of half-and-half, the richest that the table of densities has.
pub const MILK_FAT_PERCENT: Range = Range::new("milk fat", 0.0, 12.25, "%");
/// Heat capacity of milk of unknown make, kJ/(kg K); a rounded figure between skim and whole.
pub const USUAL_HEAT_CAPACITY: f64 = 3.93;

/// Cow's milk as it is sold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Milk {
    /// Without its cream.
    Skim,
    /// About 1 % fat.
    LowFat,
    /// About 2 % fat.
    ReducedFat,
    /// About 3.25 % fat.
    Whole,
}

/// Parts by mass of a milk; they add up to one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Composition([f64; 5]);

/// Place of the fat among the parts.
const FAT: usize = 2;

/// Water, protein, fat, carbohydrate, ash of each [`Milk`], rising in fat. `[usda-milk]`, from
/// memory.
const SOLD: [(Milk, Composition); 4] = [
    (
        Milk::Skim,
        Composition([0.9084, 0.0337, 0.0008, 0.0496, 0.0075]),
    ),
    (
        Milk::LowFat,
        Composition([0.8992, 0.0337, 0.0097, 0.0499, 0.0075]),
    ),
    (
        Milk::ReducedFat,
        Composition([0.8921, 0.0330, 0.0198, 0.0480, 0.0071]),
    ),
    (
        Milk::Whole,
        Composition([0.8813, 0.0315, 0.0325, 0.0480, 0.0067]),
    ),
];

/// Coefficients of the heat capacity of each part, kJ/(kg K), of T⁰, T¹ and T² with T in °C.
/// `[choi1986]`
const COEFFICIENTS: [[f64; 3]; 5] = [
    [4.1762, -9.0864e-5, 5.4731e-6],
    [2.0082, 1.2089e-3, -1.3129e-6],
    [1.9842, 1.4733e-3, -4.8008e-6],
    [1.5488, 1.9625e-3, -5.9399e-6],
    [1.0926, 1.8896e-3, -3.6817e-6],
];

impl Milk {
    /// Every milk, rising in fat.
    pub const ALL: [Self; 4] = [Self::Skim, Self::LowFat, Self::ReducedFat, Self::Whole];

    /// What it is made of.
    #[must_use]
    pub const fn composition(self) -> Composition {
        let [skim, low, reduced, whole] = SOLD;
        match self {
            Self::Skim => skim.1,
            Self::LowFat => low.1,
            Self::ReducedFat => reduced.1,
            Self::Whole => whole.1,
        }
    }
}

impl Composition {
    /// The milk with a share of fat.
    ///
    /// Between two of [`Milk::ALL`] each part lies in proportion; below and above them the fat
    /// takes room from all other parts alike.
    ///
    /// # Errors
    /// [`MathsError::OutOfRange`] outside [`MILK_FAT_PERCENT`].
    pub fn of_fat(fat: MassFraction) -> Result<Self, MathsError> {
        MILK_FAT_PERCENT.check(fat.percent())?;
        let fat = fat.fraction();
        let [skim, .., whole] = SOLD;
        for pair in SOLD.windows(2) {
            if let [(_, low), (_, high)] = pair
                && low.0[FAT] <= fat
                && fat <= high.0[FAT]
            {
                let share = (fat - low.0[FAT]) / (high.0[FAT] - low.0[FAT]);
                return Ok(low.towards(high, share));
            }
        }
        let nearest = if fat < skim.1.0[FAT] { skim.1 } else { whole.1 };
        let scale = (1.0 - fat) / (1.0 - nearest.0[FAT]);
        let mut parts = nearest.0.map(|part| part * scale);
        parts[FAT] = fat;
        Ok(Self(parts))
    }

    fn towards(&self, other: &Self, share: f64) -> Self {
        let mut parts = self.0;
        for (part, end) in parts.iter_mut().zip(other.0) {
            *part += share * (end - *part);
        }
        Self(parts)
    }

    /// Parts by mass: water, protein, fat, carbohydrate, ash.
    #[must_use]
    pub const fn parts(&self) -> [f64; 5] {
        self.0
    }

    /// Share of fat.
    ///
    /// # Errors
    /// None for a composition that exists.
    pub fn fat(&self) -> Result<MassFraction, MathsError> {
        MassFraction::from_fraction(self.0[FAT])
    }
}

/// Specific heat capacity of milk.
///
/// # Equation
/// `c = sum(x_i (a_i + b_i T + c_i T^2))`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | c | specific heat capacity (returned) | kJ/(kg K) |
/// | `x_i` | mass fraction of water, protein, fat, carbohydrate, ash | 1 |
/// | T | temperature | °C |
///
/// # Source
/// `[choi1986]`, with 4.1762 for water: a copy with 4.1289 goes around and is 1.2 % low.
///
/// # Valid for
/// [`MILK_TEMPERATURE`]. Within 1.1 % above and 1.7 % below the measurements of `[sherbon1988]`.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside that range.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{heat::milk::{Milk, heat_capacity}, quantity::Temperature};
/// let skim = heat_capacity(&Milk::Skim.composition(), Temperature::from_celsius(50.0)?)?;
/// assert!((skim.kilojoules_per_kilogram_kelvin() - 3.963).abs() < 5e-4);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn heat_capacity(
    milk: &Composition,
    temperature: Temperature,
) -> Result<HeatCapacity, MathsError> {
    let t = MILK_TEMPERATURE.check(temperature.celsius())?;
    let parts = milk.0.into_iter().zip(COEFFICIENTS);
    let capacity = parts.map(|(part, [a, b, c])| part * (a + t * (b + t * c)));
    HeatCapacity::from_kilojoules_per_kilogram_kelvin(capacity.sum())
}

/// Heat that milk takes from one temperature to another, per mass.
///
/// # Equation
/// `dh = sum(x_i [a_i T + b_i T^2 / 2 + c_i T^3 / 3])`, from `T_1` to `T_2`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | dh | rise of enthalpy (returned) | kJ/kg |
/// | `x_i` | mass fraction of water, protein, fat, carbohydrate, ash | 1 |
/// | `T_1`, `T_2` | before, after | °C |
///
/// # Source
/// `[choi1986]`, [`heat_capacity`] integrated.
///
/// # Valid for
/// [`MILK_TEMPERATURE`]. Leaves out the melting of the fat: at most 0.8 % for whole milk (85 kJ
/// per kg of fat, from memory).
///
/// # Errors
/// [`MathsError::OutOfRange`] outside that range, [`MathsError::Inconsistent`] when the milk
/// would cool.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{heat::milk::{Milk, enthalpy_rise}, quantity::Temperature};
/// let (cold, hot) = (Temperature::from_celsius(4.0)?, Temperature::from_celsius(65.0)?);
/// let rise = enthalpy_rise(&Milk::Whole.composition(), cold, hot)?;
/// // 47.58 kJ for 200 g
/// assert!((0.2 * rise.kilojoules_per_kilogram() - 47.58).abs() < 0.005);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn enthalpy_rise(
    milk: &Composition,
    from: Temperature,
    to: Temperature,
) -> Result<SpecificEnthalpy, MathsError> {
    let rises = part_rises(from, to)?;
    let parts = milk.0.into_iter().zip(rises);
    SpecificEnthalpy::from_kilojoules_per_kilogram(parts.map(|(part, rise)| part * rise).sum())
}

/// Heat that each part of milk takes from one temperature to another, per mass of the part.
///
/// # Equation
/// `dh_i = a_i T + b_i T^2 / 2 + c_i T^3 / 3`, from `T_1` to `T_2`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `dh_i` | rises of water, protein, fat, carbohydrate, ash (returned) | kJ/kg |
/// | `T_1`, `T_2` | before, after | °C |
///
/// # Source
/// `[choi1986]`, integrated.
///
/// # Valid for
/// As [`enthalpy_rise`].
///
/// # Errors
/// As [`enthalpy_rise`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{heat::milk::part_rises, quantity::Temperature};
/// let (cold, hot) = (Temperature::from_celsius(0.0)?, Temperature::from_celsius(100.0)?);
/// // water: 417.62 - 0.454_32 + 1.824_366_7
/// assert!((part_rises(cold, hot)?[0] - 418.990_046_7).abs() < 1e-6);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn part_rises(from: Temperature, to: Temperature) -> Result<[f64; 5], MathsError> {
    let start = MILK_TEMPERATURE.check(from.celsius())?;
    let end = MILK_TEMPERATURE.check(to.celsius())?;
    if end < start {
        return Err(MathsError::Inconsistent {
            rule: "steam only warms milk",
            left: end,
            right: start,
            unit: "°C",
        });
    }
    let integral = |t: f64, [a, b, c]: [f64; 3]| t * (a + t * (b / 2.0 + t * c / 3.0));
    Ok(COEFFICIENTS.map(|row| integral(end, row) - integral(start, row)))
}

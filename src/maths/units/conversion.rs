//! A value in another unit.

use super::fraction::{Fraction, double};
use super::table::{Dimension, Unit};
use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// Values that may be converted.
pub const VALUE: Range = Range::new("value", -1e15, 1e15, "1");

/// Whether a number on a scale of temperature is a temperature or a difference of two.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reading {
    /// A place on the scale: the zeros of the scales count.
    Point,
    /// A length on the scale: only the sizes of the degrees count. Any other quantity too.
    Difference,
}

/// How one unit goes over into another: `y = (a x + b) / c`, all whole numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Conversion {
    factor: Fraction,
    offset: Fraction,
    terms: (i128, i128, i128),
}

impl Conversion {
    /// The exact factor.
    #[must_use]
    pub const fn factor(&self) -> Fraction {
        self.factor
    }

    /// The exact offset, in the unit that is wanted.
    #[must_use]
    pub const fn offset(&self) -> Fraction {
        self.offset
    }

    /// The whole numbers a, b and c of `y = (a x + b) / c`.
    #[must_use]
    pub const fn terms(&self) -> (i128, i128, i128) {
        self.terms
    }
}

/// How values in one unit go over into another one.
///
/// # Equation
/// `y = (s1 x + o1 - o2) / s2`, brought over one denominator: `y = (a x + b) / c`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | x, y | value in the first and in the second unit | theirs |
/// | s1, s2 | base units in one of the first and the second | base |
/// | o1, o2 | zeros of the two; 0 for a [`Reading::Difference`] | base |
///
/// # Source
/// `[ucum2024]` for the factors, which are exact.
///
/// # Valid for
/// Two units of one [`Dimension`].
///
/// # Errors
/// [`MathsError::NoSolution`] for units of two dimensions.
///
/// # Example
/// ```
/// # use extraction_maths::maths::units::{conversion::{Reading, conversion}, table::unit};
/// let (celsius, fahrenheit) = (unit("Cel").unwrap(), unit("[degF]").unwrap());
/// let found = conversion(celsius, fahrenheit, Reading::Point)?;
/// assert_eq!(found.terms(), (9, 160, 5));
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn conversion(from: &Unit, to: &Unit, reading: Reading) -> Result<Conversion, MathsError> {
    if from.dimension != to.dimension {
        return Err(MathsError::NoSolution {
            equation: "the conversion",
            reason: "the units measure different things",
        });
    }
    let factor = from.scale.over(to.scale);
    let offset = match reading {
        Reading::Point => from.offset.minus(to.offset).over(to.scale),
        Reading::Difference => Fraction::ZERO,
    };
    Ok(Conversion {
        factor,
        offset,
        terms: factor.over_one(offset),
    })
}

/// A value in another unit.
///
/// # Equation
/// `y = (a x + b) / c`; symbols of [`conversion`]
///
/// # Source
/// `[ucum2024]`.
///
/// # Valid for
/// Values inside [`VALUE`]. The product, the sum and the quotient are each rounded once, so the
/// result is good to about four roundings; between equal units it is the value bit for bit.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::units::{conversion::{Reading, conversion, converted}, table::unit};
/// let (bar, psi) = (unit("bar").unwrap(), unit("[psi]").unwrap());
/// let found = converted(9.0, &conversion(bar, psi, Reading::Difference)?)?;
/// assert!((found - 130.534).abs() < 0.0005);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn converted(value: f64, by: &Conversion) -> Result<f64, MathsError> {
    let (a, b, c) = by.terms;
    let product = VALUE.check(value)? * double(a);
    // a sum with nothing would turn -0 into 0
    let sum = if b == 0 { product } else { product + double(b) };
    Ok(sum / double(c))
}

/// Smallest value that a unit can have on its scale: absolute zero for temperatures.
///
/// # Equation
/// `x = -o / s`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | x | smallest value (returned) | that of the unit |
/// | o, s | its zero and its size | base |
///
/// # Source
/// `[ucum2024]`.
///
/// # Valid for
/// Temperatures; other quantities may be negative, as differences are.
///
/// # Example
/// ```
/// # use extraction_maths::maths::units::{conversion::smallest, table::unit};
/// assert_eq!(smallest(unit("[degF]").unwrap()), -459.67);
/// assert_eq!(smallest(unit("kg").unwrap()), -1e15);
/// ```
#[must_use]
pub const fn smallest(unit: &Unit) -> f64 {
    match unit.dimension {
        Dimension::Temperature => Fraction::ZERO.minus(unit.offset).over(unit.scale).value(),
        Dimension::Mass
        | Dimension::Volume
        | Dimension::Length
        | Dimension::Area
        | Dimension::Time
        | Dimension::Force
        | Dimension::Pressure
        | Dimension::Energy
        | Dimension::Power
        | Dimension::SpecificEnergy
        | Dimension::SpecificHeat
        | Dimension::MassFlow
        | Dimension::VolumeFlow
        | Dimension::MassByVolume
        | Dimension::AmountByVolume
        | Dimension::Conductivity
        | Dimension::Viscosity
        | Dimension::Number => VALUE.min,
    }
}

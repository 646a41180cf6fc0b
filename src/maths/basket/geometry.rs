//! Shape of a basket: a cylinder, or a cone cut off, narrower at the bottom.

use crate::maths::error::MathsError;
use crate::maths::quantity::Length;
use crate::maths::range::Range;

use std::f64::consts::PI;

/// A millilitre in cubic millimetres; exact.
const CUBIC_MILLIMETRES_PER_MILLILITRE: f64 = 1_000.0;

/// Inside of a basket: diameters at rim and bottom and the depth between them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Basket {
    rim_mm: f64,
    bottom_mm: f64,
    depth_mm: f64,
}

impl Basket {
    /// Depth of a basket from rim to bottom.
    pub const DEPTH: Range = Range::new("basket depth", 5.0, 100.0, "mm");

    /// A basket with straight walls.
    ///
    /// # Errors
    /// [`MathsError::OutOfRange`] when the diameter is outside [`Length::BASKET_DIAMETER`] or
    /// the depth outside [`Basket::DEPTH`].
    pub fn straight(diameter: Length, depth: Length) -> Result<Self, MathsError> {
        Self::tapered(diameter, diameter, depth)
    }

    /// A basket narrower at the bottom than at the rim.
    ///
    /// # Errors
    /// As [`Basket::straight`], and [`MathsError::Inconsistent`] when the bottom is the wider.
    pub fn tapered(rim: Length, bottom: Length, depth: Length) -> Result<Self, MathsError> {
        let rim_mm = Length::BASKET_DIAMETER.check(rim.millimetres())?;
        let bottom_mm = Length::BASKET_DIAMETER.check(bottom.millimetres())?;
        if bottom_mm > rim_mm {
            return Err(MathsError::Inconsistent {
                rule: "a basket is not wider at the bottom than at the rim",
                left: bottom_mm,
                right: rim_mm,
                unit: "mm",
            });
        }
        Ok(Self {
            rim_mm,
            bottom_mm,
            depth_mm: Self::DEPTH.check(depth.millimetres())?,
        })
    }

    /// Depth from rim to bottom.
    #[must_use]
    pub const fn depth_mm(&self) -> f64 {
        self.depth_mm
    }

    /// Volume up to the rim, mL.
    ///
    /// # Equation
    /// `V = pi h (d1^2 + d1 d2 + d2^2) / 12`
    ///
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | V | volume (returned, in mL) | mm3 |
    /// | d1, d2 | diameters at rim and bottom | mm |
    /// | h | depth | mm |
    ///
    /// # Source
    /// Geometry of the conical frustum.
    ///
    /// # Valid for
    /// Flat bottoms; rolled rims and rounded edges take 2 to 3 % off three measured baskets.
    ///
    /// # Example
    /// ```
    /// # use extraction_maths::maths::{basket::geometry::Basket, quantity::Length};
    /// let mm = Length::from_millimetres;
    /// let basket = Basket::straight(mm(58.65)?, mm(23.35)?)?;
    /// assert!((basket.volume_ml() - 63.0831).abs() < 5e-5);
    /// # Ok::<(), extraction_maths::maths::MathsError>(())
    /// ```
    #[must_use]
    pub fn volume_ml(&self) -> f64 {
        self.volume_to_ml(self.depth_mm)
    }

    /// Volume from the bottom up to a height, mL; walls continued in a straight line.
    ///
    /// # Equation
    /// As [`Basket::volume_ml`] with `h` the height and `d1` the diameter there.
    ///
    /// # Source
    /// Geometry of the conical frustum.
    ///
    /// # Valid for
    /// Heights from zero.
    ///
    /// # Example
    /// ```
    /// # use extraction_maths::maths::{basket::geometry::Basket, quantity::Length};
    /// let mm = Length::from_millimetres;
    /// let basket = Basket::straight(mm(58.0)?, mm(25.0)?)?;
    /// assert!((basket.volume_to_ml(12.5) - basket.volume_ml() / 2.0).abs() < 1e-12);
    /// # Ok::<(), extraction_maths::maths::MathsError>(())
    /// ```
    #[must_use]
    pub fn volume_to_ml(&self, height_mm: f64) -> f64 {
        let bottom = self.bottom_mm;
        let top = bottom + self.widening() * height_mm;
        let squares = top * top + top * bottom + bottom * bottom;
        PI * height_mm * squares / 12.0 / CUBIC_MILLIMETRES_PER_MILLILITRE
    }

    /// Height that a volume reaches from the bottom, mm; walls continued above the rim.
    ///
    /// # Equation
    /// `d1^3 = d2^3 + 12 k V / pi`, `h = 12 V / (pi (d1^2 + d1 d2 + d2^2))`
    ///
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | h | height (returned) | mm |
    /// | V | volume | mm3 |
    /// | d1, d2 | diameters at the height and at the bottom | mm |
    /// | k | widening of the diameter with height | mm/mm |
    ///
    /// # Source
    /// Inverse of [`Basket::volume_to_ml`]; written so that it holds for straight walls too.
    ///
    /// # Valid for
    /// Volumes from zero.
    ///
    /// # Example
    /// ```
    /// # use extraction_maths::maths::{basket::geometry::Basket, quantity::Length};
    /// let mm = Length::from_millimetres;
    /// let basket = Basket::tapered(mm(58.0)?, mm(54.0)?, mm(25.0)?)?;
    /// assert!((basket.height_mm(basket.volume_ml()) - 25.0).abs() < 1e-12);
    /// # Ok::<(), extraction_maths::maths::MathsError>(())
    /// ```
    #[must_use]
    pub fn height_mm(&self, volume_ml: f64) -> f64 {
        let bottom = self.bottom_mm;
        let twelve_volumes = 12.0 * volume_ml * CUBIC_MILLIMETRES_PER_MILLILITRE / PI;
        let top = libm::cbrt(bottom * bottom * bottom + self.widening() * twelve_volumes);
        twelve_volumes / (top * top + top * bottom + bottom * bottom)
    }

    /// By how much the diameter grows with the height, mm/mm.
    fn widening(&self) -> f64 {
        (self.rim_mm - self.bottom_mm) / self.depth_mm
    }
}

/// Area of a circular bed, mm2.
///
/// # Equation
/// `A = pi d^2 / 4`
///
/// # Source
/// Geometry.
///
/// # Valid for
/// Every diameter.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{basket::geometry::bed_area_mm2, quantity::Length};
/// assert!((bed_area_mm2(Length::from_millimetres(58.0)?) - 2642.08).abs() < 0.005);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
#[must_use]
pub const fn bed_area_mm2(diameter: Length) -> f64 {
    PI * diameter.millimetres() * diameter.millimetres() / 4.0
}

//! How much coffee a basket holds.

use super::geometry::{Basket, bed_area_mm2};
use crate::maths::error::MathsError;
use crate::maths::quantity::{BulkDensity, Length, Mass};
use crate::maths::range::Range;

/// Diameter of the trade's most common basket, mm; common practice.
pub const REFERENCE_DIAMETER_MM: f64 = 58.0;
/// Largest dose of the trade for that basket, g; common practice.
pub const REFERENCE_LARGEST_DOSE_G: f64 = 22.0;
/// Smallest dose of the trade for that basket, g; common practice.
pub const REFERENCE_SMALLEST_DOSE_G: f64 = 18.0;
/// Tamped bed of espresso grind, g/mL: median 0.552 of 33 measured beds, rounded.
pub const TAMPED_DENSITY_G_PER_ML: f64 = 0.55;
/// Room left above a tamped bed, mm: two measured baskets leave 10.7 and 11.3 at their
/// nominal dose.
pub const HEADSPACE_MM: f64 = 11.0;
/// How far a dose may be from the one stamped on the basket, g; common practice.
pub const RATED_TOLERANCE_G: f64 = 1.0;
/// A dose stamped on a basket.
pub const RATED_DOSE: Range = Range::new("rated dose", 2.0, 100.0, "g");
/// Room above the bed that may be asked for.
pub const HEADSPACE: Range = Range::new("headspace", 0.0, 50.0, "mm");
/// A dose that equals a limit but for rounding is inside.
const ROUNDING: f64 = 1e-12;

/// Smallest and largest dose, ends included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DoseRange {
    /// Smallest dose.
    pub smallest: Mass,
    /// Largest dose.
    pub largest: Mass,
}

/// Where a dose lies against the range of a basket.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DoseFit {
    /// Less than the basket is made for.
    TooSmall,
    /// Inside the range.
    Fits,
    /// More than the basket is made for.
    TooLarge,
}

impl DoseRange {
    /// Where a dose lies.
    #[must_use]
    pub fn fit(&self, dose: Mass) -> DoseFit {
        if dose.grams() < self.smallest.grams() * (1.0 - ROUNDING) {
            DoseFit::TooSmall
        } else if dose.grams() > self.largest.grams() * (1.0 + ROUNDING) {
            DoseFit::TooLarge
        } else {
            DoseFit::Fits
        }
    }

    fn below(largest_g: f64) -> Result<Self, MathsError> {
        Ok(Self {
            smallest: Mass::from_grams(
                largest_g * REFERENCE_SMALLEST_DOSE_G / REFERENCE_LARGEST_DOSE_G,
            )?,
            largest: Mass::from_grams(largest_g)?,
        })
    }
}

/// Depth of the deepest tamped bed that the trade uses, mm.
///
/// # Equation
/// `h = m / (rho A)`: 22 g / (0.55 g/mL x 2642.08 mm2) = 15.14 mm
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | h | depth (returned) | mm |
/// | m | [`REFERENCE_LARGEST_DOSE_G`] | g |
/// | rho | [`TAMPED_DENSITY_G_PER_ML`] | g/mL |
/// | A | bed area at [`REFERENCE_DIAMETER_MM`] | mm2 |
///
/// # Source
/// `[basket-practice]`: common practice, no source, for the dose; `[quantitativecafe2023]` for the density.
///
/// # Valid for
/// Straight walls.
///
/// # Errors
/// None but those of the constants being outside their ranges.
///
/// # Example
/// ```
/// # use extraction_maths::maths::basket::capacity::largest_tamped_depth_mm;
/// assert!((largest_tamped_depth_mm()? - 15.14).abs() < 0.005);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn largest_tamped_depth_mm() -> Result<f64, MathsError> {
    tamped_depth_mm(
        Length::from_millimetres(REFERENCE_DIAMETER_MM)?,
        Mass::from_grams(REFERENCE_LARGEST_DOSE_G)?,
        BulkDensity::from_grams_per_millilitre(TAMPED_DENSITY_G_PER_ML)?,
    )
}

/// Doses of a basket of which only the diameter is known.
///
/// # Equation
/// `m = 22 g (d / 58 mm)^2 (rho / 0.55 g/mL)`, from 18/22 of it
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | m | largest dose (returned with the smallest) | g |
/// | d | diameter | mm |
/// | rho | tamped density | g/mL |
///
/// # Source
/// `[basket-practice]`: common practice, no source: 18 to 22 g at 58 mm. The deepest bed is
/// [`largest_tamped_depth_mm`] at every diameter, so the dose goes with the area.
///
/// # Valid for
/// Diameters inside [`Length::BASKET_DIAMETER`]. Baskets of one diameter come in several
/// depths: a rated dose or a depth says more.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{basket::capacity::{TAMPED_DENSITY_G_PER_ML, doses_by_diameter},
/// #     quantity::{BulkDensity, Length}};
/// let density = BulkDensity::from_grams_per_millilitre(TAMPED_DENSITY_G_PER_ML)?;
/// let doses = doses_by_diameter(Length::from_millimetres(54.0)?, density)?;
/// assert!((doses.largest.grams() - 19.07).abs() < 0.005);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn doses_by_diameter(diameter: Length, density: BulkDensity) -> Result<DoseRange, MathsError> {
    let scale = Length::BASKET_DIAMETER.check(diameter.millimetres())? / REFERENCE_DIAMETER_MM;
    let denser = density.grams_per_millilitre() / TAMPED_DENSITY_G_PER_ML;
    DoseRange::below(REFERENCE_LARGEST_DOSE_G * (scale * scale) * denser)
}

/// Doses of a basket with a dose stamped on it.
///
/// # Equation
/// `m = rated -+ 1 g`
///
/// # Source
/// `[basket-practice]`: common practice, no source.
///
/// # Valid for
/// Rated doses above [`RATED_TOLERANCE_G`].
///
/// # Errors
/// [`MathsError::OutOfRange`] when the smallest dose would be outside [`Mass::DOSE`].
///
/// # Example
/// ```
/// # use extraction_maths::maths::{basket::capacity::doses_by_rating, quantity::Mass};
/// let doses = doses_by_rating(Mass::from_grams(18.0)?)?;
/// assert_eq!((doses.smallest.grams(), doses.largest.grams()), (17.0, 19.0));
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn doses_by_rating(rated: Mass) -> Result<DoseRange, MathsError> {
    let smallest = Mass::DOSE.check(rated.grams() - RATED_TOLERANCE_G)?;
    Ok(DoseRange {
        smallest: Mass::from_grams(smallest)?,
        largest: Mass::from_grams(rated.grams() + RATED_TOLERANCE_G)?,
    })
}

/// Doses of a basket of known depth, with room left above the bed.
///
/// # Equation
/// `m = rho V(h - s)`, from 18/22 of it
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | m | largest dose (returned with the smallest) | g |
/// | rho | tamped density | g/mL |
/// | V | volume of the basket up to a height | mL |
/// | h, s | depth of the basket and headspace | mm |
///
/// # Source
/// Geometry; the span of the range is common practice.
///
/// # Valid for
/// A headspace inside [`HEADSPACE`] and less than the depth.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside, [`MathsError::Inconsistent`] when the headspace leaves
/// no room.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{basket::{capacity::doses_by_depth, geometry::Basket},
/// #     quantity::{BulkDensity, Length}};
/// let mm = Length::from_millimetres;
/// let basket = Basket::straight(mm(58.0)?, mm(25.0)?)?;
/// let density = BulkDensity::from_grams_per_millilitre(0.55)?;
/// let doses = doses_by_depth(&basket, mm(11.0)?, density)?;
/// assert!((doses.largest.grams() - 20.344).abs() < 0.0005);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn doses_by_depth(
    basket: &Basket,
    headspace: Length,
    density: BulkDensity,
) -> Result<DoseRange, MathsError> {
    let headspace_mm = HEADSPACE.check(headspace.millimetres())?;
    if headspace_mm >= basket.depth_mm() {
        return Err(MathsError::Inconsistent {
            rule: "the headspace leaves room for a bed",
            left: headspace_mm,
            right: basket.depth_mm(),
            unit: "mm",
        });
    }
    let bed_ml = basket.volume_to_ml(basket.depth_mm() - headspace_mm);
    DoseRange::below(density.grams_per_millilitre() * bed_ml)
}

/// Depth of a tamped dose in a basket of which only the diameter is known, mm.
///
/// # Equation
/// `h = m / (rho A)`; symbols of [`largest_tamped_depth_mm`]
///
/// # Source
/// Geometry of the cylinder.
///
/// # Valid for
/// Diameters inside [`Length::BASKET_DIAMETER`], straight walls. The bed before it is wetted:
/// a wetted bed swells.
///
/// # Errors
/// [`MathsError::OutOfRange`] outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{basket::capacity::tamped_depth_mm,
/// #     quantity::{BulkDensity, Length, Mass}};
/// let density = BulkDensity::from_grams_per_millilitre(0.55)?;
/// let depth = tamped_depth_mm(Length::from_millimetres(58.0)?, Mass::from_grams(18.0)?, density)?;
/// assert!((depth - 12.387).abs() < 0.0005);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn tamped_depth_mm(
    diameter: Length,
    dose: Mass,
    density: BulkDensity,
) -> Result<f64, MathsError> {
    Length::BASKET_DIAMETER.check(diameter.millimetres())?;
    let bed_ml = dose.grams() / density.grams_per_millilitre();
    Ok(bed_ml * 1_000.0 / bed_area_mm2(diameter))
}

/// Depth of a tamped dose and the room left above it in a basket of known depth, mm.
///
/// # Equation
/// `h = H(m / rho)`, `s = depth - h`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | h | tamped depth (returned) | mm |
/// | s | headspace left (returned); negative when the dose is heaped above the rim | mm |
/// | m | dose | g |
/// | rho | tamped density | g/mL |
/// | H | height that a volume reaches in the basket | mm |
///
/// # Source
/// Geometry, [`Basket::height_mm`].
///
/// # Valid for
/// The bed before it is wetted. Above the rim the walls are continued.
///
/// # Example
/// ```
/// # use extraction_maths::maths::{basket::{capacity::bed_in_basket_mm, geometry::Basket},
/// #     quantity::{BulkDensity, Length, Mass}};
/// let mm = Length::from_millimetres;
/// let basket = Basket::straight(mm(58.0)?, mm(25.0)?)?;
/// let density = BulkDensity::from_grams_per_millilitre(0.55)?;
/// let (depth, left) = bed_in_basket_mm(&basket, Mass::from_grams(18.0)?, density);
/// assert!((depth - 12.387).abs() < 0.0005 && (depth + left - 25.0).abs() < 1e-12);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
#[must_use]
pub fn bed_in_basket_mm(basket: &Basket, dose: Mass, density: BulkDensity) -> (f64, f64) {
    let depth_mm = basket.height_mm(dose.grams() / density.grams_per_millilitre());
    (depth_mm, basket.depth_mm() - depth_mm)
}

//! Diameters that the trade names its baskets by.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::maths::MathsError;
use crate::maths::basket::capacity::{TAMPED_DENSITY_G_PER_ML, doses_by_diameter};
use crate::maths::basket::geometry::bed_area_mm2;
use crate::maths::quantity::{BulkDensity, Length};

/// Diameters by which espresso baskets are sold, mm: trade sizes, no standard. `[basket-sizes]`
const TRADE_SIZES_MM: [f64; 3] = [51.0, 54.0, 58.0];

/// A basket known by its diameter.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct BasketSize {
    /// Diameter by which the trade names it.
    pub diameter_mm: f64,
    /// Area of the bed.
    pub bed_area_mm2: f64,
    /// Smallest dose of a basket of the usual depth.
    pub dose_min_g: f64,
    /// Largest dose of a basket of the usual depth.
    pub dose_max_g: f64,
    /// Id of the diameter's source; the doses are those of `basket-practice`.
    pub source: Cow<'static, str>,
}

/// The common diameters, the smallest first, with the doses that `basket-capacity` answers for
/// the diameter alone.
///
/// # Errors
/// None but those of the constants being outside their ranges.
pub fn all() -> Result<Vec<BasketSize>, MathsError> {
    TRADE_SIZES_MM.into_iter().map(of).collect()
}

fn of(diameter_mm: f64) -> Result<BasketSize, MathsError> {
    let diameter = Length::from_millimetres(diameter_mm)?;
    let density = BulkDensity::from_grams_per_millilitre(TAMPED_DENSITY_G_PER_ML)?;
    let doses = doses_by_diameter(diameter, density)?;
    Ok(BasketSize {
        diameter_mm,
        bed_area_mm2: bed_area_mm2(diameter),
        dose_min_g: doses.smallest.grams(),
        dose_max_g: doses.largest.grams(),
        source: Cow::Borrowed("basket-sizes"),
    })
}

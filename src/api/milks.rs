//! Milks by the names that a request can call them.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::maths::MathsError;
use crate::maths::heat::milk::{Milk, heat_capacity};
use crate::maths::heat::milk_density::milk_density;
use crate::maths::quantity::Temperature;

/// Temperature at which the list gives properties, °C: the coldest of the table of densities.
const COLD_C: f64 = 4.4;

/// Cow's milk as it is sold, by its fat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum MilkId {
    /// Skim, 0.08 % fat.
    Skim,
    /// Low-fat, 0.97 % fat.
    LowFat,
    /// Reduced-fat, 1.98 % fat.
    ReducedFat,
    /// Whole, 3.25 % fat.
    Whole,
}

impl From<MilkId> for Milk {
    fn from(id: MilkId) -> Self {
        match id {
            MilkId::Skim => Self::Skim,
            MilkId::LowFat => Self::LowFat,
            MilkId::ReducedFat => Self::ReducedFat,
            MilkId::Whole => Self::Whole,
        }
    }
}

impl From<Milk> for MilkId {
    fn from(milk: Milk) -> Self {
        match milk {
            Milk::Skim => Self::Skim,
            Milk::LowFat => Self::LowFat,
            Milk::ReducedFat => Self::ReducedFat,
            Milk::Whole => Self::Whole,
        }
    }
}

/// A milk of the list.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct MilkEntry {
    /// The name that a request calls it by.
    pub milk_id: MilkId,
    /// Fat by mass.
    pub fat_percent: f64,
    /// Water by mass.
    pub water_percent: f64,
    /// Protein by mass.
    pub protein_percent: f64,
    /// Carbohydrate by mass.
    pub carbohydrate_percent: f64,
    /// Minerals by mass.
    pub ash_percent: f64,
    /// Heat capacity at 4.4 °C.
    pub specific_heat_kj_per_kg_k: f64,
    /// Density at 4.4 °C.
    pub density_g_per_ml: f64,
    /// Ids of the sources of composition, heat capacity and density.
    pub sources: Vec<Cow<'static, str>>,
    /// How the composition is known.
    pub composition_known: Cow<'static, str>,
}

/// The milks, the leanest first.
///
/// # Errors
/// None but those of the constants being outside their ranges.
pub fn all() -> Result<Vec<MilkEntry>, MathsError> {
    Milk::ALL.into_iter().map(of).collect()
}

fn of(milk: Milk) -> Result<MilkEntry, MathsError> {
    let composition = milk.composition();
    let [water, protein, fat, carbohydrate, ash] = composition.parts().map(|part| part * 100.0);
    let cold = Temperature::from_celsius(COLD_C)?;
    let density = milk_density(composition.fat()?, cold)?;
    let capacity = heat_capacity(&composition, cold)?;
    Ok(MilkEntry {
        milk_id: milk.into(),
        fat_percent: fat,
        water_percent: water,
        protein_percent: protein,
        carbohydrate_percent: carbohydrate,
        ash_percent: ash,
        specific_heat_kj_per_kg_k: capacity.kilojoules_per_kilogram_kelvin(),
        density_g_per_ml: density.kilograms_per_cubic_metre() / 1000.0,
        sources: ["usda-milk", "choi1986", "milk-density"]
            .map(Cow::Borrowed)
            .to_vec(),
        composition_known: Cow::Borrowed("from memory"),
    })
}

//! What the bed sets against the water, where a pressure was recorded.

use super::request::{Recorded, ShotReadingsRequest, temperature_c};
use crate::api::from_maths::AtField;
use crate::api::problem::Problem;
use crate::maths::constants::STANDARD_SEA_LEVEL_PASCALS;
use crate::maths::quantity::{Density, Length, Pressure, Temperature, Viscosity};
use crate::maths::shot::Analysis;
use crate::maths::shot::analysis::Running;
use crate::maths::shot::resistance::{
    DEPTH, FLOW, PRESSURE, permeability_m2, resistance_bar_s_per_ml,
};
use crate::maths::simulation::Parameter;
use crate::maths::water::liquid::liquid_density;
use crate::maths::water::viscosity::liquid_viscosity;

/// The bed while it was wet through; nothing where no pressure was recorded.
#[derive(Debug, Default)]
pub(super) struct Bed {
    pub(super) resistance_bar_s_per_ml: Option<f64>,
    pub(super) permeability_m2: Option<f64>,
    pub(super) seen: Option<Seen>,
}

/// What the resistance is worked out of.
#[derive(Debug)]
pub(super) struct Seen {
    pub(super) running: Running,
    pub(super) pressure_bar: f64,
    pub(super) flow_ml_per_s: f64,
    pub(super) temperature: Temperature,
    pub(super) density: Density,
    pub(super) viscosity: Viscosity,
    pub(super) depth_m: Option<f64>,
    pub(super) diameter: Option<Length>,
}

impl Bed {
    pub(super) fn of(
        request: &ShotReadingsRequest,
        recorded: &Recorded,
        analysis: &Analysis,
    ) -> Result<Self, Problem> {
        let Some((running, pressure_bar)) = analysis
            .running
            .and_then(|running| Some((running, running.pressure_bar?)))
        else {
            return Ok(Self::default());
        };
        let Some(seen) = Seen::of(request, recorded, (running, pressure_bar))? else {
            return Ok(Self::default());
        };
        let resistance = resistance_bar_s_per_ml(pressure_bar, seen.flow_ml_per_s)?;
        let bed = seen.depth_m.zip(seen.diameter);
        let permeability_m2 = bed
            .map(|bed| permeability_m2(resistance, seen.viscosity, bed))
            .transpose()?;
        Ok(Self {
            resistance_bar_s_per_ml: Some(resistance),
            permeability_m2,
            seen: Some(seen),
        })
    }
}

impl Seen {
    /// None where pressure or flow are too small for a resistance.
    fn of(
        request: &ShotReadingsRequest,
        recorded: &Recorded,
        (running, pressure_bar): (Running, f64),
    ) -> Result<Option<Self>, Problem> {
        let celsius = temperature_c(recorded, running.span_s);
        let temperature = Temperature::from_celsius(celsius).at("temperature_series")?;
        // water in the middle of the bed is under half the pressure, and the air's
        let pascals = STANDARD_SEA_LEVEL_PASCALS + 0.5e5 * pressure_bar.max(0.0);
        let pressure = Pressure::from_pascals(pascals).at("pressure_series")?;
        let density = liquid_density(temperature, pressure).at("temperature_series")?;
        let flow_ml_per_s = running.flow_g_per_s / density.kilograms_per_cubic_metre() * 1e3;
        if !PRESSURE.contains(pressure_bar) || !FLOW.contains(flow_ml_per_s) {
            return Ok(None);
        }
        let diameter = request.basket_diameter_mm.map(Length::from_millimetres);
        let diameter = diameter.transpose().at("basket_diameter_mm")?;
        Ok(Some(Self {
            running,
            pressure_bar,
            flow_ml_per_s,
            temperature,
            density,
            viscosity: liquid_viscosity(temperature, pressure).at("temperature_series")?,
            depth_m: depth_m(request, diameter).filter(|depth_m| DEPTH.contains(*depth_m)),
            diameter,
        }))
    }
}

/// Dry coffee in a volume of wetted bed, kg/m³, as the simulation has it. `[cameron2020]`
fn bed_density_kg_per_m3() -> Option<f64> {
    let mut all = Parameter::ALL.iter();
    let density = all.find(|info| info.parameter == Parameter::BedDensity)?;
    density.default
}

fn depth_m(request: &ShotReadingsRequest, diameter: Option<Length>) -> Option<f64> {
    if let Some(depth_mm) = request.wetted_bed_depth_mm {
        return Some(depth_mm * 1e-3);
    }
    let diameter_m = diameter?.millimetres() * 1e-3;
    let area_m2 = std::f64::consts::PI * diameter_m * diameter_m / 4.0;
    Some(request.dose_g? * 1e-3 / (bed_density_kg_per_m3()? * area_m2))
}

//! `milk-steaming`: the steam that condenses in milk, and what becomes of the milk.

mod agreement;
mod balance;
mod cautions;
mod request;
mod working;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use self::balance::Balance;
pub use self::request::MilkSteamingRequest;
use self::request::{BOUNDS, RULES};
use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, example};
use crate::api::caution::CautionCode;
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, Basis};
use crate::api::rule::Rule;

/// The steam, the heat and the drink.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct MilkSteamingResponse {
    /// Steam that condenses in the milk, droplets included.
    pub steam_condensed_g: f64,
    /// Condensate in percent of the milk that was there before.
    pub condensate_percent_of_milk: f64,
    /// Condensate in percent of the drink that is there after.
    pub condensate_percent_of_drink: f64,
    /// Heat that the steam gives: what milk and jug take, and the loss.
    pub heat_kj: f64,
    /// Milk and condensate together.
    pub final_mass_g: f64,
    /// Volume of the cold milk; left out when its fat is not known.
    pub milk_volume_ml: Option<f64>,
    /// Volume of milk and condensate at the end, without air. Above 38.9 °C, where the table of
    /// densities ends, milk is taken to expand as water does (perhaps 0.5 % off at 65 °C).
    pub final_volume_ml: Option<f64>,
    /// Volume with the air of `air_ratio` in it: `final_volume_ml` times 1 + `air_ratio`.
    pub foam_volume_ml: Option<f64>,
    /// Heat that the boiler's heater must give until the boiler is as before, with cold water
    /// coming in for the steam.
    pub boiler_energy_kj: f64,
    /// Time that the heater needs for `boiler_energy_kj`. This is recovery, and the least of it;
    /// the time at the wand is set by the wand and the steam stored, and is another one.
    pub boiler_energy_time_s: Option<f64>,
    /// Temperature of the milk before.
    pub start_temperature_c: f64,
    /// The same in degrees Fahrenheit.
    pub start_temperature_f: f64,
    /// Temperature of the drink.
    pub final_temperature_c: f64,
    /// The same in degrees Fahrenheit.
    pub final_temperature_f: f64,
    /// Heat that the milk takes, per mass.
    pub milk_enthalpy_rise_kj_per_kg: f64,
    /// Enthalpy of the steam as it leaves the boiler, droplets included.
    pub steam_enthalpy_kj_per_kg: f64,
    /// Temperature of the boiler.
    pub temperature_c: f64,
    /// The same in degrees Fahrenheit.
    pub temperature_f: f64,
    /// What the boiler's gauge shows.
    pub pressure_bar: f64,
    /// Air pressure at the place.
    pub air_pressure_hpa: f64,
}

/// The `milk-steaming` calculation.
#[derive(Debug)]
pub struct MilkSteaming;

impl Calculation for MilkSteaming {
    const NAME: &'static str = "milk-steaming";
    const SUMMARY: &'static str = "Steam that condenses in milk, heat, dilution and volume";
    const DESCRIPTION: &'static str = "A heat balance of steam and milk: (1 + loss) (milk + jug) = steam × (its enthalpy − \
        that of water at the end). The milk's heat is summed over its parts; the compositions behind `milk_id` \
        (`GET /v1/reference/milks`) are from memory. Dry steam without losses condenses 9 to 10 % of the milk; wet steam \
        and losses add to it, and no published measurement of either was found, so both are inputs. Foam is reckoned \
        from the air that you give; nothing here predicts how much air a barista works in. Plant drinks: give \
        `milk_specific_heat_kj_per_kg_k`. Steam burns and milk spoils: see the cautions, and follow local codes.";
    const TAG: Tag = Tag::Water;
    const BASIS: Basis = Basis::PublishedFormula;
    const CAUTIONS: &'static [CautionCode] = &[
        CautionCode::PressureVessel,
        CautionCode::Burn,
        CautionCode::VeryHotDrink,
        CautionCode::ChildServing,
        CautionCode::ColdHolding,
        CautionCode::DoNotResteam,
        CautionCode::Allergens,
        CautionCode::LocalFoodCode,
        CautionCode::MilkUnknown,
        CautionCode::HighAltitude,
    ];
    const BOUNDS: &'static [Bound] = BOUNDS;
    const RULES: &'static [Rule] = RULES;
    const HEADLINES: &'static [Headline] = &[
        Headline::new("steam_condensed_g", 1),
        Headline::new("condensate_percent_of_milk", 1),
        Headline::new("condensate_percent_of_drink", 1),
        Headline::new("final_mass_g", 0),
        Headline::new("foam_volume_ml", 0),
        Headline::new("heat_kj", 1),
        Headline::new("boiler_energy_time_s", 0),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "milk-steaming",
            "harbour-flat-white",
            "Whole milk with a little air, by the boiler's gauge"
        ),
        example!(
            "milk-steaming",
            "station-cappuccino",
            "Wet steam, a loss and a steel jug at a mountain station"
        ),
        example!(
            "milk-steaming",
            "lab-known-capacity",
            "A drink whose heat capacity was measured, with workings"
        ),
        example!(
            "milk-steaming",
            "lab-by-fat",
            "Milk by its fat, in °F and feet, with the heater and workings"
        ),
    ];

    type Request = MilkSteamingRequest;
    type Response = MilkSteamingResponse;

    fn answer(
        request: &MilkSteamingRequest,
        _call: &Call<'_>,
    ) -> Result<Answer<MilkSteamingResponse>, Problem> {
        let balance = Balance::of(request)?;
        let response = response(&balance);
        let workings = (request.workings == Some(true))
            .then(|| working::steps(&balance, &response))
            .transpose()?;
        let cautions = cautions::of(&balance);
        let sources = sources(&balance, &response);
        Ok(Answer::of::<Self>(response, &sources)
            .with_cautions(cautions)
            .with_workings(workings))
    }
}

fn response(balance: &Balance) -> MilkSteamingResponse {
    let (milk, steam) = (balance.milk.mass.grams(), balance.condensate.grams());
    let volumes = balance.volumes;
    MilkSteamingResponse {
        steam_condensed_g: steam,
        condensate_percent_of_milk: 100.0 * steam / milk,
        condensate_percent_of_drink: 100.0 * steam / (milk + steam),
        heat_kj: balance.heat.kilojoules(),
        final_mass_g: milk + steam,
        milk_volume_ml: volumes.map(|volumes| volumes.cold_ml),
        final_volume_ml: volumes.map(|volumes| volumes.hot_ml),
        foam_volume_ml: volumes.and_then(|volumes| volumes.foam_ml),
        boiler_energy_kj: balance.recovery.heat.kilojoules(),
        boiler_energy_time_s: balance.recovery.time.map(|time| time.seconds()),
        start_temperature_c: balance.milk.start.celsius(),
        start_temperature_f: balance.milk.start.fahrenheit,
        final_temperature_c: balance.milk.end.celsius(),
        final_temperature_f: balance.milk.end.fahrenheit,
        milk_enthalpy_rise_kj_per_kg: balance.milk.rise.kilojoules_per_kilogram(),
        steam_enthalpy_kj_per_kg: balance.steam_enthalpy.kilojoules_per_kilogram(),
        temperature_c: balance.boiler.temperature.celsius(),
        temperature_f: balance.boiler.temperature.fahrenheit,
        pressure_bar: balance.boiler.gauge.bar(),
        air_pressure_hpa: balance.place.pressure.hectopascals(),
    }
}

/// Ids of everything that the answer rests on.
fn sources(balance: &Balance, response: &MilkSteamingResponse) -> Vec<&'static str> {
    let is_summed = balance.milk.composition.is_some();
    let is_usual = !is_summed && !balance.milk.has_own_capacity;
    let used = [
        Some("heat-balance"),
        is_summed.then_some("choi1986"),
        is_summed.then_some("usda-milk"),
        is_usual.then_some("milk-heat"),
        response.milk_volume_ml.map(|_| "milk-density"),
        Some("iapws2012"),
        balance.place.known.source(),
        Some("units"),
        Some("scald-times"),
        cautions::is_very_hot(balance).then_some("iarc2018"),
        Some("foodcode"),
    ];
    used.into_iter().flatten().collect()
}

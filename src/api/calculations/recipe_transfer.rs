//! `recipe-transfer`: a recipe carried to another basket, another place or another machine.

mod basket;
mod carried;
mod drivers;
mod inner;
mod notes;
mod request;
mod response;
mod shot_time;
mod water;
mod workings;

pub use request::{BrewSetUp, RecipeToCarry, RecipeTransferRequest};
pub use response::{
    CarriedCode, CarriedNote, CupCheck, CupCheckCode, NotCarried, NotCarriedCode, NotSimulated,
    NotSimulatedCode, RecipeTransferResponse, ShotTimeChange, ShotTimeDirection, ShotTimeMethod,
    TimeDriver, TimeDriverCode,
};

use std::borrow::Cow;

use carried::Carried;
use shot_time::Simulated;

use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, Weight, example};
use crate::api::caution::CautionCode;
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, Basis, Provenance};
use crate::maths::basket::capacity::RATED_DOSE;
use crate::maths::quantity::{Altitude, GaugePressure, Length, Mass, MassFraction, Temperature};
use crate::maths::range::Range;
use crate::maths::simulation::{PressureProfile, Shot};

/// Volumes of a cup for one drink.
const CUP: Range = Range::new("cup", 5.0, 2_000.0, "mL");

/// The `recipe-transfer` calculation.
#[derive(Debug)]
pub struct RecipeTransfer;

impl Calculation for RecipeTransfer {
    const NAME: &'static str = "recipe-transfer";
    const SUMMARY: &'static str = "A recipe carried to another basket, place or machine";
    const DESCRIPTION: &'static str = "Carries a recipe from one set-up to another: the dose at the same bed depth, the \
        same brew ratio and strength, the temperature as far as the place and the machine allow it, and how the shot time \
        changes: by simulation where the grind is known on both set-ups, otherwise only which way. Every part is asked of \
        the calculation that knows it (`basket-capacity`, `ratio`, `water-temperature`, `shot-simulation`). What cannot be \
        had stands in `not_met` with what to do instead. Keeping the bed depth is common practice; the simulated times come \
        from a model that is not validated. Where water can be hot or under pressure, local codes and licensed service \
        come first.";
    const TAG: Tag = Tag::Recipe;
    const BASIS: Basis = Basis::CommonPractice;
    const CAUTIONS: &'static [CautionCode] = &[
        CautionCode::HotWater,
        CautionCode::Superheated,
        CautionCode::PressureVessel,
        CautionCode::HighAltitude,
        CautionCode::SeaLevelReduction,
        CautionCode::PressureFromAltitude,
        CautionCode::DiameterAlone,
        CautionCode::UnusualBedDepth,
        CautionCode::UnusualRatio,
        CautionCode::UnvalidatedModel,
        CautionCode::FineGrind,
        CautionCode::ChangedParameters,
    ];
    const BOUNDS: &'static [Bound] = &[
        Bound::new("basket_diameter_mm", Length::BASKET_DIAMETER),
        Bound::new("rated_dose_g", RATED_DOSE),
        Bound::new("altitude_m", Altitude::RANGE),
        Bound::new("altitude_ft", Altitude::RANGE_FEET),
        Bound::new("brew_pressure_bar", GaugePressure::RANGE),
        Bound::new("grind_diameter_um", Shot::GRIND_DIAMETER),
        Bound::new("cup_ml", CUP),
        Bound::new("dose_g", Mass::DOSE),
        Bound::new("beverage_mass_g", Mass::LIQUID),
        Bound::new("shot_time_s", Shot::DURATION),
        Bound::new("brew_temperature_c", Temperature::BREWING),
        Bound::new("brew_temperature_f", Temperature::BREWING_FAHRENHEIT),
        Bound::new("tds_percent", MassFraction::STRENGTH_PERCENT),
        Bound::list("time_s", PressureProfile::TIME, 1, 200),
        Bound::list("pressure_bar", GaugePressure::RANGE, 1, 200),
    ];
    const HEADLINES: &'static [Headline] = &[
        Headline::new("dose_g", 1),
        Headline::new("beverage_mass_g", 1),
        Headline::new("brew_temperature_c", 1),
        Headline::new("brew_temperature_f", 1),
        Headline::new("shot_time_s", 0),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "recipe-transfer",
            "harbour-to-station",
            "The harbour bar's double on the summit station's smaller basket, simulated"
        ),
        example!(
            "recipe-transfer",
            "station-open-kettle",
            "A brew temperature that an open kettle does not reach at the station, with workings"
        ),
        example!(
            "recipe-transfer",
            "lab-rated-basket",
            "A basket that does not take the dose, a smaller cup and a machine with less pressure"
        ),
    ];
    const WEIGHT: Weight = Weight::Heavy;
    /// Two fine shots of the usual duration at the finest grind, several times over.
    const BUDGET: u64 = 3_000_000;

    type Request = RecipeTransferRequest;
    type Response = RecipeTransferResponse;

    fn cost(request: &RecipeTransferRequest) -> u64 {
        let (from, to) = request.set_ups();
        shot_time::cost(&request.recipe, (&from, &to))
    }

    fn answer(
        request: &RecipeTransferRequest,
        call: &Call<'_>,
    ) -> Result<Answer<RecipeTransferResponse>, Problem> {
        request.check()?;
        let carried = Carried::of(request, call)?;
        let simulated = carried.simulated(call)?;
        let response = response(&carried, &simulated);
        let workings =
            (request.workings == Some(true)).then(|| workings::steps(&carried, &response));
        let mut answer = Answer::of::<Self>(response, &["practice", "geometry"]);
        for inner in provenances(&carried, &simulated) {
            join(&mut answer.provenance, inner);
        }
        Ok(answer.with_workings(workings))
    }
}

fn response(carried: &Carried<'_>, simulated: &Simulated) -> RecipeTransferResponse {
    let recipe = carried.recipe;
    let change = shot_time::change(simulated, drivers::of(carried), recipe.shot_time_s);
    let notes = notes::notes(carried, &change);
    let basket = carried.baskets.as_ref().map(|baskets| &baskets.to.result);
    let ratio = carried.ratios.as_ref().map(|ratios| &ratios.to.result);
    let place = carried.water.place.as_ref().map(|place| &place.result);
    let beverage_mass_g = carried.beverage_mass_g();
    let cup = carried.to.cup_ml.zip(beverage_mass_g);
    RecipeTransferResponse {
        dose_g: carried.dose_g,
        same_depth_dose_g: carried.baskets.as_ref().map(|b| b.same_depth_dose_g),
        beverage_mass_g,
        brew_ratio: ratio.map(|ratio| ratio.brew_ratio),
        brew_ratio_text: ratio.map(|ratio| ratio.brew_ratio_text.clone()),
        tds_percent: recipe.tds_percent,
        tamped_depth_mm: basket.map(|basket| basket.tamped_depth_mm),
        dose_min_g: basket.map(|basket| basket.dose_min_g),
        dose_max_g: basket.map(|basket| basket.dose_max_g),
        fits_basket: basket.and_then(|basket| basket.fits),
        fits_cup: cup.map(|(cup_ml, beverage_g)| beverage_g <= cup_ml),
        brew_temperature_c: carried.water.carried_c,
        brew_temperature_f: carried.water.carried_f,
        temperature_reachable: carried.water.is_reachable(),
        boiling_point_c: place.map(|place| place.boiling_point_c),
        boiling_point_f: place.map(|place| place.boiling_point_f),
        pressure_profile: carried.profile.clone(),
        shot_time_s: recipe
            .shot_time_s
            .zip(change.time_ratio)
            .map(|(time_s, ratio)| time_s * ratio),
        check_first: notes::check_first(carried, &notes),
        kept: notes.kept,
        changed: notes.changed,
        not_met: notes::not_met(carried, simulated),
        shot_time_change: change,
    }
}

/// Where the answers of the other calculations are from, and what they say to mind.
fn provenances<'c>(carried: &'c Carried<'_>, simulated: &'c Simulated) -> Vec<&'c Provenance> {
    let mut all = Vec::new();
    all.extend(carried.baskets.as_ref().map(|b| &b.to.provenance));
    all.extend(carried.ratios.as_ref().map(|r| &r.to.provenance));
    all.extend(carried.water.place.as_ref().map(|p| &p.provenance));
    if let Simulated::Both(shots) = simulated {
        all.extend(shots.iter().map(|shot| &shot.provenance));
    }
    all
}

/// Adds the sources and cautions of another answer that are not there yet.
fn join(own: &mut Provenance, inner: &Provenance) {
    for id in &inner.sources {
        if !own.sources.contains(id) {
            own.sources.push(Cow::clone(id));
        }
    }
    for caution in &inner.cautions {
        if own.cautions.iter().all(|known| known.code != caution.code) {
            own.cautions.push(caution.clone());
        }
    }
}

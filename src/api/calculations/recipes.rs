//! `recipes`: one drink at one bar, composed of the answers of other calculations.

mod beans;
mod brew;
mod cautions;
mod cost;
mod cup;
mod milk;
mod order;
mod request;
mod response;
mod unused;
mod water;

use self::beans::Beans;
use self::brew::Brew;
use self::cup::Cup;
use self::milk::Milk;
use self::order::Order;
use self::request::{BOUNDS, RULES};
pub use self::request::{RecipesRequest, Roast, ShotShare};
pub use self::response::{
    Allergen, Cost, NotMet, NotMetCode, PressureStages, RecipesResponse, StrengthWindow,
    TimeWindow, Totals,
};
use self::water::Water;
use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, example};
use crate::api::caution::CautionCode;
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, Basis};
use crate::api::rule::Rule;

/// The `recipes` calculation.
#[derive(Debug)]
pub struct Recipes;

impl Calculation for Recipes {
    const NAME: &'static str = "recipes";
    const SUMMARY: &'static str = "A drink as this bar can make it: coffee, water, milk, cup, cost";
    const DESCRIPTION: &'static str = "One recipe out of the answers of `basket-capacity`, `ratio`, `extraction-yield`, \
        `water-temperature`, `milk-steaming` and `bean-supply`, which each stay as they are when called alone. What the \
        bar cannot do is listed in `not_met` with a code and the reason, and the recipe holds the nearest thing that it \
        can: never a silence. Fields that the drink has no use for are named in `not_used`. Proportions \
        (`GET /v1/reference/drinks`), times, pressures and temperatures that are not given are common practice, no \
        source, and every one can be given. With a `half` share one basket makes two cups. Money is reckoned only from \
        the prices given; a price in a cached address is logged, so that a till should call from its server side. Hot \
        water, steam and milk can hurt: see the cautions, and follow local codes.";
    const TAG: Tag = Tag::Recipe;
    const BASIS: Basis = Basis::CommonPractice;
    const CAUTIONS: &'static [CautionCode] = &[
        CautionCode::HotWater,
        CautionCode::Superheated,
        CautionCode::PressureVessel,
        CautionCode::Scald,
        CautionCode::Burn,
        CautionCode::VeryHotDrink,
        CautionCode::ChildServing,
        CautionCode::ColdHolding,
        CautionCode::DoNotResteam,
        CautionCode::Allergens,
        CautionCode::LocalFoodCode,
        CautionCode::ServedHot,
        CautionCode::RecipeAllergens,
        CautionCode::SeaLevelAssumed,
        CautionCode::MilkUnknown,
        CautionCode::HighAltitude,
        CautionCode::SeaLevelReduction,
        CautionCode::PressureFromAltitude,
        CautionCode::LooksLikeAFraction,
        CautionCode::HighYield,
        CautionCode::PracticeWindow,
        CautionCode::DiameterAlone,
        CautionCode::UnusualBedDepth,
        CautionCode::UnusualRatio,
        CautionCode::FreshnessPractice,
        CautionCode::Resting,
        CautionCode::PastWindow,
        CautionCode::FrozenClock,
        CautionCode::OrderOutlivesWindow,
        CautionCode::LeftOverStock,
        CautionCode::NoSafetyStock,
        CautionCode::OneOrderOnHand,
        CautionCode::GroundCoffeeEnergy,
        CautionCode::OneGrainSize,
    ];
    const BOUNDS: &'static [Bound] = BOUNDS;
    const RULES: &'static [Rule] = RULES;
    const HEADLINES: &'static [Headline] = &[
        Headline::new("dose_g", 1),
        Headline::new("beverage_mass_g", 0),
        Headline::new("brew_ratio_text", 0),
        Headline::new("pour_water_g", 0),
        Headline::new("shot_time_window_s.low", 0),
        Headline::new("shot_time_window_s.high", 0),
        Headline::new("brew_temperature_c", 1),
        Headline::new("brew_temperature_f", 1),
        Headline::new("tds_window_percent.low", 1),
        Headline::new("tds_window_percent.high", 1),
        Headline::new("milk_g", 0),
        Headline::new("milk_final_temperature_c", 0),
        Headline::new("milk_final_temperature_f", 0),
        Headline::new("steam_condensed_g", 0),
        Headline::new("drink_volume_ml", 0),
        Headline::new("fits_cup", 0),
        Headline::new("cost.total_text", 0),
        Headline::new("cost.currency", 0),
        Headline::new("not_met_codes", 0),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "recipes",
            "harbour-flat-white",
            "A milk drink by the sea, with prices, beans and a cup"
        ),
        example!(
            "recipes",
            "station-cappuccino",
            "A milk drink at a mountain station, by its barometer, with workings"
        ),
        example!(
            "recipes",
            "station-pour-over",
            "Filter coffee where water boils before it is hot enough"
        ),
        example!(
            "recipes",
            "station-cannot",
            "Half shots that the basket and the cup cannot give, of old beans"
        ),
    ];

    type Request = RecipesRequest;
    type Response = RecipesResponse;

    fn answer(
        request: &RecipesRequest,
        call: &Call<'_>,
    ) -> Result<Answer<RecipesResponse>, Problem> {
        let mut order = Order::of(request, call);
        let made = Made::of(&mut order)?;
        cautions::add(&mut order, made.water.brew_c, made.milk.is_some());
        let response = made.response(&mut order);
        let mut answer = Answer::of::<Self>(response, &[]).with_cautions(order.cautions);
        answer.provenance.sources = order.sources;
        Ok(answer.with_workings((request.workings == Some(true)).then_some(order.workings)))
    }
}

/// A recipe with all its parts.
struct Made {
    brew: Brew,
    water: Water,
    milk: Option<Milk>,
    cup: Cup,
    beans: Beans,
    cost: Option<(Cost, Cost)>,
}

impl Made {
    fn of(order: &mut Order<'_>) -> Result<Self, Problem> {
        let brew = brew::of(order)?;
        let water = water::of(order)?;
        let milk = milk::of(order, brew.serving_g)?;
        let cup = cup::of(order, &brew, milk.as_ref());
        let beans = beans::of(order, brew.ratio.dose_g)?;
        let cost = cost::of(order, &beans, milk.as_ref());
        Ok(Self {
            brew,
            water,
            milk,
            cup,
            beans,
            cost,
        })
    }

    fn response(self, order: &mut Order<'_>) -> RecipesResponse {
        let steamed = self.milk.as_ref().and_then(|milk| milk.steamed.as_ref());
        RecipesResponse {
            milk_g: self.milk.as_ref().map(|milk| milk.mass_g),
            milk_ml: steamed.and_then(|milk| milk.milk_volume_ml),
            steam_condensed_g: steamed.map(|milk| milk.steam_condensed_g),
            foam_ml: steamed.and_then(|milk| milk.foam_volume_ml),
            milk_final_temperature_c: steamed.map(|milk| milk.final_temperature_c),
            milk_final_temperature_f: steamed.map(|milk| milk.final_temperature_f),
            added_water_g: self.cup.added_water_g,
            drink_volume_ml: self.cup.drink_ml,
            fits_cup: self.cup.fits,
            cup_room_ml: self.cup.room_ml,
            bean_age_days: self.beans.age_days,
            beans_in_window: self.beans.in_window,
            allergens: self.milk.iter().map(|_| Allergen::Milk).collect(),
            totals: self.totals(order),
            not_used: unused::of(order),
            not_met_codes: codes(&order.not_met),
            not_met: std::mem::take(&mut order.not_met),
            ..self.coffee(order)
        }
    }

    /// The fields of an answer about coffee, water and money.
    fn coffee(self, order: &Order<'_>) -> RecipesResponse {
        let is_espresso = order.is_espresso();
        let (low, high) = order.drink.time_s;
        let (basket, ratio) = (self.brew.basket, self.brew.ratio);
        RecipesResponse {
            drink: order.request.drink,
            brew_kind: order.drink.brew_kind,
            servings: order.servings(),
            shot_share: is_espresso.then(|| order.share()),
            baskets_pulled: is_espresso.then(|| order.brews()),
            dose_g: ratio.dose_g,
            beverage_mass_g: ratio.beverage_mass_g,
            brew_ratio: ratio.brew_ratio,
            brew_ratio_text: ratio.brew_ratio_text,
            water_mass_g: ratio.water_mass_g,
            water_ratio: ratio.water_ratio,
            pour_water_g: (!is_espresso).then_some(ratio.water_mass_g),
            serving_beverage_g: self.brew.serving_g,
            dose_min_g: basket.map(|basket| basket.dose_min_g),
            dose_max_g: basket.map(|basket| basket.dose_max_g),
            tamped_depth_mm: basket.and_then(|basket| basket.tamped_depth_mm),
            shot_time_window_s: TimeWindow {
                low,
                high,
                includes_preinfusion: true,
            },
            brew_temperature_c: self.water.brew_c,
            brew_temperature_f: self.water.brew_f,
            boiling_point_c: self.water.boiling_c,
            boiling_point_f: self.water.boiling_f,
            pressure_profile: self.water.profile,
            tds_window_percent: self.brew.strength,
            cost: self.cost.map(|(of_serving, _)| of_serving),
            ..RecipesResponse::default()
        }
    }

    fn totals(&self, order: &Order<'_>) -> Totals {
        let (servings, brews) = (f64::from(order.servings()), f64::from(order.brews()));
        let ratio = &self.brew.ratio;
        let baskets = order.is_espresso().then(|| order.brews());
        Totals {
            servings: order.servings(),
            baskets_pulled: baskets.unwrap_or(0),
            dose_g: brews * ratio.dose_g,
            beans_g: self.beans.mass_g,
            beverage_mass_g: brews * ratio.beverage_mass_g,
            water_mass_g: brews * ratio.water_mass_g,
            milk_g: servings * self.milk.as_ref().map_or(0.0, |milk| milk.mass_g),
            added_water_g: servings * self.cup.added_water_g.unwrap_or(0.0),
            cost: self.cost.as_ref().map(|(_, of_all)| of_all.clone()),
        }
    }
}

fn codes(not_met: &[NotMet]) -> Option<String> {
    let codes: Vec<_> = not_met.iter().map(|one| one.code.as_str()).collect();
    (!codes.is_empty()).then(|| codes.join(";"))
}

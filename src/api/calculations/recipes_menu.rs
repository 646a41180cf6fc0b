//! `recipes/menu`: the recipes of a whole menu, and what they take together.

mod item;
mod totals;

use std::borrow::Cow;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;
use validator::Validate;

pub use self::item::{MadeRecipe, MenuItem, MenuProblem, MenuRecipe};
use super::recipes::{NotMet, Recipes, Roast, Totals};
use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, Weight, example};
use crate::api::calendar::CalendarDate;
use crate::api::caution::{Caution, CautionCode};
use crate::api::currency::CurrencyCode;
use crate::api::drinks;
use crate::api::milks::MilkId;
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, Basis};
use crate::api::rule::Rule;

/// The recipes of a menu, and the fields that they share.
#[derive(Debug, Clone, Default, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct MenuRequest {
    /// What would be posted to `/v1/recipes`, one by one; a recipe that is wrong spoils no
    /// other. A field that a recipe does not name is taken from the menu.
    #[validate(length(min = 1, max = 200))]
    #[schema(min_items = 1, max_items = 200)]
    pub recipes: Vec<MenuRecipe>,
    /// As in `recipes`, for every recipe that does not name it.
    pub basket_diameter_mm: Option<f64>,
    /// As in `recipes`, for every recipe that does not name it.
    pub basket_rated_dose_g: Option<f64>,
    /// As in `recipes`, for every recipe that names no place.
    pub altitude_m: Option<f64>,
    /// As in `recipes`, for every recipe that names no place.
    pub altitude_ft: Option<f64>,
    /// As in `recipes`, for every recipe that names no place.
    pub station_pressure_hpa: Option<f64>,
    /// As in `recipes`, for every recipe that names no steam.
    pub steam_pressure_bar: Option<f64>,
    /// As in `recipes`, for every recipe that does not name it.
    pub milk_id: Option<MilkId>,
    /// As in `recipes`, for every recipe that does not name it.
    pub roast: Option<Roast>,
    /// As in `recipes`, for every recipe that does not name it.
    #[schema(value_type = Option<String>, format = Date)]
    pub roast_date: Option<CalendarDate>,
    /// As in `recipes`, for every recipe that does not name it.
    #[schema(value_type = Option<String>, format = Date)]
    pub brew_date: Option<CalendarDate>,
    /// As in `recipes`, for every recipe that does not name it.
    pub bean_price_per_kg: Option<f64>,
    /// As in `recipes`, for every recipe that does not name it.
    pub milk_price_per_l: Option<f64>,
    /// As in `recipes`, for every recipe that does not name it.
    pub currency: Option<CurrencyCode>,
    /// As in `recipes`, for every recipe that does not name it.
    pub waste_percent: Option<f64>,
    /// Whether each answer shows its derivation.
    pub workings: Option<bool>,
}

/// The recipes in their order, and what they take together.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct MenuResponse {
    /// One answer or problem for each recipe, in order.
    pub recipes: Vec<MenuItem>,
    /// Recipes that were answered.
    pub answered: u32,
    /// Recipes that were refused; they are not in the totals.
    pub refused: u32,
    /// All recipes that were answered together. The cost is left out unless each of them has a
    /// total, all in one currency.
    pub totals: Totals,
    /// What the menu as a whole could not meet; what its recipes could not stands with them.
    pub not_met: Vec<NotMet>,
}

/// Most recipes of a menu.
const MOST_RECIPES: u64 = 200;

/// The `recipes/menu` calculation.
#[derive(Debug)]
pub struct RecipesMenu;

impl Calculation for RecipesMenu {
    const NAME: &'static str = "recipes/menu";
    const SUMMARY: &'static str = "The recipes of a whole menu at once, and their totals";
    const DESCRIPTION: &'static str = "Each recipe is a request of `recipes` and is answered as `recipes` answers it, in \
        order: with its answer, or with its problem, which spoils no other. Fields that a recipe does not name are taken \
        from the menu; a recipe that names a place or a steam boiler in any way keeps its own, and one that names a field \
        as `null` goes without. The totals add up what was answered.";
    const TAG: Tag = Tag::Recipe;
    const BASIS: Basis = Basis::CommonPractice;
    const CAUTIONS: &'static [CautionCode] = <Recipes as Calculation>::CAUTIONS;
    const BOUNDS: &'static [Bound] = <Recipes as Calculation>::BOUNDS;
    const RULES: &'static [Rule] = &[
        Rule::AtMostOne(&["altitude_m", "altitude_ft", "station_pressure_hpa"]),
        Rule::Needs("roast_date", &["brew_date"]),
        Rule::Needs("brew_date", &["roast_date"]),
    ];
    const HEADLINES: &'static [Headline] = &[
        Headline::new("answered", 0),
        Headline::new("refused", 0),
        Headline::new("totals.servings", 0),
        Headline::new("totals.baskets_pulled", 0),
        Headline::new("totals.dose_g", 1),
        Headline::new("totals.milk_g", 0),
        Headline::new("totals.cost.total_text", 0),
        Headline::new("totals.cost.currency", 0),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "recipes/menu",
            "harbour-morning",
            "A morning's menu by the sea, with shared beans and prices"
        ),
        example!(
            "recipes/menu",
            "station-one-wrong",
            "A menu at the mountain station with one recipe that is wrong"
        ),
    ];
    const WEIGHT: Weight = Weight::Heavy;
    const BUDGET: u64 = MOST_RECIPES;

    type Request = MenuRequest;
    type Response = MenuResponse;

    fn cost(request: &MenuRequest) -> u64 {
        u64::try_from(request.recipes.len()).unwrap_or(u64::MAX)
    }

    fn answer(request: &MenuRequest, call: &Call<'_>) -> Result<Answer<MenuResponse>, Problem> {
        let shared = item::Shared::of(request)?;
        let mut recipes = Vec::with_capacity(request.recipes.len());
        for recipe in &request.recipes {
            call.go_on()?;
            recipes.push(item::answer(recipe, &shared, call));
        }
        let made: Vec<&MadeRecipe> = recipes.iter().filter_map(|r| r.answer.as_ref()).collect();
        let (totals, not_met) = totals::of(&made);
        let (sources, cautions) = joined(&made);
        let count = |wanted: bool| {
            let of_kind = recipes
                .iter()
                .filter(|item| item.answer.is_some() == wanted);
            u32::try_from(of_kind.count()).unwrap_or(u32::MAX)
        };
        let response = MenuResponse {
            answered: count(true),
            refused: count(false),
            totals,
            not_met,
            recipes,
        };
        let mut answer = Answer::of::<Self>(response, &[]).with_cautions(cautions);
        answer.provenance.sources = sources;
        Ok(answer)
    }
}

/// Sources and cautions of all recipes, each of them once.
fn joined(made: &[&MadeRecipe]) -> (Vec<Cow<'static, str>>, Vec<Caution>) {
    let mut sources = vec![Cow::Borrowed(drinks::SOURCE)];
    let mut cautions: Vec<Caution> = Vec::new();
    for provenance in made.iter().map(|recipe| &recipe.0.provenance) {
        for source in &provenance.sources {
            if !sources.contains(source) {
                sources.push(source.clone());
            }
        }
        for caution in &provenance.cautions {
            if !cautions.iter().any(|other| other.code == caution.code) {
                // its numbers are those of one recipe, and stand there
                cautions.push(caution.code.into());
            }
        }
    }
    (sources, cautions)
}

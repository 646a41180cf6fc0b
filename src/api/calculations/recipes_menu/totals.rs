//! What the recipes of a menu take together.

use super::MadeRecipe;
use crate::api::calculations::recipes::{Cost, NotMet, NotMetCode, Totals};

/// The totals, and what keeps them from being whole.
pub(super) fn of(made: &[&MadeRecipe]) -> (Totals, Vec<NotMet>) {
    let mut sum = Totals::default();
    let all = made.iter().map(|recipe| &recipe.0.result.totals);
    for one in all.clone() {
        sum.servings += one.servings;
        sum.baskets_pulled += one.baskets_pulled;
        sum.dose_g += one.dose_g;
        sum.beans_g += one.beans_g;
        sum.beverage_mass_g += one.beverage_mass_g;
        sum.water_mass_g += one.water_mass_g;
        sum.milk_g += one.milk_g;
        sum.added_water_g += one.added_water_g;
    }
    let costs: Vec<Option<&Cost>> = all.map(|totals| totals.cost.as_ref()).collect();
    let mut not_met = Vec::new();
    match cost(&costs) {
        Ok(cost) => sum.cost = cost,
        Err(detail) => not_met.push(NotMet {
            code: NotMetCode::CostIncomplete,
            detail: detail.to_owned(),
        }),
    }
    (sum, not_met)
}

/// The cost of all recipes, none when no price was given, or why there is none.
fn cost(costs: &[Option<&Cost>]) -> Result<Option<Cost>, &'static str> {
    let Some(first) = costs.iter().copied().flatten().next() else {
        return Ok(None);
    };
    let (mut beans, mut milk, mut total) = (0.0, None, 0.0);
    for cost in costs {
        let Some((cost, of_all)) = cost.and_then(|cost| Some((cost, cost.total?))) else {
            return Err("there is no total: a recipe has none");
        };
        if cost.currency != first.currency {
            return Err("there is no total: the recipes are in several currencies");
        }
        total += of_all;
        beans += cost.beans.unwrap_or(0.0);
        milk = cost.milk.map(|own| own + milk.unwrap_or(0.0)).or(milk);
    }
    Ok(Some(Cost {
        beans: Some(beans),
        milk,
        total: Some(total),
        currency: first.currency,
        minor_units: first.minor_units,
        total_text: first.currency.map(|currency| currency.rounded(total)),
    }))
}

//! What a recipe costs: money only where prices are given.

use super::beans::Beans;
use super::milk::Milk;
use super::order::Order;
use super::response::{Cost, NotMetCode};
use crate::api::currency::CurrencyCode;
use crate::api::provenance::{WorkingStep, shown};

/// Cost of one serving, and of all of them; none without a price.
pub(super) fn of(
    order: &mut Order<'_>,
    beans: &Beans,
    milk: Option<&Milk>,
) -> Option<(Cost, Cost)> {
    let asked = order.request;
    asked.bean_price_per_kg.or(asked.milk_price_per_l)?;
    let servings = f64::from(order.servings());
    let of_beans = asked
        .bean_price_per_kg
        .map(|price| price * beans.mass_g / 1000.0);
    let serving_ml = milk.map(|milk| milk.steamed.as_ref().and_then(|m| m.milk_volume_ml));
    let of_milk = serving_ml.map(|ml| {
        let price = asked.milk_price_per_l?;
        Some(price * ml? * servings / 1000.0)
    });
    if of_beans.is_none() || of_milk == Some(None) {
        let detail = missing(
            of_beans.is_none(),
            asked.milk_price_per_l.is_none(),
            of_milk,
        );
        order.miss(NotMetCode::CostIncomplete, detail);
    }
    let total = match (of_beans, of_milk) {
        (Some(beans), None) => Some(beans),
        (Some(beans), Some(milk)) => milk.map(|milk| beans + milk),
        (None, _) => None,
    };
    explain(order, beans.mass_g, (of_beans, of_milk.flatten(), total));
    let cost = |share: f64| Cost {
        beans: of_beans.map(|amount| amount / share),
        milk: of_milk.flatten().map(|amount| amount / share),
        total: total.map(|amount| amount / share),
        currency: asked.currency,
        minor_units: asked.currency.map(CurrencyCode::minor_units),
        total_text: total
            .zip(asked.currency)
            .map(|(amount, currency)| currency.rounded(amount / share)),
    };
    Some((cost(servings), cost(1.0)))
}

fn missing(no_beans: bool, no_price_of_milk: bool, of_milk: Option<Option<f64>>) -> String {
    let has_milk = of_milk == Some(None);
    let parts = [
        no_beans.then_some("the price of the beans is missing"),
        (has_milk && no_price_of_milk).then_some("the price of the milk is missing"),
        (has_milk && !no_price_of_milk)
            .then_some("the volume of the milk is not known, since it cannot be steamed as asked"),
    ];
    let parts: Vec<_> = parts.into_iter().flatten().collect();
    format!("there is no total: {}", parts.join(", and "))
}

fn explain(
    order: &mut Order<'_>,
    beans_g: f64,
    (of_beans, of_milk, total): (Option<f64>, Option<f64>, Option<f64>),
) {
    if let Some((amount, price)) = of_beans.zip(order.request.bean_price_per_kg) {
        order.step(|| {
            let substituted = format!("{} × {} / 1000", shown(price), shown(beans_g));
            let formula = ("price × beans / 1000", "massbalance");
            WorkingStep::new("totals.cost.beans", formula, substituted, (amount, "1"))
        });
    }
    if let Some((amount, total)) = of_beans.zip(total) {
        order.step(|| {
            let substituted = format!("{} + {}", shown(amount), shown(of_milk.unwrap_or(0.0)));
            let formula = ("beans + milk", "massbalance");
            WorkingStep::new("totals.cost.total", formula, substituted, (total, "1"))
        });
    }
}

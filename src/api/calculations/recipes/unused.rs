//! Fields that were given and that the drink has no use for.

use std::borrow::Cow;

use super::order::Order;
use super::request::RecipesRequest;

/// A field, and whether it was given.
type Given = (&'static str, bool);

/// The names of such fields, in the order of the request.
pub(super) fn of(order: &Order<'_>) -> Vec<Cow<'static, str>> {
    let request = order.request;
    let mut useless = Vec::new();
    if !order.is_espresso() {
        useless.extend(of_espresso(request));
    }
    if order.milk_ratio() <= 0.0 {
        useless.extend(of_milk(request));
    }
    let given = request.brew_temperature_c.or(request.brew_temperature_f);
    useless.push(("roast", request.roast.is_some() && given.is_some()));
    let given = useless.into_iter().filter(|(_, is_given)| *is_given);
    given.map(|(name, _)| Cow::Borrowed(name)).collect()
}

fn of_espresso(request: &RecipesRequest) -> Vec<Given> {
    vec![
        ("shot_share", request.shot_share.is_some()),
        ("basket_diameter_mm", request.basket_diameter_mm.is_some()),
        ("basket_rated_dose_g", request.basket_rated_dose_g.is_some()),
        ("basket_depth_mm", request.basket_depth_mm.is_some()),
        ("brew_pressure_bar", request.brew_pressure_bar.is_some()),
        (
            "preinfusion_pressure_bar",
            request.preinfusion_pressure_bar.is_some(),
        ),
        ("preinfusion_time_s", request.preinfusion_time_s.is_some()),
    ]
}

fn of_milk(request: &RecipesRequest) -> Vec<Given> {
    vec![
        ("air_ratio", request.air_ratio.is_some()),
        ("milk_id", request.milk_id.is_some()),
        (
            "milk_start_temperature_c",
            request.milk_start_temperature_c.is_some(),
        ),
        (
            "milk_start_temperature_f",
            request.milk_start_temperature_f.is_some(),
        ),
        (
            "milk_final_temperature_c",
            request.milk_final_temperature_c.is_some(),
        ),
        (
            "milk_final_temperature_f",
            request.milk_final_temperature_f.is_some(),
        ),
        ("steam_pressure_bar", request.steam_pressure_bar.is_some()),
        ("steam_temperature_c", request.steam_temperature_c.is_some()),
        ("steam_temperature_f", request.steam_temperature_f.is_some()),
        ("steam_quality", request.steam_quality.is_some()),
        ("loss_fraction", request.loss_fraction.is_some()),
        ("milk_price_per_l", request.milk_price_per_l.is_some()),
    ]
}

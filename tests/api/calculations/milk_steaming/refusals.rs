//! Requests that are refused, each at the fields that may be wrong.

use serde_json::{Value, json};

use super::{PATH, request};
use crate::calculations::refused;
use crate::support::post;

async fn check(fields: Value, expected: &[&str]) {
    let body = request(&fields).to_string();
    assert_eq!(refused(PATH, &body).await, expected, "{body}");
}

#[tokio::test]
async fn temperatures_that_cannot_be_together_are_named() {
    let cold = json!({"final_temperature_c": 4});
    let both = [
        "/start_temperature_c inconsistent",
        "/final_temperature_c inconsistent",
    ];
    check(cold, &both).await;
    // water boils at 69 °C there, and the boiler holds 77 °C
    let hotter = json!({"final_temperature_c": 80, "altitude_m": 9000, "pressure_bar": 0.1});
    let both = [
        "/final_temperature_c inconsistent",
        "/pressure_bar inconsistent",
    ];
    check(hotter, &both).await;
    let boiling = json!({"final_temperature_c": 95, "altitude_m": 3000});
    check(boiling, &["/final_temperature_c inconsistent"]).await;
    let feed = json!({"feed_temperature_c": 100, "pressure_bar": 0});
    check(feed, &["/feed_temperature_c inconsistent"]).await;
}

#[tokio::test]
async fn fields_that_do_not_go_together_are_named() {
    let twice = ["/milk_id contradictory", "/milk_fat_percent contradictory"];
    check(json!({"milk_fat_percent": 3}), &twice).await;
    let air = json!({"milk_id": null, "air_ratio": 0.5});
    check(air, &["/milk_id required"]).await;
    check(json!({"milk_id": "oat"}), &["/milk_id not_allowed"]).await;
    check(
        json!({"steam_quality": 1.1}),
        &["/steam_quality out_of_range"],
    )
    .await;
    check(json!({"jug_temperature_c": 20}), &["/jug_mass_g required"]).await;
}

/// A jug so hot that no steam is needed
#[tokio::test]
async fn a_jug_that_heats_the_milk_alone_has_no_solution() {
    let fields = json!({"milk_mass_g": 1, "jug_mass_g": 1000, "jug_temperature_c": 95});
    let (status, problem) = post(PATH, &request(&fields).to_string()).await;
    assert_eq!(status, 422);
    assert_eq!(problem["code"], "no_solution");
}

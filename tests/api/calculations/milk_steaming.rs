//! `milk-steaming` over HTTP: [choi1986], [usda-milk] (from memory), [heat-balance], [iapws2012],
//! [milk-density], see docs/REFERENCES.md.

mod refusals;

use serde_json::{Value, json};

use super::{Row, cell, close, codes, data, number};
use crate::support::get;

const PATH: &str = "/v1/milk-steaming";

/// The same equations evaluated by another program, relative.
const SAME_EQUATIONS: f64 = 1e-9;

async fn answer(body: &Value) -> Value {
    super::answer(PATH, body).await
}

/// A request at sea level, 1.2 bar, with fields put in or, when null, left to their defaults.
fn request(fields: &Value) -> Value {
    let mut body = json!({
        "milk_mass_g": 200, "start_temperature_c": 4, "final_temperature_c": 65,
        "milk_id": "whole", "pressure_bar": 1.2, "altitude_m": 0,
    });
    for (name, value) in fields.as_object().expect("fields") {
        body[name] = value.clone();
    }
    body
}

/// The request of a row of the table.
fn of_row(row: &Row) -> Value {
    let mut body = json!({
        "milk_mass_g": cell(row, "m_milk_g"),
        "start_temperature_c": cell(row, "t1_c"),
        "final_temperature_c": cell(row, "t2_c"),
        "pressure_bar": cell(row, "p_gauge_bar"),
        "altitude_m": cell(row, "geopotential_m"),
        "altitude_kind": "geopotential",
        "steam_quality": cell(row, "dryness"),
        "loss_fraction": cell(row, "loss_fraction"),
        "jug_mass_g": cell(row, "jug_g"),
        "jug_specific_heat_kj_per_kg_k": cell(row, "jug_cp_kj_kgk"),
        "jug_temperature_c": cell(row, "jug_t1_c"),
        "heater_power_w": cell(row, "boiler_power_w"),
        "heater_efficiency": cell(row, "boiler_efficiency"),
        "feed_temperature_c": cell(row, "feed_t_c"),
    });
    if row["kind"] == "const_cp" {
        body["milk_specific_heat_kj_per_kg_k"] = json!(cell(row, "cp_const_kj_kgk"));
    } else {
        let id = match row["milk"].as_str() {
            "lowfat1" => "low_fat",
            "reduced2" => "reduced_fat",
            id => id,
        };
        body["milk_id"] = json!(id);
    }
    body
}

#[tokio::test]
async fn every_row_of_steamed_milk_is_matched() {
    for row in data("choi1986_milk.csv") {
        let answer = answer(&of_row(&row)).await;
        for (output, column) in [
            ("steam_condensed_g", "condensate_g"),
            ("condensate_percent_of_milk", "condensate_pct_of_milk"),
            ("condensate_percent_of_drink", "dilution_pct_of_total"),
            ("heat_kj", "energy_kj"),
            ("boiler_energy_time_s", "time_s"),
            ("temperature_c", "t_boiler_c"),
            ("milk_enthalpy_rise_kj_per_kg", "dh_milk_kj_kg"),
            ("steam_enthalpy_kj_per_kg", "h_steam_kj_kg"),
        ] {
            let expected = cell(&row, column);
            let what = format!("{} {output}", row["id"]);
            let allowed = SAME_EQUATIONS * expected;
            close(number(&answer, output), expected, allowed, &what);
        }
    }
}

/// Worked by hand to the digits shown: condensate in g, % of milk, % of drink, kJ, heater s
#[tokio::test]
async fn the_worked_examples_come_out() {
    let heater = json!({"heater_power_w": 2000, "heater_efficiency": 0.9});
    for (fields, expected) in [
        (
            json!({"final_temperature_c": 60}),
            [17.754, 8.88, 8.15, 43.67, 26.1],
        ),
        (json!({}), [19.511, 9.76, 8.89, 47.58, 28.7]),
        (
            json!({"milk_id": "skim"}),
            [19.797, 9.90, 9.01, 48.28, 29.1],
        ),
        (
            json!({"loss_fraction": 0.1}),
            [21.462, 10.73, 9.69, 52.34, 31.6],
        ),
        (
            json!({"loss_fraction": 0.1, "steam_quality": 0.95}),
            [22.473, 11.24, 10.10, 52.34, 31.7],
        ),
        (
            json!({"loss_fraction": 0.2}),
            [23.414, 11.71, 10.48, 57.10, 34.4],
        ),
    ] {
        let mut body = request(&fields);
        for (name, value) in heater.as_object().expect("fields") {
            body[name] = value.clone();
        }
        let answer = answer(&body).await;
        let names = [
            ("steam_condensed_g", 5e-4),
            ("condensate_percent_of_milk", 5e-3),
            ("condensate_percent_of_drink", 5e-3),
            ("heat_kj", 5e-3),
            ("boiler_energy_time_s", 5e-2),
        ];
        for ((name, half), expected) in names.into_iter().zip(expected) {
            close(number(&answer, name), expected, half * 1.001, name);
        }
    }
}

/// [milk-density]: 1.033 kg/L at 4.4 °C and 3.6 % fat, so 206.6 g are 200 mL
#[tokio::test]
async fn volumes_follow_the_table_of_densities_and_the_air() {
    let fields = json!({"milk_id": null, "milk_fat_percent": 3.6, "milk_mass_g": 206.6,
        "start_temperature_c": 4.4, "final_temperature_c": 38.9, "air_ratio": 0.5});
    let answer = answer(&request(&fields)).await;
    close(number(&answer, "milk_volume_ml"), 200.0, 1e-9, "cold");
    // 206.6 g / 1.022 g/mL, and condensate at 0.9926 g/mL (steam tables, from memory)
    let hot = 206.6 / 1.022 + number(&answer, "steam_condensed_g") / 0.9926;
    close(number(&answer, "final_volume_ml"), hot, 2e-3, "hot");
    close(number(&answer, "foam_volume_ml"), 1.5 * hot, 3e-3, "foam");
}

#[tokio::test]
async fn a_milk_and_its_fat_give_one_answer() {
    for (id, fat) in [
        ("skim", 0.08),
        ("low_fat", 0.97),
        ("reduced_fat", 1.98),
        ("whole", 3.25),
    ] {
        let by_id = answer(&request(&json!({"milk_id": id}))).await;
        let fields = json!({"milk_id": null, "milk_fat_percent": fat});
        let by_fat = answer(&request(&fields)).await;
        for name in ["steam_condensed_g", "final_volume_ml"] {
            close(number(&by_id, name), number(&by_fat, name), 1e-9, name);
        }
    }
}

/// Conservation: what goes in comes out, by mass
#[tokio::test]
async fn the_drink_is_milk_and_condensate() {
    let answer = answer(&request(&json!({}))).await;
    let condensate = number(&answer, "steam_condensed_g");
    close(
        number(&answer, "final_mass_g"),
        200.0 + condensate,
        1e-9,
        "mass",
    );
    let share = number(&answer, "condensate_percent_of_drink") / 100.0;
    close(
        share * number(&answer, "final_mass_g"),
        condensate,
        1e-9,
        "share",
    );
}

/// The boiler's pressure hardly matters: 0.04 points from 1.0 to 1.5 bar
#[tokio::test]
async fn boilers_of_one_bar_and_of_one_and_a_half_condense_nearly_alike() {
    let low = answer(&request(&json!({"pressure_bar": 1.0}))).await;
    let high = answer(&request(&json!({"pressure_bar": 1.5}))).await;
    let name = "condensate_percent_of_milk";
    close(number(&low, name) - number(&high, name), 0.04, 5e-3, name);
}

#[tokio::test]
async fn both_scales_of_all_temperatures_give_one_answer() {
    let celsius = answer(&request(
        &json!({"pressure_bar": null, "temperature_c": 125}),
    ))
    .await;
    // 39.2, 149 and 257 °F are 4, 65 and 125 °C, exactly
    let fields = json!({"pressure_bar": null, "temperature_f": 257,
        "start_temperature_c": null, "start_temperature_f": 39.2,
        "final_temperature_c": null, "final_temperature_f": 149});
    let fahrenheit = answer(&request(&fields)).await;
    for name in [
        "steam_condensed_g",
        "heat_kj",
        "final_temperature_c",
        "pressure_bar",
    ] {
        close(
            number(&fahrenheit, name),
            number(&celsius, name),
            1e-9,
            name,
        );
    }
    assert_eq!(fahrenheit["final_temperature_f"], json!(149.0));
    assert_eq!(celsius["final_temperature_c"], json!(65.0));
}

#[tokio::test]
async fn without_kind_or_fat_the_usual_heat_capacity_is_taken() {
    let unknown = answer(&request(&json!({"milk_id": null}))).await;
    close(
        number(&unknown, "milk_enthalpy_rise_kj_per_kg"),
        3.93 * 61.0,
        1e-9,
        "3.93",
    );
    assert!(codes(&unknown).contains(&"milk_unknown"));
    assert!(unknown.get("final_volume_ml").is_none());
    let known = json!({"milk_id": null, "milk_specific_heat_kj_per_kg_k": 3.93});
    let known = answer(&request(&known)).await;
    assert_eq!(known["steam_condensed_g"], unknown["steam_condensed_g"]);
    assert!(!codes(&known).contains(&"milk_unknown"));
}

#[tokio::test]
async fn cautions_stand_where_they_are_due() {
    let always = [
        "burn",
        "pressure_vessel",
        "child_serving",
        "cold_holding",
        "do_not_resteam",
        "allergens",
        "local_food_code",
    ];
    let at_limit = answer(&request(&json!({}))).await;
    assert_eq!(codes(&at_limit), always);
    let above = answer(&request(&json!({"final_temperature_c": 65.1}))).await;
    assert!(codes(&above).contains(&"very_hot_drink"));
    let sources = above["sources"].as_array().expect("sources");
    assert!(sources.contains(&json!("iarc2018")));
    let tepid = answer(&request(&json!({"final_temperature_c": 40}))).await;
    assert!(!codes(&tepid).contains(&"child_serving"));
    assert!(codes(&tepid).contains(&"burn"));
}

#[tokio::test]
async fn the_workings_find_every_number_of_the_answer() {
    let summed = request(
        &json!({"air_ratio": 0.3, "jug_mass_g": 280, "heater_power_w": 3000,
        "altitude_m": 1800}),
    );
    let given = ["start_temperature_c", "final_temperature_c", "pressure_bar"];
    super::workings_find_all(PATH, summed, &given).await;
    let fields = json!({"milk_id": null, "pressure_bar": null, "temperature_f": 255,
        "start_temperature_c": null, "start_temperature_f": 41});
    let given = [
        "start_temperature_f",
        "final_temperature_c",
        "temperature_f",
    ];
    super::workings_find_all(PATH, request(&fields), &given).await;
}

/// [usda-milk], from memory: fat and water of the milks; [milk-density] for skim at 4.4 °C, whose
/// 0.08 % fat takes less than 0.0001 kg/L off
#[tokio::test]
async fn the_list_of_milks_gives_what_requests_use() {
    let (status, list) = get("/v1/reference/milks").await;
    assert_eq!(status, 200);
    let milks = list["milks"].as_array().expect("milks");
    let expected = [
        ("skim", 0.08, 90.84),
        ("low_fat", 0.97, 89.92),
        ("reduced_fat", 1.98, 89.21),
        ("whole", 3.25, 88.13),
    ];
    assert_eq!(milks.len(), expected.len());
    for (milk, (id, fat, water)) in milks.iter().zip(expected) {
        assert_eq!(milk["milk_id"], id);
        close(number(milk, "fat_percent"), fat, 1e-9, id);
        close(number(milk, "water_percent"), water, 1e-9, id);
        assert_eq!(milk["composition_known"], "from memory");
        answer(&request(&json!({"milk_id": id}))).await;
    }
    close(number(&milks[0], "density_g_per_ml"), 1.036, 1e-4, "skim");
}

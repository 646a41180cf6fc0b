//! `shot-simulation` over HTTP.

use std::collections::HashMap;
use std::sync::atomic::{AtomicUsize, Ordering};

use extraction_maths::api::bounds::Bound;
use extraction_maths::api::calculation::{Calculation, Call, UNCANCELLED};
use extraction_maths::api::calculations::shot_simulation::{ShotSimulation, ShotSimulationRequest};
use extraction_maths::api::problem::ProblemCode;
use extraction_maths::api::threads::Lent;
use proptest::prelude::*;
use serde_json::{Value, json};

use crate::support::{faults, post};

const PATH: &str = "/v1/shot-simulation";

type Row = HashMap<String, String>;

fn table(name: &str) -> Vec<Row> {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(name);
    let mut reader = csv::Reader::from_path(path).expect("a table");
    reader
        .deserialize()
        .map(|row| row.expect("a row"))
        .collect()
}

fn number(row: &Row, column: &str) -> f64 {
    row[column].parse().expect(column)
}

/// 20 g at 350 µm and 93 °C, to 40 g at 9 bar.
fn ordinary() -> Value {
    json!({
        "dose_g": 20, "basket_diameter_mm": 58.4, "grind_diameter_um": 350,
        "water_temperature_c": 93, "target_beverage_mass_g": 40,
        "pressure_profile": {"time_s": [0], "pressure_bar": [9]},
    })
}

/// The ordinary request with some fields replaced.
fn with(changes: Value) -> Value {
    let mut request = ordinary();
    for (name, value) in changes.as_object().expect("an object") {
        request[name] = value.clone();
    }
    request
}

async fn answered(request: &Value) -> Value {
    let (status, answer) = post(PATH, &request.to_string()).await;
    assert_eq!(status, 200, "{answer}");
    answer
}

/// The name and unit under which the service takes a parameter of the tables, which is SI.
fn override_of(symbol: &str, si: f64) -> (&'static str, f64) {
    match symbol {
        "rho_bed" => ("bed_density_kg_per_m3", si),
        "eps" => ("porosity", si),
        "chi" => ("water_uptake", si),
        "E_max" => ("extractable_percent", si * 1e2),
        "c_sat" => ("saturation_kg_per_m3", si),
        "a1" => ("fines_radius_um", si * 1e6),
        "f1" => ("fines_share", si),
        "D_s" => ("grain_diffusivity_m2_per_s", si),
        "D_l" => ("liquid_diffusivity_m2_per_s", si),
        "alpha_L" => ("dispersivity", si),
        "k_mu" => ("viscosity_growth_m3_per_kg", si),
        "alpha_d" => ("pore_opening", si),
        "sigma_c" => ("compaction_pressure_bar", si * 1e-5),
        "C_kappa" => ("permeability_factor", si),
        "n_kappa" => ("permeability_exponent", si),
        "d_orifice" => ("orifice_diameter_mm", si * 1e3),
        "V_head" => ("headspace_ml", si * 1e6),
        other => panic!("{other} is in no table"),
    }
}

/// The request for a shot of a table, sampled at the times of its rows.
fn request(rows: &[Row]) -> Value {
    let row = &rows[0];
    let points: Vec<(f64, f64)> = serde_json::from_str(&row["profile_s_bar"]).expect("a profile");
    let (time_s, pressure_bar): (Vec<f64>, Vec<f64>) = points.into_iter().unzip();
    let samples = rows.iter().filter(|row| row["kind"] == "sample");
    let mut request = json!({
        "dose_g": number(row, "dose_g"),
        "basket_diameter_mm": number(row, "basket_mm"),
        "grind_diameter_um": number(row, "grind_um"),
        "water_temperature_c": number(row, "temp_c"),
        "target_beverage_mass_g": number(row, "target_g"),
        "pressure_profile": {"time_s": time_s, "pressure_bar": pressure_bar},
        "sample_time_s": samples.map(|row| number(row, "t_s")).collect::<Vec<_>>(),
    });
    if let Some(text) = row.get("overrides_si") {
        let given: HashMap<String, f64> = serde_json::from_str(text).expect("overrides");
        request["parameters"] = json!({});
        for (symbol, si) in given {
            let (name, value) = override_of(&symbol, si);
            request["parameters"][name] = json!(value);
        }
    }
    request
}

fn relative(value: &Value, expected: f64, tolerance: f64, what: &str) {
    let value = value.as_f64().expect(what);
    let error = (value - expected).abs() / expected;
    assert!(error <= tolerance, "{what}: {value} against {expected}");
}

/// The answer to a shot of a table, against all of its rows.
fn compare(rows: &[Row], answer: &Value) {
    let name = &rows[0]["case"];
    let first_drop_s = number(&rows[0], "t_first_drop_s");
    relative(&answer["first_drop_s"], first_drop_s, 2e-3, name);
    let mut sample = 0;
    for row in rows {
        let what = format!("{name} at {} s", row["t_s"]);
        let (beverage, tds) = (number(row, "beverage_g"), number(row, "tds_pct"));
        let flow = number(row, "flow_g_per_s");
        if row["kind"] == "target" {
            let cup = &answer["at_target"];
            relative(&answer["time_to_target_s"], number(row, "t_s"), 1e-3, &what);
            relative(&cup["beverage_mass_g"], beverage, 1e-9, &what);
            relative(&cup["tds_percent"], tds, 2e-3, &what);
            let extraction = number(row, "ey_pct");
            relative(&cup["extraction_yield_percent"], extraction, 2e-3, &what);
            relative(&cup["flow_g_per_s"], flow, 5e-3, &what);
            continue;
        }
        let samples = &answer["samples"];
        let at = |column: &str| samples[column][sample].as_f64().expect(&what);
        // the cup is hardly more than a drop in the first second
        if number(row, "t_s") > first_drop_s + 1.0 {
            assert!((at("beverage_mass_g") - beverage).abs() <= 0.05, "{what}");
            assert!((at("tds_percent") - tds).abs() <= 0.08, "{what}");
            relative(&samples["flow_g_per_s"][sample], flow, 5e-3, &what);
        }
        sample += 1;
    }
}

/// `tests/data/simulation.csv` and `simulation_parameters.csv`: every shot as an independent
/// program has it, through the service. The tolerances are what `standard` promises: 0.2 % on
/// first drop, strength and yield, 0.1 % on the time, 0.5 % on the flow.
#[tokio::test]
async fn shots_agree_with_an_independent_program() {
    for file in ["simulation.csv", "simulation_parameters.csv"] {
        let all = table(file);
        for rows in all.chunk_by(|a, b| a["case"] == b["case"]) {
            compare(rows, &answered(&request(rows)).await);
        }
    }
}

/// Constants of 20 g in 58.4 mm at 350 µm and 93 °C as the independent program of
/// `tests/data/simulation.csv` printed them; half of the last digit is allowed.
#[tokio::test]
async fn the_workings_have_the_constants_of_an_independent_program() {
    let answer = answered(&with(json!({"workings": true}))).await;
    let steps = answer["workings"].as_array().expect("workings");
    for (symbol, printed) in [
        ("A", "2.678647560e-3"),
        ("L", "1.866613613e-2"),
        ("c_s0", "144.5783133"),
        ("K", "1.010688857"),
        ("eps_w", "0.4439"),
        ("f1", "0.25"),
        ("1 / d32", "7.962085308e-5"),
        ("R_pore", "5.435961857e-6"),
        ("k_m", "6.059645168e-4"),
        ("h1", "7.394616430e-5"),
        ("kappa0", "9.042202481e-15"),
        ("B", "1.567686874e16"),
        ("mu_w", "3.038595918e-4"),
        ("rho_w", "963.512739"),
    ] {
        let is_meant = |step: &&Value| {
            let formula = step["formula"].as_str().expect("a formula");
            formula.split_once(" = ").map(|sides| sides.0) == Some(symbol)
        };
        let step = steps.iter().find(is_meant).expect(symbol);
        let value = step["value"].as_f64().expect("a number");
        let mantissa = printed.split('e').next().expect(printed);
        let decimals = mantissa.split('.').nth(1).map_or(0, str::len);
        let unit = format!("1e-{decimals}").parse::<f64>().expect("a power");
        let scale =
            printed.parse::<f64>().expect(printed) / mantissa.parse::<f64>().expect(printed);
        let expected: f64 = printed.parse().expect(printed);
        assert!(
            (value - expected).abs() <= 0.5001 * unit * scale,
            "{symbol}: {value}"
        );
        let substituted = step["substituted"].as_str().expect("a text");
        assert!(
            !substituted.is_empty() && !substituted.contains("NaN"),
            "{symbol}"
        );
    }
}

#[tokio::test]
async fn every_fault_of_times_and_lists_is_named_at_once() {
    let request = with(json!({
        "pressure_profile": {"time_s": [0, 7, 7], "pressure_bar": [3, 9]},
        "duration_s": 30, "sample_time_s": [5, 4, 31],
        "sweep": [
            {"field": "grind_diameter_um", "values": [300, 100]},
            {"field": "grind_diameter_um", "values": [300]},
        ],
    }));
    let (status, problem) = post(PATH, &request.to_string()).await;
    assert_eq!(status, 422);
    let expected = [
        ("/pressure_profile/pressure_bar", "inconsistent"),
        ("/pressure_profile/time_s/2", "inconsistent"),
        ("/sample_time_s/1", "inconsistent"),
        ("/sample_time_s/2", "inconsistent"),
        ("/sweep/0/values/1", "out_of_range"),
        ("/sweep/1/field", "contradictory"),
    ];
    assert_eq!(
        faults(&problem),
        expected.map(|(at, code)| (at.to_owned(), code.to_owned()))
    );
}

#[tokio::test]
async fn what_bounds_and_names_forbid_is_refused_by_pointer() {
    for (changes, pointer, code) in [
        (
            json!({"grind_diameter_um": 199}),
            "/grind_diameter_um",
            "out_of_range",
        ),
        (
            json!({"parameters": {"porosity": 0.6}}),
            "/parameters/porosity",
            "out_of_range",
        ),
        (
            json!({"parameters": {"tortuosity": 2}}),
            "/parameters/tortuosity",
            "unknown_field",
        ),
        (json!({"accuracy": "exact"}), "/accuracy", "not_allowed"),
        (
            json!({"pressure_profile": [[0, 9]]}),
            "/pressure_profile",
            "wrong_type",
        ),
        (
            json!({"pressure_profile": {"time_s": [], "pressure_bar": []}}),
            "/pressure_profile/time_s",
            "too_few_items",
        ),
        (json!({"sweep": []}), "/sweep", "too_few_items"),
    ] {
        let (status, problem) = post(PATH, &with(changes).to_string()).await;
        assert_eq!(status, 422, "{pointer}");
        let fault = (pointer.to_owned(), code.to_owned());
        assert!(faults(&problem).contains(&fault), "{problem}");
    }
}

/// Each is inside its range, together they would leave no solid.
/// A constant by its symbol in the equations, in SI units, is the constant by its name.
#[tokio::test]
async fn parameters_by_their_symbol_are_those_by_their_name() {
    for (symbol, si) in [
        ("E_max", 0.25),
        ("a1", 1.5e-5),
        ("D_s", 1e-10),
        ("sigma_c", 3e5),
        ("V_head", 5e-6),
        ("eps", 0.2),
    ] {
        let (name, value) = override_of(symbol, si);
        let by_symbol = answered(&with(json!({"parameters": {symbol: si}}))).await;
        let by_name = answered(&with(json!({"parameters": {name: value}}))).await;
        let yields = [&by_symbol, &by_name]
            .map(|answer| answer["at_target"]["extraction_yield_percent"].as_f64());
        let [Some(one), Some(other)] = yields else {
            panic!("{symbol}: {by_symbol}");
        };
        assert!((one / other - 1.0).abs() < 1e-12, "{symbol}");
        let both = with(json!({"parameters": {symbol: si, name: value}})).to_string();
        let (_, problem) = post(PATH, &both).await;
        let found = faults(&problem);
        let expected = [symbol, name]
            .map(|field| (format!("/parameters/{field}"), "contradictory".to_owned()));
        assert!(
            expected.iter().all(|fault| found.contains(fault)) && found.len() == 2,
            "{found:?}"
        );
    }
    let outside = with(json!({"parameters": {"D_s": 1.0}})).to_string();
    let (_, problem) = post(PATH, &outside).await;
    let detail = problem["errors"][0]["detail"].as_str().expect("a detail");
    assert!(detail.contains("m2/s"), "{detail}");
}

#[tokio::test]
async fn parameters_that_cannot_hold_together_are_refused() {
    let parameters = json!({"porosity": 0.5, "pore_opening": 2, "extractable_percent": 45, "bed_density_kg_per_m3": 700});
    let (status, problem) = post(PATH, &with(json!({"parameters": parameters})).to_string()).await;
    assert_eq!(status, 422);
    assert_eq!(
        faults(&problem),
        [("/parameters".to_owned(), "inconsistent".to_owned())]
    );
}

#[tokio::test]
async fn a_target_that_is_never_reached_is_an_answer() {
    let answer = answered(&with(json!({"duration_s": 15}))).await;
    assert_eq!(answer["target_reached"], false);
    for absent in ["time_to_target_s", "at_target"] {
        assert!(answer.get(absent).is_none(), "{absent}");
    }
    assert_eq!(answer["at_end"]["time_s"], 15.0);
    assert_eq!(
        answer["at_end"]["beverage_mass_g"],
        answer["samples"]["beverage_mass_g"][15]
    );
    assert_eq!(
        answer["samples"]["time_s"].as_array().expect("times").len(),
        16
    );
}

#[tokio::test]
async fn without_pressure_nothing_flows_and_that_is_an_answer() {
    let profile = json!({"time_s": [0, 10], "pressure_bar": [0, 0]});
    let answer = answered(&with(
        json!({"pressure_profile": profile, "duration_s": 10}),
    ))
    .await;
    for absent in [
        "headspace_full_s",
        "first_drop_s",
        "time_to_target_s",
        "at_target",
    ] {
        assert!(answer.get(absent).is_none(), "{absent}");
    }
    let end = &answer["at_end"];
    assert_eq!(end["beverage_mass_g"], 0.0);
    assert!(
        end.get("tds_percent").is_none(),
        "an empty cup has no strength"
    );
    assert_eq!(answer["samples"]["flow_g_per_s"], json!(vec![0.0; 11]));
}

#[tokio::test]
async fn samples_by_default_end_with_the_shot_and_do_not_change_it() {
    let by_default = answered(&ordinary()).await;
    let none = answered(&with(json!({"sample_time_s": []}))).await;
    assert_eq!(by_default["at_target"], none["at_target"]);
    let times = by_default["samples"]["time_s"].as_array().expect("times");
    let last = times.last().and_then(Value::as_f64).expect("a time");
    let end = none["time_to_target_s"].as_f64().expect("a time");
    assert!(last <= end && end < last + 1.0, "{last} {end}");
}

#[tokio::test]
async fn the_same_request_gets_the_same_bytes_and_defaults_given_change_no_number() {
    let first = answered(&ordinary()).await.to_string();
    assert_eq!(first, answered(&ordinary()).await.to_string());
    let defaults = json!({
        "bed_density_kg_per_m3": 400, "extractable_percent": 30, "fines_radius_um": 12,
        "reference_diameter_um": 350, "compaction_pressure_bar": 6, "orifice_diameter_mm": 0.6,
        "headspace_ml": 10, "grain_diffusivity_m2_per_s": 2e-10,
    });
    let answer = answered(&with(json!({"parameters": defaults}))).await;
    let plain: Value = serde_json::from_str(&first).expect("JSON");
    assert_eq!(answer["samples"], plain["samples"]);
    let codes = answer["cautions"].to_string();
    assert!(codes.contains("changed_parameters"), "{codes}");
}

#[tokio::test]
async fn a_point_of_a_sweep_is_the_shot_at_its_values() {
    let sweep = json!([
        {"field": "water_temperature_c", "values": [85, 93]},
        {"field": "dose_g", "values": [18, 20, 22]},
    ]);
    let points = answered(&with(json!({"sweep": sweep}))).await["points"].clone();
    let values: Vec<_> = points
        .as_array()
        .expect("points")
        .iter()
        .map(|p| p["values"].clone())
        .collect();
    let order = [
        [85.0, 18.0],
        [85.0, 20.0],
        [85.0, 22.0],
        [93.0, 18.0],
        [93.0, 20.0],
        [93.0, 22.0],
    ];
    assert_eq!(json!(values), json!(order));
    let alone = answered(&with(json!({"water_temperature_c": 85, "dose_g": 22}))).await;
    assert_eq!(points[2]["time_to_target_s"], alone["time_to_target_s"]);
    assert_eq!(points[2]["tds_percent"], alone["at_target"]["tds_percent"]);
    assert_eq!(points[2]["first_drop_s"], alone["first_drop_s"]);
}

#[tokio::test]
async fn a_sweep_of_too_many_combinations_is_refused() {
    let values = |from: u32, count: u32| (0..count).map(|n| from + n).collect::<Vec<_>>();
    let sweep = json!([
        {"field": "grind_diameter_um", "values": values(300, 69)},
        {"field": "dose_g", "values": values(10, 29)},
    ]);
    let (status, problem) = post(PATH, &with(json!({"sweep": sweep})).to_string()).await;
    assert_eq!(status, 422);
    assert_eq!(
        faults(&problem),
        [("/sweep".to_owned(), "too_many_items".to_owned())]
    );
}

/// What the cup holds has left the bed: the mean of what is left falls short of all by at
/// least the yield, and by no more than it and what the pores and grains' water hold.
#[tokio::test]
async fn the_spent_bed_is_shown_by_depth_and_balances_the_cup() {
    let answer = answered(&with(json!({"include_bed": true, "sample_time_s": []}))).await;
    let column = |name: &str| -> Vec<f64> {
        let items = answer["bed"][name].as_array().expect("a list").iter();
        items.map(|item| item.as_f64().expect("a number")).collect()
    };
    let (depth, left) = (column("depth_mm"), column("solubles_left_percent"));
    assert_eq!(depth.len(), left.len());
    assert!(
        depth.is_sorted() && left.is_sorted(),
        "the top is spent first"
    );
    let whole = answer["wetted_bed_depth_mm"].as_f64().expect("a depth");
    assert!(0.0 < depth[0] && depth[depth.len() - 1] < whole);
    let mean = left.iter().sum::<f64>() / f64::from(u32::try_from(left.len()).expect("a count"));
    // 30 % of the dose dissolves in all
    let in_cup = answer["at_target"]["extraction_yield_percent"]
        .as_f64()
        .expect("a yield")
        / 0.30;
    let in_liquid = 100.0 - mean - in_cup;
    // at most the pores full of saturated liquid: 0.17 × 212.4 over 0.3 × 400 kg/m³
    assert!(0.0 < in_liquid && in_liquid < 30.1, "{in_liquid}");
    assert!(answered(&ordinary()).await.get("bed").is_none());
}

#[tokio::test]
async fn the_answer_says_what_kind_of_truth_it_is() {
    let profile = json!({"time_s": [0, 5], "pressure_bar": [3, 11]});
    let changes = json!({"grind_diameter_um": 250, "pressure_profile": profile});
    let answer = answered(&with(changes)).await;
    assert_eq!(answer["basis"], "simulated_unvalidated");
    let limits = answer["limits"].to_string();
    for code in [
        "not_validated",
        "no_taste",
        "no_fine_grind_peak",
        "one_temperature",
        "no_gas",
    ] {
        assert!(limits.contains(&format!("{code:?}")), "{code}");
    }
    let cautions = answer["cautions"].as_array().expect("cautions").iter();
    let codes: Vec<_> = cautions
        .map(|caution| caution["code"].as_str().expect("a code"))
        .collect();
    assert_eq!(
        codes,
        [
            "unvalidated_model",
            "hot_water",
            "pressure_vessel",
            "fine_grind"
        ]
    );
    for defect in ["solute_defect", "water_defect"] {
        let defect = answer["diagnostics"][defect].as_f64().expect("a number");
        assert!(defect < 1e-12, "{defect}");
    }
}

fn typed(request: Value) -> ShotSimulationRequest {
    serde_json::from_value(request).expect("a request")
}

#[test]
fn a_call_that_is_stopped_is_a_missed_deadline_and_not_half_an_answer() {
    let sweep = json!([{"field": "dose_g", "values": [18, 19]}]);
    for request in [
        ordinary(),
        with(json!({"sample_time_s": []})),
        with(json!({"sweep": sweep})),
    ] {
        let stopped = || true;
        let answer = ShotSimulation::answer(&typed(request), &Call::new(&stopped));
        let problem = answer.expect_err("a problem");
        assert_eq!(problem.code(), ProblemCode::DeadlineExceeded);
        assert_eq!(problem.code().status(), 503);
    }
}

#[test]
fn a_sweep_is_the_same_by_any_number_of_threads_and_stops_with_its_call() {
    let values: Vec<_> = (0..70).map(|i| 300 + i).collect();
    let sweep = json!([{"field": "grind_diameter_um", "values": values}, {"field": "dose_g", "values": [18, 20]}]);
    let request = typed(with(json!({"sweep": sweep, "sample_time_s": []})));
    let alone = ShotSimulation::answer(&request, &UNCANCELLED).expect("an answer");
    for threads in [1, 3] {
        let lend = || Lent {
            threads,
            until_dropped: None,
        };
        let answer = ShotSimulation::answer(&request, &UNCANCELLED.lending(&lend));
        assert_eq!(answer.expect("an answer"), alone);
        // the shot itself and some points are simulated before the call is stopped
        let asked = AtomicUsize::new(0);
        let stopped = || asked.fetch_add(1, Ordering::Relaxed) > 400;
        let problem = ShotSimulation::answer(&request, &Call::new(&stopped).lending(&lend));
        let code = problem.expect_err("stopped").code();
        assert_eq!(code, ProblemCode::DeadlineExceeded);
        assert!(
            asked.load(Ordering::Relaxed) < 700,
            "the points left are not begun"
        );
    }
}

/// The cost is an upper bound of the work that the answer reports, in units of a hundred
/// cell-steps, and no wild one for a shot that runs to the end of its duration.
#[test]
fn the_cost_bounds_the_work_and_grows_with_what_is_asked() {
    let slow = with(json!({"target_beverage_mass_g": 500, "sample_time_s": []}));
    let request = typed(slow.clone());
    let cost = ShotSimulation::cost(&request);
    let answer = ShotSimulation::answer(&request, &UNCANCELLED).expect("an answer");
    let work = answer.result.diagnostics.cell_steps / 100;
    assert!(work <= cost && cost <= 3 * work, "{cost} for {work}");
    // the largest sweep of fine shots of the usual duration is inside the budget
    let fine = ShotSimulation::cost(&typed(with(json!({"accuracy": "fine"}))));
    assert!(fine > cost, "{fine}");
    assert!(fine / 2 * 2002 <= ShotSimulation::BUDGET, "{fine}");
    let values: Vec<_> = (300..400).collect();
    let sweep = json!([{"field": "grind_diameter_um", "values": values}]);
    let swept = ShotSimulation::cost(&typed(with(json!({"sweep": sweep}))));
    assert!(swept >= 51 * cost, "{swept}");
}

/// A value inside a bound: an end, or between them, evenly in the logarithm where both ends
/// are above zero.
fn inside(bound: &Bound) -> impl Strategy<Value = f64> + use<> {
    let (min, max) = (bound.range.min, bound.range.max);
    let between = move |share: f64| {
        let value = if min > 0.0 {
            min * libm::pow(max / min, share)
        } else {
            min + share * (max - min)
        };
        value.clamp(min, max)
    };
    prop_oneof![
        1 => Just(min),
        1 => Just(max),
        8 => (0.0..=1.0).prop_map(between),
    ]
}

/// A request with every input, and some parameters, anywhere in their ranges.
fn any_request() -> impl Strategy<Value = Value> {
    let (inputs, parameters): (Vec<&Bound>, Vec<&Bound>) = ShotSimulation::BOUNDS
        .iter()
        .filter(|bound| bound.items.is_none())
        .partition(|bound| ordinary().get(bound.field).is_some());
    let inputs: Vec<_> = inputs.iter().map(|b| (Just(b.field), inside(b))).collect();
    let parameters: Vec<_> = parameters
        .iter()
        .filter(|bound| bound.field != "duration_s")
        .map(|b| (Just(b.field), proptest::option::weighted(0.2, inside(b))))
        .collect();
    let pressures = (0.0..=15.0, 0.0..=15.0, 1.0..60.0);
    (inputs, parameters, pressures).prop_map(|(inputs, parameters, (first, then, at))| {
        let mut request = ordinary();
        for (name, value) in inputs {
            request[name] = json!(value);
        }
        request["parameters"] = json!({});
        for (name, value) in parameters {
            request["parameters"][name] = json!(value);
        }
        request["pressure_profile"] = json!({"time_s": [0, at], "pressure_bar": [first, then]});
        request["sample_time_s"] = json!([]);
        request
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Whatever is inside the ranges is answered, or refused as parameters that cannot hold
    /// together; it is never a fault of the service.
    #[test]
    fn anything_inside_the_ranges_is_answered_or_refused_and_never_a_fault_of_ours(request in any_request()) {
        match ShotSimulation::answer(&typed(request), &UNCANCELLED) {
            Ok(answer) => {
                let result = answer.result;
                prop_assert!(result.diagnostics.solute_defect < 1e-9);
                prop_assert_eq!(result.target_reached, result.at_target.is_some());
            }
            Err(problem) => prop_assert_eq!(problem.code(), ProblemCode::ValidationFailed, "{}", problem),
        }
    }
}

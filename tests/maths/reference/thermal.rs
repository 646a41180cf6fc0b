//! Mixing, heating, refilling and cooling: [heat-balance], [newton-cooling] and [iapws2012]; rows
//! in tests/data, see docs/REFERENCES.md.

use extraction_maths::maths::heat::cooling::{Cooling, temperature_after};
use extraction_maths::maths::heat::heating::{Heater, heating_heat, heating_time};
use extraction_maths::maths::heat::mixing::{Body, mixed_temperature, pouring_temperature};
use extraction_maths::maths::heat::refill::{mixed_enthalpy, refilled_temperature};
use extraction_maths::maths::quantity::{
    Duration, HeatCapacity, Mass, MassFraction, Power, Temperature,
};
use extraction_maths::maths::water::saturation::saturation_pressure;
use serde_json::Value;

use crate::support::{published, relative, rows_of_kind};

const TABLE: &str = "iapws2012_thermal.csv";
/// The same equations evaluated by other programs, relative.
const SAME_EQUATIONS: f64 = 1e-9;
/// The other programs' search for the temperature of an enthalpy ends there, kelvin.
const SEARCHED: f64 = 2e-7;

struct Case {
    id: String,
    input: Value,
    output: Value,
}

impl Case {
    fn given(&self, name: &str) -> f64 {
        self.input[name]
            .as_f64()
            .unwrap_or_else(|| panic!("{}: no {name}", self.id))
    }

    fn check(&self, computed: f64, name: &str) {
        let expected = self.expected(name);
        relative(
            computed,
            expected,
            SAME_EQUATIONS,
            &format!("{} {name}", self.id),
        );
    }

    fn expected(&self, name: &str) -> f64 {
        self.output[name]
            .as_f64()
            .unwrap_or_else(|| panic!("{}: no {name}", self.id))
    }
}

fn cases(kind: &str) -> Vec<Case> {
    let json = |text: &str| serde_json::from_str(text).expect("JSON");
    let rows = rows_of_kind(TABLE, kind);
    rows.iter()
        .map(|row| Case {
            id: row["id"].clone(),
            input: json(&row["input_json"]),
            output: json(&row["output_json"]),
        })
        .collect()
}

fn celsius(value: f64) -> Temperature {
    Temperature::from_celsius(value).unwrap()
}

fn grams(value: f64) -> Mass {
    Mass::from_grams(value).unwrap()
}

fn capacity(value: f64) -> HeatCapacity {
    HeatCapacity::from_kilojoules_per_kilogram_kelvin(value).unwrap()
}

fn body(mass: f64, specific: f64, at: f64) -> Body {
    Body {
        mass: grams(mass),
        capacity: capacity(specific),
        temperature: celsius(at),
    }
}

/// Grounds and vessel of a row; the vessel's J/K as grams of something with 1 kJ/(kg K).
fn cold(case: &Case) -> [Body; 2] {
    [
        body(
            case.given("coffee_g"),
            case.given("cp_coffee"),
            case.given("t_coffee"),
        ),
        body(case.given("vessel_j_k"), 1.0, case.given("t_vessel")),
    ]
}

#[test]
fn slurry_temperatures_match_every_row() {
    for case in cases("slurry") {
        let [coffee, vessel] = cold(&case);
        let water = body(
            case.given("water_g"),
            case.given("cp_water"),
            case.given("t_water"),
        );
        let mixed = mixed_temperature(&[water, coffee, vessel]).unwrap();
        case.check(mixed.celsius(), "t_mix_c");
    }
}

#[test]
fn water_temperatures_for_a_slurry_match_every_row() {
    for case in cases("slurry_inverse") {
        let water = (
            grams(case.given("water_g")),
            capacity(case.given("cp_water")),
        );
        let target = celsius(case.given("t_target"));
        let poured = pouring_temperature(water, &cold(&case), target).unwrap();
        case.check(poured.celsius(), "t_water_c");
    }
}

#[test]
fn refilled_boilers_match_every_row() {
    for case in cases("boiler_refill") {
        let boiler = (
            grams(case.given("boiler_g")),
            celsius(case.given("t_boiler")),
        );
        let feed = (grams(case.given("feed_g")), celsius(case.given("t_feed")));
        let enthalpy = mixed_enthalpy(boiler, feed).unwrap();
        case.check(enthalpy.kilojoules_per_kilogram(), "h_mix_kj_kg");
        let mixed = refilled_temperature(boiler, feed).unwrap();
        let off = (mixed.celsius() - case.expected("t_mix_c")).abs();
        assert!(off < SEARCHED, "{}: {off} K", case.id);
        // below zero where the water no longer boils, which a gauge pressure cannot hold
        let gauge = (saturation_pressure(mixed).unwrap().hectopascals() - 1013.25) / 1000.0;
        let off = (gauge - case.expected("p_gauge_bar_isa0")).abs();
        assert!(off < SEARCHED, "{}: {off} bar", case.id);
    }
}

#[test]
fn heating_up_matches_every_row() {
    for case in cases("heat_up") {
        let metal = (grams(case.given("metal_j_k")), capacity(1.0));
        let (from, to) = (celsius(case.given("t1")), celsius(case.given("t2")));
        let water = grams(case.given("water_g"));
        let heat = heating_heat(water, Some(metal), from, to).unwrap();
        case.check(heat.kilojoules(), "energy_kj");
        let heater = Heater {
            power: Power::from_watts(case.given("power_w")).unwrap(),
            efficiency: MassFraction::from_fraction(case.given("eff")).unwrap(),
        };
        let time = heating_time(heat, heater).unwrap();
        case.check(time.seconds(), "time_s");
    }
}

#[test]
fn cooling_matches_every_row() {
    for case in cases("newton") {
        let cooling = Cooling {
            surroundings: celsius(case.given("t_amb")),
            time_constant: Duration::from_seconds(case.given("tau_s")).unwrap(),
        };
        let wait = Duration::from_seconds(case.given("time_s")).unwrap();
        let after = temperature_after(celsius(case.given("t0")), cooling, wait).unwrap();
        case.check(after.celsius(), "t_c");
    }
}

/// Worked by hand, 15 g at 22 °C into 250 g at 94 °C with 4.2 kJ/(kg K) for water:
/// coffee of 1.6: (98.7 + 0.528) / (1.05 + 0.024) = 92.391
#[test]
fn a_pour_over_by_hand_comes_out() {
    for (specific, printed) in [(1.3, "92.69"), (1.6, "92.39"), (2.0, "92.00")] {
        let bodies = [body(250.0, 4.2, 94.0), body(15.0, specific, 22.0)];
        published(mixed_temperature(&bodies).unwrap().celsius(), printed, "°C");
    }
}

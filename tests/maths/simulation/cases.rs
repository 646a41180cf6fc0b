//! Shots to simulate: those of the tables in `tests/data`, and an ordinary one to vary.

use std::collections::{BTreeMap, HashMap};

use extraction_maths::maths::quantity::{GaugePressure, Length, Mass, Temperature};
use extraction_maths::maths::simulation::{
    Bed, Outcome, Parameter, Parameters, PressureProfile, Resolution, Shot, run_bed,
};

use crate::support::table;

/// One shot of a table with what the independent program found.
#[derive(Debug)]
pub(super) struct Case {
    pub(super) name: String,
    pub(super) shot: Shot,
    pub(super) parameters: Parameters,
    pub(super) headspace_full_s: f64,
    pub(super) first_drop_s: f64,
    pub(super) target: Expected,
    pub(super) samples: Vec<Expected>,
}

/// The cup as the independent program found it.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Expected {
    pub(super) time_s: f64,
    pub(super) beverage_g: f64,
    pub(super) tds_percent: f64,
    pub(super) extraction_percent: f64,
    pub(super) flow_g_per_s: f64,
}

type Row = HashMap<String, String>;

fn number(row: &Row, column: &str) -> f64 {
    row[column].parse().expect(column)
}

/// A profile from pairs of seconds and bar.
pub(super) fn profile(points: &[(f64, f64)]) -> PressureProfile {
    let points: Vec<_> = points
        .iter()
        .map(|(time, bar)| (*time, GaugePressure::from_bar(*bar).expect("a pressure")))
        .collect();
    PressureProfile::new(&points).expect("a profile")
}

fn shot(row: &Row) -> Shot {
    let points: Vec<(f64, f64)> = serde_json::from_str(&row["profile_s_bar"]).expect("a profile");
    Shot {
        dose: Mass::from_grams(number(row, "dose_g")).expect("a dose"),
        basket_diameter: Length::from_millimetres(number(row, "basket_mm")).expect("a basket"),
        grind_diameter_um: number(row, "grind_um"),
        water_temperature: Temperature::from_celsius(number(row, "temp_c")).expect("water"),
        pressure_profile: profile(&points),
        target_beverage: Mass::from_grams(number(row, "target_g")).expect("a target"),
        duration_s: 120.0,
        sample_times_s: vec![],
    }
}

fn overrides(row: &Row) -> Parameters {
    let mut parameters = Parameters::default();
    let Some(text) = row.get("overrides_si") else {
        return parameters;
    };
    let given: BTreeMap<String, f64> = serde_json::from_str(text).expect("overrides");
    for (symbol, value) in given {
        let parameter = Parameter::by_symbol(&symbol).expect("a known symbol");
        parameters.set(parameter, value).expect("a value in range");
    }
    parameters
}

/// All shots of a table.
pub(super) fn cases(file: &str) -> Vec<Case> {
    let mut cases: Vec<Case> = vec![];
    for row in table(file) {
        if cases.last().is_none_or(|case| case.name != row["case"]) {
            cases.push(Case {
                name: row["case"].clone(),
                shot: shot(&row),
                parameters: overrides(&row),
                headspace_full_s: number(&row, "t_headspace_full_s"),
                first_drop_s: number(&row, "t_first_drop_s"),
                target: Expected::default(),
                samples: vec![],
            });
        }
        let case = cases.last_mut().expect("a case");
        let expected = Expected {
            time_s: number(&row, "t_s"),
            beverage_g: number(&row, "beverage_g"),
            tds_percent: number(&row, "tds_pct"),
            extraction_percent: number(&row, "ey_pct"),
            flow_g_per_s: number(&row, "flow_g_per_s"),
        };
        if row["kind"] == "target" {
            case.target = expected;
        } else {
            case.shot.sample_times_s.push(expected.time_s);
            case.samples.push(expected);
        }
    }
    cases
}

/// 20 g at 350 µm and 93 °C, to 40 g at a pressure.
pub(super) fn ordinary(points: &[(f64, f64)]) -> Shot {
    Shot {
        dose: Mass::from_grams(20.0).expect("a dose"),
        basket_diameter: Length::from_millimetres(58.4).expect("a basket"),
        grind_diameter_um: 350.0,
        water_temperature: Temperature::from_celsius(93.0).expect("water"),
        pressure_profile: profile(points),
        target_beverage: Mass::from_grams(40.0).expect("a target"),
        duration_s: 120.0,
        sample_times_s: vec![],
    }
}

/// The constants of a shot with the default parameters.
pub(super) fn bed(shot: &Shot) -> Bed {
    Bed::new(shot, &Parameters::default()).expect("a bed")
}

/// Runs a shot at a resolution; for shots that cannot fail.
pub(super) fn outcome(bed: &Bed, shot: &Shot, (cells, modes, step_s): (u32, u32, f64)) -> Outcome {
    let resolution = Resolution {
        cells,
        modes,
        step_s,
    };
    run_bed(bed, shot, resolution, &|| false).expect("an outcome")
}

/// The resolution of the standard accuracy.
pub(super) const STANDARD: (u32, u32, f64) = (60, 5, 0.25);

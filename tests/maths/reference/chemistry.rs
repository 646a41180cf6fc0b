//! Brewing-water chemistry: [ciaaw2021], [apha2017], [plummer1982], [parkhurst2013],
//! [four-factor]; see docs/REFERENCES.md.
//!
//! The rows of `apha2017_water_chemistry.csv` were computed outside this project.

mod saturation;
mod treatment;

use extraction_maths::maths::chemistry::alkalinity::{
    alkalinity_of, bicarbonate_of, carbonate_split,
};
use extraction_maths::maths::chemistry::conductivity::{dissolved_solids, tds_factor_442};
use extraction_maths::maths::chemistry::hardness::{
    HardnessUnit, Titration, alkalinity_by_titration, hardness_by_titration, ion_hardness,
};
use extraction_maths::maths::chemistry::ions::{Ion, Ions, ion_balance};
use extraction_maths::maths::chemistry::scale::scale_bound;
use extraction_maths::maths::quantity::{Concentration, Conductivity, Hardness};
use serde_json::Value;

use crate::support::{published, relative, rows_of_kind};

/// Rows are the same closed formulas in double precision.
const SAME_FORMULA: f64 = 1e-12;

/// The factors as [apha2017] 2340 B rounds them give sums that differ by up to this.
const ROUNDED_FACTORS: f64 = 2.5e-4;

fn mg(value: f64) -> Concentration {
    Concentration::from_milligrams_per_litre(value).expect("a concentration")
}

fn hard(value: f64) -> Hardness {
    Hardness::from_milligrams_per_litre(value).expect("a hardness")
}

fn num(value: &Value, name: &str) -> f64 {
    let found = value[name].as_f64();
    found.unwrap_or_else(|| panic!("no {name} in {value}"))
}

fn cases(kind: &str) -> Vec<(String, Value, Value)> {
    let parse = |text: &str| serde_json::from_str(text).expect("JSON");
    rows_of_kind("apha2017_water_chemistry.csv", kind)
        .iter()
        .map(|row| {
            (
                row["id"].clone(),
                parse(&row["input_json"]),
                parse(&row["output_json"]),
            )
        })
        .collect()
}

const UNITS: [(&str, HardnessUnit); 7] = [
    ("mg_l_caco3", HardnessUnit::MgPerLCaco3),
    ("dH", HardnessUnit::Dh),
    ("fH", HardnessUnit::Fh),
    ("clark", HardnessUnit::Clark),
    ("gpg_us", HardnessUnit::GpgUs),
    ("mmol_l", HardnessUnit::MmolPerL),
    ("meq_l", HardnessUnit::MeqPerL),
];

fn check_units(hardness: Hardness, expected: &Value, id: &str) {
    for (name, unit) in UNITS {
        relative(
            hardness.in_unit(unit),
            num(expected, name),
            SAME_FORMULA,
            id,
        );
    }
}

/// [ciaaw2021] gives calcium carbonate 100.086 g/mol, magnesium sulfate heptahydrate 246.466.
#[test]
fn factors_to_calcium_carbonate_are_those_of_the_atomic_weights() {
    let per = |ion| {
        ion_hardness(ion, mg(1.0))
            .expect("a hardness")
            .milligrams_per_litre()
    };
    published(per(Ion::Calcium), "2.49728", "1");
    published(per(Ion::Magnesium), "4.11792", "1");
    // [apha2017] 2340 B prints 2.497 and 4.118
    published(per(Ion::Calcium), "2.497", "1");
    published(per(Ion::Magnesium), "4.118", "1");
    let alkalinity = alkalinity_of(mg(1.0)).expect("an alkalinity");
    published(alkalinity.milligrams_per_litre(), "0.820162", "1");
    for (unit, printed) in [
        (HardnessUnit::Dh, "17.84796"),
        (HardnessUnit::Clark, "14.25377"),
        (HardnessUnit::GpgUs, "17.118061"),
        (HardnessUnit::MeqPerL, "50.043"),
    ] {
        published(unit.milligrams(), printed, "mg/L");
    }
}

#[test]
fn hardness_from_ions_matches_the_rows() {
    for (id, input, output) in cases("hardness_from_ions") {
        let part = |ion, name| ion_hardness(ion, mg(num(&input, name))).expect("a hardness");
        let calcium = part(Ion::Calcium, "ca_mg_l").milligrams_per_litre();
        let magnesium = part(Ion::Magnesium, "mg_mg_l").milligrams_per_litre();
        relative(calcium, num(&output, "ca_hardness"), SAME_FORMULA, &id);
        relative(magnesium, num(&output, "mg_hardness"), SAME_FORMULA, &id);
        let total = calcium + magnesium;
        relative(total, num(&output, "total"), SAME_FORMULA, &id);
        relative(total, num(&output, "sm2340b"), ROUNDED_FACTORS, &id);
        check_units(hard(total), &output["units"], &id);
    }
}

#[test]
fn conversions_of_hardness_match_the_rows() {
    for (id, input, output) in cases("hardness_convert") {
        let name = input["unit"].as_str().expect("a unit");
        let (_, unit) = UNITS.iter().find(|(n, _)| *n == name).expect("a unit");
        let hardness = Hardness::from_unit(num(&input, "value"), *unit).expect("a hardness");
        check_units(hardness, &output, &id);
    }
}

#[test]
fn alkalinity_of_bicarbonate_matches_the_rows_and_back() {
    for (id, input, output) in cases("alkalinity_from_bicarbonate") {
        let bicarbonate = num(&input, "hco3_mg_l");
        let alkalinity = alkalinity_of(mg(bicarbonate)).expect("an alkalinity");
        let milligrams = alkalinity.milligrams_per_litre();
        relative(
            milligrams,
            num(&output, "alk_mg_l_caco3"),
            SAME_FORMULA,
            &id,
        );
        let equivalents = alkalinity.in_unit(HardnessUnit::MeqPerL);
        relative(equivalents, num(&output, "meq_l"), SAME_FORMULA, &id);
        let back = bicarbonate_of(alkalinity).expect("bicarbonate");
        relative(back.milligrams_per_litre(), bicarbonate, SAME_FORMULA, &id);
    }
}

#[test]
fn carbonate_split_matches_the_rows() {
    for (id, input, output) in cases("carbonate_split") {
        let split = carbonate_split(hard(num(&input, "gh")), hard(num(&input, "kh")));
        let split = split.expect("a split");
        let found = (
            split.carbonate.milligrams_per_litre(),
            split.non_carbonate.milligrams_per_litre(),
        );
        relative(
            found.0,
            num(&output, "carbonate_hardness"),
            SAME_FORMULA,
            &id,
        );
        let rest = num(&output, "noncarbonate_hardness");
        relative(found.1, rest, SAME_FORMULA, &id);
    }
}

#[test]
fn ion_balance_matches_the_rows() {
    for (id, input, output) in cases("ion_balance") {
        let names = ["Ca", "Mg", "Na", "K", "HCO3", "Cl", "SO4"];
        let ions = Ion::ALL
            .into_iter()
            .zip(names)
            .fold(Ions::default(), |ions, (ion, name)| {
                ions.with(ion, mg(num(&input, name)))
            });
        let balance = ion_balance(&ions).expect("a balance");
        let cations = num(&output, "cations_meq_l");
        relative(balance.cations_meq_per_l, cations, SAME_FORMULA, &id);
        let anions = num(&output, "anions_meq_l");
        relative(balance.anions_meq_per_l, anions, SAME_FORMULA, &id);
        relative(balance.percent, num(&output, "error_pct"), 1e-10, &id);
    }
}

#[test]
fn scale_bound_matches_the_rows() {
    for (id, input, output) in cases("scale_max") {
        let (calcium, alkalinity) = (num(&input, "ca_hardness"), num(&input, "kh"));
        let bound = scale_bound(hard(calcium), hard(alkalinity), 1.0).expect("a bound");
        let bound = bound.milligrams_per_litre();
        relative(bound, num(&output, "mg_per_l"), SAME_FORMULA, &id);
        let grams = bound * num(&input, "litres") / 1000.0;
        relative(grams, num(&output, "grams"), SAME_FORMULA, &id);
    }
}

/// [tds442]: the three standards, 84, 447 and 1413 µS/cm.
#[test]
fn the_442_convention_gives_its_standards() {
    for (conductivity, solids) in [(84.0, "50.5"), (447.0, "300"), (1413.0, "1000")] {
        let meter = Conductivity::from_microsiemens_per_centimetre(conductivity).unwrap();
        let factor = tds_factor_442(meter).expect("a factor");
        let computed = dissolved_solids(meter, factor).expect("solids");
        published(computed.milligrams_per_litre(), solids, "mg/L");
    }
}

/// By hand: 8.2 mL of 0.01 mol/L EDTA on 50 mL is 1.64 mmol/L, 164.14104 mg/L; 7.5 mL of
/// 0.02 mol/L acid on 100 mL is 1.5 meq/L, 75.0645 mg/L.
#[test]
fn titrations_match_hand_arithmetic() {
    let titration = |sample_ml, titrant_ml, titrant_mol_per_l| Titration {
        sample_ml,
        titrant_ml,
        titrant_mol_per_l,
    };
    let edta = hardness_by_titration(&titration(50.0, 8.2, 0.01)).expect("a hardness");
    published(edta.milligrams_per_litre(), "164.14104", "mg/L");
    let acid = alkalinity_by_titration(&titration(100.0, 7.5, 0.02)).expect("an alkalinity");
    published(acid.milligrams_per_litre(), "75.0645", "mg/L");
    assert!(hardness_by_titration(&titration(0.0, 8.2, 0.01)).is_err());
}

//! Blends, salts, concentrates and doses.

use std::collections::BTreeMap;

use extraction_maths::maths::chemistry::blend::{Aimed, mixed, nearest_fraction};
use extraction_maths::maths::chemistry::dosing::{Aim, nearest_doses};
use extraction_maths::maths::chemistry::hardness::CACO3_PER_MEQ;
use extraction_maths::maths::chemistry::ions::{Ion, Ions};
use extraction_maths::maths::chemistry::salts::{Hydrate, Salt, concentrate_g_per_ml, dissolved};
use serde_json::Value;

use super::{cases, mg, num};
use crate::support::{published, relative};

/// Least squares takes the same answer by another path than the row's division.
const OTHER_PATH: f64 = 1e-10;

fn salt(name: &str) -> Hydrate {
    let (salt, waters) = match name {
        "MgSO4.7H2O" => (Salt::MagnesiumSulfate, 7),
        "MgCl2.6H2O" => (Salt::MagnesiumChloride, 6),
        "CaCl2.2H2O" => (Salt::CalciumChloride, 2),
        "CaCl2" => (Salt::CalciumChloride, 0),
        "CaSO4.2H2O" => (Salt::CalciumSulfate, 2),
        "NaHCO3" => (Salt::SodiumBicarbonate, 0),
        "KHCO3" => (Salt::PotassiumBicarbonate, 0),
        other => panic!("no salt {other}"),
    };
    Hydrate::new(salt, waters).expect("a hydrate")
}

const NAMES: [(&str, Ion); 7] = [
    ("Ca", Ion::Calcium),
    ("Mg", Ion::Magnesium),
    ("Na", Ion::Sodium),
    ("K", Ion::Potassium),
    ("HCO3", Ion::Bicarbonate),
    ("Cl", Ion::Chloride),
    ("SO4", Ion::Sulfate),
];

fn check_ions(brought: &[Ions], expected: &Value, id: &str) {
    for (name, ion) in NAMES {
        let sum: f64 = brought
            .iter()
            .filter_map(|ions| ions.get(ion))
            .map(|ion| ion.milligrams_per_litre())
            .sum();
        relative(sum, expected[name].as_f64().unwrap_or(0.0), OTHER_PATH, id);
    }
}

/// Molar masses in g/mol and milligrams of salt per mg/L as calcium carbonate, from the
/// atomic weights of [ciaaw2021].
#[test]
fn salts_have_the_molar_masses_of_their_hydrates() {
    for (name, mass, per_hardness) in [
        ("MgSO4.7H2O", "246.466", "2.46254"),
        ("MgCl2.6H2O", "203.295", "2.03120"),
        ("CaCl2.2H2O", "147.008", "1.46882"),
    ] {
        published(salt(name).molar_mass(), mass, "g/mol");
        published(salt(name).molar_mass() / 100.086, per_hardness, "1");
    }
    published(salt("NaHCO3").molar_mass(), "84.0058", "g/mol");
    published(salt("KHCO3").molar_mass(), "100.1143", "g/mol");
    published(salt("NaHCO3").molar_mass() / 50.043, "1.67867", "1");
    published(salt("KHCO3").molar_mass() / 50.043, "2.00057", "1");
    published(salt("CaCl2").molar_mass() / 100.086, "1.10883", "1");
    assert!(Hydrate::new(Salt::CalciumChloride, 7).is_err());
}

#[test]
fn doses_match_the_rows() {
    for (id, input, output) in cases("dose") {
        let word = |name: &str| salt(input[name].as_str().expect("a salt"));
        let salts = [word("mgsalt"), word("casalt"), word("alksalt")];
        let aims = [
            (
                Aim::Ion(Ion::Magnesium),
                num(&input, "mg_h") / CACO3_PER_MEQ,
            ),
            (Aim::Ion(Ion::Calcium), num(&input, "ca_h") / CACO3_PER_MEQ),
            (
                Aim::Ion(Ion::Bicarbonate),
                num(&input, "alk") / CACO3_PER_MEQ,
            ),
        ];
        let doses = nearest_doses(&salts, &aims).expect("doses");
        let names = ["mgsalt", "casalt", "alksalt"];
        let found: BTreeMap<_, _> = names.iter().zip(&doses).collect();
        for (which, dose) in found {
            let name = input[*which].as_str().expect("a salt");
            let grams = dose.milligrams_per_litre() * num(&input, "vol") / 1000.0;
            let expected = output["grams"][name].as_f64().unwrap_or(0.0);
            relative(grams, expected, OTHER_PATH, &id);
        }
        let of = salts.iter().zip(&doses);
        let brought: Vec<_> = of.map(|(s, d)| dissolved(*s, *d).expect("ions")).collect();
        check_ions(&brought, &output["ions_mg_l"], &id);
    }
}

#[test]
fn concentrates_match_the_rows_and_back() {
    for (id, input, output) in cases("concentrate") {
        let hydrate = salt(input["salt"].as_str().expect("a salt"));
        let per_ml = num(&input, "grams") / num(&input, "conc_ml");
        let (dose_ml, batch_l) = (num(&input, "dose_ml"), num(&input, "final_l"));
        let dose = mg(1000.0 * per_ml * dose_ml / batch_l);
        let ions = dissolved(hydrate, dose).expect("ions");
        check_ions(&[ions], &output["ions_mg_l"], &id);
        let hardness = Aim::TotalHardness.milliequivalents(&ions) * CACO3_PER_MEQ;
        relative(hardness, num(&output, "hardness"), OTHER_PATH, &id);
        let alkalinity = ions.milliequivalents(Ion::Bicarbonate) * CACO3_PER_MEQ;
        relative(alkalinity, num(&output, "alkalinity"), OTHER_PATH, &id);
        let back = concentrate_g_per_ml(dose, batch_l, dose_ml).expect("a concentrate");
        relative(back, per_ml, OTHER_PATH, &id);
    }
}

#[test]
fn blends_match_the_rows() {
    for (id, input, output) in cases("blend") {
        let alkalinity = Aimed {
            first: num(&input, "tap_kh"),
            second: num(&input, "ro_kh"),
            target: num(&input, "target_kh"),
        };
        let f = nearest_fraction(&[alkalinity]).expect("a share");
        relative(f, num(&output, "tap_fraction"), OTHER_PATH, &id);
        let hardness = mixed(num(&input, "tap_gh"), num(&input, "ro_gh"), f).expect("a mixture");
        relative(hardness, num(&output, "gh"), OTHER_PATH, &id);
        let reached = mixed(alkalinity.first, alkalinity.second, f).expect("a mixture");
        relative(reached, num(&output, "kh"), OTHER_PATH, &id);
    }
}

//! Exercises about salts that are weighed into water.

use super::super::diagnosis::DiagnosisCode as Code;
use super::super::topic::Change::{Drop, Set};
use super::super::topic::{Ask, Fixed, Slip, Variant, ask, between, slip};

const CACO3: Fixed = Fixed::Word("mg_per_l_caco3");
const EPSOM: [(&str, Fixed); 2] = [
    ("salts.0.salt", Fixed::Word("magnesium_sulfate")),
    ("salts.0.hydrate", Fixed::Count(7)),
];
const NO_HYDRATE: Slip = slip(
    Code::HydrateForgotten,
    &[Set("salts.0.hydrate", Fixed::Count(0))],
);
const NO_START: Slip = slip(Code::StartForgotten, &[Drop("start_water")]);

const LACKING_MAGNESIUM: Ask = ask(
    "lacking_meq_per_l_of_magnesium_mg_per_l",
    "the magnesium that is lacking",
);
const LACKING_ALKALINITY: Ask = ask(
    "lacking_meq_per_l_of_alkalinity_mg_per_l_caco3",
    "the alkalinity that is lacking",
);

pub(super) const WATER_DOSING: &[Variant] = &[
    Variant {
        level: 1,
        told: "Magnesium sulfate heptahydrate, MgSO4·7H2O, is weighed into {volume_l} of demineralised water to give {target.magnesium_mg_per_l} of magnesium.",
        fixed: &EPSOM,
        draws: &[
            between("volume_l", (100, 250), 1),
            between("target.magnesium_mg_per_l", (800, 2400), 2),
        ],
        asks: &[
            LACKING_MAGNESIUM,
            ask("dose_mg_per_l", "the dose of the salt"),
            ask("mass_g", "the mass of the salt to be weighed out"),
        ],
        slips: &[NO_HYDRATE],
    },
    Variant {
        level: 2,
        told: "{volume_l} of water with {start_water.magnesium_mg_per_l} of magnesium and an alkalinity of {start_water.alkalinity} mg/L as CaCO3 are to have {target.magnesium_mg_per_l} of magnesium and an alkalinity of {target.alkalinity} mg/L as CaCO3. At hand are magnesium sulfate heptahydrate, MgSO4·7H2O, and potassium bicarbonate, KHCO3.",
        fixed: &[
            EPSOM[0],
            EPSOM[1],
            ("salts.1.salt", Fixed::Word("potassium_bicarbonate")),
            ("start_water.hardness_unit", CACO3),
            ("target.hardness_unit", CACO3),
        ],
        draws: &[
            between("volume_l", (100, 250), 1),
            between("start_water.magnesium_mg_per_l", (200, 400), 2),
            between("start_water.alkalinity", (80, 160), 1),
            between("target.magnesium_mg_per_l", (1200, 2400), 2),
            between("target.alkalinity", (350, 500), 1),
        ],
        asks: &[
            LACKING_MAGNESIUM,
            LACKING_ALKALINITY,
            ask("mass_g", "the mass of magnesium sulfate heptahydrate"),
            ask("mass_g#2", "the mass of potassium bicarbonate"),
        ],
        slips: &[NO_START, NO_HYDRATE],
    },
    Variant {
        level: 3,
        told: "Demineralised water is to have {target.calcium_mg_per_l} of calcium, {target.magnesium_mg_per_l} of magnesium and an alkalinity of {target.alkalinity} mg/L as CaCO3, out of three concentrates: magnesium sulfate heptahydrate, MgSO4·7H2O, calcium chloride dihydrate, CaCl2·2H2O, and sodium bicarbonate, NaHCO3. {concentrate_dose_ml} of each go into {volume_l} of water.",
        fixed: &[
            EPSOM[0],
            EPSOM[1],
            ("salts.1.salt", Fixed::Word("calcium_chloride")),
            ("salts.1.hydrate", Fixed::Count(2)),
            ("salts.2.salt", Fixed::Word("sodium_bicarbonate")),
            ("target.hardness_unit", CACO3),
        ],
        draws: &[
            between("target.calcium_mg_per_l", (800, 1600), 2),
            between("target.magnesium_mg_per_l", (600, 1200), 2),
            between("target.alkalinity", (300, 450), 1),
            between("concentrate_dose_ml", (100, 150), 1),
            between("volume_l", (50, 100), 1),
        ],
        asks: &[
            ask(
                "mass_g",
                "the mass of magnesium sulfate heptahydrate in one dose of its concentrate",
            ),
            ask("mass_g#2", "that of calcium chloride dihydrate"),
            ask("mass_g#3", "that of sodium bicarbonate"),
            ask(
                "concentrate_g_per_ml#3",
                "the mass of sodium bicarbonate in a millilitre of its concentrate",
            ),
        ],
        slips: &[NO_HYDRATE],
    },
];

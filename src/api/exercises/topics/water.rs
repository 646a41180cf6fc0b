//! Exercises about the minerals of brewing water.

use super::super::diagnosis::DiagnosisCode as Code;
use super::super::topic::Change::Swap;
use super::super::topic::{Ask, Fixed, Slip, Variant, ask, between, slip};

const IONS: Slip = slip(
    Code::SwappedIons,
    &[Swap("calcium_mg_per_l", "magnesium_mg_per_l")],
);
const WATERS: Slip = slip(Code::SwappedWaters, &[Swap("first_water", "second_water")]);

const HARDNESS: Ask = ask("total_hardness_mg_per_l_caco3", "the total hardness");
const ALKALINITY: Ask = ask("alkalinity_mg_per_l_caco3", "the alkalinity");

pub(super) const BREWING_WATER: &[Variant] = &[
    Variant {
        level: 1,
        told: "An analysis of water gives {calcium_mg_per_l} of calcium, {magnesium_mg_per_l} of magnesium and {bicarbonate_mg_per_l} of bicarbonate; nothing else makes it hard or alkaline.",
        fixed: &[],
        draws: &[
            between("calcium_mg_per_l", (300, 950), 1),
            between("magnesium_mg_per_l", (400, 2200), 2),
            between("bicarbonate_mg_per_l", (100, 280), 0),
        ],
        asks: &[
            ask(
                "calcium_hardness_mg_per_l_caco3",
                "the hardness of the calcium",
            ),
            ask("magnesium_hardness_mg_per_l_caco3", "that of the magnesium"),
            HARDNESS,
            ALKALINITY,
        ],
        slips: &[IONS],
    },
    Variant {
        level: 2,
        told: "Two samples of 100 mL of water are titrated: one takes {edta_ml} of EDTA at {edta_mol_per_l} for its total hardness, the other {acid_ml} of hydrochloric acid at {acid_mol_per_l} for its alkalinity.",
        fixed: &[("sample_ml", Fixed::Number(100.0))],
        draws: &[
            between("edta_ml", (600, 1600), 2),
            between("edta_mol_per_l", (995, 1005), 5),
            between("acid_ml", (300, 900), 2),
            between("acid_mol_per_l", (1990, 2010), 5),
        ],
        asks: &[HARDNESS, ALKALINITY],
        slips: &[slip(Code::SwappedTitrations, &[Swap("edta_ml", "acid_ml")])],
    },
    Variant {
        level: 3,
        told: "A water of pH {ph} at {water_temperature_c} holds {calcium_mg_per_l} of calcium, {magnesium_mg_per_l} of magnesium, {bicarbonate_mg_per_l} of bicarbonate, {sodium_mg_per_l} of sodium, {chloride_mg_per_l} of chloride and {sulfate_mg_per_l} of sulfate. Of the bicarbonate, 0.508 of its mass stays when the water is dried. For the saturation with calcite take log K = {{log_k_calcite}} and, for the second step of carbonic acid, log K₂ = {{log_k2}}; the logarithm of the activity coefficient of an ion of charge z is −z² p with p = {{activity_p}} here, so that pHs = log K − log K₂ − log [Ca] − log [HCO₃] + 5 p, in mol/L.",
        fixed: &[],
        draws: &[
            between("ph", (770, 820), 2),
            between("water_temperature_c", (10, 25), 0),
            between("calcium_mg_per_l", (600, 950), 1),
            between("magnesium_mg_per_l", (60, 150), 1),
            between("bicarbonate_mg_per_l", (180, 260), 0),
            between("sodium_mg_per_l", (80, 250), 1),
            between("chloride_mg_per_l", (150, 450), 1),
            between("sulfate_mg_per_l", (200, 600), 1),
        ],
        asks: &[
            HARDNESS,
            ask("water_tds_mg_per_l", "the mass of dissolved solids"),
            ask("ionic_strength_mol_per_l", "the ionic strength"),
            ask("saturation_ph", "the pH of saturation, pHs"),
            ask("saturation_index", "the saturation index, pH less pHs").to(2),
        ],
        slips: &[IONS],
    },
];

const CACO3: Fixed = Fixed::Word("mg_per_l_caco3");
const FIRST: Ask = ask(
    "first_fraction",
    "the share of tap water, by volume, as a fraction",
);

pub(super) const WATER_BLEND: &[Variant] = &[
    Variant {
        level: 1,
        told: "Tap water has a total hardness of {first_water.total_hardness} and an alkalinity of {first_water.alkalinity}, softened water {second_water.total_hardness} and {second_water.alkalinity}, all in mg/L as CaCO3. A blend is made of the fraction {first_fraction} of tap water, by volume, and softened water for the rest.",
        fixed: &[
            ("first_water.hardness_unit", CACO3),
            ("second_water.hardness_unit", CACO3),
        ],
        draws: &[
            between("first_water.total_hardness", (200, 320), 0),
            between("first_water.alkalinity", (140, 200), 0),
            between("second_water.total_hardness", (2, 10), 0),
            between("second_water.alkalinity", (2, 8), 0),
            between("first_fraction", (250, 450), 3),
        ],
        asks: &[HARDNESS, ALKALINITY],
        slips: &[WATERS],
    },
    Variant {
        level: 2,
        told: "Tap water has an alkalinity of {first_water.alkalinity}, softened water one of {second_water.alkalinity}, both in mg/L as CaCO3. {volume_l} of a blend are to have an alkalinity of {target.alkalinity} mg/L as CaCO3.",
        fixed: &[
            ("first_water.hardness_unit", CACO3),
            ("second_water.hardness_unit", CACO3),
            ("target.hardness_unit", CACO3),
        ],
        draws: &[
            between("first_water.alkalinity", (1400, 2000), 1),
            between("second_water.alkalinity", (20, 80), 1),
            between("target.alkalinity", (350, 750), 1),
            between("volume_l", (100, 250), 1),
        ],
        asks: &[FIRST, ask("first_volume_l", "the volume of tap water")],
        slips: &[WATERS],
    },
    Variant {
        level: 3,
        told: "Tap water has a total hardness of {first_water.total_hardness} and an alkalinity of {first_water.alkalinity}, softened water {second_water.total_hardness} and {second_water.alkalinity}. No blend of the two has a total hardness of {target.total_hardness} and an alkalinity of {target.alkalinity}; find the one that comes nearest by least squares. All are in mg/L as CaCO3.",
        fixed: &[
            ("first_water.hardness_unit", CACO3),
            ("second_water.hardness_unit", CACO3),
            ("target.hardness_unit", CACO3),
        ],
        draws: &[
            between("first_water.total_hardness", (2200, 3200), 1),
            between("first_water.alkalinity", (1400, 2000), 1),
            between("second_water.total_hardness", (20, 90), 1),
            between("second_water.alkalinity", (20, 80), 1),
            between("target.total_hardness", (600, 750), 1),
            between("target.alkalinity", (550, 650), 1),
        ],
        asks: &[FIRST, HARDNESS, ALKALINITY],
        slips: &[WATERS],
    },
];

//! Exercises about the minerals of brewing water.

use super::super::diagnosis::DiagnosisCode as Code;
use super::super::topic::Change::Swap;
use super::super::topic::{Draw, Fixed, Slip, Variant, ask, ask_to, between, number, slip};

const IONS: Slip = slip(
    Code::SwappedIons,
    &[Swap("calcium_mg_per_l", "magnesium_mg_per_l")],
);
const WATERS: Slip = slip(Code::SwappedWaters, &[Swap("first_water", "second_water")]);

pub(super) const BREWING_WATER: &[Variant] = &[
    Variant {
        level: 1,
        told: "A water analysis gives {calcium_mg_per_l} of calcium, {magnesium_mg_per_l} of magnesium and {bicarbonate_mg_per_l} of bicarbonate.",
        fixed: &[],
        draws: &[
            between("calcium_mg_per_l", (300, 950), 1),
            between("magnesium_mg_per_l", (40, 220), 1),
            between("bicarbonate_mg_per_l", (80, 280), 0),
        ],
        asks: &[
            ask("calcium_hardness_mg_per_l_caco3"),
            ask("magnesium_hardness_mg_per_l_caco3"),
            ask("total_hardness_mg_per_l_caco3"),
            ask("alkalinity_mg_per_l_caco3"),
        ],
        slips: &[IONS],
    },
    Variant {
        level: 2,
        told: "A sample of {sample_ml} of water takes {edta_ml} of EDTA at {edta_mol_per_l} for its total hardness, and {acid_ml} of a monoprotic acid at {acid_mol_per_l} for its alkalinity.",
        fixed: &[],
        draws: &[
            Draw::Between(number("sample_ml", (50, 100), 0)),
            between("edta_ml", (600, 1600), 2),
            between("edta_mol_per_l", (100, 105), 4),
            between("acid_ml", (250, 500), 2),
            between("acid_mol_per_l", (200, 204), 4),
        ],
        asks: &[
            ask("total_hardness_mg_per_l_caco3"),
            ask("alkalinity_mg_per_l_caco3"),
        ],
        slips: &[slip(Code::SwappedTitrations, &[Swap("edta_ml", "acid_ml")])],
    },
    Variant {
        level: 3,
        told: "A water of pH {ph} at {water_temperature_c} holds {calcium_mg_per_l} of calcium, {magnesium_mg_per_l} of magnesium, {bicarbonate_mg_per_l} of bicarbonate, {sodium_mg_per_l} of sodium, {chloride_mg_per_l} of chloride and {sulfate_mg_per_l} of sulfate.",
        fixed: &[],
        draws: &[
            between("ph", (720, 800), 2),
            between("water_temperature_c", (10, 25), 0),
            between("calcium_mg_per_l", (600, 950), 1),
            between("magnesium_mg_per_l", (60, 150), 1),
            between("bicarbonate_mg_per_l", (180, 260), 0),
            between("sodium_mg_per_l", (80, 250), 1),
            between("chloride_mg_per_l", (150, 450), 1),
            between("sulfate_mg_per_l", (200, 600), 1),
        ],
        asks: &[
            ask("total_hardness_mg_per_l_caco3"),
            ask("water_tds_mg_per_l"),
            ask("ionic_strength_mol_per_l"),
            ask("saturation_ph"),
            ask_to("saturation_index", 2),
        ],
        slips: &[IONS],
    },
];

const IN_CACO3: Fixed = Fixed::Word("mg_per_l_caco3");

pub(super) const WATER_BLEND: &[Variant] = &[
    Variant {
        level: 1,
        told: "Tap water with a total hardness of {first_water.total_hardness} and an alkalinity of {first_water.alkalinity} is blended with softened water of {second_water.total_hardness} and {second_water.alkalinity}, all in mg/L as CaCO3. {volume_l} of the blend are to have an alkalinity of {target.alkalinity} mg/L as CaCO3. The first water is the tap water.",
        fixed: &[
            ("first_water.hardness_unit", IN_CACO3),
            ("second_water.hardness_unit", IN_CACO3),
            ("target.hardness_unit", IN_CACO3),
        ],
        draws: &[
            between("first_water.total_hardness", (200, 320), 0),
            between("first_water.alkalinity", (140, 200), 0),
            between("second_water.total_hardness", (2, 10), 0),
            between("second_water.alkalinity", (2, 8), 0),
            between("target.alkalinity", (35, 75), 0),
            between("volume_l", (50, 250), 1),
        ],
        asks: &[ask("first_fraction"), ask("first_volume_l")],
        slips: &[WATERS],
    },
    Variant {
        level: 2,
        told: "Two waters are to be blended: the first has a total hardness of {first_water.total_hardness} and an alkalinity of {first_water.alkalinity}, the second {second_water.total_hardness} and {second_water.alkalinity}. The blend is to come nearest, by least squares in meq/L, to a total hardness of {target.total_hardness} and an alkalinity of {target.alkalinity}. All are in mg/L as CaCO3.",
        fixed: &[
            ("first_water.hardness_unit", IN_CACO3),
            ("second_water.hardness_unit", IN_CACO3),
            ("target.hardness_unit", IN_CACO3),
        ],
        draws: &[
            between("first_water.total_hardness", (220, 320), 0),
            between("first_water.alkalinity", (140, 200), 0),
            between("second_water.total_hardness", (2, 10), 0),
            between("second_water.alkalinity", (2, 8), 0),
            between("target.total_hardness", (60, 100), 0),
            between("target.alkalinity", (35, 60), 0),
        ],
        asks: &[
            ask("first_fraction"),
            ask("total_hardness_mg_per_l_caco3"),
            ask("alkalinity_mg_per_l_caco3"),
        ],
        slips: &[WATERS],
    },
];

//! Exercises about a shot that is caught in slices.
//!
//! The first third of a shot is some five times as strong as the last (common practice, no source).

use super::super::diagnosis::DiagnosisCode as Code;
use super::super::topic::Change::Set;
use super::super::topic::{Ask, Draw, Fixed, Slip, Variant, ask, between, slip};

const BEVERAGE: Ask = ask("beverage_mass_g", "the mass of all slices together");
const SOLIDS: Ask = ask("dissolved_solids_g", "the mass of dissolved solids in them");
const STRENGTH: Ask = ask("tds_percent", "the strength of all slices mixed");
const ONE: Fixed = Fixed::Number(1.0);
const PLAIN_MEAN: Slip = slip(
    Code::PlainMean,
    &[
        Set("slices.0.mass_g", ONE),
        Set("slices.1.mass_g", ONE),
        Set("slices.2.mass_g", ONE),
    ],
);

const DOSE: Draw = between("dose_g", (170, 200), 1);
const FIRST: Draw = between("slices.0.mass_g", (95, 115), 1);
const FIRST_STRENGTH: Draw = between("slices.0.tds_percent", (1600, 1800), 2);
const SECOND: Draw = between("slices.1.mass_g", (115, 135), 1);
const SECOND_STRENGTH: Draw = between("slices.1.tds_percent", (700, 850), 2);
const THIRD: Draw = between("slices.2.mass_g", (135, 160), 1);
const THIRD_STRENGTH: Draw = between("slices.2.tds_percent", (300, 400), 2);

pub(super) const FRACTIONS: &[Variant] = &[
    Variant {
        level: 1,
        told: "The first part of a shot is caught in two cups, one after the other: {slices.0.mass_g} of a strength of {slices.0.tds_percent}, and {slices.1.mass_g} of {slices.1.tds_percent}. Both are poured together. The dose was {dose_g}.",
        fixed: &[],
        draws: &[DOSE, FIRST, FIRST_STRENGTH, SECOND, SECOND_STRENGTH],
        asks: &[BEVERAGE, SOLIDS, STRENGTH],
        slips: &[slip(
            Code::PlainMean,
            &[Set("slices.0.mass_g", ONE), Set("slices.1.mass_g", ONE)],
        )],
    },
    Variant {
        level: 2,
        told: "A shot from {dose_g} of coffee is caught in three slices: {slices.0.mass_g} of a strength of {slices.0.tds_percent}, {slices.1.mass_g} of {slices.1.tds_percent}, and {slices.2.mass_g} of {slices.2.tds_percent}.",
        fixed: &[],
        draws: &[
            DOSE,
            FIRST,
            FIRST_STRENGTH,
            SECOND,
            SECOND_STRENGTH,
            THIRD,
            THIRD_STRENGTH,
        ],
        asks: &[
            SOLIDS,
            STRENGTH,
            ask("extraction_yield_percent", "the extraction yield"),
            ask("brew_ratio", "the brew ratio (beverage over dose)"),
        ],
        slips: &[PLAIN_MEAN],
    },
    Variant {
        level: 3,
        told: "A shot from {dose_g} of coffee is caught in three slices: {slices.0.mass_g} of a strength of {slices.0.tds_percent}, {slices.1.mass_g} of {slices.1.tds_percent}, and {slices.2.mass_g} of {slices.2.tds_percent}. The next shot is to be stopped when the cup has a strength of {target_tds_percent}; take the strength of what flows as the same all through a slice.",
        fixed: &[],
        draws: &[
            DOSE,
            FIRST,
            FIRST_STRENGTH,
            SECOND,
            SECOND_STRENGTH,
            THIRD,
            THIRD_STRENGTH,
            between("target_tds_percent", (950, 1080), 2),
        ],
        asks: &[
            STRENGTH,
            ask("extraction_yield_percent", "the extraction yield"),
            ask(
                "beverage at the target strength",
                "the mass in the cup when it has to be stopped",
            ),
        ],
        slips: &[PLAIN_MEAN],
    },
];

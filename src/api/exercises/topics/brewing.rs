//! Exercises about masses, strength and yield.
//!
//! Ranges are those of usual brews (common practice, no source): espresso of 8 to 11 % and a
//! ratio of 1.5 to 2.5, filter and immersion of 1.1 to 1.45 %.

use super::super::diagnosis::DiagnosisCode as Code;
use super::super::topic::Change::{Drop, Invert, Move, Scale, Set, Swap};
use super::super::topic::{
    Draw, Fixed, Slip, Variant, ask, ask_to, ask_within, between, number, slip,
};

const FILTER: (&str, Fixed) = ("brew_kind", Fixed::Word("filter"));
const IMMERSION: (&str, Fixed) = ("brew_kind", Fixed::Word("immersion"));
const AS_ESPRESSO: Slip = slip(Code::WrongBrewKind, &[Drop("brew_kind")]);
const AS_FILTER: Slip = slip(
    Code::WrongBrewKind,
    &[Set("brew_kind", Fixed::Word("filter"))],
);

pub(super) const RATIO: &[Variant] = &[
    Variant {
        level: 1,
        told: "A barista doses {dose_g} for an espresso at a brew ratio of {brew_ratio}. The grounds retain as much liquid as is usual for espresso: their own mass.",
        fixed: &[],
        draws: &[
            between("dose_g", (160, 210), 1),
            between("brew_ratio", (160, 290), 2),
        ],
        asks: &[ask("beverage_mass_g"), ask("water_mass_g")],
        slips: &[slip(Code::UpsideDown, &[Invert("brew_ratio")]), AS_FILTER],
    },
    Variant {
        level: 2,
        told: "A filter brew takes {water_mass_g} of water, {water_ratio} times the mass of the coffee. The grounds retain as much liquid as is usual for filter: twice their mass.",
        fixed: &[FILTER],
        draws: &[
            between("water_mass_g", (250, 1000), 0),
            between("water_ratio", (150, 175), 1),
        ],
        asks: &[ask("dose_g"), ask("brew_ratio"), ask("beverage_mass_g")],
        slips: &[AS_ESPRESSO],
    },
    Variant {
        level: 3,
        told: "Everything was weighed: {dose_g} of coffee, {water_mass_g} of water, and {beverage_mass_g} of beverage in the jug.",
        fixed: &[FILTER],
        draws: &[
            between("dose_g", (150, 320), 1),
            Draw::Times("dose_g", number("water_mass_g", (1550, 1750), 1)),
            Draw::Times("dose_g", number("beverage_mass_g", (1340, 1480), 1)),
        ],
        asks: &[
            ask("brew_ratio"),
            ask("water_ratio"),
            ask_to("retained_ratio", 2),
            ask("retained_liquid_g"),
        ],
        slips: &[],
    },
];

const FRACTION: Slip = slip(Code::PercentForFraction, &[Scale("tds_percent", 0.01)]);
const FOR_PERCOLATION: Slip = slip(
    Code::ImmersionForPercolation,
    &[
        Set("brew_kind", Fixed::Word("immersion")),
        Move("beverage_mass_g", "water_mass_g"),
    ],
);
const FOR_IMMERSION: Slip = slip(
    Code::PercolationForImmersion,
    &[
        Set("brew_kind", Fixed::Word("filter")),
        Move("water_mass_g", "beverage_mass_g"),
    ],
);

pub(super) const EXTRACTION_YIELD: &[Variant] = &[
    Variant {
        level: 1,
        told: "A double espresso is made from {dose_g} of ground coffee. The cup holds {beverage_mass_g} of beverage, whose strength is {tds_percent}.",
        fixed: &[],
        draws: &[
            between("dose_g", (170, 205), 1),
            Draw::Times("dose_g", number("beverage_mass_g", (170, 250), 1)),
            between("tds_percent", (800, 1100), 2),
        ],
        asks: &[
            ask("brew_ratio"),
            ask("dissolved_solids_g"),
            ask("extraction_yield_percent"),
        ],
        slips: &[
            slip(Code::SwappedMasses, &[Swap("dose_g", "beverage_mass_g")]),
            FRACTION,
            FOR_PERCOLATION,
        ],
    },
    Variant {
        level: 1,
        told: "A pour-over is made from {dose_g} of ground coffee. {beverage_mass_g} of beverage drip into the jug; a sample has a strength of {tds_percent}.",
        fixed: &[FILTER],
        draws: &[
            between("dose_g", (150, 300), 1),
            Draw::Times("dose_g", number("beverage_mass_g", (1350, 1500), 1)),
            between("tds_percent", (120, 145), 2),
        ],
        asks: &[ask("dissolved_solids_g"), ask("extraction_yield_percent")],
        slips: &[
            slip(Code::SwappedMasses, &[Swap("dose_g", "beverage_mass_g")]),
            FRACTION,
            FOR_PERCOLATION,
        ],
    },
    Variant {
        level: 2,
        told: "For a cupping-style immersion, {water_mass_g} of water are poured on {dose_g} of coffee and stirred until nothing changes. The liquid, in the cup and between the grounds alike, has a strength of {tds_percent}.",
        fixed: &[IMMERSION],
        draws: &[
            between("dose_g", (110, 300), 1),
            Draw::Times("dose_g", number("water_mass_g", (1550, 1800), 1)),
            between("tds_percent", (115, 135), 2),
        ],
        asks: &[ask("dissolved_solids_g"), ask("extraction_yield_percent")],
        slips: &[
            FOR_IMMERSION,
            slip(Code::SwappedMasses, &[Swap("dose_g", "water_mass_g")]),
            FRACTION,
        ],
    },
    Variant {
        level: 3,
        told: "A filter brew of {dose_g} gives {beverage_mass_g} of beverage. Repeated readings of its strength are {tds_readings_percent}. Take a rectangular distribution for both balances: half-width {dose_half_width_g} for the dose and {beverage_mass_half_width_g} for the beverage; the calibration of the refractometer has a standard uncertainty of {tds_uncertainty_percent}.",
        fixed: &[FILTER, ("sample_filtered", Fixed::Flag(true))],
        draws: &[
            between("dose_g", (180, 260), 1),
            Draw::Times("dose_g", number("beverage_mass_g", (1380, 1480), 1)),
            Draw::Readings(5, 2, number("tds_readings_percent", (128, 142), 2)),
            between("dose_half_width_g", (5, 20), 2),
            between("beverage_mass_half_width_g", (10, 50), 2),
            between("tds_uncertainty_percent", (10, 30), 3),
        ],
        asks: &[
            ask("tds_percent"),
            ask("dissolved_solids_g"),
            ask_within("extraction_yield_percent", "uncertainty.standard_points"),
            ask_to("dose standard uncertainty", 2),
            ask_to("uncertainty.standard_points", 2),
            ask_to("uncertainty.expanded_points", 2),
        ],
        slips: &[
            slip(
                Code::HalfWidthForStandardUncertainty,
                &[
                    Move("dose_half_width_g", "dose_uncertainty_g"),
                    Move("beverage_mass_half_width_g", "beverage_mass_uncertainty_g"),
                ],
            ),
            slip(Code::SwappedMasses, &[Swap("dose_g", "beverage_mass_g")]),
            slip(
                Code::ImmersionForPercolation,
                &[
                    Drop("beverage_mass_half_width_g"),
                    Set("brew_kind", Fixed::Word("immersion")),
                    Move("beverage_mass_g", "water_mass_g"),
                ],
            ),
        ],
    },
];

const PERCENTS: Slip = slip(
    Code::SwappedPercents,
    &[Swap(
        "target_tds_percent",
        "target_extraction_yield_percent",
    )],
);

pub(super) const TARGETS: &[Variant] = &[
    Variant {
        level: 1,
        told: "An espresso from {dose_g} of coffee is to have a strength of {target_tds_percent} at a yield of {target_extraction_yield_percent}. The grounds retain their own mass of liquid.",
        fixed: &[],
        draws: &[
            between("dose_g", (170, 205), 1),
            between("target_tds_percent", (85, 110), 1),
            between("target_extraction_yield_percent", (180, 220), 1),
        ],
        asks: &[
            ask("brew_ratio"),
            ask("beverage_mass_g"),
            ask("water_mass_g"),
            ask("dissolved_solids_g"),
        ],
        slips: &[
            PERCENTS,
            slip(
                Code::WrongBrewKind,
                &[Set("brew_kind", Fixed::Word("filter"))],
            ),
        ],
    },
    Variant {
        level: 2,
        told: "An immersion that gives {beverage_mass_g} in the cup is to have a strength of {target_tds_percent} at a yield of {target_extraction_yield_percent}. The grounds retain twice their mass of liquid, as strong as the cup.",
        fixed: &[IMMERSION],
        draws: &[
            between("beverage_mass_g", (200, 400), 0),
            between("target_tds_percent", (120, 140), 2),
            between("target_extraction_yield_percent", (185, 220), 1),
        ],
        asks: &[ask("water_ratio"), ask("dose_g"), ask("water_mass_g")],
        slips: &[slip(
            Code::PercolationForImmersion,
            &[Set("brew_kind", Fixed::Word("filter"))],
        )],
    },
    Variant {
        level: 3,
        told: "{cup_ml} of filter coffee at {beverage_temperature_c} are to have a strength of {target_tds_percent} at a yield of {target_extraction_yield_percent}. It is brewed at {brew_tds_percent} and let down with water in the cup. The grounds retain twice their mass.",
        fixed: &[FILTER],
        draws: &[
            between("cup_ml", (200, 400), 0),
            between("beverage_temperature_c", (60, 80), 0),
            between("target_tds_percent", (120, 135), 2),
            between("target_extraction_yield_percent", (185, 215), 1),
            between("brew_tds_percent", (150, 180), 2),
        ],
        asks: &[
            ask("final_beverage_mass_g"),
            ask("beverage_mass_g"),
            ask("dose_g"),
            ask("bypass_water_g"),
        ],
        slips: &[],
    },
];

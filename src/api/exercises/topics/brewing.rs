//! Exercises about masses, strength and yield.
//!
//! Ranges are those of usual brews (common practice, no source): espresso of 8 to 11 % and a
//! ratio of 1.5 to 2.5, filter and immersion of 1.1 to 1.45 %.

use super::super::diagnosis::DiagnosisCode as Code;
use super::super::topic::Change::{Drop, Invert, Move, Scale, Set, Swap};
use super::super::topic::{Ask, Draw, Fixed, Slip, Variant, ask, between, number, slip};

const FILTER: (&str, Fixed) = ("brew_kind", Fixed::Word("filter"));
const IMMERSION: (&str, Fixed) = ("brew_kind", Fixed::Word("immersion"));
const AS_ESPRESSO: Slip = slip(Code::WrongBrewKind, &[Drop("brew_kind")]);
const AS_FILTER: Slip = slip(
    Code::WrongBrewKind,
    &[Set("brew_kind", Fixed::Word("filter"))],
);

const DOSE: Ask = ask("dose_g", "the dose");
const BEVERAGE: Ask = ask("beverage_mass_g", "the mass of the beverage");
const WATER: Ask = ask("water_mass_g", "the mass of the brewing water");
const BREW_RATIO: Ask = ask("brew_ratio", "the brew ratio (beverage over dose)");
const WATER_RATIO: Ask = ask("water_ratio", "the water ratio (water over dose)");
const SOLIDS: Ask = ask("dissolved_solids_g", "the mass of dissolved solids");
const YIELD: Ask = ask("extraction_yield_percent", "the extraction yield");

pub(super) const RATIO: &[Variant] = &[
    Variant {
        level: 1,
        told: "A barista doses {dose_g} of coffee for an espresso at a brew ratio (beverage over dose) of {brew_ratio}. The grounds hold back their own mass of liquid, as is usual for espresso.",
        fixed: &[],
        draws: &[
            between("dose_g", (160, 210), 1),
            between("brew_ratio", (160, 290), 2),
        ],
        asks: &[BEVERAGE, WATER],
        slips: &[slip(Code::UpsideDown, &[Invert("brew_ratio")]), AS_FILTER],
    },
    Variant {
        level: 2,
        told: "A filter brew takes {water_mass_g} of water, {water_ratio} times the mass of the coffee. The grounds hold back twice their mass of liquid, as is usual for filter.",
        fixed: &[FILTER],
        draws: &[
            between("water_mass_g", (250, 1000), 0),
            between("water_ratio", (150, 175), 1),
        ],
        asks: &[DOSE, BREW_RATIO, BEVERAGE],
        slips: &[AS_ESPRESSO],
    },
    Variant {
        level: 3,
        told: "For a filter brew everything was weighed: {dose_g} of coffee, {water_mass_g} of water, and {beverage_mass_g} of beverage in the jug.",
        fixed: &[FILTER],
        draws: &[
            between("dose_g", (150, 320), 1),
            Draw::Times("dose_g", number("water_mass_g", (1550, 1750), 1)),
            Draw::Times("water_mass_g", number("beverage_mass_g", (86, 89), 1)),
        ],
        asks: &[
            BREW_RATIO,
            WATER_RATIO,
            ask(
                "retained_ratio",
                "the mass of liquid held back per gram of coffee",
            )
            .to(2),
            ask("retained_liquid_g", "the mass of liquid held back"),
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
        told: "A double espresso is pulled from {dose_g} of ground coffee. The cup holds {beverage_mass_g} of beverage, whose strength (dissolved solids by mass) is {tds_percent}.",
        fixed: &[],
        draws: &[
            between("dose_g", (170, 205), 1),
            Draw::Times("dose_g", number("beverage_mass_g", (190, 230), 1)),
            between("tds_percent", (850, 1000), 2),
        ],
        asks: &[BREW_RATIO, SOLIDS, YIELD],
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
        asks: &[BREW_RATIO, SOLIDS, YIELD],
        slips: &[
            slip(Code::SwappedMasses, &[Swap("dose_g", "beverage_mass_g")]),
            FRACTION,
            FOR_PERCOLATION,
        ],
    },
    Variant {
        level: 2,
        told: "{water_mass_g} of water are poured on {dose_g} of ground coffee in a jug, and stirred until the strength rises no more. The liquid, in the cup and between the grounds alike, then has a strength of {tds_percent}.",
        fixed: &[IMMERSION],
        draws: &[
            between("dose_g", (110, 300), 1),
            Draw::Times("dose_g", number("water_mass_g", (1550, 1800), 1)),
            between("tds_percent", (115, 135), 2),
        ],
        asks: &[SOLIDS, YIELD],
        slips: &[
            FOR_IMMERSION,
            slip(Code::SwappedMasses, &[Swap("dose_g", "water_mass_g")]),
            FRACTION,
        ],
    },
    Variant {
        level: 3,
        told: "A filter brew of {dose_g} of coffee gives {beverage_mass_g} of beverage. Five readings of its strength are {tds_readings_percent}. The balances are taken as rectangular distributions with a half-width of {dose_half_width_g} for the dose and {beverage_mass_half_width_g} for the beverage; the calibration of the refractometer has a standard uncertainty of {tds_uncertainty_percent}. The scatter of the mean counts, too; Student's t with the effective degrees of freedom gives the coverage factor.",
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
            ask("tds_percent", "the mean strength"),
            SOLIDS,
            YIELD.within("uncertainty.standard_points"),
            ask(
                "dose standard uncertainty",
                "the standard uncertainty of the dose",
            )
            .to(2),
            ask(
                "uncertainty.standard_points",
                "the standard uncertainty of the yield",
            )
            .to(2),
            ask(
                "uncertainty.expanded_points",
                "the expanded uncertainty of the yield for 95 %",
            )
            .to(2),
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
        told: "An espresso from {dose_g} of coffee is to have a strength of {target_tds_percent} at a yield of {target_extraction_yield_percent}. The grounds hold back their own mass of liquid.",
        fixed: &[],
        draws: &[
            between("dose_g", (170, 205), 1),
            between("target_tds_percent", (85, 110), 1),
            between("target_extraction_yield_percent", (180, 220), 1),
        ],
        asks: &[BREW_RATIO, BEVERAGE, WATER, SOLIDS],
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
        told: "An immersion that gives {beverage_mass_g} in the cup is to have a strength of {target_tds_percent} at a yield of {target_extraction_yield_percent}. The grounds hold back twice their mass of liquid, as strong as the cup.",
        fixed: &[IMMERSION],
        draws: &[
            between("beverage_mass_g", (200, 400), 0),
            between("target_tds_percent", (120, 140), 2),
            between("target_extraction_yield_percent", (185, 220), 1),
        ],
        asks: &[WATER_RATIO, DOSE, WATER],
        slips: &[slip(
            Code::PercolationForImmersion,
            &[Set("brew_kind", Fixed::Word("filter"))],
        )],
    },
    Variant {
        level: 3,
        told: "{cup_ml} of filter coffee at {beverage_temperature_c} are to have a strength of {target_tds_percent} at a yield of {target_extraction_yield_percent}. It is brewed to a strength of {brew_tds_percent} and let down with water in the cup. Take the density of water at that temperature from a table, and 0.41 % more of it for each per cent of strength.",
        fixed: &[FILTER],
        draws: &[
            between("cup_ml", (200, 400), 0),
            between("beverage_temperature_c", (60, 80), 0),
            between("target_tds_percent", (120, 135), 2),
            between("target_extraction_yield_percent", (185, 215), 1),
            between("brew_tds_percent", (150, 180), 2),
        ],
        asks: &[
            ask("final_beverage_mass_g", "the mass of the finished drink"),
            ask(
                "beverage_mass_g",
                "the mass of the brew before it is let down",
            ),
            DOSE,
            ask("bypass_water_g", "the mass of water added in the cup").to(2),
        ],
        slips: &[],
    },
];

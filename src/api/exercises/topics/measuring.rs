//! Exercises about measuring the strength: by refraction and by the oven.
//!
//! Espresso reads 9.8 to 13.4 % on a sugar scale and has 8 to 10.5 % of solids (common practice, no
//! source).

use super::super::diagnosis::DiagnosisCode as Code;
use super::super::topic::Change::{Drop, Move, Scale, Set, Swap};
use super::super::topic::{Ask, Draw, Fixed, Slip, Variant, ask, between, number, slip, times};

/// The lightest dish that `oven-drying` takes, in place of none.
const LIGHTEST_DISH_G: f64 = 0.001;
const SQRT_3: f64 = 1.732_050_807_568_877_2;

const COMPENSATED: &[(&str, Fixed)] = &[
    ("temperature_compensated", Fixed::Flag(true)),
    ("sample_filtered", Fixed::Flag(true)),
];
const MEAN: Ask = ask("mean_reading", "the mean reading");
const STRENGTH: Ask = ask("tds_percent", "the strength of the espresso");
const NO_FACTOR: Slip = slip(
    Code::NoCoffeeFactor,
    &[Set("solids_per_brix", Fixed::Number(1.0))],
);

pub(super) const REFRACTOMETRY: &[Variant] = &[
    Variant {
        level: 1,
        told: "A refractometer with a sugar scale, compensated for temperature, shows {brix_percent} for a filtered espresso. For each per cent on the sugar scale there are {solids_per_brix} per cent of coffee solids.",
        fixed: COMPENSATED,
        draws: &[
            between("brix_percent", (980, 1340), 2),
            between("solids_per_brix", (800, 850), 3),
        ],
        asks: &[STRENGTH],
        slips: &[NO_FACTOR],
    },
    Variant {
        level: 2,
        told: "A refractometer with a sugar scale, compensated for temperature, is read four times on one filtered espresso: {brix_readings_percent}. An oven gave {solids_per_brix} per cent of coffee solids for each per cent on the sugar scale.",
        fixed: COMPENSATED,
        draws: &[
            Draw::Readings(4, 9, number("brix_readings_percent", (980, 1340), 2)),
            between("solids_per_brix", (800, 850), 3),
        ],
        asks: &[MEAN, STRENGTH],
        slips: &[NO_FACTOR],
    },
    Variant {
        level: 3,
        told: "A refractometer with a sugar scale, compensated for temperature, is read five times on one filtered espresso: {brix_readings_percent}. One reading may be off by {reading_half_width:bare} % either way, and the {solids_per_brix} per cent of coffee solids for each per cent on the scale by {solids_per_brix_half_width:bare}, both as rectangular distributions. The scatter of the mean counts, too.",
        fixed: COMPENSATED,
        draws: &[
            Draw::Readings(5, 9, number("brix_readings_percent", (980, 1340), 2)),
            between("reading_half_width", (10, 20), 2),
            between("solids_per_brix", (800, 850), 3),
            between("solids_per_brix_half_width", (8, 20), 3),
        ],
        asks: &[
            MEAN,
            STRENGTH.within("uncertainty.standard_points"),
            ask(
                "solids per Brix standard uncertainty",
                "the standard uncertainty of the factor",
            )
            .to(2),
            ask(
                "uncertainty.standard_points",
                "the standard uncertainty of the strength",
            )
            .to(2),
        ],
        slips: &[
            slip(
                Code::HalfWidthForStandardUncertainty,
                &[
                    Move("reading_half_width", "reading_uncertainty"),
                    Move("solids_per_brix_half_width", "solids_per_brix_uncertainty"),
                ],
            ),
            times(
                Code::HalfWidthForStandardUncertainty,
                "solids per Brix standard uncertainty",
                SQRT_3,
            ),
            NO_FACTOR,
        ],
    },
];

const DRY: Ask = ask("solids_percent", "the share of solids in the sample");
const YIELD: Ask = ask("extraction_yield_percent", "the extraction yield");
const TARE_FORGOTTEN: Slip = slip(
    Code::TareForgotten,
    &[Set("tare_mass_g", Fixed::Number(LIGHTEST_DISH_G))],
);
const ESPRESSO: &[(&str, Fixed)] = &[("sample_filtered", Fixed::Flag(true))];

pub(super) const OVEN_DRYING: &[Variant] = &[
    Variant {
        level: 1,
        told: "A sample of espresso is dried in an oven. The dish weighs {tare_mass_g} empty, {wet_mass_g} with the sample, and {dry_mass_g} when it is dry.",
        fixed: ESPRESSO,
        draws: &[
            between("tare_mass_g", (1150, 1350), 3),
            Draw::Plus("tare_mass_g", number("wet_mass_g", (9000, 11000), 3)),
            Draw::Plus("tare_mass_g", number("dry_mass_g", (790, 960), 3)),
        ],
        asks: &[DRY],
        slips: &[TARE_FORGOTTEN],
    },
    Variant {
        level: 2,
        told: "An espresso from {dose_g} of coffee weighs {beverage_mass_g}. A filtered sample of it is dried in an oven: the dish weighs {tare_mass_g} empty, {wet_mass_g} with the sample, and {dry_mass_g} dry.",
        fixed: ESPRESSO,
        draws: &[
            between("dose_g", (170, 200), 1),
            Draw::Times("dose_g", number("beverage_mass_g", (200, 220), 1)),
            between("tare_mass_g", (1150, 1350), 3),
            Draw::Plus("tare_mass_g", number("wet_mass_g", (9700, 10300), 3)),
            Draw::Plus("tare_mass_g", number("dry_mass_g", (830, 960), 3)),
        ],
        asks: &[DRY, YIELD],
        slips: &[
            slip(Code::SwappedMasses, &[Swap("dose_g", "beverage_mass_g")]),
            // without the dose, since no yield is as high as the one that would follow
            slip(
                Code::TareForgotten,
                &[
                    Drop("dose_g"),
                    Drop("beverage_mass_g"),
                    Set("tare_mass_g", Fixed::Number(LIGHTEST_DISH_G)),
                ],
            ),
        ],
    },
    Variant {
        level: 3,
        told: "All the spent grounds of an immersion of {dose_g} of coffee are dried: the tray weighs {tare_mass_g} empty, {wet_mass_g} with the wet grounds, and {dry_mass_g} dry. The moisture of the coffee was {coffee_moisture_percent}. The liquid that the grounds hold is as strong as the cup, {tds_percent}; its solids dry with the grounds. Both yields are shares of the dose.",
        fixed: &[
            ("sample", Fixed::Word("spent_grounds")),
            ("brew_kind", Fixed::Word("immersion")),
        ],
        draws: &[
            between("dose_g", (2160, 2240), 2),
            between("tare_mass_g", (8000, 9000), 2),
            Draw::Plus("tare_mass_g", number("wet_mass_g", (5400, 5800), 2)),
            Draw::Plus("tare_mass_g", number("dry_mass_g", (1740, 1790), 2)),
            between("coffee_moisture_percent", (10, 25), 1),
            between("tds_percent", (125, 145), 2),
        ],
        asks: &[
            ask("solids_percent", "the share of solids in the wet grounds"),
            ask(
                "extraction_yield_percent",
                "the extraction yield by the loss of dry mass",
            )
            .to(2),
            ask(
                "held_solids_g",
                "the mass of solids in the liquid that the grounds hold",
            ),
            ask(
                "corrected_extraction_yield_percent",
                "the extraction yield with these counted as extracted",
            )
            .to(2),
        ],
        slips: &[
            slip(
                Code::PercentForFraction,
                &[Scale("coffee_moisture_percent", 0.01)],
            ),
            slip(Code::PercentForFraction, &[Scale("tds_percent", 0.01)]),
        ],
    },
];

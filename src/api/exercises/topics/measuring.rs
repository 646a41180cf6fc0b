//! Exercises about measuring the strength: by refraction and by the oven.

use super::super::diagnosis::DiagnosisCode as Code;
use super::super::topic::Change::{Drop, Scale, Set, Swap};
use super::super::topic::{Draw, Fixed, Variant, ask, ask_within, between, number, slip};

/// The lightest dish that `oven-drying` takes, in place of none.
const LIGHTEST_DISH_G: f64 = 0.001;
const STANDARD: &str = "uncertainty.standard_points";

pub(super) const REFRACTOMETRY: &[Variant] = &[
    Variant {
        level: 1,
        told: "A refractometer with a sugar scale shows {brix_percent} for a filtered espresso, compensated for temperature. One per cent on the sugar scale is {solids_per_brix} per cent of coffee solids.",
        fixed: &[
            ("temperature_compensated", Fixed::Flag(true)),
            ("sample_filtered", Fixed::Flag(true)),
        ],
        draws: &[
            between("brix_percent", (980, 1340), 2),
            between("solids_per_brix", (80, 85), 2),
        ],
        asks: &[ask("tds_percent")],
        slips: &[slip(
            Code::NoCoffeeFactor,
            &[Set("solids_per_brix", Fixed::Number(1.0))],
        )],
    },
    Variant {
        level: 2,
        told: "A refractometer for coffee shows {tds_readings_percent} for one filtered sample, and {zero_tds_percent} for pure water. Its scale takes {solids_per_brix} per cent of coffee solids for one per cent of sugar. The half-width of its last digit is {reading_half_width} %.",
        fixed: &[("sample_filtered", Fixed::Flag(true))],
        draws: &[
            Draw::Readings(4, 1, number("tds_readings_percent", (125, 145), 2)),
            between("zero_tds_percent", (2, 5), 2),
            between("solids_per_brix", (82, 86), 2),
            between("reading_half_width", (5, 5), 3),
        ],
        asks: &[ask("mean_reading"), ask_within("tds_percent", STANDARD)],
        slips: &[slip(Code::ZeroIgnored, &[Drop("zero_tds_percent")])],
    },
];

pub(super) const OVEN_DRYING: &[Variant] = &[
    Variant {
        level: 1,
        told: "A dish weighs {tare_mass_g} empty, {wet_mass_g} with a sample of espresso, and {dry_mass_g} after a night in the oven.",
        fixed: &[("sample_filtered", Fixed::Flag(true))],
        draws: &[
            between("tare_mass_g", (1150, 1350), 3),
            Draw::Plus("tare_mass_g", number("wet_mass_g", (9000, 11000), 3)),
            Draw::Plus("tare_mass_g", number("dry_mass_g", (790, 960), 3)),
        ],
        asks: &[ask("solids_percent")],
        slips: &[slip(
            Code::TareForgotten,
            &[Set("tare_mass_g", Fixed::Number(LIGHTEST_DISH_G))],
        )],
    },
    Variant {
        level: 2,
        told: "The espresso of {dose_g} of coffee weighs {beverage_mass_g}. A filtered sample of it is dried: the dish weighs {tare_mass_g} empty, {wet_mass_g} with the sample, and {dry_mass_g} dry.",
        fixed: &[("sample_filtered", Fixed::Flag(true))],
        draws: &[
            between("dose_g", (170, 200), 1),
            Draw::Times("dose_g", number("beverage_mass_g", (180, 220), 1)),
            between("tare_mass_g", (1150, 1350), 3),
            Draw::Plus("tare_mass_g", number("wet_mass_g", (9000, 11000), 3)),
            Draw::Plus("tare_mass_g", number("dry_mass_g", (820, 980), 3)),
        ],
        asks: &[ask("solids_percent"), ask("extraction_yield_percent")],
        slips: &[slip(
            Code::SwappedMasses,
            &[Swap("dose_g", "beverage_mass_g")],
        )],
    },
    Variant {
        level: 3,
        told: "The spent grounds of an immersion of {dose_g} of coffee are dried: the tray weighs {tare_mass_g} empty, {wet_mass_g} with the wet grounds, and {dry_mass_g} dry. The coffee had {coffee_moisture_percent} of moisture, and the cup a strength of {tds_percent}, as has the liquid that the grounds hold.",
        fixed: &[
            ("sample", Fixed::Word("spent_grounds")),
            ("brew_kind", Fixed::Word("immersion")),
        ],
        draws: &[
            between("dose_g", (200, 240), 1),
            between("tare_mass_g", (8000, 9000), 2),
            Draw::Plus("tare_mass_g", number("wet_mass_g", (5400, 5800), 2)),
            Draw::Plus("tare_mass_g", number("dry_mass_g", (1600, 1680), 2)),
            between("coffee_moisture_percent", (10, 25), 1),
            between("tds_percent", (125, 145), 2),
        ],
        asks: &[
            ask("solids_percent"),
            ask("extraction_yield_percent"),
            ask("held_solids_g"),
            ask("corrected_extraction_yield_percent"),
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

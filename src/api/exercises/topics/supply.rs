//! Exercises about baskets, beans and units.

use super::super::diagnosis::DiagnosisCode as Code;
use super::super::topic::Change::{Drop, Swap};
use super::super::topic::{
    Ask, Change, Draw, Fixed, Slip, Variant, ask, between, number, slip, times,
};

const DEPTH: Ask = ask("tamped_depth_mm", "the depth of the tamped bed");
const CYLINDER: Slip = slip(Code::CylinderForCone, &[Drop("bottom_diameter_mm")]);

pub(super) const BASKET_CAPACITY: &[Variant] = &[
    Variant {
        level: 1,
        told: "A straight basket has a diameter of {diameter_mm}. It holds as much for its area as one of 58 mm that holds 22 g. {dose_g} of coffee are tamped in it to 0.55 g/mL.",
        fixed: &[],
        draws: &[
            between("diameter_mm", (490, 585), 1),
            between("dose_g", (140, 180), 1),
        ],
        asks: &[
            ask("bed_area_mm2", "the area of the bed"),
            ask("dose_max_g", "the largest dose that it holds"),
            DEPTH,
        ],
        slips: &[
            times(Code::DiameterForRadius, "bed_area_mm2", 4.0),
            times(Code::DiameterForRadius, "tamped_depth_mm", 0.25),
        ],
    },
    Variant {
        level: 2,
        told: "A basket is {depth_mm} deep, {diameter_mm} wide at its rim and {bottom_diameter_mm} at its bottom, and narrows evenly. {dose_g} of coffee are tamped in it to {tamped_density_g_per_ml}.",
        fixed: &[],
        draws: &[
            between("depth_mm", (240, 270), 1),
            between("diameter_mm", (575, 585), 1),
            between("bottom_diameter_mm", (545, 565), 1),
            between("dose_g", (170, 190), 1),
            between("tamped_density_g_per_ml", (520, 580), 3),
        ],
        asks: &[
            ask("volume_ml", "the volume of the basket"),
            DEPTH,
            ask("headspace_left_mm", "the room between the bed and the rim"),
        ],
        slips: &[CYLINDER],
    },
    Variant {
        level: 3,
        told: "A basket is {depth_mm} deep, {diameter_mm} wide at its rim and {bottom_diameter_mm} at its bottom, and narrows evenly. Coffee is tamped in it to {tamped_density_g_per_ml:bare} g/mL, and {headspace_mm} are to stay free between the bed and the rim.",
        fixed: &[],
        draws: &[
            between("depth_mm", (240, 270), 1),
            between("diameter_mm", (575, 585), 1),
            between("bottom_diameter_mm", (545, 565), 1),
            between("headspace_mm", (90, 115), 1),
            between("tamped_density_g_per_ml", (520, 580), 3),
        ],
        asks: &[
            ask("volume_ml", "the volume of the basket"),
            ask("dose_max_g", "the largest dose"),
        ],
        slips: &[CYLINDER],
    },
];

const USE: Ask = ask("daily_use_g", "the mass of beans that it uses in a day");
/// Dates that the calculation wants, and that change nothing about the mass of an order.
const FRESH: &[(&str, Fixed)] = &[
    ("roast_date", Fixed::Word("2026-01-05")),
    ("brew_date", Fixed::Word("2026-01-14")),
];

pub(super) const BEAN_SUPPLY: &[Variant] = &[
    Variant {
        level: 1,
        told: "Beans were roasted on {roast_date} and are brewed on {brew_date}; of that time they lay {frozen_days} in the freezer. Days in the freezer do not count as age. They are at their best up to an age of 30 days.",
        fixed: &[],
        draws: &[
            Draw::Day("2026-01-05", number("roast_date", (0, 90), 0)),
            Draw::Day("roast_date", number("brew_date", (25, 29), 0)),
            between("frozen_days", (9, 14), 0),
        ],
        asks: &[
            ask("age_days", "the age of the beans").to(2),
            ask("days_left", "how long they stay at their best").to(2),
        ],
        slips: &[slip(Code::FreezerForgotten, &[Drop("frozen_days")])],
    },
    Variant {
        level: 2,
        told: "A bar pulls {daily_shots:bare} doses of {dose_g} a day; {waste_percent} of the beans that it buys are wasted. It orders every {order_every_days}.",
        fixed: FRESH,
        draws: &[
            between("daily_shots", (60, 220), 0),
            between("dose_g", (170, 200), 1),
            between("waste_percent", (30, 90), 1),
            between("order_every_days", (5, 14), 0),
        ],
        asks: &[USE, ask("order_mass_g", "the mass of one order")],
        slips: &[slip(Code::WasteForgotten, &[Drop("waste_percent")])],
    },
    Variant {
        level: 3,
        told: "A bar pulls {daily_shots:bare} doses of {dose_g} a day; {waste_percent} of the beans that it buys are wasted. What it uses of them varies from day to day with a standard deviation of {daily_spread_g}. An order takes {lead_time_days} to arrive. It is placed when the stock is down to the use of that time and {safety_factor:bare} standard deviations of it more; independent days add by their squares.",
        fixed: FRESH,
        draws: &[
            between("daily_shots", (60, 220), 0),
            between("dose_g", (170, 200), 1),
            between("daily_spread_g", (150, 500), 0),
            between("waste_percent", (30, 90), 1),
            between("lead_time_days", (2, 6), 0),
            between("safety_factor", (128, 196), 2),
        ],
        asks: &[
            USE,
            ask("reorder_point_g", "the stock at which it is placed"),
        ],
        slips: &[slip(Code::WasteForgotten, &[Drop("waste_percent")])],
    },
];

const NO_AIR: &[Change] = &[
    Drop("from_pressure_kind"),
    Drop("to_pressure_kind"),
    Drop("air_pressure_hpa"),
];
const WRONG_WAY: Slip = slip(Code::WrongWayRound, &[Swap("from_unit", "to_unit")]);

pub(super) const UNIT_CONVERSION: &[Variant] = &[
    Variant {
        level: 1,
        told: "The label of a bag says {value} oz (avoirdupois).",
        fixed: &[
            ("from_unit", Fixed::Word("[oz_av]")),
            ("to_unit", Fixed::Word("g")),
        ],
        draws: &[between("value", (80, 350), 1)],
        asks: &[ask("converted_value", "the mass")],
        slips: &[WRONG_WAY],
    },
    Variant {
        level: 1,
        told: "A kettle is set to {value} °F.",
        fixed: &[
            ("from_unit", Fixed::Word("[degF]")),
            ("to_unit", Fixed::Word("Cel")),
        ],
        draws: &[between("value", (1900, 2090), 1)],
        asks: &[ask("converted_value", "the temperature")],
        slips: &[WRONG_WAY],
    },
    Variant {
        level: 2,
        told: "The gauge of a boiler shows {value} psi where a barometer shows {air_pressure_hpa}.",
        fixed: &[
            ("from_unit", Fixed::Word("[psi]")),
            ("to_unit", Fixed::Word("bar")),
            ("from_pressure_kind", Fixed::Word("gauge")),
            ("to_pressure_kind", Fixed::Word("absolute")),
        ],
        draws: &[
            between("value", (150, 280), 1),
            between("air_pressure_hpa", (740, 1020), 0),
        ],
        asks: &[
            ask("same_kind_value", "the pressure above that of the air"),
            ask("converted_value", "the absolute pressure"),
        ],
        slips: &[slip(Code::GaugeForAbsolute, NO_AIR)],
    },
    Variant {
        level: 3,
        told: "A table of steam in old units gives an absolute pressure of {value} psi for the temperature of a boiler. A barometer shows {air_pressure_hpa}.",
        fixed: &[
            ("from_unit", Fixed::Word("[psi]")),
            ("to_unit", Fixed::Word("bar")),
            ("from_pressure_kind", Fixed::Word("absolute")),
            ("to_pressure_kind", Fixed::Word("gauge")),
        ],
        draws: &[
            between("value", (280, 380), 1),
            between("air_pressure_hpa", (740, 1020), 0),
        ],
        asks: &[
            ask("same_kind_value", "that absolute pressure"),
            ask("converted_value", "what a gauge on the boiler shows"),
        ],
        slips: &[slip(Code::AbsoluteForGauge, NO_AIR)],
    },
];

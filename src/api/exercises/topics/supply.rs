//! Exercises about baskets, beans and units.

use super::super::diagnosis::DiagnosisCode as Code;
use super::super::topic::Change::{Drop, Swap};
use super::super::topic::{Draw, Fixed, Slip, Variant, ask, ask_to, between, number, slip};

pub(super) const BASKET_CAPACITY: &[Variant] = &[
    Variant {
        level: 1,
        told: "A basket has a diameter of {diameter_mm}. Its largest dose is that of a 58 mm basket for 22 g, scaled by the area. {dose_g} of coffee are tamped in it to 0.55 g/mL.",
        fixed: &[],
        draws: &[
            between("diameter_mm", (490, 585), 1),
            between("dose_g", (140, 180), 1),
        ],
        asks: &[
            ask("bed_area_mm2"),
            ask("dose_max_g"),
            ask("tamped_depth_mm"),
        ],
        slips: &[Slip {
            code: Code::DiameterForRadius,
            changes: &[],
            scaled: Some(("bed_area_mm2", 4.0)),
        }],
    },
    Variant {
        level: 2,
        told: "A basket is {depth_mm} deep, {diameter_mm} wide at its rim and {bottom_diameter_mm} at its bottom. {dose_g} of coffee are tamped in it to {tamped_density_g_per_ml}.",
        fixed: &[],
        draws: &[
            between("depth_mm", (240, 270), 1),
            between("diameter_mm", (575, 585), 1),
            between("bottom_diameter_mm", (545, 565), 1),
            between("dose_g", (170, 190), 1),
            between("tamped_density_g_per_ml", (52, 58), 2),
        ],
        asks: &[
            ask("volume_ml"),
            ask("tamped_depth_mm"),
            ask("headspace_left_mm"),
        ],
        slips: &[slip(Code::CylinderForCone, &[Drop("bottom_diameter_mm")])],
    },
];

pub(super) const BEAN_SUPPLY: &[Variant] = &[
    Variant {
        level: 1,
        told: "Beans were roasted on {roast_date} and are brewed on {brew_date}; of that time they lay {frozen_days} in the freezer. They are at their best up to 30 days of age.",
        fixed: &[],
        draws: &[
            Draw::Day("2026-01-05", number("roast_date", (0, 90), 0)),
            Draw::Day("roast_date", number("brew_date", (18, 34), 0)),
            between("frozen_days", (6, 14), 0),
        ],
        asks: &[ask_to("age_days", 2), ask_to("days_left", 2)],
        slips: &[slip(Code::FreezerForgotten, &[Drop("frozen_days")])],
    },
    Variant {
        level: 2,
        told: "A bar pulls {daily_shots} doses of {dose_g} a day; {waste_percent} of the beans are wasted. It orders every {order_every_days}. The beans are roasted on {roast_date} and brewed on {brew_date}.",
        fixed: &[],
        draws: &[
            between("daily_shots", (60, 220), 0),
            between("dose_g", (170, 200), 1),
            between("waste_percent", (30, 90), 1),
            between("order_every_days", (5, 14), 0),
            Draw::Day("2026-01-05", number("roast_date", (0, 90), 0)),
            Draw::Day("roast_date", number("brew_date", (6, 12), 0)),
        ],
        asks: &[ask("daily_use_g"), ask("order_mass_g")],
        slips: &[slip(Code::WasteForgotten, &[Drop("waste_percent")])],
    },
    Variant {
        level: 3,
        told: "A bar pulls {daily_shots} doses of {dose_g} a day, with a standard deviation of {daily_spread_g} from day to day; {waste_percent} of the beans are wasted. An order takes {lead_time_days} to arrive, and the safety factor is {safety_factor}. The beans are roasted on {roast_date} and brewed on {brew_date}.",
        fixed: &[],
        draws: &[
            between("daily_shots", (60, 220), 0),
            between("dose_g", (170, 200), 1),
            between("daily_spread_g", (150, 500), 0),
            between("waste_percent", (30, 90), 1),
            between("lead_time_days", (2, 6), 0),
            between("safety_factor", (128, 196), 2),
            Draw::Day("2026-01-05", number("roast_date", (0, 90), 0)),
            Draw::Day("roast_date", number("brew_date", (6, 12), 0)),
        ],
        asks: &[ask("daily_use_g"), ask("reorder_point_g")],
        slips: &[slip(Code::WasteForgotten, &[Drop("waste_percent")])],
    },
];

const WRONG_WAY: Slip = slip(Code::WrongWayRound, &[Swap("from_unit", "to_unit")]);

pub(super) const UNIT_CONVERSION: &[Variant] = &[
    Variant {
        level: 1,
        told: "A bag says {value} oz (avoirdupois) of beans. How many grams is that?",
        fixed: &[
            ("from_unit", Fixed::Word("[oz_av]")),
            ("to_unit", Fixed::Word("g")),
        ],
        draws: &[between("value", (80, 350), 1)],
        asks: &[ask("converted_value")],
        slips: &[WRONG_WAY],
    },
    Variant {
        level: 1,
        told: "A kettle is set to {value} °F. How many degrees Celsius is that?",
        fixed: &[
            ("from_unit", Fixed::Word("[degF]")),
            ("to_unit", Fixed::Word("Cel")),
        ],
        draws: &[between("value", (1900, 2090), 1)],
        asks: &[ask("converted_value")],
        slips: &[WRONG_WAY],
    },
    Variant {
        level: 2,
        told: "A gauge shows {value} psi where a barometer shows {air_pressure_hpa}. What is the absolute pressure in bar?",
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
        asks: &[ask("same_kind_value"), ask("converted_value")],
        slips: &[slip(
            Code::GaugeForAbsolute,
            &[
                Drop("from_pressure_kind"),
                Drop("to_pressure_kind"),
                Drop("air_pressure_hpa"),
            ],
        )],
    },
];

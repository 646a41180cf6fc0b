//! Exercises about a drink on a menu: water, milk, beans and their cost.

use super::super::diagnosis::DiagnosisCode as Code;
use super::super::topic::Change::Drop;
use super::super::topic::{Fixed, Variant, ask, between, slip};

pub(super) const RECIPES: &[Variant] = &[
    Variant {
        level: 1,
        told: "For a filter coffee a bar takes {dose_g} of coffee and {water_ratio} times as much water. The grounds hold back twice their mass of liquid, as is usual for filter.",
        fixed: &[
            ("drink", Fixed::Word("filter")),
            ("cup_ml", Fixed::Number(450.0)),
        ],
        draws: &[
            between("dose_g", (150, 240), 1),
            between("water_ratio", (155, 170), 1),
        ],
        asks: &[
            ask("ratio.water_mass_g", "the mass of the brewing water"),
            ask("ratio.beverage_mass_g", "the mass of the coffee in the cup"),
        ],
        slips: &[],
    },
    Variant {
        level: 2,
        told: "For a flat white a bar pulls {dose_g} of coffee at a brew ratio (beverage over dose) of {brew_ratio}, and takes {milk_to_beverage_ratio} times as much milk, by mass, as there is espresso. The grounds hold back their own mass of liquid.",
        fixed: &[
            ("drink", Fixed::Word("flat_white")),
            ("cup_ml", Fixed::Number(250.0)),
        ],
        draws: &[
            between("dose_g", (170, 200), 1),
            between("brew_ratio", (190, 230), 2),
            between("milk_to_beverage_ratio", (250, 350), 2),
        ],
        asks: &[
            ask("ratio.beverage_mass_g", "the mass of the espresso"),
            ask("ratio.water_mass_g", "the mass of the brewing water"),
            ask("milk_g", "the mass of the milk"),
        ],
        slips: &[],
    },
    Variant {
        level: 3,
        told: "A bar serves {servings:bare} espressos from {dose_g} of coffee each; {waste_percent} of the beans that it buys are wasted, at EUR {bean_price_per_kg:bare} a kilogram.",
        fixed: &[
            ("drink", Fixed::Word("espresso")),
            ("currency", Fixed::Word("EUR")),
        ],
        draws: &[
            between("servings", (12, 60), 0),
            between("dose_g", (170, 200), 1),
            between("waste_percent", (30, 90), 1),
            between("bean_price_per_kg", (2400, 3900), 2),
        ],
        asks: &[
            ask("totals.beans_g", "the mass of beans to be bought"),
            ask("totals.cost.beans", "their cost").in_unit("EUR"),
        ],
        slips: &[slip(Code::WasteForgotten, &[Drop("waste_percent")])],
    },
];

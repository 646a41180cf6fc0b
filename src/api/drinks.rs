//! Drinks by the names that the trade calls them, with the proportions that it usually takes.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use super::brew_kind::BrewKind;

/// Id of the source of every proportion here.
pub const SOURCE: &str = "recipe-practice";

/// A drink by the name that the trade calls it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum DrinkId {
    /// Espresso at a brew ratio of 2.
    #[default]
    Espresso,
    /// Short espresso, at a brew ratio of 1.25.
    Ristretto,
    /// Long espresso, at a brew ratio of 3.
    Lungo,
    /// Espresso with three times its mass of hot water.
    Americano,
    /// Espresso with a spoon of foamed milk.
    Macchiato,
    /// Espresso with as much milk, hardly foamed.
    Cortado,
    /// Espresso with three times its mass of milk, foamed finely.
    FlatWhite,
    /// Espresso with two and a half times its mass of milk, foamed well.
    Cappuccino,
    /// Espresso with five times its mass of milk, foamed a little.
    Latte,
    /// Filter coffee at a water ratio of 16.5.
    Filter,
    /// Steeped coffee at a water ratio of 16.
    Immersion,
}

/// How a drink is usually made. Common practice, no source: bars differ, and every number can be
/// overridden.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drink {
    /// Its name.
    pub id: DrinkId,
    /// How its coffee is brewed.
    pub brew_kind: BrewKind,
    /// Beverage over dose for espresso, brew water over dose for other brews.
    pub ratio: f64,
    /// Milk, cold and by mass, over the beverage of a serving.
    pub milk_to_beverage: f64,
    /// Hot water added to the cup, by mass, over the beverage of a serving.
    pub water_to_beverage: f64,
    /// Air worked into the milk, by volume of the hot liquid.
    pub air: f64,
    /// Shortest and longest time from pump on, or from the first water, to the end.
    pub time_s: (f64, f64),
}

const ESPRESSO: Drink = Drink {
    id: DrinkId::Espresso,
    brew_kind: BrewKind::Espresso,
    ratio: 2.0,
    milk_to_beverage: 0.0,
    water_to_beverage: 0.0,
    air: 0.0,
    time_s: (25.0, 35.0),
};

/// An espresso with so much milk and air.
const fn with_milk(id: DrinkId, milk_to_beverage: f64, air: f64) -> Drink {
    Drink {
        id,
        milk_to_beverage,
        air,
        ..ESPRESSO
    }
}

/// All drinks, in the order of the names.
pub const DRINKS: [Drink; 11] = [
    ESPRESSO,
    Drink {
        id: DrinkId::Ristretto,
        ratio: 1.25,
        time_s: (20.0, 30.0),
        ..ESPRESSO
    },
    Drink {
        id: DrinkId::Lungo,
        ratio: 3.0,
        time_s: (30.0, 45.0),
        ..ESPRESSO
    },
    Drink {
        id: DrinkId::Americano,
        water_to_beverage: 3.0,
        ..ESPRESSO
    },
    with_milk(DrinkId::Macchiato, 0.3, 0.5),
    with_milk(DrinkId::Cortado, 1.0, 0.1),
    with_milk(DrinkId::FlatWhite, 3.0, 0.15),
    with_milk(DrinkId::Cappuccino, 2.5, 0.4),
    with_milk(DrinkId::Latte, 5.0, 0.15),
    Drink {
        id: DrinkId::Filter,
        brew_kind: BrewKind::Filter,
        ratio: 16.5,
        time_s: (150.0, 240.0),
        ..ESPRESSO
    },
    Drink {
        id: DrinkId::Immersion,
        brew_kind: BrewKind::Immersion,
        ratio: 16.0,
        time_s: (210.0, 300.0),
        ..ESPRESSO
    },
];

impl DrinkId {
    /// How it is usually made.
    #[must_use]
    pub const fn drink(self) -> &'static Drink {
        const ALL: &[Drink; 11] = &DRINKS;
        match self {
            Self::Espresso => &ALL[0],
            Self::Ristretto => &ALL[1],
            Self::Lungo => &ALL[2],
            Self::Americano => &ALL[3],
            Self::Macchiato => &ALL[4],
            Self::Cortado => &ALL[5],
            Self::FlatWhite => &ALL[6],
            Self::Cappuccino => &ALL[7],
            Self::Latte => &ALL[8],
            Self::Filter => &ALL[9],
            Self::Immersion => &ALL[10],
        }
    }
}

/// A drink of the list, with the proportions that `recipes` takes when the caller gives none.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct DrinkEntry {
    /// The name that a request calls it by.
    pub drink: DrinkId,
    /// How its coffee is brewed.
    pub brew_kind: BrewKind,
    /// Beverage over dose; left out for filter and immersion.
    pub brew_ratio: Option<f64>,
    /// Brew water over dose; left out for espresso.
    pub water_ratio: Option<f64>,
    /// Milk, cold and by mass, over the beverage of a serving; left out without milk.
    pub milk_to_beverage_ratio: Option<f64>,
    /// Hot water added to the cup, by mass, over the beverage of a serving; left out without.
    pub water_to_beverage_ratio: Option<f64>,
    /// Air worked into the milk, by volume of the hot liquid; left out without milk.
    pub air_ratio: Option<f64>,
    /// Shortest usual time from pump on, or from the first water, to the end.
    pub shot_time_low_s: f64,
    /// Longest usual time.
    pub shot_time_high_s: f64,
    /// Id of the source.
    pub source: Cow<'static, str>,
    /// How the proportions are known.
    pub known: Cow<'static, str>,
}

/// The drinks, espresso first.
#[must_use]
pub fn all() -> Vec<DrinkEntry> {
    DRINKS.iter().map(entry).collect()
}

fn entry(drink: &Drink) -> DrinkEntry {
    let is_espresso = drink.brew_kind == BrewKind::Espresso;
    let part = |ratio: f64| (ratio > 0.0).then_some(ratio);
    DrinkEntry {
        drink: drink.id,
        brew_kind: drink.brew_kind,
        brew_ratio: is_espresso.then_some(drink.ratio),
        water_ratio: (!is_espresso).then_some(drink.ratio),
        milk_to_beverage_ratio: part(drink.milk_to_beverage),
        water_to_beverage_ratio: part(drink.water_to_beverage),
        air_ratio: part(drink.milk_to_beverage).map(|_| drink.air),
        shot_time_low_s: drink.time_s.0,
        shot_time_high_s: drink.time_s.1,
        source: Cow::Borrowed(SOURCE),
        known: Cow::Borrowed("common practice"),
    }
}

#[cfg(test)]
mod tests {
    use super::DRINKS;

    #[test]
    fn every_name_finds_its_own_drink() {
        for drink in &DRINKS {
            assert_eq!(drink.id.drink(), drink);
        }
    }
}

//! What drives the shot time, and which way.

use super::carried::Carried;
use super::request::peak;
use super::response::ShotTimeDirection::{Longer, Shorter, Unchanged};
use super::response::{ShotTimeDirection, TimeDriver, TimeDriverCode};

/// A driver, the way that the time goes when it rises, and why.
type Effect = (TimeDriverCode, ShotTimeDirection, &'static str);

const GRIND: Effect = (
    TimeDriverCode::Grind,
    Shorter,
    "a finer bed lets less water through, a coarser one more",
);
const TEMPERATURE: Effect = (
    TimeDriverCode::BrewTemperature,
    Shorter,
    "cooler water is thicker and runs more slowly",
);
const PRESSURE: Effect = (
    TimeDriverCode::Pressure,
    Shorter,
    "less pressure drives less water through the bed",
);
const DEPTH: Effect = (
    TimeDriverCode::BedDepth,
    Longer,
    "a deeper bed lets less water through, a shallower one more",
);
const DIAMETER: Effect = (
    TimeDriverCode::BasketDiameter,
    Unchanged,
    "at one bed depth flow and beverage both go with the area, so the time stays but for the little pressure that is lost before the bed",
);

/// Everything that differs between the two shots and acts on their time.
pub(super) fn of(carried: &Carried<'_>) -> Vec<TimeDriver> {
    let (from, to) = (&carried.from, &carried.to);
    let (old, new) = carried.profiles();
    let limited = carried.baskets.as_ref().filter(|b| b.is_limited());
    let found = [
        (GRIND, from.grind_diameter_um.zip(to.grind_diameter_um)),
        (
            TEMPERATURE,
            Some((carried.water.wanted_c, carried.water.carried_c)),
        ),
        (
            PRESSURE,
            old.zip(new).map(|(old, new)| (peak(&old), peak(&new))),
        ),
        (
            DEPTH,
            limited.map(|b| (b.from.result.tamped_depth_mm, b.to.result.tamped_depth_mm)),
        ),
        (DIAMETER, from.basket_diameter_mm.zip(to.basket_diameter_mm)),
    ];
    found
        .into_iter()
        .filter_map(|(effect, values)| driver(effect, values?))
        .collect()
}

/// The driver, when the two values differ.
fn driver((code, rising, detail): Effect, (old, new): (f64, f64)) -> Option<TimeDriver> {
    let direction = match old.total_cmp(&new) {
        std::cmp::Ordering::Equal => return None,
        std::cmp::Ordering::Less => rising,
        std::cmp::Ordering::Greater => opposite(rising),
    };
    Some(TimeDriver {
        code,
        direction,
        detail: detail.to_owned(),
    })
}

const fn opposite(direction: ShotTimeDirection) -> ShotTimeDirection {
    match direction {
        Longer => Shorter,
        Shorter => Longer,
        other @ (Unchanged | ShotTimeDirection::Undetermined) => other,
    }
}

//! The topics, in the order of the registry.
//!
//! Topics are the calculations that show their workings and are worked at once. Left out are the
//! heavy ones, which nobody works by hand (`shot-simulation`, `dial-in`, `recipe-transfer`,
//! `shot-readings`, `recipes/menu`), `stop-time`, whose numbers are the state of a filter, and
//! `diagnosis`, whose numbers are weights of an opinion.

mod brewing;
mod heat;
mod measuring;
mod menu;
mod mixing;
mod salts;
mod slices;
mod statistics;
mod supply;
mod water;

use super::topic::{Topic, Variant};

/// All topics.
pub static TOPICS: &[Topic] = &[
    topic("ratio", brewing::RATIO),
    topic("extraction-yield", brewing::EXTRACTION_YIELD),
    topic("targets", brewing::TARGETS),
    topic("refractometry", measuring::REFRACTOMETRY),
    topic("oven-drying", measuring::OVEN_DRYING),
    topic("fractions", slices::FRACTIONS),
    topic("water-temperature", heat::WATER_TEMPERATURE),
    topic("basket-capacity", supply::BASKET_CAPACITY),
    topic("steam-boiler", heat::STEAM_BOILER),
    topic("milk-steaming", mixing::MILK_STEAMING),
    topic("slurry-temperature", mixing::SLURRY_TEMPERATURE),
    topic("brewing-water", water::BREWING_WATER),
    topic("water-blend", water::WATER_BLEND),
    topic("water-dosing", salts::WATER_DOSING),
    topic("brew-comparison", statistics::BREW_COMPARISON),
    topic("repeatability", statistics::REPEATABILITY),
    topic("calibration-line", statistics::CALIBRATION_LINE),
    topic("bean-supply", supply::BEAN_SUPPLY),
    topic("unit-conversion", supply::UNIT_CONVERSION),
    topic("recipes", menu::RECIPES),
    topic("consistency", statistics::CONSISTENCY),
];

const fn topic(name: &'static str, variants: &'static [Variant]) -> Topic {
    Topic { name, variants }
}

#[cfg(test)]
mod tests {
    use super::TOPICS;
    use crate::api::calculation::{UNCANCELLED, Weight};
    use crate::api::exercises::exercise::{Exercise, Wanted};
    use crate::api::registry::{self, REGISTRY};

    #[test]
    fn every_light_calculation_with_workings_is_a_topic_but_for_two() {
        let mut left_out = Vec::new();
        for entry in REGISTRY
            .iter()
            .filter(|entry| entry.weight != Weight::Heavy)
        {
            let has_workings = entry.shape().fields().iter().any(|f| f.name == "workings");
            let is_topic = TOPICS.iter().any(|topic| topic.name == entry.name);
            if has_workings && !is_topic {
                left_out.push(entry.name);
            }
        }
        assert_eq!(left_out, ["stop-time", "diagnosis"]);
    }

    /// Each variant makes its exercise from every seed, with no brace left in its words, and each
    /// slip is one that the calculation can be asked.
    #[test]
    fn every_topic_makes_its_exercise_from_every_seed() {
        let mut never_told = Vec::new();
        for topic in TOPICS {
            assert!(registry::find(topic.name).is_some(), "{}", topic.name);
            for level in 1..=3 {
                let mut told = std::collections::BTreeMap::new();
                for seed in 0..30 {
                    let wanted = Wanted { topic, level, seed };
                    let exercise = Exercise::of(wanted, &UNCANCELLED).expect(topic.name);
                    let text = &exercise.question;
                    assert!(
                        !text.contains(['{', '}', '_']),
                        "{} {level} {seed}: {text}",
                        topic.name
                    );
                    for slip in exercise.slips {
                        let values = exercise.wrong_values(slip, &UNCANCELLED);
                        *told.entry(format!("{:?}", slip.code)).or_insert(0) +=
                            usize::from(!values.is_empty());
                    }
                }
                let never = told.iter().filter(|(_, count)| **count == 0);
                never_told.extend(never.map(|(code, _)| format!("{} {level} {code}", topic.name)));
            }
        }
        assert_eq!(never_told, [""; 0]);
    }
}

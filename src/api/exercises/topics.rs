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
    use std::collections::BTreeSet;

    use super::{TOPICS, Topic};
    use crate::api::calculation::{UNCANCELLED, Weight};
    use crate::api::exercises::HAZARDS;
    use crate::api::exercises::exercise::{Exercise, Wanted};
    use crate::api::exercises::tolerance::{is_on_the_edge, to_figures};
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

    /// Every topic has every level, and whoever is drawn which kind of it gets as many marks.
    #[test]
    fn every_topic_has_every_level_with_the_same_marks_for_all() {
        for topic in TOPICS {
            for level in 1..=3 {
                let of_level = topic.variants.iter().filter(|v| v.level == level);
                let counts: BTreeSet<_> = of_level.map(|variant| variant.asks.len()).collect();
                assert_eq!(counts.len(), 1, "{} {level}: {counts:?}", topic.name);
                assert!(!counts.contains(&0), "{} {level}", topic.name);
            }
        }
    }

    /// Each variant makes its exercise from every seed, in words: no brace, no name of a field.
    #[test]
    fn every_topic_makes_its_exercise_from_every_seed() {
        for topic in TOPICS {
            assert!(registry::find(topic.name).is_some(), "{}", topic.name);
            for (level, seed) in (1..=3).flat_map(|level| (0..30).map(move |seed| (level, seed))) {
                let exercise = exercise(topic, level, seed);
                let text = &exercise.question;
                let context = format!("{} {level} {seed}: {text}", topic.name);
                assert!(!text.contains(['{', '}', '_', '#']), "{context}");
                assert!(!text.contains("  ") && !text.contains(".."), "{context}");
                for datum in &exercise.data {
                    assert!(text.contains(&datum.text), "{}: {context}", datum.field);
                }
                for asked in &exercise.asked {
                    assert!(text.contains(asked.words), "{}: {context}", asked.step);
                    let answer = to_figures(asked.value, asked.figures);
                    let is_told = exercise.data.iter().any(|datum| {
                        datum.text == answer && datum.unit.as_deref().unwrap_or("1") == asked.unit
                    });
                    assert!(!is_told, "{} is given away: {context}", asked.step);
                    assert!(
                        !is_on_the_edge(asked.value, asked.figures) || asked.uncertainty.is_some()
                    );
                }
            }
        }
    }

    #[test]
    fn hazards_are_those_declared_and_all_of_them_occur() {
        let mut seen = BTreeSet::new();
        for topic in TOPICS {
            for (level, seed) in (1..=3).flat_map(|level| (0..10).map(move |seed| (level, seed))) {
                let hazards = exercise(topic, level, seed).hazards;
                seen.extend(hazards.iter().map(|code| code.as_str()));
            }
        }
        let declared: BTreeSet<_> = HAZARDS.iter().map(|code| code.as_str()).collect();
        assert_eq!(seen, declared);
    }

    fn exercise(topic: &'static Topic, level: u8, seed: u64) -> Exercise {
        Exercise::of(Wanted { topic, level, seed }, &UNCANCELLED).expect(topic.name)
    }
}

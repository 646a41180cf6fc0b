//! The bibliography, read from `docs/REFERENCES.md`: one text for people and for
//! `GET /v1/sources`.

use std::sync::OnceLock;

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// A formula's or a table's source.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Source {
    /// Id, as in the `sources` of an answer.
    #[schema(example = "iso2533")]
    pub id: String,
    /// Full citation.
    pub citation: String,
    /// What the service takes from it.
    pub gives: String,
    /// The equation, where there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(nullable = false)]
    pub equation: Option<String>,
    /// Where it holds.
    pub valid_for: String,
    /// How uncertain it is.
    pub uncertainty: String,
    /// How the source is known: read, read on a secondary page, derived, common practice,
    /// from memory.
    pub known: String,
}

/// All sources, in the order of the page.
///
/// An entry that lacks a line is left out; a test proves that none does.
pub fn sources() -> &'static [Source] {
    static SOURCES: OnceLock<Vec<Source>> = OnceLock::new();
    SOURCES.get_or_init(|| {
        include_str!("../../docs/REFERENCES.md")
            .split("\n## ")
            .skip(1)
            .filter_map(source)
            .collect()
    })
}

fn source(section: &str) -> Option<Source> {
    let (id, lines) = section.split_once('\n')?;
    let line = |name: &str| {
        lines
            .lines()
            .find_map(|line| {
                line.strip_prefix("- ")?
                    .strip_prefix(name)?
                    .strip_prefix(": ")
            })
            .map(|text| text.trim().to_owned())
    };
    Some(Source {
        id: id.trim().to_owned(),
        citation: line("citation")?,
        gives: line("gives")?,
        equation: line("equation"),
        valid_for: line("valid for")?,
        uncertainty: line("uncertainty")?,
        known: line("known")?,
    })
}

#[cfg(test)]
mod tests {
    use super::sources;

    #[test]
    fn every_section_of_the_page_is_a_whole_source_with_an_id_of_its_own() {
        let sections = include_str!("../../docs/REFERENCES.md")
            .matches("\n## ")
            .count();
        assert_eq!(sources().len(), sections, "an entry lacks a line");
        let mut ids: Vec<_> = sources().iter().map(|s| s.id.as_str()).collect();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), sections, "an id stands twice");
    }
}

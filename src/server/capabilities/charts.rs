//! The charts, and how they can be asked for.

use serde::Serialize;
use serde_json::{Value, json};
use utoipa::ToSchema;

use crate::api::chart::{CHARTS, ChartEntry, Many};
use crate::api::chart_options::{TITLE_CHARACTERS, WIDTH};
use crate::api::picture::theme::Theme;
use crate::api::registry::Entry;
use crate::server::charts::OFFERS;
use crate::server::settings::Settings;

/// The charts, and how they can be asked for.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub(super) struct ChartCapabilities {
    /// Every chart.
    list: Vec<ChartCapability>,
    /// Media types of pictures.
    formats: Vec<&'static str>,
    /// Colours: the words of `theme`.
    themes: Vec<&'static str>,
    /// Narrowest picture in pixels.
    minimum_width: u16,
    /// Widest picture in pixels.
    maximum_width: u16,
    /// Width in pixels when none is asked for.
    usual_width: u16,
    /// Longest title in code points.
    title_characters: usize,
}

/// A chart.
#[derive(Debug, Clone, Serialize, ToSchema)]
struct ChartCapability {
    /// Its name.
    name: &'static str,
    /// Its path.
    path: &'static str,
    /// The calculation whose request it takes and whose answer it draws.
    calculation: &'static str,
    /// Whether it answers GET, so that its address can stand in an `<img>`.
    flat: bool,
    /// Time in which a picture that is drawn on the compute pool is answered or stopped.
    deadline_s: f64,
    /// Largest JSON body in bytes.
    body_bytes: usize,
    /// Most requests on one picture, where it takes a list of them.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(nullable = false)]
    points: Option<u64>,
}

impl ChartCapabilities {
    /// Those of a service of these calculations.
    pub(super) fn of(registry: &'static [Entry], settings: &Settings) -> Self {
        let served = CHARTS.iter().filter_map(|chart| {
            let entry = chart.entry(registry)?;
            let body_bytes = settings.body_limit_of(entry);
            Some(ChartCapability::of(chart, entry, body_bytes))
        });
        Self {
            list: served.collect(),
            formats: OFFERS.iter().map(|(name, _)| *name).collect(),
            themes: Theme::WORDS.iter().map(|(word, _)| *word).collect(),
            minimum_width: WIDTH.0,
            maximum_width: WIDTH.1,
            usual_width: WIDTH.2,
            title_characters: TITLE_CHARACTERS,
        }
    }
}

impl ChartCapability {
    fn of(chart: &ChartEntry, entry: &'static Entry, body_bytes: usize) -> Self {
        Self {
            name: chart.name,
            path: chart.path,
            calculation: chart.calculation,
            flat: entry.is_flat(),
            deadline_s: chart.deadline.as_secs_f64(),
            body_bytes,
            points: chart.many.as_ref().and_then(most),
        }
    }
}

/// Most items of the list that holds many requests.
fn most(many: &Many) -> Option<u64> {
    let schema = (many.schema)().root;
    schema["properties"][many.field]["maxItems"].as_u64()
}

/// A short one for the document, the same on every machine.
pub(super) fn example() -> Value {
    json!({
        "list": [{
            "name": "boiling-point",
            "path": "/v1/charts/boiling-point",
            "calculation": "water-temperature",
            "flat": true,
            "deadline_s": 1.0,
            "body_bytes": 262_144,
        }],
        "formats": OFFERS.map(|(name, _)| name),
        "themes": Theme::WORDS.map(|(word, _)| word),
        "minimum_width": WIDTH.0,
        "maximum_width": WIDTH.1,
        "usual_width": WIDTH.2,
        "title_characters": TITLE_CHARACTERS,
    })
}

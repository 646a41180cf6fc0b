//! The seam of charts: what a chart is, and its types erased.
//!
//! A chart has no numbers of its own. Its request is that of the calculation that it draws, and
//! what it draws is that calculation's answer.

use std::time::Duration;

use super::answering;
use super::calculation::{Calculation, Call, Tag, Weight};
use super::chart_options::ChartOptions;
use super::decode::{self, Fields};
use super::problem::Problem;
use super::provenance::Answer;
use super::registry::{self, Entry};
use super::schemas::Schemas;

/// All charts of the service, in the order of the document.
pub use super::charts::CHARTS;

/// A chart: the calculation that it draws, and how.
pub trait Chart: 'static {
    /// What follows `/v1/charts/` in the path.
    const NAME: &'static str;
    /// One line for lists, without a full stop.
    const SUMMARY: &'static str;
    /// What is drawn; Markdown.
    const DESCRIPTION: &'static str;
    /// Examples of the calculation that can be drawn, by name; the first one leads.
    const EXAMPLES: &'static [&'static str];
    /// The form of request that holds many of the calculation's requests, where there is one.
    const MANY: Option<Many> = None;

    /// The calculation that it draws.
    type Of: Calculation;

    /// Adds to a request what the picture needs of the answer and the caller need not ask for.
    ///
    /// # Errors
    /// A [`Problem`] when the request asks for more than one picture shows.
    fn prepare(_request: &mut <Self::Of as Calculation>::Request) -> Result<(), Problem> {
        Ok(())
    }

    /// The picture of an answer, as SVG.
    ///
    /// # Errors
    /// A [`Problem`] when the answer has nothing to draw.
    fn draw(
        request: &<Self::Of as Calculation>::Request,
        answer: &Answer<<Self::Of as Calculation>::Response>,
        options: &ChartOptions,
        call: &Call<'_>,
    ) -> Result<String, Problem>;
}

/// A request that holds many requests of the calculation.
#[derive(Debug, Clone, Copy)]
pub struct Many {
    /// The list that tells it from a request of the calculation.
    pub field: &'static str,
    /// Its published schema, bounds and limits included.
    pub schema: fn() -> Schemas,
    /// Reads it.
    pub read: fn(&[u8]) -> Result<Drawing, Problem>,
    /// A body of it, with a name and a line about it.
    pub example: (&'static str, &'static str, &'static str),
}

/// Draws the picture, as SVG.
type Draw = dyn FnOnce(&Call<'_>, &ChartOptions) -> Result<String, Problem> + Send;

/// A request that was read and found right, to be drawn here or on another thread.
pub struct Drawing {
    /// Whether it is worth a thread of the compute pool.
    pub is_heavy: bool,
    draw: Box<Draw>,
}

impl Drawing {
    /// A drawing that `draw` makes.
    pub(super) fn new(
        is_heavy: bool,
        draw: impl FnOnce(&Call<'_>, &ChartOptions) -> Result<String, Problem> + Send + 'static,
    ) -> Self {
        Self {
            is_heavy,
            draw: Box::new(draw),
        }
    }

    /// The picture, as SVG.
    ///
    /// # Errors
    /// The [`Problem`] to answer instead.
    pub fn draw(self, call: &Call<'_>, options: &ChartOptions) -> Result<String, Problem> {
        (self.draw)(call, options)
    }
}

impl std::fmt::Debug for Drawing {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Drawing").finish_non_exhaustive()
    }
}

/// A chart with its types erased into functions.
#[derive(Debug)]
pub struct ChartEntry {
    /// Path of the chart.
    pub path: &'static str,
    /// See [`Chart::NAME`].
    pub name: &'static str,
    /// See [`Chart::SUMMARY`].
    pub summary: &'static str,
    /// See [`Chart::DESCRIPTION`].
    pub description: &'static str,
    /// See [`Chart::EXAMPLES`].
    pub examples: &'static [&'static str],
    /// See [`Chart::MANY`].
    pub many: Option<Many>,
    /// Name of the calculation that it draws.
    pub calculation: &'static str,
    /// Group in the document.
    pub tag: Tag,
    /// Time in which a picture must be drawn.
    pub deadline: Duration,
    read: fn(&[u8]) -> Result<Drawing, Problem>,
    read_fields: fn(Fields<'_>) -> Result<Drawing, Problem>,
}

impl ChartEntry {
    /// The entry of a chart at a path.
    #[must_use]
    pub const fn of<C: Chart>(path: &'static str) -> Self {
        Self {
            path,
            name: C::NAME,
            summary: C::SUMMARY,
            description: C::DESCRIPTION,
            examples: C::EXAMPLES,
            many: C::MANY,
            calculation: C::Of::NAME,
            tag: C::Of::TAG,
            deadline: C::Of::DEADLINE,
            read: read::<C>,
            read_fields: read_fields::<C>,
        }
    }

    /// The calculation that it draws, out of a list; charts of calculations that are not served
    /// are not served.
    #[must_use]
    pub fn entry(&self, registry: &'static [Entry]) -> Option<&'static Entry> {
        registry.iter().find(|entry| entry.name == self.calculation)
    }

    /// Name of its operation in the document.
    #[must_use]
    pub fn operation_id(&self) -> String {
        format!("draw_{}", self.name.replace('-', "_"))
    }

    /// Reads a JSON request.
    ///
    /// # Errors
    /// The [`Problem`] to answer instead.
    pub fn read(&self, body: &[u8]) -> Result<Drawing, Problem> {
        match &self.many {
            Some(many) if has_field(body, many.field) => (many.read)(body),
            Some(_) | None => (self.read)(body),
        }
    }

    /// Reads a request given in fields.
    ///
    /// # Errors
    /// The [`Problem`] to answer instead.
    pub fn read_fields(&self, fields: Fields<'_>) -> Result<Drawing, Problem> {
        (self.read_fields)(fields)
    }
}

/// Whether a body is an object with this field; a body that is broken has none.
fn has_field(body: &[u8], name: &str) -> bool {
    type Names = std::collections::HashMap<String, serde::de::IgnoredAny>;
    let quoted = [b"\"", name.as_bytes(), b"\""].concat();
    memchr::memmem::find(body, &quoted).is_some()
        && serde_json::from_slice::<Names>(body).is_ok_and(|names| names.contains_key(name))
}

fn entry_of<C: Chart>() -> Result<&'static Entry, Problem> {
    let name = C::Of::NAME;
    registry::find(name).ok_or_else(|| Problem::internal(format!("{name} is not registered")))
}

fn read<C: Chart>(body: &[u8]) -> Result<Drawing, Problem> {
    let request = decode::json::<C::Of>(body, entry_of::<C>()?.plan())?;
    drawing::<C>(request)
}

fn read_fields<C: Chart>(fields: Fields<'_>) -> Result<Drawing, Problem> {
    let request = decode::fields::<C::Of>(fields, entry_of::<C>()?.plan())?;
    drawing::<C>(request)
}

fn drawing<C: Chart>(mut request: <C::Of as Calculation>::Request) -> Result<Drawing, Problem> {
    C::prepare(&mut request)?;
    let request = answering::affordable::<C::Of>(request)?;
    let is_heavy = match C::Of::WEIGHT {
        Weight::Light => false,
        Weight::Heavy => true,
        Weight::ByRequest => C::Of::is_heavy(&request),
    };
    Ok(Drawing::new(is_heavy, move |call, options| {
        let answer = C::Of::answer(&request, call)?;
        C::draw(&request, &answer, options, call)
    }))
}

/// The charts that draw a calculation's answer.
pub fn of(entry: &Entry) -> impl Iterator<Item = &'static ChartEntry> {
    CHARTS
        .iter()
        .filter(|chart| chart.calculation == entry.name)
}

/// The chart with this name.
#[must_use]
pub fn find(name: &str) -> Option<&'static ChartEntry> {
    CHARTS.iter().find(|chart| chart.name == name)
}

#[cfg(test)]
mod tests {
    use super::has_field;

    #[test]
    fn a_field_is_one_of_the_object_itself() {
        assert!(has_field(br#"{"a":1,"points":[]}"#, "points"));
        assert!(!has_field(br#"{"a":{"points":[]}}"#, "points"));
        assert!(!has_field(br#"{"a":"points"}"#, "points"));
        assert!(!has_field(br#"{"points":"#, "points"));
    }
}

//! Strength against yield: brews on a published chart, with lines of equal brew ratio.

mod brew;
mod labels;
mod many;
mod plane;

use crate::api::brew_kind::BrewKind;
use crate::api::calculation::{Calculation, Call};
use crate::api::calculations::extraction_yield::ExtractionYield;
use crate::api::calculations::extraction_yield::ExtractionYieldRequest;
use crate::api::calculations::extraction_yield::ExtractionYieldResponse;
use crate::api::chart::{Chart, Many};
use crate::api::chart_options::ChartOptions;
use crate::api::picture::number::fixed;
use crate::api::picture::sheet::Sheet;
use crate::api::picture::svg::Marker;
use crate::api::problem::Problem;
use crate::api::provenance::Answer;
use crate::maths::extraction::chart::ControlChart;

use brew::Brew;
use plane::Plane;

/// The chart of strength against yield.
#[derive(Debug)]
pub struct StrengthAndYield;

impl Chart for StrengthAndYield {
    const NAME: &'static str = "strength-and-yield";
    const SUMMARY: &'static str = "Strength against yield: brews on a published control chart";
    const DESCRIPTION: &'static str = "Draws what `extraction-yield` answers: the window of the control chart and the \
        regions around it, lines of equal brew ratio (for immersion, of equal water ratio), and the brew. Where its \
        uncertainty is known an ellipse covers strength and yield together with the `coverage_probability` asked for, 0.95 \
        by default: both taken as normal, the yield following the strength as the uncertainty budget says. Brews \
        outside the window are diamonds, those inside are circles.\n\n\
        The request is that of `extraction-yield`, or many at once: `points`, up to 500 brews with labels on one chart. A \
        label for which there is no room is left out of the picture and stays in the name of its point.";
    const EXAMPLES: &'static [&'static str] = &[
        "harbour-double",
        "lab-replicates",
        "lab-immersion",
        "station-filter-bypass",
    ];
    const MANY: Option<Many> = Some(many::MANY);

    type Of = ExtractionYield;

    fn prepare(request: &mut ExtractionYieldRequest) -> Result<(), Problem> {
        request.workings = None;
        Ok(())
    }

    fn draw(
        request: &ExtractionYieldRequest,
        answer: &Answer<ExtractionYieldResponse>,
        options: &ChartOptions,
        _call: &Call<'_>,
    ) -> Result<String, Problem> {
        let brew = Brew::new(String::new(), &answer.result);
        picture(request.brew_kind.unwrap_or_default(), &[brew], options)
    }
}

/// The picture of brews that are held against one chart.
fn picture(kind: BrewKind, brews: &[Brew], options: &ChartOptions) -> Result<String, Problem> {
    let id = brews
        .first()
        .map(|brew| brew.chart.as_str())
        .unwrap_or_default();
    let chart = ControlChart::by_id(id)
        .ok_or_else(|| Problem::internal(format!("no control chart {id:?}")))?;
    let title = options.title.as_deref().unwrap_or("Strength against yield");
    let summary = summary(chart, brews);
    let mut sheet = Sheet::new((options.width, options.theme), title, &summary);
    let plane = Plane::draw(&mut sheet, (chart, kind), brews);
    sheet.svg.open_window(plane.panel.area);
    // in a crowd an outline hides the points, so it is faint there
    let outline = if size(brews.len()) < POINT { "l" } else { "o" };
    for brew in brews {
        ellipse(&mut sheet, &plane, (brew, outline));
    }
    sheet.svg.close_window();
    // outside of the window, so that a point at the end of an axis is whole
    let size = size(brews.len()) * sheet.em;
    for brew in brews {
        point(&mut sheet, &plane, (brew, size));
    }
    labels::draw(&mut sheet, &plane, (brews, size));
    sheet.note(&note(chart, kind, brews));
    Ok(sheet.finish())
}

/// Half the size of a point, in ems, and of one in a crowd.
const POINT: f64 = 0.42;
const SMALLEST_POINT: f64 = 0.2;
/// Points from which on they are a crowd.
const CROWD: f64 = 40.0;

/// Half the size of a point among so many, in ems: many small ones can be told apart.
fn size(brews: usize) -> f64 {
    let crowd = u16::try_from(brews).map_or(f64::INFINITY, f64::from);
    (POINT * libm::sqrt(CROWD / crowd.max(CROWD))).max(SMALLEST_POINT)
}

fn ellipse(sheet: &mut Sheet, plane: &Plane, (brew, class): (&Brew, &str)) {
    let panel = &plane.panel;
    let at = panel.at(brew.yield_percent, brew.tds_percent);
    if let Some(spread) = &brew.spread {
        let per_unit = (panel.x.per_unit(), panel.y.per_unit());
        let (axes, degrees) = spread.ellipse(per_unit);
        sheet.svg.ellipse(class, at, axes, degrees);
    }
}

fn point(sheet: &mut Sheet, plane: &Plane, (brew, size): (&Brew, f64)) {
    let at = plane.panel.at(brew.yield_percent, brew.tds_percent);
    let (class, marker) = if brew.is_within {
        ("p", Marker::Circle)
    } else {
        ("q", Marker::Diamond)
    };
    sheet.svg.open_named(&brew.sentence());
    sheet.svg.marker(class, (marker, size), at);
    sheet.svg.close_named();
}

fn summary(chart: &ControlChart, brews: &[Brew]) -> String {
    let window = format!(
        "the window of {} ({} to {} % yield, {} to {} % strength)",
        chart.id,
        chart.yield_percent.min,
        chart.yield_percent.max,
        chart.strength_percent.min,
        chart.strength_percent.max
    );
    match brews {
        [brew] => {
            let place = if brew.is_within { "within" } else { "outside" };
            format!("{}: {place} {window}.", brew.numbers())
        }
        brews => {
            let within = brews.iter().filter(|brew| brew.is_within).count();
            format!("{} brews, {within} of them within {window}.", brews.len())
        }
    }
}

fn note(chart: &ControlChart, kind: BrewKind, brews: &[Brew]) -> String {
    let ratio = match kind {
        BrewKind::Espresso | BrewKind::Filter => "dose to beverage",
        BrewKind::Immersion => "dose to brew water",
    };
    let known = match chart.known {
        "common practice" => ", common practice",
        "from memory" => ", limits from memory",
        _ => "",
    };
    let mut note = format!(
        "Shaded: window of {}{known}. Dashed: equal ratio of {ratio}.",
        chart.id
    );
    if brews.len() > 1 {
        note.push_str(" Circles within the window, diamonds outside.");
    }
    if let Some(spread) = brews.iter().find_map(|brew| brew.spread.as_ref()) {
        let percent = fixed(100.0 * spread.coverage, 2);
        let percent = percent.trim_end_matches('0').trim_end_matches('.');
        note.push_str(&format!(" Ellipses cover {percent} %."));
    }
    note
}

/// The calculation's own way of being asked.
const fn bounds() -> &'static [crate::api::bounds::Bound] {
    ExtractionYield::BOUNDS
}

//! The uncertainty budget of a yield as bars, and its distribution where it was sampled.

mod distribution;

use crate::api::calculation::Call;
use crate::api::calculations::extraction_yield::BudgetLine;
use crate::api::calculations::extraction_yield::ExtractionYield;
use crate::api::calculations::extraction_yield::ExtractionYieldRequest;
use crate::api::calculations::extraction_yield::ExtractionYieldResponse;
use crate::api::calculations::extraction_yield::UncertaintyMethod;
use crate::api::calculations::extraction_yield::YieldInput;
use crate::api::calculations::extraction_yield::YieldUncertainty;
use crate::api::chart::Chart;
use crate::api::chart_options::ChartOptions;
use crate::api::picture::number::fixed;
use crate::api::picture::scale::{Scale, Span, marks_along};
use crate::api::picture::sheet::Sheet;
use crate::api::picture::svg::{Anchor, Area, Point};
use crate::api::picture::text::width;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::api::provenance::Answer;

use super::word;

/// The chart of an uncertainty budget.
#[derive(Debug)]
pub struct UncertaintyBudget;

impl Chart for UncertaintyBudget {
    const NAME: &'static str = "uncertainty";
    const SUMMARY: &'static str = "What each input adds to the uncertainty of a yield";
    const DESCRIPTION: &'static str = "Draws the budget that `extraction-yield` answers: a bar for each input, as long as \
        its contribution in percentage points, with its share of the variance, and below them the standard and the expanded \
        uncertainty. Contributions add up by their squares and not by their lengths. With `method` of `monte_carlo` the \
        histogram of the trials stands below, with the normal distribution of the first order over it and both coverage intervals. A request without any uncertainty, \
        stated or seen in repeated readings, has no budget and is refused.";
    const EXAMPLES: &'static [&'static str] =
        &["lab-monte-carlo", "lab-replicates", "lab-immersion"];

    type Of = ExtractionYield;

    fn prepare(request: &mut ExtractionYieldRequest) -> Result<(), Problem> {
        request.workings = None;
        if request.method == Some(UncertaintyMethod::MonteCarlo) {
            request.include_histogram = Some(true);
        }
        Ok(())
    }

    fn draw(
        _request: &ExtractionYieldRequest,
        answer: &Answer<ExtractionYieldResponse>,
        options: &ChartOptions,
        _call: &Call<'_>,
    ) -> Result<String, Problem> {
        let uncertainty = answer.result.uncertainty.as_ref().ok_or_else(no_budget)?;
        let title = options
            .title
            .as_deref()
            .unwrap_or("Uncertainty of the yield");
        let summary = summary(answer.result.extraction_yield_percent, uncertainty);
        let mut sheet = Sheet::new((options.width, options.theme), title, &summary);
        bars(&mut sheet, uncertainty);
        if let Some(trials) = &uncertainty.monte_carlo {
            distribution::draw(
                &mut sheet,
                answer.result.extraction_yield_percent,
                (uncertainty, trials),
            );
        }
        sheet.note(&note(uncertainty));
        Ok(sheet.finish())
    }
}

fn no_budget() -> Problem {
    let detail =
        "there is no budget to draw: state the uncertainty of an input, or give repeated readings";
    let fault = Fault::new("/tds_uncertainty_percent", FaultCode::Required, detail);
    Problem::invalid(vec![fault])
}

fn summary(yield_percent: f64, uncertainty: &YieldUncertainty) -> String {
    format!(
        "Yield {} % \u{b1} {} points with a coverage factor of {}; standard uncertainty {} points.",
        fixed(yield_percent, 2),
        fixed(uncertainty.expanded_points, 2),
        fixed(uncertainty.coverage_factor, 2),
        fixed(uncertainty.standard_points, 3)
    )
}

fn note(uncertainty: &YieldUncertainty) -> String {
    let mut note =
        "Contributions add up by their squares; % is the share of the variance.".to_owned();
    let missing: Vec<_> = uncertainty.not_included.iter().map(input).collect();
    if !missing.is_empty() {
        note.push_str(&format!(" Not included: {}.", missing.join(", ")));
    }
    note
}

/// A bar: its name, its length, what stands after it, and its colour.
struct Bar {
    name: String,
    points: f64,
    value: String,
    class: &'static str,
}

fn input(input: &YieldInput) -> String {
    word(input).replace("tds", "strength")
}

fn of_line(line: &BudgetLine) -> Bar {
    Bar {
        name: input(&line.input),
        points: line.contribution_points,
        value: format!(
            "{} ({} %)",
            fixed(line.contribution_points, 3),
            fixed(line.share_percent, 1)
        ),
        class: "fa",
    }
}

fn all_bars(uncertainty: &YieldUncertainty) -> Vec<Bar> {
    let mut bars: Vec<_> = uncertainty.budget.iter().map(of_line).collect();
    bars.sort_by(|a, b| b.points.total_cmp(&a.points));
    for (name, points) in [
        ("standard", uncertainty.standard_points),
        ("expanded", uncertainty.expanded_points),
    ] {
        bars.push(Bar {
            name: name.to_owned(),
            points,
            value: fixed(points, 3),
            class: "fb",
        });
    }
    bars
}

/// Height of a row and of the bar in it, in ems.
const ROW: f64 = 2.0;
const BAR: f64 = 1.1;
/// Room between the bars of the inputs and those of the whole, in ems.
const GAP: f64 = 0.8;

fn bars(sheet: &mut Sheet, uncertainty: &YieldUncertainty) {
    let em = sheet.em;
    let bars = all_bars(uncertainty);
    let widest = |text: fn(&Bar) -> &str, size: f64| {
        let widths = bars.iter().map(|bar| width(text(bar), size));
        widths.fold(0.0, f64::max)
    };
    let names = widest(|bar| &bar.name, em) + 0.8 * em;
    let values = widest(|bar| &bar.value, 0.85 * em) + 0.8 * em;
    let rows = bars.iter().map(|_| ROW * em).sum::<f64>() + GAP * em;
    let area = sheet.take(names, rows);
    let longest = Span::of(bars.iter().map(|bar| bar.points)).map_or(1.0, |span| span.high);
    let span = Span::new(0.0, longest).opened();
    let scale = Scale::new(Span::new(0.0, span.high), area.left, area.right - values);
    axis(sheet, &area, &scale);
    let mut top = area.top;
    for (place, bar) in bars.iter().enumerate() {
        if place + 2 == bars.len() {
            top += GAP * em;
        }
        let middle = top + 0.5 * ROW * em;
        let end = scale.at(bar.points);
        let text_at = middle + 0.35 * em;
        let name_at = Point::new(area.left - 0.5 * em, text_at);
        sheet.svg.text("t", Anchor::End, name_at, &bar.name);
        sheet
            .svg
            .rect(bar.class, row_area(&area, (middle, end), em));
        let value_at = Point::new(end + 0.5 * em, text_at - 0.05 * em);
        sheet.svg.text("k", Anchor::Start, value_at, &bar.value);
        top += ROW * em;
    }
    let foot = Point::new(area.left, area.bottom);
    sheet.svg.line("x", foot, Point::new(area.left, area.top));
}

fn row_area(area: &Area, (middle, end): (f64, f64), em: f64) -> Area {
    Area {
        left: area.left,
        top: middle - 0.5 * BAR * em,
        right: end,
        bottom: middle + 0.5 * BAR * em,
    }
}

fn axis(sheet: &mut Sheet, area: &Area, scale: &Scale) {
    let em = sheet.em;
    let room = scale.at(scale.span.high) - area.left;
    for (value, text) in marks_along(scale.span, room, (em, 2.8)) {
        let x = scale.at(value);
        let (top, bottom) = (Point::new(x, area.top), Point::new(x, area.bottom));
        sheet.svg.line("g", top, bottom);
        let at = Point::new(x, area.bottom + 1.15 * em);
        sheet.svg.text("s", Anchor::Middle, at, &text);
    }
    sheet.used += 2.6 * em;
    let at = Point::new(area.right, area.bottom + 2.4 * em);
    let title = "contribution, percentage points of yield";
    sheet.svg.text("t", Anchor::End, at, title);
}

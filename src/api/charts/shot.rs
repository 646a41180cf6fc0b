//! A recorded shot: stacked panels, one quantity each, on a shared time axis.

mod marks;

use std::ops::Range;

use crate::api::calculation::Call;
use crate::api::calculations::shot_readings::SeriesFaultCode;
use crate::api::calculations::shot_readings::SeriesRequest;
use crate::api::calculations::shot_readings::ShotReadings;
use crate::api::calculations::shot_readings::ShotReadingsRequest;
use crate::api::calculations::shot_readings::ShotReadingsResponse;
use crate::api::chart::Chart;
use crate::api::chart_options::ChartOptions;
use crate::api::picture::number::fixed;
use crate::api::picture::panel::{Below, MARK, Panel};
use crate::api::picture::scale::Span;
use crate::api::picture::sheet::Sheet;
use crate::api::picture::thin::thinned;
use crate::api::problem::Problem;
use crate::api::provenance::Answer;

/// The chart of a recorded shot.
#[derive(Debug)]
pub struct Shot;

impl Chart for Shot {
    const NAME: &'static str = "shot";
    const SUMMARY: &'static str = "A recorded shot: mass, flow, pressure and temperature over time";
    const DESCRIPTION: &'static str = "Draws what `shot-readings` answers: one panel for each quantity above a shared time \
        axis that counts from the pump's start; the beverage and the flow as analysed, pressure and temperature as recorded \
        where they were. Phases are named above the first panel and shaded in turn; the first drop has a band as wide as \
        twice its standard uncertainty either way; the stop is a line. Readings at which a fault was found are marked at the foot of \
        the first panel, and the lines of beverage and flow are broken where readings are missing.";
    const EXAMPLES: &'static [&'static str] =
        &["lab-pressure", "harbour-double", "station-knocked"];

    type Of = ShotReadings;

    fn prepare(request: &mut ShotReadingsRequest) -> Result<(), Problem> {
        request.workings = None;
        Ok(())
    }

    fn draw(
        request: &ShotReadingsRequest,
        answer: &Answer<ShotReadingsResponse>,
        options: &ChartOptions,
        _call: &Call<'_>,
    ) -> Result<String, Problem> {
        let (answer, width) = (&answer.result, options.width);
        let title = options.title.as_deref().unwrap_or("A shot over time");
        let mut sheet = Sheet::new((width, options.theme), title, &summary(answer));
        let lines = lines(request, answer);
        let time = time(&lines);
        marks::phase_names(&mut sheet, time, answer);
        for (place, line) in lines.iter().enumerate() {
            let is_last = place + 1 == lines.len();
            let panel = panel(&mut sheet, time, line, is_last);
            sheet.svg.open_window(panel.area);
            marks::draw(&mut sheet, &panel, (answer, place == 0));
            for part in line.parts() {
                let times = line.time_s.get(part.clone()).unwrap_or_default();
                let values = line.value.get(part).unwrap_or_default();
                let points = panel.points(times, values);
                sheet.svg.curve(line.class, &thinned(&points, 0.5));
            }
            sheet.svg.close_window();
        }
        marks::legend(&mut sheet, answer);
        Ok(sheet.finish())
    }
}

/// A quantity over time.
struct Line {
    name: &'static str,
    class: &'static str,
    /// Height of its panel, in ems.
    height: f64,
    time_s: Vec<f64>,
    value: Vec<f64>,
    /// For an axis that begins at nothing, what it shows at least.
    least: Option<f64>,
    /// Times after which readings are missing: nobody knows the line up to the next one.
    gaps_s: Vec<f64>,
}

impl Line {
    /// The places between the gaps.
    fn parts(&self) -> Vec<Range<usize>> {
        let mut parts = Vec::new();
        let mut from = 0;
        for gap_s in &self.gaps_s {
            let to = self.time_s.partition_point(|time_s| time_s <= gap_s);
            parts.push(from..to.max(from));
            from = to.max(from);
        }
        parts.push(from..self.time_s.len());
        parts
    }
}

fn lines(request: &ShotReadingsRequest, answer: &ShotReadingsResponse) -> Vec<Line> {
    let gaps_s = gaps_s(answer);
    let mass = Line {
        name: "beverage, g",
        class: "a",
        height: 9.0,
        time_s: answer.flow.time_s.clone(),
        value: answer.flow.beverage_mass_g.clone(),
        least: Some(1.0),
        gaps_s: gaps_s.clone(),
    };
    let flow = Line {
        name: "flow, g/s",
        class: "c",
        height: 6.5,
        time_s: answer.flow.time_s.clone(),
        value: answer.flow.flow_g_per_s.clone(),
        least: Some(1.0),
        gaps_s,
    };
    let pump_on_s = request.pump_on_at_s.unwrap_or(0.0);
    let pressure = request.pressure_series.as_ref().map(|series| Line {
        name: "pressure, bar",
        class: "b",
        least: Some(2.0),
        ..recorded(series, pump_on_s)
    });
    let temperature = request.temperature_series.as_ref().map(|series| Line {
        name: "temperature, \u{b0}C",
        class: "d",
        ..recorded(series, pump_on_s)
    });
    [Some(mass), Some(flow), pressure, temperature]
        .into_iter()
        .flatten()
        .collect()
}

fn gaps_s(answer: &ShotReadingsResponse) -> Vec<f64> {
    let faults = answer.faults.iter();
    let gaps = faults.filter(|fault| fault.code == SeriesFaultCode::Gap);
    gaps.map(|fault| fault.time_s).collect()
}

/// A series as it was recorded, to be named.
fn recorded(series: &SeriesRequest, pump_on_s: f64) -> Line {
    Line {
        name: "",
        class: "",
        height: 6.5,
        time_s: series.time_s.iter().map(|time| time - pump_on_s).collect(),
        value: series.value.clone(),
        least: None,
        gaps_s: Vec::new(),
    }
}

/// The time that is shown: all of every line.
fn time(lines: &[Line]) -> Span {
    let times = lines.iter().flat_map(|line| line.time_s.iter().copied());
    Span::of(times)
        .unwrap_or(Span::new(0.0, 1.0))
        .with(0.0)
        .opened()
}

fn panel(sheet: &mut Sheet, time: Span, line: &Line, is_last: bool) -> Panel {
    let values = Span::of(line.value.iter().copied()).unwrap_or(Span::new(0.0, 1.0));
    let most = line.height / MARK;
    let values = match line.least {
        Some(least) => values.with(least).up_from_nothing(most),
        None => values.padded(0.05).rounded(most),
    };
    let below = if is_last {
        Below::Axis("time since the pump's start, s")
    } else {
        Below::Nothing
    };
    Panel::draw(sheet, (time, values), (line.name, below), line.height)
}

fn summary(answer: &ShotReadingsResponse) -> String {
    let mut parts = vec![format!(
        "{} g of beverage",
        fixed(answer.beverage_mass_g, 1)
    )];
    if let Some(shot_time_s) = answer.shot_time_s {
        parts.push(format!("in {} s", fixed(shot_time_s, 1)));
    }
    if let Some(first_drop_s) = answer.first_drop_s {
        parts.push(format!("first drop after {} s", fixed(first_drop_s, 1)));
    }
    if let Some(flow) = answer.mean_flow_g_per_s {
        parts.push(format!("mean flow {} g/s", fixed(flow, 2)));
    }
    let head = parts.remove(0);
    let has_time = answer.shot_time_s.is_some();
    let head = if has_time {
        format!("{head} {}", parts.remove(0))
    } else {
        head
    };
    parts.insert(0, head);
    format!("{}.", parts.join(", "))
}

//! A simulated shot: the cup over time, and what is left in the bed by depth.

use crate::api::calculation::Call;
use crate::api::calculations::shot_simulation::ShotSimulation;
use crate::api::calculations::shot_simulation::ShotSimulationRequest;
use crate::api::calculations::shot_simulation::ShotSimulationResponse;
use crate::api::calculations::shot_simulation::SimulatedBed;
use crate::api::chart::Chart;
use crate::api::chart_options::ChartOptions;
use crate::api::picture::number::fixed;
use crate::api::picture::panel::{Below, MARK, Panel};
use crate::api::picture::scale::Span;
use crate::api::picture::sheet::Sheet;
use crate::api::picture::thin::thinned;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::api::provenance::Answer;

/// The chart of a simulated shot.
#[derive(Debug)]
pub struct Simulation;

impl Chart for Simulation {
    const NAME: &'static str = "simulation";
    const SUMMARY: &'static str =
        "A simulated shot: strength, yield and flow over time, and the spent bed";
    const DESCRIPTION: &'static str = "Draws what `shot-simulation` answers: strength and yield of the cup and the flow into \
        it, a panel each above a shared time axis, with the first drop and the moment of the target; below them the solubles \
        left in the bed by depth, top first. The model is not validated against experiments, and the picture says so. The \
        picture is sampled every second, whatever `sample_time_s` is. A request with a `sweep` is refused: a chart draws one \
        shot.";
    const EXAMPLES: &'static [&'static str] = &["harbour-double", "station-preinfusion"];

    type Of = ShotSimulation;

    fn prepare(request: &mut ShotSimulationRequest) -> Result<(), Problem> {
        if request.sweep.is_some() {
            let detail =
                "a chart draws one shot: leave `sweep` out, or ask for a chart of each point";
            let fault = Fault::new("/sweep", FaultCode::Contradictory, detail);
            return Err(Problem::invalid(vec![fault]));
        }
        request.include_bed = Some(true);
        request.sample_time_s = None;
        request.workings = None;
        Ok(())
    }

    fn draw(
        _request: &ShotSimulationRequest,
        answer: &Answer<ShotSimulationResponse>,
        options: &ChartOptions,
        _call: &Call<'_>,
    ) -> Result<String, Problem> {
        let answer = &answer.result;
        let title = options.title.as_deref().unwrap_or("A simulated shot");
        let mut sheet = Sheet::new((options.width, options.theme), title, &summary(answer));
        cup(&mut sheet, answer);
        if let Some(bed) = &answer.bed {
            depth(&mut sheet, bed, answer);
        }
        sheet.note(
            "Dotted: first drop. Dashed: target reached. A verified solution of a model that is not validated; \
             no model of taste.",
        );
        Ok(sheet.finish())
    }
}

fn summary(answer: &ShotSimulationResponse) -> String {
    let cup = answer.at_target.as_ref().or(answer.at_end.as_ref());
    let Some(cup) = cup else {
        return "No beverage.".to_owned();
    };
    let mut text = format!(
        "{} g after {} s",
        fixed(cup.beverage_mass_g, 1),
        fixed(cup.time_s, 1)
    );
    if let Some(tds_percent) = cup.tds_percent {
        text.push_str(&format!(
            ": strength {} %, yield {} %",
            fixed(tds_percent, 1),
            fixed(cup.extraction_yield_percent, 1)
        ));
    }
    if !answer.target_reached {
        text.push_str("; the target is not reached");
    }
    text + "."
}

/// Height of the panels, in ems.
const HEIGHT: f64 = 6.5;

fn cup(sheet: &mut Sheet, answer: &ShotSimulationResponse) {
    let samples = &answer.samples;
    let time = Span::of(samples.time_s.iter().copied())
        .unwrap_or(Span::new(0.0, 1.0))
        .with(answer.time_to_target_s.unwrap_or(0.0))
        .with(0.0)
        .opened();
    // the moment of the target is often the last one, and a line on the border is not seen
    let time = time.with(time.high + 0.02 * time.width());
    // an empty cup has no strength
    let first = samples.beverage_mass_g.iter().position(|mass| *mass > 0.0);
    let axis = Below::Axis("time since the pump's start, s");
    let yields = &samples.extraction_yield_percent;
    for (titles, class, values, from) in [
        (
            ("strength in the cup, %", Below::Nothing),
            "b",
            &samples.tds_percent,
            first,
        ),
        (
            ("yield in the cup, % of dose", Below::Nothing),
            "a",
            yields,
            None,
        ),
        (("flow, g/s", axis), "c", &samples.flow_g_per_s, None),
    ] {
        let shown = Span::of(values.iter().copied()).unwrap_or(Span::new(0.0, 1.0));
        let shown = shown.with(0.0).up_from_nothing(HEIGHT / MARK);
        let panel = Panel::draw(sheet, (time, shown), titles, HEIGHT);
        let from = from.unwrap_or(0);
        let points = panel.points(
            samples.time_s.get(from..).unwrap_or_default(),
            values.get(from..).unwrap_or_default(),
        );
        sheet.svg.open_window(panel.area);
        moments(sheet, &panel, answer);
        sheet.svg.curve(class, &thinned(&points, 0.5));
        sheet.svg.close_window();
    }
}

/// The first drop and the moment of the target.
fn moments(sheet: &mut Sheet, panel: &Panel, answer: &ShotSimulationResponse) {
    if let Some(first_drop_s) = answer.first_drop_s {
        panel.across_x(sheet, "v", first_drop_s);
    }
    if let Some(time_s) = answer.time_to_target_s {
        panel.across_x(sheet, "r", time_s);
    }
}

fn depth(sheet: &mut Sheet, bed: &SimulatedBed, answer: &ShotSimulationResponse) {
    let depths = Span::new(0.0, answer.wetted_bed_depth_mm).opened();
    let left = Span::of(bed.solubles_left_percent.iter().copied());
    let left = left
        .unwrap_or(Span::new(0.0, 100.0))
        .up_from_nothing(HEIGHT / MARK);
    let titles = (
        "solubles left in the grains, %",
        Below::Axis("depth in the bed, mm"),
    );
    let panel = Panel::draw(sheet, (depths, left), titles, HEIGHT);
    sheet.svg.open_window(panel.area);
    let points = panel.points(&bed.depth_mm, &bed.solubles_left_percent);
    sheet.svg.curve("d", &thinned(&points, 0.5));
    sheet.svg.close_window();
}

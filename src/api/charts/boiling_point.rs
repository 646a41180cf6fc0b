//! Boiling point against altitude, with the caller's place and target.

use crate::api::calculation::Call;
use crate::api::calculations::water_temperature::WaterTemperature;
use crate::api::calculations::water_temperature::WaterTemperatureRequest;
use crate::api::calculations::water_temperature::WaterTemperatureResponse;
use crate::api::chart::Chart;
use crate::api::chart_options::ChartOptions;
use crate::api::compose::answer_of;
use crate::api::picture::number::fixed;
use crate::api::picture::panel::{Below, Panel};
use crate::api::picture::scale::Span;
use crate::api::picture::sheet::Sheet;
use crate::api::picture::svg::{Anchor, Marker, Point};
use crate::api::picture::text::width;
use crate::api::problem::Problem;
use crate::api::provenance::Answer;
use crate::maths::quantity::Altitude;

/// The chart of boiling point against altitude.
#[derive(Debug)]
pub struct BoilingPoint;

impl Chart for BoilingPoint {
    const NAME: &'static str = "boiling-point";
    const SUMMARY: &'static str = "Boiling point against altitude, with a place and a target";
    const DESCRIPTION: &'static str = "Draws what `water-temperature` answers: the boiling point of water in an open \
        vessel against altitude in the standard atmosphere, the caller's place by its own boiling point, and the target \
        temperature. A place that is known by its pressure alone stands at the altitude where the standard atmosphere has \
        that pressure; one known with the weather of the day may stand off the curve. Where only the altitude is known a bar \
        shows the expanded spread of the weather, two standard deviations either way.";
    const EXAMPLES: &'static [&'static str] = &[
        "summit-station-kettle",
        "summit-station-machine",
        "harbour-bar-morning",
        "lab-course-forecast",
    ];

    type Of = WaterTemperature;

    fn prepare(request: &mut WaterTemperatureRequest) -> Result<(), Problem> {
        request.workings = None;
        Ok(())
    }

    fn draw(
        request: &WaterTemperatureRequest,
        answer: &Answer<WaterTemperatureResponse>,
        options: &ChartOptions,
        call: &Call<'_>,
    ) -> Result<String, Problem> {
        let place = Place::of(request, &answer.result, call)?;
        let curve = Curve::up_to(place.highest(), call)?;
        let title = options
            .title
            .as_deref()
            .unwrap_or("Boiling point and altitude");
        let mut sheet = Sheet::new((options.width, options.theme), title, &place.summary());
        let panel = panel(&mut sheet, &curve, &place);
        sheet.svg.open_window(panel.area);
        target(&mut sheet, &panel, &place);
        let points = panel.points(&curve.altitudes_m, &curve.boiling_c);
        sheet.svg.curve("a", &points);
        sheet.svg.close_window();
        // outside of the window, so that a place at the end of the axis is whole
        place.draw(&mut sheet, &panel);
        let target = if panel.y.span.contains(place.target_c) {
            "Dashed: target."
        } else {
            "The target lies outside of the picture."
        };
        sheet.note(&format!(
            "Line: open vessel in the standard atmosphere. {target} Hot water scalds; follow local codes."
        ));
        Ok(sheet.finish())
    }
}

/// The boiling point at altitudes of the standard atmosphere.
struct Curve {
    altitudes_m: Vec<f64>,
    boiling_c: Vec<f64>,
}

/// Altitudes that the curve is computed at; between them it is straight to a hundredth of a
/// degree.
const PARTS: u8 = 40;
/// Altitude that is always shown, m.
const SHOWN_M: f64 = 4000.0;

impl Curve {
    fn up_to(highest_m: f64, call: &Call<'_>) -> Result<Self, Problem> {
        let range = Altitude::RANGE;
        let end = Span::new(0.0, highest_m.max(SHOWN_M))
            .rounded(6.0)
            .high
            .min(range.max);
        let places = (0..=PARTS)
            .map(|part| range.min + (end - range.min) * f64::from(part) / f64::from(PARTS));
        let altitudes_m: Vec<f64> = places.collect();
        let boiling_c = altitudes_m.iter().map(|altitude_m| {
            let request = WaterTemperatureRequest {
                altitude_m: Some(*altitude_m),
                ..WaterTemperatureRequest::default()
            };
            Ok(answer_of::<WaterTemperature>(&request, call)?
                .result
                .boiling_point_c)
        });
        let boiling_c = boiling_c.collect::<Result<_, Problem>>()?;
        Ok(Self {
            altitudes_m,
            boiling_c,
        })
    }
}

/// The caller's place and target.
struct Place {
    altitude_m: Option<f64>,
    is_by_pressure: bool,
    boiling_c: f64,
    spread_c: Option<f64>,
    target_c: f64,
    target_boils_m: Option<f64>,
    air_hpa: f64,
    margin_c: f64,
}

impl Place {
    fn of(
        request: &WaterTemperatureRequest,
        answer: &WaterTemperatureResponse,
        call: &Call<'_>,
    ) -> Result<Self, Problem> {
        let metres = |feet| Altitude::from_feet(feet).map(Altitude::metres).ok();
        let feet = request.altitude_ft.and_then(metres);
        let given = request.altitude_m.or(feet);
        let altitude_m = match given {
            Some(altitude_m) => Some(altitude_m),
            None => altitude_of(answer.boiling_point_c, call)?,
        };
        Ok(Self {
            altitude_m,
            is_by_pressure: given.is_none(),
            boiling_c: answer.boiling_point_c,
            spread_c: answer.boiling_point_uncertainty_c,
            target_c: answer.target_temperature_c,
            target_boils_m: answer.altitude_where_target_boils_m,
            air_hpa: answer.air_pressure_hpa,
            margin_c: answer.margin_c,
        })
    }

    fn highest(&self) -> f64 {
        let places = [self.altitude_m, self.target_boils_m];
        places.into_iter().flatten().fold(0.0, f64::max)
    }

    fn summary(&self) -> String {
        let place = match self.altitude_m {
            Some(altitude_m) if !self.is_by_pressure => format!("At {} m", fixed(altitude_m, 0)),
            Some(_) | None => format!("At {} hPa", fixed(self.air_hpa, 0)),
        };
        let reach = if self.margin_c >= 0.0 {
            format!("{} K above the target of", fixed(self.margin_c, 1))
        } else {
            format!("{} K below the target of", fixed(-self.margin_c, 1))
        };
        format!(
            "{place} water boils at {} \u{b0}C, {reach} {} \u{b0}C.",
            fixed(self.boiling_c, 1),
            fixed(self.target_c, 1)
        )
    }

    fn draw(&self, sheet: &mut Sheet, panel: &Panel) {
        let Some(altitude_m) = self.altitude_m else {
            panel.across_y(sheet, "b", self.boiling_c);
            return;
        };
        let em = sheet.em;
        let at = panel.at(altitude_m, self.boiling_c);
        if let Some(spread_c) = self.spread_c {
            let (low, high) = (
                panel.at(altitude_m, self.boiling_c - 2.0 * spread_c),
                panel.at(altitude_m, self.boiling_c + 2.0 * spread_c),
            );
            sheet.svg.line("c", low, high);
        }
        let words = format!("boils at {} \u{b0}C", fixed(self.boiling_c, 1));
        sheet.svg.open_named(&self.summary());
        sheet.svg.marker("q", (Marker::Diamond, 0.45 * em), at);
        sheet.svg.close_named();
        let room = panel.area.right - at.x - em;
        let (anchor, x) = if width(&words, em) < room {
            (Anchor::Start, at.x + 0.9 * em)
        } else {
            (Anchor::End, at.x - 0.9 * em)
        };
        // the curve falls, so there is room above it to the right and below it to the left
        let is_left = anchor == Anchor::End;
        let y = if is_left {
            at.y + 1.3 * em
        } else {
            at.y - 0.5 * em
        };
        sheet.svg.text("e", anchor, Point::new(x, y), &words);
    }
}

/// The altitude of the standard atmosphere where water boils at this temperature.
fn altitude_of(boiling_c: f64, call: &Call<'_>) -> Result<Option<f64>, Problem> {
    let request = WaterTemperatureRequest {
        altitude_m: Some(0.0),
        target_temperature_c: Some(boiling_c),
        ..WaterTemperatureRequest::default()
    };
    let answer = answer_of::<WaterTemperature>(&request, call)?;
    Ok(answer.result.altitude_where_target_boils_m)
}

fn panel(sheet: &mut Sheet, curve: &Curve, place: &Place) -> Panel {
    let ends = [curve.altitudes_m.first(), curve.altitudes_m.last()];
    let ends = ends.into_iter().flatten().copied();
    let x = Span::of(ends).unwrap_or(Span::new(0.0, SHOWN_M)).opened();
    let heights = curve.boiling_c.iter().copied();
    let y = Span::of(heights).unwrap_or(Span::new(80.0, 100.0));
    // a target far from boiling would flatten the curve
    let shown = y.padded(0.35);
    let y = if shown.contains(place.target_c) {
        y.with(place.target_c)
    } else {
        y
    };
    let y = y.with(place.boiling_c).padded(0.05).rounded(6.0);
    let height = (0.55 * sheet.width / sheet.em).min(34.0);
    let titles = ("boiling point, \u{b0}C", Below::Axis("altitude, m"));
    Panel::draw(sheet, (x, y), titles, height)
}

fn target(sheet: &mut Sheet, panel: &Panel, place: &Place) {
    let em = sheet.em;
    if !panel.y.span.contains(place.target_c) {
        return;
    }
    panel.across_y(sheet, "v", place.target_c);
    if let Some(altitude_m) = place.target_boils_m {
        let at = panel.at(altitude_m, place.target_c);
        let foot = Point::new(at.x, panel.area.bottom);
        sheet.svg.line("v", at, foot);
        let words = format!("{} m", fixed(altitude_m, 0));
        let fits = at.x + width(&words, em) + em < panel.area.right;
        let (anchor, x) = if fits {
            (Anchor::Start, at.x + 0.4 * em)
        } else {
            (Anchor::End, at.x - 0.4 * em)
        };
        let y = panel.area.bottom - 0.5 * em;
        sheet.svg.text("k", anchor, Point::new(x, y), &words);
    }
    let words = format!("target {} \u{b0}C", fixed(place.target_c, 1));
    // the curve falls through the line: the words stand at the end that is farther from it
    let middle = f64::midpoint(panel.x.span.low, panel.x.span.high);
    let y = panel.y.at(place.target_c);
    let (anchor, at) = if place
        .target_boils_m
        .is_none_or(|altitude_m| altitude_m < middle)
    {
        (
            Anchor::End,
            Point::new(panel.area.right - 0.5 * em, y - 0.5 * em),
        )
    } else {
        (
            Anchor::Start,
            Point::new(panel.area.left + 0.5 * em, y + 1.2 * em),
        )
    };
    sheet.svg.text("k", anchor, at, &words);
}

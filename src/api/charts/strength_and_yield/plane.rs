//! The plane of strength and yield: its scales, the window, the regions, and lines of equal
//! ratio.

use super::brew::Brew;
use crate::api::brew_kind::BrewKind;
use crate::api::picture::panel::{Below, Panel};
use crate::api::picture::scale::{Span, marks};
use crate::api::picture::sheet::Sheet;
use crate::api::picture::svg::{Anchor, Area, Point};
use crate::api::picture::text;
use crate::maths::extraction::chart::ControlChart;
use crate::maths::extraction::ratio_line::RatioLine;
use crate::maths::quantity::MassFraction;
use crate::maths::range::Range;

/// The plane, and what is written on it.
#[derive(Debug)]
pub(super) struct Plane {
    pub(super) panel: Panel,
    /// Where text stands already.
    pub(super) written: Vec<Area>,
}

/// Most steps between marks when the scales are made, and most between lines of equal ratio.
const STEPS: f64 = 6.0;
const RATIOS: f64 = 7.0;

impl Plane {
    pub(super) fn draw(
        sheet: &mut Sheet,
        (chart, kind): (&ControlChart, BrewKind),
        brews: &[Brew],
    ) -> Self {
        let yields = brews.iter().map(|b| (b.yield_percent, b.reach().0));
        let x = span(&chart.yield_percent, 1.0, yields);
        let strengths = brews.iter().map(|b| (b.tds_percent, b.reach().1));
        let y = span(&chart.strength_percent, 0.8, strengths);
        let height = (0.62 * sheet.width / sheet.em).min(40.0);
        let titles = (
            "strength, % by mass",
            Below::Axis("extraction yield, % of dose"),
        );
        let panel = Panel::draw(sheet, (x, y), titles, height);
        let mut plane = Self {
            panel,
            written: Vec::new(),
        };
        sheet.svg.open_window(panel.area);
        plane.window(sheet, chart);
        plane.ratio_lines(sheet, (chart, kind));
        plane.regions(sheet, chart);
        sheet.svg.close_window();
        plane
    }

    fn window(&self, sheet: &mut Sheet, chart: &ControlChart) {
        let (yields, strengths) = (chart.yield_percent, chart.strength_percent);
        for value in [yields.min, yields.max] {
            self.panel.across_x(sheet, "x", value);
        }
        for value in [strengths.min, strengths.max] {
            self.panel.across_y(sheet, "x", value);
        }
        let (low, high) = (
            self.panel.at(yields.min, strengths.min),
            self.panel.at(yields.max, strengths.max),
        );
        let area = Area {
            left: low.x,
            top: high.y,
            right: high.x,
            bottom: low.y,
        };
        sheet.svg.rect("w", area);
    }

    /// Words at the edges for what lies outside the window.
    fn regions(&mut self, sheet: &mut Sheet, chart: &ControlChart) {
        let (em, area) = (sheet.em, self.panel.area);
        let (x, y) = (self.panel.x, self.panel.y);
        let (yields, strengths) = (chart.yield_percent, chart.strength_percent);
        let (left, base) = (area.left + 0.5 * em, area.bottom - 0.5 * em);
        let places = [
            (
                "strong",
                left,
                y.at(strengths.max) - 0.5 * em,
                Anchor::Start,
            ),
            ("weak", left, y.at(strengths.min) + 1.1 * em, Anchor::Start),
            ("under", x.at(yields.min) - 0.5 * em, base, Anchor::End),
            ("over", x.at(yields.max) + 0.5 * em, base, Anchor::Start),
        ];
        for (word, at_x, at_y, anchor) in places {
            let size = 0.85 * em;
            let place = text_area(word, (size, anchor), Point::new(at_x, at_y));
            if self.is_free(&place) {
                sheet.svg.text("k", anchor, Point::new(at_x, at_y), word);
                self.written.push(place);
            }
        }
    }

    fn ratio_lines(&mut self, sheet: &mut Sheet, (chart, kind): (&ControlChart, BrewKind)) {
        let (x, y) = (self.panel.x.span, self.panel.y.span);
        let middle = f64::midpoint(x.low, x.high);
        // far below the window lines of round ratios crowd
        let lowest = y.low.max(0.7 * chart.strength_percent.min);
        let ratios = Span::new(middle / y.high, middle / lowest);
        for (ratio, text) in marks(ratios, RATIOS) {
            let points = self.ratio_line(kind, ratio);
            sheet.svg.curve("r", &points);
            self.ratio_label(sheet, &points, &format!("1:{text}"));
        }
    }

    /// The part of a ratio's line that is on the plane.
    fn ratio_line(&self, kind: BrewKind, ratio: f64) -> Vec<Point> {
        // of percolation the beverage is counted, of immersion the water
        let line = match kind {
            BrewKind::Espresso | BrewKind::Filter => RatioLine::AsWeighed,
            BrewKind::Immersion => RatioLine::PureWaterRetained,
        };
        let x = self.panel.x.span;
        let places = (0_u8..=24).map(|part| x.low + x.width() * f64::from(part) / 24.0);
        let points = places.filter_map(|percent| {
            let extraction_yield = MassFraction::from_percent(percent).ok()?;
            let strength = line.strength(extraction_yield, ratio, 0.0).ok()?;
            Some(self.panel.at(percent, strength.percent()))
        });
        points.collect()
    }

    /// Writes the ratio where its line leaves the plane.
    fn ratio_label(&mut self, sheet: &mut Sheet, points: &[Point], label: &str) {
        let (em, area) = (sheet.em, self.panel.area);
        let size = 0.85 * em;
        let Some(last) = points
            .iter()
            .rev()
            .find(|point| point.y > area.top + 1.6 * em)
        else {
            return;
        };
        let is_at_the_right = last.x > area.right - 1.0;
        let (at, anchor) = if is_at_the_right {
            (
                Point::new(last.x - 0.3 * em, last.y + 0.3 * em),
                Anchor::End,
            )
        } else {
            (
                Point::new(last.x + 0.2 * em, area.top + 1.1 * em),
                Anchor::Middle,
            )
        };
        let place = text_area(label, (size, anchor), at);
        if area.holds(&place) && self.is_free(&place) {
            sheet.svg.text("k", anchor, at, label);
            self.written.push(place);
        }
    }

    pub(super) fn is_free(&self, place: &Area) -> bool {
        !self.written.iter().any(|other| other.overlaps(place))
    }
}

/// The room that a text takes.
pub(super) fn text_area(words: &str, (size, anchor): (f64, Anchor), at: Point) -> Area {
    let width = text::width(words, size);
    let left = match anchor {
        Anchor::Start => at.x,
        Anchor::Middle => at.x - width / 2.0,
        Anchor::End => at.x - width,
    };
    Area {
        left,
        top: at.y - 0.8 * size,
        right: left + width,
        bottom: at.y + 0.25 * size,
    }
}

/// The interval that shows a window with room around it, and every brew with how far it may be
/// off; of a brew that nobody knows, no more than its window is wide.
fn span(window: &Range, room: f64, brews: impl Iterator<Item = (f64, f64)>) -> Span {
    let window = Span::new(window.min, window.max);
    let values = brews.flat_map(|(value, reach)| {
        let reach = reach.min(window.width());
        [value - reach, value + reach]
    });
    let shown = window.padded(room);
    let all = Span::of(values).map_or(shown, |brews| {
        let brews = brews.padded(0.08);
        shown.with(brews.low).with(brews.high)
    });
    let rounded = all.rounded(STEPS);
    Span::new(rounded.low.max(0.0), rounded.high)
}

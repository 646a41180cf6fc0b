//! A panel: a rectangle with a scale along each side, its grid, its marks and its titles.

use super::scale::{Scale, Span, marks, marks_along};
use super::sheet::Sheet;
use super::svg::{Anchor, Area, Point};

/// Room for the marks at the left, in ems.
pub(crate) const LEFT: f64 = 3.4;
/// Room for the title of the upward axis, above the panel, in ems.
const ABOVE: f64 = 2.0;
/// Room for the marks below, and for the title of the axis below them, in ems.
const MARKS_BELOW: f64 = 1.5;
const TITLE_BELOW: f64 = 1.3;

/// Height that a mark of the upward axis needs, in ems.
pub(crate) const MARK: f64 = 1.6;

/// A panel with its scales.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Panel {
    pub(crate) area: Area,
    pub(crate) x: Scale,
    pub(crate) y: Scale,
}

/// What stands below a panel.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Below<'t> {
    /// Nothing: a panel with the same axis follows.
    Nothing,
    /// Marks and the title of the axis.
    Axis(&'t str),
}

impl Panel {
    /// Draws the frame of the next panel of the sheet, as high as `ems` of the text.
    pub(crate) fn draw(
        sheet: &mut Sheet,
        (x, y): (Span, Span),
        (above, below): (&str, Below<'_>),
        ems: f64,
    ) -> Self {
        let em = sheet.em;
        sheet.used += ABOVE * em;
        let area = sheet.take(LEFT * em, ems * em);
        let panel = Self {
            area,
            x: Scale::new(x, area.left, area.right),
            y: Scale::new(y, area.bottom, area.top),
        };
        let title = Point::new(area.left - LEFT * em, area.top - 0.8 * em);
        sheet.svg.text("t", Anchor::Start, title, above);
        panel.grid(sheet, matches!(below, Below::Axis(_)));
        if let Below::Axis(text) = below {
            sheet.used += (MARKS_BELOW + TITLE_BELOW) * em;
            let at = Point::new(area.right, area.bottom + (MARKS_BELOW + 1.15) * em);
            sheet.svg.text("t", Anchor::End, at, text);
        }
        panel
    }

    fn grid(&self, sheet: &mut Sheet, has_marks_below: bool) {
        let (em, area) = (sheet.em, self.area);
        for (value, text) in marks_along(self.x.span, area.width(), (em, 4.6)) {
            let x = self.x.at(value);
            let (top, bottom) = (Point::new(x, area.top), Point::new(x, area.bottom));
            sheet.svg.line("g", top, bottom);
            if has_marks_below {
                let at = Point::new(x, area.bottom + 1.4 * em);
                sheet.svg.text("s", Anchor::Middle, at, &text);
            }
        }
        for (value, text) in marks(self.y.span, area.height() / (MARK * em)) {
            let y = self.y.at(value);
            let (left, right) = (Point::new(area.left, y), Point::new(area.right, y));
            sheet.svg.line("g", left, right);
            let at = Point::new(area.left - 0.45 * em, y + 0.3 * em);
            sheet.svg.text("s", Anchor::End, at, &text);
        }
        let corner = Point::new(area.left, area.bottom);
        sheet
            .svg
            .line("x", corner, Point::new(area.right, area.bottom));
        sheet.svg.line("x", corner, Point::new(area.left, area.top));
    }

    /// Where a pair of values is.
    pub(crate) fn at(&self, x: f64, y: f64) -> Point {
        Point::new(self.x.at(x), self.y.at(y))
    }

    /// The points of a curve.
    pub(crate) fn points(&self, x: &[f64], y: &[f64]) -> Vec<Point> {
        let pairs = x.iter().zip(y);
        pairs.map(|(x, y)| self.at(*x, *y)).collect()
    }

    /// Draws a line across the panel at a value of the axis below.
    pub(crate) fn across_x(&self, sheet: &mut Sheet, class: &str, value: f64) {
        let x = self.x.at(value);
        let (top, bottom) = (
            Point::new(x, self.area.top),
            Point::new(x, self.area.bottom),
        );
        sheet.svg.line(class, top, bottom);
    }

    /// Draws a line across the panel at a value of the upward axis.
    pub(crate) fn across_y(&self, sheet: &mut Sheet, class: &str, value: f64) {
        let y = self.y.at(value);
        let (left, right) = (
            Point::new(self.area.left, y),
            Point::new(self.area.right, y),
        );
        sheet.svg.line(class, left, right);
    }

    /// The part of the panel between two values of the axis below.
    pub(crate) fn between(&self, from: f64, to: f64) -> Area {
        let inside = |x: f64| x.clamp(self.area.left, self.area.right);
        Area {
            left: inside(self.x.at(from)),
            right: inside(self.x.at(to)),
            ..self.area
        }
    }
}

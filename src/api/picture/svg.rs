//! A small writer of SVG: shapes by class, text as text, nothing that refers to anything.
//!
//! No `id` is ever written, so that several pictures can stand in one page.

use super::number::push;
use super::text::push_escaped;

/// A place on the sheet; y runs downwards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Point {
    pub(crate) x: f64,
    pub(crate) y: f64,
}

impl Point {
    pub(crate) const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }
}

/// A rectangle of the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Area {
    pub(crate) left: f64,
    pub(crate) top: f64,
    pub(crate) right: f64,
    pub(crate) bottom: f64,
}

impl Area {
    pub(crate) fn width(&self) -> f64 {
        self.right - self.left
    }

    pub(crate) fn height(&self) -> f64 {
        self.bottom - self.top
    }

    pub(crate) fn overlaps(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    pub(crate) fn holds(&self, other: &Self) -> bool {
        self.left <= other.left
            && other.right <= self.right
            && self.top <= other.top
            && other.bottom <= self.bottom
    }
}

/// Which end of a text its place is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

/// What marks a point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Marker {
    Circle,
    Diamond,
    Triangle,
}

/// The inside of an SVG document while it is written.
#[derive(Debug, Default)]
pub(crate) struct Svg {
    out: String,
}

impl Svg {
    /// What was written.
    pub(crate) fn into_text(self) -> String {
        self.out
    }

    fn open(&mut self, name: &str, class: &str) {
        self.out.push('<');
        self.out.push_str(name);
        self.out.push_str(" class=\"");
        self.out.push_str(class);
        self.out.push('"');
    }

    fn number(&mut self, name: &str, value: f64) {
        self.out.push(' ');
        self.out.push_str(name);
        self.out.push_str("=\"");
        push(&mut self.out, value);
        self.out.push('"');
    }

    pub(crate) fn line(&mut self, class: &str, from: Point, to: Point) {
        self.open("line", class);
        self.number("x1", from.x);
        self.number("y1", from.y);
        self.number("x2", to.x);
        self.number("y2", to.y);
        self.out.push_str("/>\n");
    }

    pub(crate) fn rect(&mut self, class: &str, area: Area) {
        self.open("rect", class);
        self.number("x", area.left);
        self.number("y", area.top);
        self.number("width", area.width().max(0.0));
        self.number("height", area.height().max(0.0));
        self.out.push_str("/>\n");
    }

    /// A line through the points.
    pub(crate) fn curve(&mut self, class: &str, points: &[Point]) {
        if points.is_empty() {
            return;
        }
        self.open("polyline", class);
        self.out.push_str(" points=\"");
        for (place, point) in points.iter().enumerate() {
            if place > 0 {
                self.out.push(' ');
            }
            push(&mut self.out, point.x);
            self.out.push(',');
            push(&mut self.out, point.y);
        }
        self.out.push_str("\"/>\n");
    }

    pub(crate) fn marker(&mut self, class: &str, (marker, size): (Marker, f64), at: Point) {
        let corners: &[(f64, f64)] = match marker {
            Marker::Circle => {
                self.open("circle", class);
                self.number("cx", at.x);
                self.number("cy", at.y);
                self.number("r", size);
                self.out.push_str("/>\n");
                return;
            }
            Marker::Diamond => &[(0.0, -1.3), (1.3, 0.0), (0.0, 1.3), (-1.3, 0.0)],
            Marker::Triangle => &[(0.0, -1.2), (1.15, 0.9), (-1.15, 0.9)],
        };
        self.open("path", class);
        self.out.push_str(" d=\"");
        for (place, (x, y)) in corners.iter().enumerate() {
            self.out.push(if place == 0 { 'M' } else { 'L' });
            push(&mut self.out, at.x + x * size);
            self.out.push(' ');
            push(&mut self.out, at.y + y * size);
        }
        self.out.push_str("Z\"/>\n");
    }

    /// An ellipse by its half axes, turned clockwise by `degrees`.
    pub(crate) fn ellipse(&mut self, class: &str, at: Point, (a, b): (f64, f64), degrees: f64) {
        self.open("ellipse", class);
        self.number("rx", a);
        self.number("ry", b);
        self.out.push_str(" transform=\"translate(");
        push(&mut self.out, at.x);
        self.out.push(' ');
        push(&mut self.out, at.y);
        self.out.push_str(") rotate(");
        push(&mut self.out, degrees);
        self.out.push_str(")\"/>\n");
    }

    pub(crate) fn text(&mut self, class: &str, anchor: Anchor, at: Point, text: &str) {
        self.open("text", class);
        self.number("x", at.x);
        self.number("y", at.y);
        self.out.push_str(match anchor {
            Anchor::Start => ">",
            Anchor::Middle => " text-anchor=\"middle\">",
            Anchor::End => " text-anchor=\"end\">",
        });
        push_escaped(&mut self.out, text);
        self.out.push_str("</text>\n");
    }

    /// Opens a group that has a name, which a pointer shows and a reader reads.
    pub(crate) fn open_named(&mut self, name: &str) {
        self.out.push_str("<g><title>");
        push_escaped(&mut self.out, name);
        self.out.push_str("</title>");
    }

    /// Closes a group.
    pub(crate) fn close_named(&mut self) {
        self.out.push_str("</g>\n");
    }

    /// Opens a part of the sheet of which nothing shows outside.
    pub(crate) fn open_window(&mut self, area: Area) {
        self.out.push_str("<svg");
        self.number("x", area.left);
        self.number("y", area.top);
        self.number("width", area.width());
        self.number("height", area.height());
        self.out.push_str(" viewBox=\"");
        for (place, value) in [area.left, area.top, area.width(), area.height()]
            .into_iter()
            .enumerate()
        {
            if place > 0 {
                self.out.push(' ');
            }
            push(&mut self.out, value);
        }
        self.out.push_str("\">\n");
    }

    /// Closes it.
    pub(crate) fn close_window(&mut self) {
        self.out.push_str("</svg>\n");
    }
}

//! The sheet that a chart is drawn on: its size, its title, and the document around it.

use super::number::push;
use super::svg::{Anchor, Area, Point, Svg};
use super::text::{lines, push_escaped};
use super::theme::Theme;

/// Families of the text; the first is the one that PNG is drawn with.
const FAMILIES: &str = "DejaVu Sans,Verdana,sans-serif";

/// A sheet while it is drawn on, from the top to the bottom.
#[derive(Debug)]
pub(crate) struct Sheet {
    pub(crate) svg: Svg,
    /// Size of the text; every other size is in parts of it.
    pub(crate) em: f64,
    /// Width of the sheet.
    pub(crate) width: f64,
    /// How far down the sheet is used.
    pub(crate) used: f64,
    theme: Theme,
    title: String,
    summary: String,
}

impl Sheet {
    /// A sheet with its title and one sentence about what it shows.
    pub(crate) fn new((width, theme): (f64, Theme), title: &str, summary: &str) -> Self {
        // text grows with the sheet, but by less
        let em = 8.0 + width / 100.0;
        let mut sheet = Self {
            svg: Svg::default(),
            em,
            width,
            used: 0.5 * em,
            theme,
            title: title.to_owned(),
            summary: summary.to_owned(),
        };
        sheet.paragraph("h", (title, 2), 1.3);
        sheet.paragraph("s", (summary, 3), 0.85);
        sheet.used += 0.5 * em;
        sheet
    }

    /// Small print below what was drawn.
    pub(crate) fn note(&mut self, text: &str) {
        self.used += 0.4 * self.em;
        self.paragraph("n", (text, 5), 0.85);
    }

    fn paragraph(&mut self, class: &str, (text, most): (&str, usize), size: f64) {
        let size = size * self.em;
        // a number keeps its unit
        let text = text
            .replace(" %", "\u{a0}%")
            .replace(" \u{b0}C", "\u{a0}\u{b0}C");
        let room = self.width - 2.0 * self.margin();
        for line in lines(&text, (size, room), most) {
            self.used += 1.3 * size;
            let at = Point::new(self.margin(), self.used);
            self.svg.text(class, Anchor::Start, at, &line);
        }
    }

    /// Room at either side.
    pub(crate) fn margin(&self) -> f64 {
        0.9 * self.em
    }

    /// Takes the next part of the sheet, as wide as it is but for room for marks at the left.
    pub(crate) fn take(&mut self, left: f64, height: f64) -> Area {
        let top = self.used;
        self.used += height;
        Area {
            left: self.margin() + left,
            top,
            right: self.width - self.margin() - 0.8 * self.em,
            bottom: top + height,
        }
    }

    /// The document.
    pub(crate) fn finish(self) -> String {
        let height = libm::ceil(self.used + 0.9 * self.em);
        let body = self.svg.into_text();
        let mut out = String::with_capacity(body.len() + 4096);
        out.push_str("<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" width=\"");
        push(&mut out, self.width);
        out.push_str("\" height=\"");
        push(&mut out, height);
        out.push_str("\" viewBox=\"0 0 ");
        push(&mut out, self.width);
        out.push(' ');
        push(&mut out, height);
        out.push_str("\" font-family=\"");
        out.push_str(FAMILIES);
        out.push_str("\" font-size=\"");
        push(&mut out, self.em);
        out.push_str("\">\n<title>");
        push_escaped(&mut out, &self.title);
        out.push_str("</title>\n<desc>");
        push_escaped(&mut out, &self.summary);
        out.push_str("</desc>\n");
        let style = self.theme.style();
        if !style.is_empty() {
            out.push_str("<style>");
            out.push_str(style);
            out.push_str("</style>\n");
        }
        out.push_str("<rect class=\"z\" width=\"100%\" height=\"100%\"/>\n");
        out.push_str(&body);
        out.push_str("</svg>\n");
        out
    }
}

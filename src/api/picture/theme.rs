//! Colours and strokes: what each class of shape looks like, by day, by night and on paper.
//!
//! Series are told apart by shape, dash and place as well as by colour. The colours of series
//! begin with the eight that Okabe and Ito chose for readers with any kind of colour vision
//! (from memory), two of them deepened for white paper and two lightened for a dark screen.

use serde::{Deserialize, Serialize};

/// Light, dark, or what the reader's screen prefers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Theme {
    /// Dark on white.
    Light,
    /// Light on nearly black.
    Dark,
    /// Light, and dark on a screen that prefers it; on paper always light.
    #[default]
    Auto,
    /// As the page has it that the picture stands in: no style of its own. Not for a query.
    OfPage,
}

impl Theme {
    /// All themes by their words in a query.
    pub const WORDS: [(&'static str, Self); 3] = [
        ("light", Self::Light),
        ("dark", Self::Dark),
        ("auto", Self::Auto),
    ];

    /// The style sheet.
    #[must_use]
    pub const fn style(self) -> &'static str {
        match self {
            Self::Light => LIGHT,
            Self::Dark => DARK,
            Self::Auto => AUTO,
            Self::OfPage => "",
        }
    }
}

/// Strokes and sizes, in parts of the size of the text, which are the same in every theme.
macro_rules! shapes {
    () => {
        "text{stroke:none}\
        .h{font-size:1.25em}\
        .s,.n,.k{font-size:.85em}\
        .k,.e{paint-order:stroke;stroke-width:.3em;stroke-linejoin:round}\
        .g,.x,.r,.w,.v{fill:none;stroke-width:.07em}\
        .r{stroke-dasharray:.5em .35em}\
        .v{stroke-width:.12em;stroke-dasharray:.2em .25em;stroke-linecap:round}\
        .a,.b,.c,.d{fill:none;stroke-width:.17em;stroke-linejoin:round;stroke-linecap:round}\
        .b{stroke-dasharray:.8em .35em}\
        .o{fill:none;stroke-width:.1em}\
        .l{stroke-width:.06em}\
        .p,.q{stroke-width:.12em}"
    };
}

/// Colours of the classes: sheet, text, muted text, grid, axis, then the four series.
macro_rules! colours {
    ($sheet:literal, $text:literal, $muted:literal, $grid:literal, $axis:literal, $a:literal, $b:literal, $c:literal, $d:literal) => {
        concat!(
            ".z{fill:",
            $sheet,
            "}",
            ".h,.t,.e{fill:",
            $text,
            "}",
            ".s,.n,.k{fill:",
            $muted,
            "}",
            ".k,.e{stroke:",
            $sheet,
            "}",
            ".g{stroke:",
            $grid,
            "}",
            ".x{stroke:",
            $axis,
            "}",
            ".r,.v{stroke:",
            $muted,
            "}",
            ".w{stroke:",
            $c,
            ";stroke-width:.12em;fill:",
            $c,
            ";fill-opacity:.13}",
            ".f{fill:",
            $muted,
            ";fill-opacity:.13}",
            ".i{fill:",
            $a,
            ";fill-opacity:.35;stroke:",
            $sheet,
            ";stroke-width:.05em}",
            ".u{fill:",
            $c,
            ";fill-opacity:.3}",
            ".a{stroke:",
            $a,
            "}",
            ".b{stroke:",
            $b,
            "}",
            ".c{stroke:",
            $c,
            "}",
            ".d{stroke:",
            $d,
            "}",
            ".fa{fill:",
            $a,
            "}",
            ".fb{fill:",
            $b,
            "}",
            ".fc{fill:",
            $c,
            "}",
            ".fd{fill:",
            $d,
            "}",
            ".o{stroke:",
            $a,
            ";fill:",
            $a,
            ";fill-opacity:.06}",
            ".l{stroke:",
            $a,
            ";stroke-opacity:.25;fill:",
            $a,
            ";fill-opacity:.02}",
            ".p{fill:",
            $a,
            ";stroke:",
            $sheet,
            "}",
            ".q{fill:",
            $b,
            ";stroke:",
            $sheet,
            "}",
        )
    };
}

macro_rules! light {
    () => {
        colours!(
            "#fff", "#1b1d21", "#555b63", "#e3e6ea", "#7d858f", "#0072b2", "#c24e00", "#00795a",
            "#a04a86"
        )
    };
}

macro_rules! dark {
    () => {
        colours!(
            "#14171c", "#f0f2f4", "#b3bac3", "#2d333b", "#858e99", "#56b4e9", "#e69f00", "#2cc79b",
            "#e09cc8"
        )
    };
}

const LIGHT: &str = concat!(shapes!(), light!());
const DARK: &str = concat!(shapes!(), dark!());
const AUTO: &str = concat!(
    shapes!(),
    light!(),
    "@media screen and (prefers-color-scheme:dark){",
    dark!(),
    "}"
);

#[cfg(test)]
mod tests {
    use super::Theme;

    #[test]
    fn a_style_holds_nothing_that_xml_would_read() {
        for (_, theme) in Theme::WORDS {
            let style = theme.style();
            assert!(!style.contains(['<', '>', '&', '"', '\n']), "{style}");
        }
    }
}

//! Colours by the contrast that WCAG 2.2 asks for (criteria 1.4.3 and 1.4.11; the formula of
//! relative luminance and both limits from memory).

use extraction_maths::api::picture::theme::Theme;

/// Least contrast of text, and of shapes that carry a meaning.
const TEXT: f64 = 4.5;
const SHAPE: f64 = 3.0;

fn luminance(colour: &str) -> f64 {
    let digits = colour.trim_start_matches('#');
    let long: String = if digits.len() == 3 {
        digits.chars().flat_map(|digit| [digit, digit]).collect()
    } else {
        digits.to_owned()
    };
    let part = |place: usize| {
        let byte = u8::from_str_radix(&long[place..place + 2], 16).expect("a colour");
        let share = f64::from(byte) / 255.0;
        if share <= 0.040_45 {
            share / 12.92
        } else {
            ((share + 0.055) / 1.055).powf(2.4)
        }
    };
    0.2126 * part(0) + 0.7152 * part(2) + 0.0722 * part(4)
}

fn contrast(one: &str, other: &str) -> f64 {
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

/// The colour that a rule for exactly these classes sets.
fn colour<'s>(style: &'s str, rule: &str) -> &'s str {
    let start = style.find(rule).unwrap_or_else(|| panic!("{rule}")) + rule.len();
    let rest = &style[start..];
    &rest[..rest.find(['}', ';']).expect("an end")]
}

#[test]
fn the_formula_of_contrast_is_the_known_one() {
    assert!((contrast("#000", "#fff") - 21.0).abs() < 1e-9);
    assert!((contrast("#777777", "#ffffff") - 4.48).abs() < 0.005);
}

#[test]
fn text_and_shapes_stand_out_by_day_and_by_night() {
    for theme in [Theme::Light, Theme::Dark] {
        let style = theme.style();
        let sheet = colour(style, ".z{fill:");
        for rule in [".h,.t,.e{fill:", ".s,.n,.k{fill:"] {
            assert!(
                contrast(colour(style, rule), sheet) >= TEXT,
                "{theme:?} {rule}"
            );
        }
        for rule in [
            ".x{stroke:",
            ".r,.v{stroke:",
            ".a{stroke:",
            ".b{stroke:",
            ".c{stroke:",
            ".d{stroke:",
            ".w{stroke:",
        ] {
            assert!(
                contrast(colour(style, rule), sheet) >= SHAPE,
                "{theme:?} {rule}"
            );
        }
    }
}

#[test]
fn auto_is_light_and_dark_together() {
    let auto = Theme::Auto.style();
    assert!(auto.starts_with(Theme::Light.style()));
    assert!(auto.contains("prefers-color-scheme:dark"));
}

//! Text of a picture: escaped, measured, shortened and broken into lines.

/// Advance widths of the printable ASCII characters in the font that PNG is drawn with, in
/// thousandths of its size. Most fonts that stand in for it are narrower.
const ADVANCES: [f64; 95] = [
    318.0, 401.0, 460.0, 838.0, 636.0, 950.0, 780.0, 275.0, 390.0, 390.0, 500.0, 838.0, 318.0,
    361.0, 318.0, 337.0, 636.0, 636.0, 636.0, 636.0, 636.0, 636.0, 636.0, 636.0, 636.0, 636.0,
    337.0, 337.0, 838.0, 838.0, 838.0, 531.0, 1000.0, 684.0, 686.0, 698.0, 770.0, 632.0, 575.0,
    775.0, 752.0, 295.0, 295.0, 656.0, 557.0, 863.0, 748.0, 787.0, 603.0, 787.0, 695.0, 635.0,
    611.0, 732.0, 684.0, 989.0, 685.0, 611.0, 685.0, 390.0, 337.0, 390.0, 838.0, 500.0, 500.0,
    613.0, 635.0, 550.0, 635.0, 615.0, 352.0, 635.0, 634.0, 278.0, 278.0, 579.0, 278.0, 974.0,
    634.0, 612.0, 635.0, 635.0, 411.0, 521.0, 392.0, 634.0, 592.0, 818.0, 592.0, 592.0, 525.0,
    636.0, 337.0, 636.0, 838.0,
];
/// Width of other letters, taken wide rather than narrow; those of some scripts are square.
const OTHER: f64 = 800.0;
const SQUARE: f64 = 1000.0;

/// Width of a text of this size.
pub(crate) fn width(text: &str, size: f64) -> f64 {
    text.chars().map(advance).sum::<f64>() * size / 1000.0
}

fn advance(letter: char) -> f64 {
    if letter == '\u{a0}' {
        return ADVANCES[0];
    }
    let place = usize::try_from(u32::from(letter)).unwrap_or(usize::MAX);
    match ADVANCES.get(place.wrapping_sub(32)) {
        Some(width) => *width,
        None if place < 0x1100 => OTHER,
        None => SQUARE,
    }
}

/// Appends a text so that it is text and nothing else: markup is escaped, and what XML may not
/// hold becomes a replacement character.
pub(crate) fn push_escaped(out: &mut String, text: &str) {
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\t' | '\n' | '\r' => out.push(' '),
            '\u{0}'..='\u{1f}' | '\u{7f}'..='\u{9f}' | '\u{fffe}' | '\u{ffff}' => {
                out.push(char::REPLACEMENT_CHARACTER);
            }
            // what turns the direction of text would turn the labels beside it too
            '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => {}
            letter => out.push(letter),
        }
    }
}

/// The text, or as much of it as fits, with an ellipsis.
pub(crate) fn shortened(text: &str, size: f64, room: f64) -> String {
    if width(text, size) <= room {
        return text.to_owned();
    }
    let room = room - size * SQUARE / 1000.0;
    let mut used = 0.0;
    let fits = |letter: &char| {
        used += advance(*letter) * size / 1000.0;
        used <= room
    };
    let mut short: String = text.chars().take_while(fits).collect();
    short.truncate(short.trim_end().len());
    short.push('\u{2026}');
    short
}

/// The text in lines that fit, broken at blanks; the last of `most` lines is shortened.
pub(crate) fn lines(text: &str, (size, room): (f64, f64), most: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut words = text.split(' ').filter(|word| !word.is_empty()).peekable();
    while words.peek().is_some() && lines.len() < most {
        let mut line = String::new();
        let is_last = lines.len() + 1 == most;
        while let Some(word) = words.peek() {
            let longer = if line.is_empty() {
                (*word).to_owned()
            } else {
                format!("{line} {word}")
            };
            if !is_last && !line.is_empty() && width(&longer, size) > room {
                break;
            }
            line = longer;
            words.next();
        }
        lines.push(shortened(&line, size, room));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::{lines, push_escaped, shortened, width};

    #[test]
    fn what_could_be_markup_is_text() {
        let mut out = String::new();
        push_escaped(&mut out, "</text><script>a&\"b\u{0}\u{202e}");
        assert_eq!(out, "&lt;/text&gt;&lt;script&gt;a&amp;&quot;b\u{fffd}");
    }

    #[test]
    fn a_text_is_shortened_to_its_room() {
        assert_eq!(shortened("short", 10.0, 100.0), "short");
        let short = shortened("a text that is too long", 10.0, 60.0);
        assert!(short.ends_with('\u{2026}') && width(&short, 10.0) <= 60.0);
    }

    #[test]
    fn lines_break_at_blanks_and_none_is_lost_before_the_last() {
        let broken = lines("one two three four", (10.0, 60.0), 4);
        assert_eq!(broken.join(" "), "one two three four");
        assert!(broken.len() > 1);
        assert_eq!(lines("one two three four", (10.0, 60.0), 1).len(), 1);
    }
}

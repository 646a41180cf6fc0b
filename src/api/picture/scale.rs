//! From quantities to places on the sheet, and round numbers to mark them with.

use super::number::fixed;
use super::text::width;

/// An interval of a quantity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Span {
    pub(crate) low: f64,
    pub(crate) high: f64,
}

impl Span {
    pub(crate) const fn new(low: f64, high: f64) -> Self {
        Self { low, high }
    }

    /// The interval that holds all finite values; none without one.
    pub(crate) fn of(values: impl IntoIterator<Item = f64>) -> Option<Self> {
        let finite = values.into_iter().filter(|value| value.is_finite());
        finite.fold(None, |span: Option<Self>, value| {
            Some(span.map_or(Self::new(value, value), |span| span.with(value)))
        })
    }

    /// The interval widened to hold a value.
    pub(crate) fn with(self, value: f64) -> Self {
        Self::new(self.low.min(value), self.high.max(value))
    }

    /// The interval widened by a part of its width at either end.
    pub(crate) fn padded(self, part: f64) -> Self {
        let room = self.width() * part;
        Self::new(self.low - room, self.high + room)
    }

    /// The interval, widened when it has no width.
    pub(crate) fn opened(self) -> Self {
        if self.width() > 0.0 {
            return self;
        }
        let room = (libm::fabs(self.low) * 0.05).max(0.5);
        Self::new(self.low - room, self.high + room)
    }

    /// The interval widened to whole steps of its marks.
    pub(crate) fn rounded(self, most: f64) -> Self {
        let mut span = self.opened();
        // the wider interval may have wider steps
        for _ in 0..3 {
            let step = step(span.width(), most);
            span = Self::new(
                libm::floor(span.low / step + HAIR) * step,
                libm::ceil(span.high / step - HAIR) * step,
            );
        }
        span
    }

    /// The interval of a quantity that begins at nothing, with a little room below: what is
    /// slightly less than nothing is noise.
    pub(crate) fn up_from_nothing(self, most: f64) -> Self {
        let high = self.high.max(0.0);
        let noise = 0.1 * high;
        if self.low < -noise {
            return self.rounded(most);
        }
        // the room below must not make the steps wider than they were for the rounding
        let up = Self::new(0.0, high * 1.03).rounded(most / 1.06);
        Self::new(-0.05 * up.width(), up.high)
    }

    pub(crate) fn width(self) -> f64 {
        self.high - self.low
    }

    pub(crate) fn contains(self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }
}

/// Part of a step by which rounding may miss a mark.
const HAIR: f64 = 1e-9;
/// Size of the numbers of the marks, and least room between two of them, in ems.
const SIZE: f64 = 0.85;
const GAP: f64 = 0.5;
/// Most decimals of a mark.
const MOST_DECIMALS: usize = 9;

/// The least step of 1, 2 or 5 times a power of ten that makes at most so many steps.
fn step(width: f64, most: f64) -> f64 {
    let least = width / most.max(1.0);
    let power = libm::pow(10.0, libm::floor(libm::log10(least)));
    let times = [1.0, 2.0, 5.0].into_iter();
    times
        .map(|times| times * power)
        .find(|step| *step >= least * (1.0 - HAIR))
        .unwrap_or(10.0 * power)
}

/// The marks inside an interval, and how they read: at most so many steps.
pub(crate) fn marks(span: Span, most: f64) -> Vec<(f64, String)> {
    let step = step(span.width(), most);
    let mut unit = 1.0;
    let mut decimals = 0;
    while unit > step * (1.0 + HAIR) && decimals < MOST_DECIMALS {
        unit /= 10.0;
        decimals += 1;
    }
    let mut marks = Vec::new();
    let mut count = libm::ceil(span.low / step - HAIR);
    let last = libm::floor(span.high / step + HAIR);
    while count <= last {
        let value = count * step;
        marks.push((value, fixed(value, decimals)));
        count += 1.0;
    }
    marks
}

/// The marks of an interval that lies along so much room, each with room for its number: at most
/// one in `apart` times the size of the text.
pub(crate) fn marks_along(span: Span, room: f64, (em, apart): (f64, f64)) -> Vec<(f64, String)> {
    let mut most = room / (apart * em);
    loop {
        let found = marks(span, most);
        let widths = found.iter().map(|(_, text)| width(text, SIZE * em));
        let widest = widths.fold(0.0, f64::max) + GAP * em;
        let fits = match found.as_slice() {
            [(one, _), (next, _), ..] => widest <= (next - one) * room / span.width(),
            [_] | [] => true,
        };
        if fits || most <= 1.0 {
            return found;
        }
        most *= 0.7;
    }
}

/// A linear scale: an interval of a quantity on an interval of the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Scale {
    pub(crate) span: Span,
    from: f64,
    per_unit: f64,
}

impl Scale {
    /// The scale that puts the low end at `from` and the high end at `to`.
    pub(crate) fn new(span: Span, from: f64, to: f64) -> Self {
        Self {
            span,
            from,
            per_unit: (to - from) / span.width(),
        }
    }

    /// Where a value is.
    pub(crate) fn at(&self, value: f64) -> f64 {
        self.from + (value - self.span.low) * self.per_unit
    }

    /// Length of one unit, negative where the scale runs upwards.
    pub(crate) const fn per_unit(&self) -> f64 {
        self.per_unit
    }
}

#[cfg(test)]
mod tests {
    use super::{Scale, Span, marks, marks_along};

    fn words(low: f64, high: f64, most: f64) -> Vec<String> {
        let marks = marks(Span::new(low, high), most);
        marks.into_iter().map(|(_, text)| text).collect()
    }

    #[test]
    fn marks_are_round_and_not_too_many() {
        assert_eq!(words(0.0, 10.0, 5.0), ["0", "2", "4", "6", "8", "10"]);
        assert_eq!(words(0.0, 1.0, 4.0), ["0.0", "0.5", "1.0"]);
        assert_eq!(words(17.9, 22.4, 5.0), ["18", "19", "20", "21", "22"]);
        assert_eq!(words(0.0, 0.3, 3.0), ["0.0", "0.1", "0.2", "0.3"]);
        assert_eq!(
            words(-500.0, 1000.0, 3.0),
            ["\u{2212}500", "0", "500", "1000"]
        );
    }

    #[test]
    fn marks_with_many_decimals_are_fewer() {
        let along = |high: f64| marks_along(Span::new(0.0, high), 240.0, (12.0, 2.8)).len();
        assert_eq!((along(2.0), along(2e-6)), (5, 3));
    }

    #[test]
    fn an_interval_is_widened_to_whole_steps() {
        assert_eq!(Span::new(0.3, 9.2).rounded(5.0), Span::new(0.0, 10.0));
        assert_eq!(Span::new(0.0, 10.0).rounded(5.0), Span::new(0.0, 10.0));
        assert!(Span::new(4.0, 4.0).rounded(5.0).width() > 0.0);
    }

    #[test]
    fn a_scale_may_run_upwards() {
        let scale = Scale::new(Span::new(0.0, 10.0), 200.0, 100.0);
        assert!((scale.at(0.0) - 200.0).abs() < 1e-12);
        assert!((scale.at(10.0) - 100.0).abs() < 1e-12);
    }
}

//! Days of the calendar, as they stand in a request and in an answer.
//!
//! A day is the caller's, wherever the caller is: no time of day, no zone, and no clock. A field
//! of this type says `#[schema(value_type = String, format = Date)]`, by which a text that is no
//! day is refused at its own pointer.

use std::fmt;

use jiff::civil::Date;
use jiff::{Span, Unit};
use serde::de::{Error, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A day of the Gregorian calendar, from the year 0000 to 9999, written as RFC 3339 writes a
/// full date.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct CalendarDate(Date);

impl CalendarDate {
    /// The day that a text names as year, month and day: `2026-11-25`.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim_ascii();
        // the library reads more forms than one; a contract has one
        let is_plain = |(place, byte): (usize, u8)| match place {
            4 | 7 => byte == b'-',
            _ => byte.is_ascii_digit(),
        };
        if text.len() != 10 || !text.bytes().enumerate().all(is_plain) {
            return None;
        }
        text.parse().ok().map(Self)
    }

    /// Whole days from another day to this one; negative when this one is earlier.
    #[must_use]
    pub fn days_since(self, earlier: Self) -> Option<f64> {
        let span = self.0.since((Unit::Day, earlier.0)).ok()?;
        Some(f64::from(span.get_days()))
    }

    /// The day so many days later, a day that has only begun left out; none beyond the years
    /// that can be written.
    #[must_use]
    #[expect(
        clippy::cast_possible_truncation,
        reason = "whole after the floor; what is too large ends at the largest integer, and is refused"
    )]
    pub fn plus_days(self, days: f64) -> Option<Self> {
        let span = Span::new().try_days(libm::floor(days) as i64).ok()?;
        let later = self.0.checked_add(span).ok()?;
        (later.year() >= 0).then_some(Self(later))
    }
}

impl fmt::Display for CalendarDate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0)
    }
}

impl Serialize for CalendarDate {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.to_string())
    }
}

impl<'de> Deserialize<'de> for CalendarDate {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_str(Text)
    }
}

struct Text;

impl Visitor<'_> for Text {
    type Value = CalendarDate;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a date such as 2026-11-25")
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<CalendarDate, E> {
        CalendarDate::parse(text).ok_or_else(|| E::custom("no day of the calendar"))
    }
}

#[cfg(test)]
mod tests {
    use super::CalendarDate;

    fn date(text: &str) -> CalendarDate {
        CalendarDate::parse(text).expect("a date")
    }

    #[test]
    fn days_are_written_in_one_way() {
        for text in ["2026-11-25", "2028-02-29", "0000-01-01", "9999-12-31"] {
            assert_eq!(date(text).to_string(), text);
        }
        assert_eq!(date(" 2026-11-25 ").to_string(), "2026-11-25");
        for text in [
            "",
            "2026-11-31",
            "2027-02-29",
            "2026-00-10",
            "2026-13-01",
            "20261125",
            "2026-11-25T08:00",
            "2026-11-25Z",
            "26-11-25",
            "25.11.2026",
            "11/25/2026",
            "2026-1-5",
            "+002026-11-25",
            "2026\u{2212}11\u{2212}25",
            "２０２６-11-25",
        ] {
            assert_eq!(CalendarDate::parse(text), None, "{text}");
        }
    }

    /// Counted on a calendar: 2028 has a 29 February, 2100 has none.
    #[test]
    fn days_are_counted_over_months_and_leap_years() {
        for (from, to, days) in [
            ("2026-11-25", "2026-11-25", 0.0),
            ("2026-11-25", "2026-12-05", 10.0),
            ("2026-12-31", "2027-01-01", 1.0),
            ("2028-02-28", "2028-03-01", 2.0),
            ("2100-02-28", "2100-03-01", 1.0),
            ("2026-12-05", "2026-11-25", -10.0),
        ] {
            assert_eq!(date(to).days_since(date(from)), Some(days), "{from} {to}");
            assert_eq!(date(from).plus_days(days), Some(date(to)), "{from} {to}");
        }
        assert_eq!(date("9999-12-31").plus_days(1.0), None);
        assert_eq!(date("0000-01-01").plus_days(-1.0), None);
        assert_eq!(date("2026-11-25").plus_days(1e300), None);
        assert_eq!(date("2026-11-25").plus_days(2.9), Some(date("2026-11-27")));
    }
}

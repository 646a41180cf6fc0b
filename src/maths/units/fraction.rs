//! Exact factors between units, as fractions of whole numbers.

use std::fmt;

/// A fraction in lowest terms; its denominator is positive.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fraction {
    numerator: i128,
    denominator: i128,
}

impl Fraction {
    /// Nothing.
    pub const ZERO: Self = Self::whole(0);
    /// One.
    pub const ONE: Self = Self::whole(1);

    /// A whole number.
    #[must_use]
    pub const fn whole(number: i128) -> Self {
        Self {
            numerator: number,
            denominator: 1,
        }
    }

    /// A fraction of two whole numbers, the second one not zero.
    #[must_use]
    pub const fn new(numerator: i128, denominator: i128) -> Self {
        let common = gcd(numerator, denominator);
        let sign = if denominator < 0 { -1 } else { 1 };
        Self {
            numerator: sign * numerator / common,
            denominator: sign * denominator / common,
        }
    }

    /// The product; exact, for the small fractions of a table.
    #[must_use]
    pub const fn times(self, other: Self) -> Self {
        let (a, b) = (
            Self::new(self.numerator, other.denominator),
            Self::new(other.numerator, self.denominator),
        );
        Self::new(a.numerator * b.numerator, a.denominator * b.denominator)
    }

    /// The quotient; the divisor is not zero.
    #[must_use]
    pub const fn over(self, other: Self) -> Self {
        self.times(Self::new(other.denominator, other.numerator))
    }

    /// The difference.
    #[must_use]
    pub const fn minus(self, other: Self) -> Self {
        Self::new(
            self.numerator * other.denominator - other.numerator * self.denominator,
            self.denominator * other.denominator,
        )
    }

    /// Whether it is zero.
    #[must_use]
    pub const fn is_zero(self) -> bool {
        self.numerator == 0
    }

    /// Both fractions over one denominator: two numerators, and the denominator.
    #[must_use]
    pub const fn over_one(self, other: Self) -> (i128, i128, i128) {
        let common = gcd(self.denominator, other.denominator);
        let (own, others) = (self.denominator / common, other.denominator / common);
        (
            self.numerator * others,
            other.numerator * own,
            own * other.denominator,
        )
    }

    /// The nearest double, but for two roundings.
    #[must_use]
    pub const fn value(self) -> f64 {
        double(self.numerator) / double(self.denominator)
    }
}

impl fmt::Display for Fraction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.denominator {
            1 => write!(f, "{}", self.numerator),
            _ => write!(f, "{}/{}", self.numerator, self.denominator),
        }
    }
}

/// The nearest double to a whole number.
#[expect(
    clippy::cast_precision_loss,
    reason = "rounded once, to the nearest; the factors of the table have few digits"
)]
pub(super) const fn double(number: i128) -> f64 {
    number as f64
}

/// Greatest common divisor, 1 for two zeros.
const fn gcd(a: i128, b: i128) -> i128 {
    let (mut a, mut b) = (a.abs(), b.abs());
    while b != 0 {
        (a, b) = (b, a % b);
    }
    if a == 0 { 1 } else { a }
}

#[cfg(test)]
mod tests {
    use super::Fraction;

    #[test]
    fn fractions_are_kept_in_lowest_terms() {
        assert_eq!(Fraction::new(-6, -4), Fraction::new(3, 2));
        assert_eq!(Fraction::new(6, -4).to_string(), "-3/2");
        assert_eq!(Fraction::whole(7).to_string(), "7");
        assert_eq!(
            Fraction::new(1, 3).minus(Fraction::new(1, 2)),
            Fraction::new(-1, 6)
        );
        assert_eq!(
            Fraction::new(2, 3).over(Fraction::new(4, 9)),
            Fraction::new(3, 2)
        );
        assert_eq!(
            Fraction::new(5, 9).over_one(Fraction::new(-160, 9)),
            (5, -160, 9)
        );
        assert_eq!(
            Fraction::new(1, 4).over_one(Fraction::new(1, 6)),
            (3, 2, 12)
        );
        assert!(Fraction::new(0, 5).is_zero());
    }
}

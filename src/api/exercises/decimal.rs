//! Decimal numbers as they are drawn: whole numbers of units in the last place.

/// A decimal number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Decimal {
    /// Units in the last place.
    pub units: i64,
    /// Decimals.
    pub decimals: u8,
}

impl Decimal {
    /// The nearest number: one division of two exact ones, so the same everywhere.
    #[must_use]
    #[expect(
        clippy::cast_precision_loss,
        reason = "what is drawn has far fewer than 53 bits"
    )]
    pub fn value(self) -> f64 {
        self.units as f64 / power_of_ten(self.decimals) as f64
    }

    /// This times hundredths, to so many decimals, halves away from zero.
    #[must_use]
    pub fn times_hundredths(self, hundredths: i64, decimals: u8) -> Self {
        let product = i128::from(self.units) * i128::from(hundredths);
        Self::rounded(product, self.decimals.saturating_add(2), decimals)
    }

    /// This plus units of a last place at `decimals`.
    #[must_use]
    pub fn plus(self, units: i64, decimals: u8) -> Self {
        let same = Self::rounded(i128::from(self.units), self.decimals, decimals);
        Self {
            units: same.units.saturating_add(units),
            decimals,
        }
    }

    fn rounded(units: i128, from: u8, to: u8) -> Self {
        let units = if to >= from {
            units * i128::from(power_of_ten(to - from))
        } else {
            let divisor = i128::from(power_of_ten(from - to));
            (units + units.signum() * divisor / 2) / divisor
        };
        Self {
            units: i64::try_from(units).unwrap_or(i64::MAX),
            decimals: to,
        }
    }

    /// The number as it is told, with all its decimals.
    #[must_use]
    pub fn text(self) -> String {
        let (places, size) = (usize::from(self.decimals), self.units.unsigned_abs());
        let sign = if self.units < 0 { "−" } else { "" };
        let divisor = power_of_ten(self.decimals).unsigned_abs();
        if places == 0 {
            return format!("{sign}{size}");
        }
        format!("{sign}{}.{:0places$}", size / divisor, size % divisor)
    }
}

/// A power of ten, at most 10¹⁵.
const fn power_of_ten(decimals: u8) -> i64 {
    let (mut power, mut count) = (1, 0);
    while count < decimals && count < 15 {
        power *= 10;
        count += 1;
    }
    power
}

#[cfg(test)]
mod tests {
    use super::Decimal;

    fn decimal(units: i64, decimals: u8) -> Decimal {
        Decimal { units, decimals }
    }

    /// By hand: 18.3 × 2.05 = 37.515; 1.234 + 0.9 = 2.134.
    #[test]
    fn products_and_sums_round_as_by_hand() {
        assert_eq!(
            decimal(183, 1).times_hundredths(205, 1).units,
            375,
            "37.515 to one decimal"
        );
        assert_eq!(decimal(183, 1).times_hundredths(205, 2).units, 3752);
        assert_eq!(decimal(1234, 3).plus(900, 3).units, 2134);
        assert_eq!(decimal(-25, 1).times_hundredths(10, 1).units, -3);
    }

    #[test]
    fn a_number_is_told_with_all_its_decimals() {
        for (number, expected) in [
            (decimal(180, 1), "18.0"),
            (decimal(5, 2), "0.05"),
            (decimal(-14, 1), "−1.4"),
            (decimal(250, 0), "250"),
        ] {
            assert_eq!(number.text(), expected);
        }
        assert_eq!(decimal(183, 1).value().to_bits(), 18.3_f64.to_bits());
    }
}

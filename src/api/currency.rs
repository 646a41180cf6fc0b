//! Currencies by their code of ISO 4217.

use std::fmt;

use iso_currency::{Currency, IntoEnumIterator};
use serde::de::{Error, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use utoipa::openapi::schema::{ObjectBuilder, Type};
use utoipa::openapi::{RefOr, Schema};
use utoipa::{PartialSchema, ToSchema};

/// A currency in use, by its code of ISO 4217 in capital letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CurrencyCode(Currency);

impl CurrencyCode {
    /// All codes, in the order of the alphabet: currencies in use that have a minor unit, even
    /// one without decimals; metals and units of account are left out.
    #[must_use]
    pub fn all() -> Vec<&'static str> {
        let in_use = Currency::iter()
            .filter(|currency| currency.exponent().is_some() && currency.is_superseded().is_none());
        let mut codes: Vec<_> = in_use.map(|currency| currency.code()).collect();
        codes.sort_unstable();
        codes
    }

    /// Decimals of its minor unit.
    #[must_use]
    pub fn minor_units(self) -> u16 {
        self.0.exponent().unwrap_or_default()
    }

    /// An amount rounded to the minor unit.
    #[must_use]
    pub fn rounded(self, amount: f64) -> String {
        let decimals = usize::from(self.minor_units());
        format!("{amount:.decimals$}")
    }
}

impl Serialize for CurrencyCode {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.0.code())
    }
}

impl<'de> Deserialize<'de> for CurrencyCode {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_str(Code)
    }
}

struct Code;

impl Visitor<'_> for Code {
    type Value = CurrencyCode;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a code of ISO 4217 such as EUR")
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<CurrencyCode, E> {
        // the list takes small letters too; a code is written in one way only
        let found = Currency::from_code(text).filter(|currency| currency.code() == text);
        found
            .map(CurrencyCode)
            .ok_or_else(|| E::custom("no code of ISO 4217"))
    }
}

impl PartialSchema for CurrencyCode {
    fn schema() -> RefOr<Schema> {
        ObjectBuilder::new()
            .schema_type(Type::String)
            .description(Some("Code of a currency in use, ISO 4217."))
            .enum_values(Some(Self::all()))
            .into()
    }
}

impl ToSchema for CurrencyCode {}

#[cfg(test)]
mod tests {
    use super::CurrencyCode;

    fn read(code: &str) -> Option<CurrencyCode> {
        serde_json::from_value(serde_json::json!(code)).ok()
    }

    /// ISO 4217, list one: the yen has no minor unit in use, the dinar of Bahrain has three
    /// decimals.
    #[test]
    fn minor_units_are_those_of_the_standard() {
        for (code, decimals, rounded) in [
            ("EUR", 2, "1.23"),
            ("JPY", 0, "1"),
            ("BHD", 3, "1.235"),
            ("CHF", 2, "1.23"),
        ] {
            let money = read(code).expect(code);
            assert_eq!(money.minor_units(), decimals, "{code}");
            assert_eq!(money.rounded(1.2346), rounded, "{code}");
            assert!(CurrencyCode::all().contains(&code), "{code}");
        }
    }

    #[test]
    fn what_is_no_currency_in_use_is_not_in_the_list() {
        for code in ["", "E", "eur", "EURO", "QQQ", "€"] {
            assert_eq!(read(code), None, "{code}");
        }
        for code in ["XAU", "HRK"] {
            assert!(!CurrencyCode::all().contains(&code), "{code}");
        }
        assert!(CurrencyCode::all().is_sorted());
    }
}

//! Units by the codes that a request can call them.

use std::borrow::Cow;
use std::fmt;

use serde::de::{Error, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use utoipa::openapi::RefOr;
use utoipa::openapi::schema::{ObjectBuilder, Schema, Type};
use utoipa::{PartialSchema, ToSchema};

use crate::maths::units::table::{Dimension, UNITS, Unit, unit};

/// A unit of the table, written as its UCUM code.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct UnitCode(pub(crate) &'static Unit);

impl Serialize for UnitCode {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.0.code)
    }
}

impl<'de> Deserialize<'de> for UnitCode {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_str(Code)
    }
}

struct Code;

impl Visitor<'_> for Code {
    type Value = UnitCode;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a UCUM code such as [lb_av]")
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<UnitCode, E> {
        let found = unit(text.trim_ascii()).map(UnitCode);
        found.ok_or_else(|| E::custom("no unit of the table"))
    }
}

impl PartialSchema for UnitCode {
    fn schema() -> RefOr<Schema> {
        ObjectBuilder::new()
            .schema_type(Type::String)
            .description(Some(
                "UCUM code of a unit; capitals count. `GET /v1/reference/units` says what each one is.",
            ))
            .enum_values(Some(UNITS.iter().map(|unit| unit.code)))
            .into()
    }
}

impl ToSchema for UnitCode {
    fn name() -> Cow<'static, str> {
        Cow::Borrowed("UnitCode")
    }
}

/// What a unit measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum UnitDimension {
    /// Mass.
    Mass,
    /// Volume.
    Volume,
    /// Length.
    Length,
    /// Area.
    Area,
    /// Time.
    Time,
    /// Temperature.
    Temperature,
    /// Force.
    Force,
    /// Pressure.
    Pressure,
    /// Energy.
    Energy,
    /// Power.
    Power,
    /// Energy by mass.
    SpecificEnergy,
    /// Heat capacity by mass.
    SpecificHeat,
    /// Mass by time.
    MassFlow,
    /// Volume by time.
    VolumeFlow,
    /// Density and concentration.
    MassByVolume,
    /// Amount of substance by volume.
    AmountByVolume,
    /// Electrical conductivity.
    Conductivity,
    /// Dynamic viscosity.
    Viscosity,
    /// A pure number.
    Number,
}

impl UnitDimension {
    /// The name in a sentence.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Mass => "mass",
            Self::Volume => "volume",
            Self::Length => "length",
            Self::Area => "area",
            Self::Time => "time",
            Self::Temperature => "temperature",
            Self::Force => "force",
            Self::Pressure => "pressure",
            Self::Energy => "energy",
            Self::Power => "power",
            Self::SpecificEnergy => "specific energy",
            Self::SpecificHeat => "specific heat",
            Self::MassFlow => "mass flow",
            Self::VolumeFlow => "volume flow",
            Self::MassByVolume => "mass by volume",
            Self::AmountByVolume => "amount by volume",
            Self::Conductivity => "conductivity",
            Self::Viscosity => "viscosity",
            Self::Number => "number",
        }
    }
}

impl From<Dimension> for UnitDimension {
    fn from(dimension: Dimension) -> Self {
        match dimension {
            Dimension::Mass => Self::Mass,
            Dimension::Volume => Self::Volume,
            Dimension::Length => Self::Length,
            Dimension::Area => Self::Area,
            Dimension::Time => Self::Time,
            Dimension::Temperature => Self::Temperature,
            Dimension::Force => Self::Force,
            Dimension::Pressure => Self::Pressure,
            Dimension::Energy => Self::Energy,
            Dimension::Power => Self::Power,
            Dimension::SpecificEnergy => Self::SpecificEnergy,
            Dimension::SpecificHeat => Self::SpecificHeat,
            Dimension::MassFlow => Self::MassFlow,
            Dimension::VolumeFlow => Self::VolumeFlow,
            Dimension::MassByVolume => Self::MassByVolume,
            Dimension::AmountByVolume => Self::AmountByVolume,
            Dimension::Conductivity => Self::Conductivity,
            Dimension::Viscosity => Self::Viscosity,
            Dimension::Number => Self::Number,
        }
    }
}

/// A unit of the list: a value in it is `factor` times the value, plus `offset`, in the base
/// unit.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct UnitEntry {
    /// UCUM code; capitals count.
    pub code: &'static str,
    /// Name in English.
    pub name: &'static str,
    /// What it measures; only units of one dimension convert into each other.
    pub dimension: UnitDimension,
    /// UCUM code of the unit that the factor counts.
    pub base_unit: &'static str,
    /// Base units in one of it, as a fraction of whole numbers: exact.
    pub exact_factor: String,
    /// The same as the nearest number.
    #[schema(extensions(("x-unit" = json!("`base_unit` per unit"))))]
    pub factor: f64,
    /// What its zero is in base units; left out where it is nothing.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(nullable = false, extensions(("x-unit" = json!("as `base_unit` says"))))]
    pub offset: Option<f64>,
    /// Id of the factor's source.
    pub source: &'static str,
}

/// All units, by dimension.
#[must_use]
pub fn all() -> Vec<UnitEntry> {
    let entry = |unit: &Unit| UnitEntry {
        code: unit.code,
        name: unit.name,
        dimension: unit.dimension.into(),
        base_unit: unit.dimension.base_unit(),
        exact_factor: unit.scale.to_string(),
        factor: unit.scale.value(),
        offset: (!unit.offset.is_zero()).then(|| unit.offset.value()),
        source: "ucum2024",
    };
    UNITS.iter().map(entry).collect()
}

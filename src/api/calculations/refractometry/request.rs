//! The request of `refractometry`, its bounds and its rules.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use validator::Validate;

use crate::api::bounds::Bound;
use crate::api::budget::COVERAGE;
use crate::api::rule::Rule;
use crate::maths::quantity::MassFraction;
use crate::maths::range::Range;
use crate::maths::refraction::coffee::SOLIDS_PER_BRIX_RANGE;
use crate::maths::refraction::warmth::SAMPLE_TEMPERATURE;
use crate::maths::uncertainty::DegreesOfFreedom;

/// Readings of a sample on one scale of a refractometer, and of water on the same scale.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct RefractometryRequest {
    /// Reading on the sugar scale: percent by mass of sucrose.
    pub brix_percent: Option<f64>,
    /// Repeated readings on the sugar scale; their mean is used.
    #[validate(length(min = 1, max = 1000))]
    pub brix_readings_percent: Option<Vec<f64>>,
    /// Refractive index relative to air, 589 nm.
    pub refractive_index: Option<f64>,
    /// Repeated readings of the refractive index; their mean is used.
    #[validate(length(min = 1, max = 1000))]
    pub refractive_index_readings: Option<Vec<f64>>,
    /// Reading of an instrument that shows coffee solids: its own factor is taken to be
    /// `solids_per_brix`, and as uncertain. The answer's `tds_percent` is the corrected strength,
    /// its `mean_reading` what was read.
    pub tds_percent: Option<f64>,
    /// Repeated readings of coffee solids; their mean is used.
    #[validate(length(min = 1, max = 1000))]
    pub tds_readings_percent: Option<Vec<f64>>,
    /// What pure water reads on the sugar scale, under the same conditions as the sample.
    pub zero_brix_percent: Option<f64>,
    /// What pure water reads as a refractive index, under the same conditions as the sample.
    pub zero_refractive_index: Option<f64>,
    /// What pure water reads as coffee solids, under the same conditions as the sample.
    pub zero_tds_percent: Option<f64>,
    /// Temperature of sample and prism. Hotter samples are cooled first.
    pub sample_temperature_c: Option<f64>,
    /// Whether the instrument brings its reading to 20 °C by itself. Default: only one that
    /// shows coffee solids.
    pub temperature_compensated: Option<bool>,
    /// Whether the sample was filtered before it was read.
    pub sample_filtered: Option<bool>,
    /// Coffee solids by percent on the sugar scale. Default 0.825, the middle of what is
    /// published (0.79 to 0.86); the customary value is 0.85.
    pub solids_per_brix: Option<f64>,
    /// Standard uncertainty of `solids_per_brix`.
    pub solids_per_brix_uncertainty: Option<f64>,
    /// Half-width of a rectangular distribution in its place. Default 0.035 for the default of
    /// `solids_per_brix`, none for another value.
    pub solids_per_brix_half_width: Option<f64>,
    /// Standard uncertainty of one reading that repeating does not show, in the unit of the
    /// reading; the reading of water has the same.
    #[schema(extensions(("x-unit" = json!("as the reading"))))]
    pub reading_uncertainty: Option<f64>,
    /// Half-width of a rectangular distribution in its place, such as half a division.
    #[schema(extensions(("x-unit" = json!("as the reading"))))]
    pub reading_half_width: Option<f64>,
    /// Standard deviation of one reading, pooled from earlier days, in the unit of the reading.
    /// Then used in place of the spread of the readings, of which one is enough.
    #[schema(extensions(("x-unit" = json!("as the reading"))))]
    pub reading_repeatability: Option<f64>,
    /// Degrees of freedom of `reading_repeatability`.
    pub reading_repeatability_degrees_of_freedom: Option<f64>,
    /// Standard uncertainty of the temperature of the sample.
    pub sample_temperature_uncertainty_c: Option<f64>,
    /// Half-width of a rectangular distribution in its place.
    pub sample_temperature_half_width_c: Option<f64>,
    /// Probability that the expanded uncertainty covers. Default 0.95.
    pub coverage_probability: Option<f64>,
    /// Whether the answer shows its derivation.
    pub workings: Option<bool>,
}

/// Most readings of one sample.
const MOST_READINGS: usize = 1000;
/// Readings of a sample on the sugar scale; warm water reads a little below zero.
const BRIX: Range = Range::new("reading on the sugar scale", -2.0, 40.0, "%");
/// The same as refractive indices.
const INDEX: Range = Range::new("refractive index", 1.330, 1.400, "1");
/// Readings of water on the two percent scales.
const ZERO: Range = Range::new("reading of water", -2.0, 2.0, "%");
/// Readings of water as refractive indices.
const ZERO_INDEX: Range = Range::new("refractive index of water", 1.330, 1.336, "1");
/// Uncertainty of the factor.
const FACTOR_SPREAD: Range = Range::new("uncertainty of the factor", 0.0, 0.5, "1");
/// Uncertainty or scatter of a reading, on any scale.
const SPREAD: Range = Range::new("uncertainty of a reading", 0.0, 10.0, "as the reading");
/// Uncertainty of the temperature of the sample.
const TEMPERATURE_SPREAD: Range = Range::new("uncertainty of the temperature", 0.0, 10.0, "°C");

/// Range of every number.
pub(super) const BOUNDS: &[Bound] = &[
    Bound::new("brix_percent", BRIX),
    Bound::list("brix_readings_percent", BRIX, 1, MOST_READINGS),
    Bound::new("refractive_index", INDEX),
    Bound::list("refractive_index_readings", INDEX, 1, MOST_READINGS),
    Bound::new("tds_percent", MassFraction::STRENGTH_PERCENT),
    Bound::list(
        "tds_readings_percent",
        MassFraction::STRENGTH_PERCENT,
        1,
        MOST_READINGS,
    ),
    Bound::new("zero_brix_percent", ZERO),
    Bound::new("zero_refractive_index", ZERO_INDEX),
    Bound::new("zero_tds_percent", ZERO),
    Bound::new("sample_temperature_c", SAMPLE_TEMPERATURE),
    Bound::new("solids_per_brix", SOLIDS_PER_BRIX_RANGE),
    Bound::new("solids_per_brix_uncertainty", FACTOR_SPREAD),
    Bound::new("solids_per_brix_half_width", FACTOR_SPREAD),
    Bound::new("reading_uncertainty", SPREAD),
    Bound::new("reading_half_width", SPREAD),
    Bound::new("reading_repeatability", SPREAD),
    Bound::new(
        "reading_repeatability_degrees_of_freedom",
        DegreesOfFreedom::RANGE,
    ),
    Bound::new("sample_temperature_uncertainty_c", TEMPERATURE_SPREAD),
    Bound::new("sample_temperature_half_width_c", TEMPERATURE_SPREAD),
    Bound::new("coverage_probability", COVERAGE),
];

/// What must, or may not, be given together.
pub(super) const RULES: &[Rule] = &[
    Rule::ExactlyOne(&[
        "brix_percent",
        "brix_readings_percent",
        "refractive_index",
        "refractive_index_readings",
        "tds_percent",
        "tds_readings_percent",
    ]),
    Rule::NeedsOneOf(
        "zero_brix_percent",
        &["brix_percent", "brix_readings_percent"],
    ),
    Rule::NeedsOneOf(
        "zero_refractive_index",
        &["refractive_index", "refractive_index_readings"],
    ),
    Rule::NeedsOneOf("zero_tds_percent", &["tds_percent", "tds_readings_percent"]),
    Rule::AtMostOne(&["solids_per_brix_uncertainty", "solids_per_brix_half_width"]),
    Rule::AtMostOne(&["reading_uncertainty", "reading_half_width"]),
    Rule::AtMostOne(&[
        "sample_temperature_uncertainty_c",
        "sample_temperature_half_width_c",
    ]),
    Rule::Needs(
        "reading_repeatability",
        &["reading_repeatability_degrees_of_freedom"],
    ),
    Rule::Needs(
        "reading_repeatability_degrees_of_freedom",
        &["reading_repeatability"],
    ),
    Rule::Needs(
        "sample_temperature_uncertainty_c",
        &["sample_temperature_c"],
    ),
    Rule::Needs("sample_temperature_half_width_c", &["sample_temperature_c"]),
];

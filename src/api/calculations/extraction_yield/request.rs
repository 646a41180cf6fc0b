//! What the caller sends, its bounds, and which fields go together.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use validator::Validate;

use crate::api::bounds::Bound;
use crate::api::brew_kind::BrewKind;
use crate::api::rule::Rule;
use crate::maths::extraction::chart::{CONTROL_CHARTS, ControlChart};
use crate::maths::quantity::{Mass, MassFraction};
use crate::maths::range::Range;
use crate::maths::uncertainty::DegreesOfFreedom;
use crate::maths::uncertainty::correlations::CORRELATION;
use crate::maths::uncertainty::monte_carlo::propagate::TRIALS;

/// A brew that was weighed and whose strength was measured.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ExtractionYieldRequest {
    /// How the coffee is brewed: `espresso` (the default) and `filter` are percolation,
    /// `immersion` is steeping.
    pub brew_kind: Option<BrewKind>,
    /// Dry coffee, as weighed.
    pub dose_g: f64,
    /// Beverage weighed before any bypass water was added. Percolation needs this or
    /// `final_beverage_mass_g`; immersion needs one of them only with bypass water.
    pub beverage_mass_g: Option<f64>,
    /// Beverage weighed after the bypass water was added.
    pub final_beverage_mass_g: Option<f64>,
    /// Brew water, bypass water not counted. Immersion needs it; for percolation it is only held
    /// against the beverage.
    pub water_mass_g: Option<f64>,
    /// Water added to the cup after brewing.
    pub bypass_water_g: Option<f64>,
    /// Strength of what is in the cup.
    pub tds_percent: Option<f64>,
    /// Repeated readings of the strength of what is in the cup; their mean is used.
    #[validate(length(min = 1, max = 1000))]
    pub tds_readings_percent: Option<Vec<f64>>,
    /// Whether the sample was filtered before it was read.
    pub sample_filtered: Option<bool>,
    /// Water in the dose, for the yield on the dry basis.
    pub coffee_moisture_percent: Option<f64>,
    /// Carbon dioxide in the dose, for the yield on the dry basis.
    pub coffee_co2_percent: Option<f64>,
    /// Standard uncertainty of the dose.
    pub dose_uncertainty_g: Option<f64>,
    /// Half-width of the distribution of the dose, such as half a scale division.
    pub dose_half_width_g: Option<f64>,
    /// Standard uncertainty of the beverage mass, whichever of the two was given.
    pub beverage_mass_uncertainty_g: Option<f64>,
    /// Half-width of the distribution of the beverage mass.
    pub beverage_mass_half_width_g: Option<f64>,
    /// Standard uncertainty of the brew water.
    pub water_mass_uncertainty_g: Option<f64>,
    /// Half-width of the distribution of the brew water.
    pub water_mass_half_width_g: Option<f64>,
    /// Standard uncertainty of the bypass water.
    pub bypass_water_uncertainty_g: Option<f64>,
    /// Half-width of the distribution of the bypass water.
    pub bypass_water_half_width_g: Option<f64>,
    /// Standard uncertainty of the strength that repeating does not show: calibration of the
    /// refractometer, its conversion to strength. Of a single `tds_percent`: all that is known.
    pub tds_uncertainty_percent: Option<f64>,
    /// Half-width of the distribution in place of `tds_uncertainty_percent`.
    pub tds_half_width_percent: Option<f64>,
    /// Standard deviation of one reading, pooled from earlier days. Then used in place of the
    /// spread of the readings, of which one is enough.
    pub tds_repeatability_percent: Option<f64>,
    /// Degrees of freedom of `tds_repeatability_percent`.
    pub tds_repeatability_degrees_of_freedom: Option<f64>,
    /// Correlation coefficient between the dose and the beverage mass, when one scale weighs both: 1 when
    /// its calibration is all of their uncertainty, 0 (the default) when nothing is shared. With
    /// any correlation no effective degrees of freedom are answered.
    pub dose_beverage_mass_correlation: Option<f64>,
    /// The same between the dose and the brew water.
    pub dose_water_mass_correlation: Option<f64>,
    /// The same between the dose and the bypass water.
    pub dose_bypass_water_correlation: Option<f64>,
    /// The same between the beverage mass and the brew water.
    pub beverage_mass_water_mass_correlation: Option<f64>,
    /// The same between the beverage mass and the bypass water.
    pub beverage_mass_bypass_water_correlation: Option<f64>,
    /// The same between the brew water and the bypass water.
    pub water_mass_bypass_water_correlation: Option<f64>,
    /// Distribution that every half-width given belongs to: `rectangular`, the default, or
    /// `triangular`.
    pub half_width_distribution: Option<HalfWidthDistribution>,
    /// How the uncertainty is found: `first_order`, the default (JCGM 100), or `monte_carlo` as
    /// well (JCGM 101), which is answered by itself and not by rows.
    pub method: Option<UncertaintyMethod>,
    /// Seed of the Monte Carlo trials, 1 by default: the same seed gives the same answer.
    pub seed: Option<u32>,
    /// Monte Carlo trials. Without it there are as many as it takes for two digits of the
    /// standard uncertainty (JCGM 101, 7.9), at most two million.
    pub trials: Option<u32>,
    /// Probability that the expanded uncertainty covers, 0.95 by default, and that the
    /// assessment asks of its region before it is clear.
    pub coverage_probability: Option<f64>,
    /// Chart to hold the brew against; the default is `espresso-practice` for espresso and
    /// `scaa2015` otherwise.
    pub control_chart: Option<ControlChartId>,
    /// Whether the answer shows its derivation.
    pub workings: Option<bool>,
}

/// What lies behind a half-width.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum HalfWidthDistribution {
    /// All values within it alike.
    #[default]
    Rectangular,
    /// Values near the middle likelier.
    Triangular,
}

/// How the uncertainty of the yield is found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum UncertaintyMethod {
    /// Law of propagation to first order.
    #[default]
    FirstOrder,
    /// The distributions propagated by trials, and first order held against them.
    MonteCarlo,
}

/// Id of a control chart: its publication and year, or the name of a practice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub enum ControlChartId {
    /// Strength 1.15 to 1.35 %, yield 18 to 22 %: standard for filter coffee, 2015.
    #[serde(rename = "scaa2015")]
    Scaa2015,
    /// Strength 8 to 12 %, yield 18 to 22 %: common practice, the yield borrowed from filter
    /// coffee.
    #[serde(rename = "espresso-practice")]
    EspressoPractice,
    /// Strength 1.15 to 1.35 %, yield 18 to 22 %: the classic one, 1957.
    #[serde(rename = "lockhart1957")]
    Lockhart1957,
    /// Strength 1.20 to 1.45 %, yield 18 to 22 %: limits from memory, not verified.
    #[serde(rename = "european-chart")]
    European,
    /// Strength 1.30 to 1.55 %, yield 18 to 22 %: limits from memory, not verified.
    #[serde(rename = "norwegian-chart")]
    Norwegian,
}

impl ControlChartId {
    /// The default for a way of brewing.
    pub(super) const fn usual(kind: BrewKind) -> Self {
        match kind {
            BrewKind::Espresso => Self::EspressoPractice,
            BrewKind::Filter | BrewKind::Immersion => Self::Scaa2015,
        }
    }

    /// The chart itself.
    pub(super) const fn chart(self) -> &'static ControlChart {
        const ALL: &[ControlChart; 5] = &CONTROL_CHARTS;
        match self {
            Self::Scaa2015 => &ALL[0],
            Self::EspressoPractice => &ALL[1],
            Self::Lockhart1957 => &ALL[2],
            Self::European => &ALL[3],
            Self::Norwegian => &ALL[4],
        }
    }
}

/// Most readings of one cup.
const MOST_READINGS: usize = 1000;
/// Standard uncertainty or half-width of a mass.
const MASS_SPREAD: Range = Range::new("uncertainty of a mass", 0.0, 1_000.0, "g");
/// Standard uncertainty, half-width or repeatability of a strength.
const TDS_SPREAD: Range = Range::new("uncertainty of the strength", 0.0, 10.0, "%");
/// What fits a seed.
const SEED: Range = Range::new("seed", 0.0, 4_294_967_295.0, "1");
/// Probability that an expanded uncertainty may be asked to cover.
const COVERAGE: Range = Range::new("coverage probability", 0.5, 0.9999, "1");

pub(super) const BOUNDS: &[Bound] = &[
    Bound::new("dose_g", Mass::DOSE),
    Bound::new("beverage_mass_g", Mass::LIQUID),
    Bound::new("final_beverage_mass_g", Mass::LIQUID),
    Bound::new("water_mass_g", Mass::LIQUID),
    Bound::new("bypass_water_g", Mass::RANGE),
    Bound::new("tds_percent", MassFraction::STRENGTH_PERCENT),
    Bound::list(
        "tds_readings_percent",
        MassFraction::STRENGTH_PERCENT,
        1,
        MOST_READINGS,
    ),
    Bound::new("coffee_moisture_percent", MassFraction::VOLATILE_PERCENT),
    Bound::new("coffee_co2_percent", MassFraction::VOLATILE_PERCENT),
    Bound::new("dose_uncertainty_g", MASS_SPREAD),
    Bound::new("dose_half_width_g", MASS_SPREAD),
    Bound::new("beverage_mass_uncertainty_g", MASS_SPREAD),
    Bound::new("beverage_mass_half_width_g", MASS_SPREAD),
    Bound::new("water_mass_uncertainty_g", MASS_SPREAD),
    Bound::new("water_mass_half_width_g", MASS_SPREAD),
    Bound::new("bypass_water_uncertainty_g", MASS_SPREAD),
    Bound::new("bypass_water_half_width_g", MASS_SPREAD),
    Bound::new("tds_uncertainty_percent", TDS_SPREAD),
    Bound::new("tds_half_width_percent", TDS_SPREAD),
    Bound::new("tds_repeatability_percent", TDS_SPREAD),
    Bound::new(
        "tds_repeatability_degrees_of_freedom",
        DegreesOfFreedom::RANGE,
    ),
    Bound::new("dose_beverage_mass_correlation", CORRELATION),
    Bound::new("dose_water_mass_correlation", CORRELATION),
    Bound::new("dose_bypass_water_correlation", CORRELATION),
    Bound::new("beverage_mass_water_mass_correlation", CORRELATION),
    Bound::new("beverage_mass_bypass_water_correlation", CORRELATION),
    Bound::new("water_mass_bypass_water_correlation", CORRELATION),
    Bound::new("seed", SEED),
    Bound::new("trials", TRIALS),
    Bound::new("coverage_probability", COVERAGE),
];

pub(super) const RULES: &[Rule] = &[
    Rule::ExactlyOne(&["tds_percent", "tds_readings_percent"]),
    Rule::AtMostOne(&["beverage_mass_g", "final_beverage_mass_g"]),
    Rule::AtMostOne(&["dose_uncertainty_g", "dose_half_width_g"]),
    Rule::AtMostOne(&["beverage_mass_uncertainty_g", "beverage_mass_half_width_g"]),
    Rule::AtMostOne(&["water_mass_uncertainty_g", "water_mass_half_width_g"]),
    Rule::AtMostOne(&["bypass_water_uncertainty_g", "bypass_water_half_width_g"]),
    Rule::AtMostOne(&["tds_uncertainty_percent", "tds_half_width_percent"]),
    Rule::Needs("water_mass_uncertainty_g", &["water_mass_g"]),
    Rule::Needs("water_mass_half_width_g", &["water_mass_g"]),
    Rule::Needs("bypass_water_uncertainty_g", &["bypass_water_g"]),
    Rule::Needs("bypass_water_half_width_g", &["bypass_water_g"]),
    Rule::Needs(
        "tds_repeatability_percent",
        &["tds_repeatability_degrees_of_freedom"],
    ),
    Rule::Needs(
        "tds_repeatability_degrees_of_freedom",
        &["tds_repeatability_percent"],
    ),
    Rule::NeedsOneOf(
        "dose_beverage_mass_correlation",
        &["dose_uncertainty_g", "dose_half_width_g"],
    ),
    Rule::NeedsOneOf(
        "dose_beverage_mass_correlation",
        &["beverage_mass_uncertainty_g", "beverage_mass_half_width_g"],
    ),
    Rule::NeedsOneOf(
        "dose_water_mass_correlation",
        &["dose_uncertainty_g", "dose_half_width_g"],
    ),
    Rule::NeedsOneOf(
        "dose_water_mass_correlation",
        &["water_mass_uncertainty_g", "water_mass_half_width_g"],
    ),
    Rule::NeedsOneOf(
        "dose_bypass_water_correlation",
        &["dose_uncertainty_g", "dose_half_width_g"],
    ),
    Rule::NeedsOneOf(
        "dose_bypass_water_correlation",
        &["bypass_water_uncertainty_g", "bypass_water_half_width_g"],
    ),
    Rule::NeedsOneOf(
        "beverage_mass_water_mass_correlation",
        &["beverage_mass_uncertainty_g", "beverage_mass_half_width_g"],
    ),
    Rule::NeedsOneOf(
        "beverage_mass_water_mass_correlation",
        &["water_mass_uncertainty_g", "water_mass_half_width_g"],
    ),
    Rule::NeedsOneOf(
        "beverage_mass_bypass_water_correlation",
        &["beverage_mass_uncertainty_g", "beverage_mass_half_width_g"],
    ),
    Rule::NeedsOneOf(
        "beverage_mass_bypass_water_correlation",
        &["bypass_water_uncertainty_g", "bypass_water_half_width_g"],
    ),
    Rule::NeedsOneOf(
        "water_mass_bypass_water_correlation",
        &["water_mass_uncertainty_g", "water_mass_half_width_g"],
    ),
    Rule::NeedsOneOf(
        "water_mass_bypass_water_correlation",
        &["bypass_water_uncertainty_g", "bypass_water_half_width_g"],
    ),
    Rule::NeedsOneOf(
        "half_width_distribution",
        &[
            "dose_half_width_g",
            "beverage_mass_half_width_g",
            "water_mass_half_width_g",
            "bypass_water_half_width_g",
            "tds_half_width_percent",
        ],
    ),
];

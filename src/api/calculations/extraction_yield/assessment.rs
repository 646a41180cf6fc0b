//! Where the brew falls on a control chart, how sure that is, and the way to its middle.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use super::brew::Brew;
use super::request::ControlChartId;
use super::uncertainty::Found;
use crate::api::expanded::USUAL_COVERAGE;
use crate::maths::MathsError;
use crate::maths::extraction::bypass::bypass_for;
use crate::maths::extraction::chart::{ControlChart, StrengthRegion, YieldRegion};
use crate::maths::extraction::immersion::immersion_water;
use crate::maths::extraction::percolation::beverage_for;
use crate::maths::quantity::{Mass, MassFraction};
use crate::maths::range::Range;
use crate::maths::uncertainty::joint_conformity::{DependentPair, Interval, joint_probability};

/// Where the brew falls on the chart.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct YieldAssessment {
    /// The chart it is held against.
    pub chart: ControlChartId,
    /// Where the strength lies; the limits belong to the window.
    pub strength: StrengthVerdict,
    /// Where the yield lies; the limits belong to the window.
    pub extraction: ExtractionVerdict,
    /// `clear` when `probability_of_region` is at least `coverage_probability` (0.95 unless
    /// asked otherwise); left out without uncertainty.
    pub decision: Option<Decision>,
    /// Probability that the true strength and the true yield both lie inside the window
    /// (JCGM 106); left out without uncertainty. The yield follows the strength, so the two are
    /// not independent: to first order, yield = measured yield + sensitivity × deviation of the
    /// strength + an independent, normal part from the masses. The strength is normal, or
    /// Student's t at its own effective degrees of freedom when these are finite. One numerical
    /// integral over the independent part.
    pub probability_within: Option<f64>,
    /// The same for the region that `strength` and `extraction` name.
    pub probability_of_region: Option<f64>,
    /// What to change to reach the middle of the window.
    pub to_reach_middle: MiddleOfChart,
}

/// Where the strength lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum StrengthVerdict {
    /// Below the window.
    Weak,
    /// Inside.
    Within,
    /// Above the window.
    Strong,
}

/// Where the yield lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ExtractionVerdict {
    /// Below the window.
    Under,
    /// Inside.
    Within,
    /// Above the window.
    Over,
}

/// Whether the uncertainty leaves the verdict standing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Decision {
    /// The true values very probably lie in the region named.
    Clear,
    /// They may lie in another one.
    Undecided,
}

/// What would bring the next brew, or this cup, to the middle of the window.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct MiddleOfChart {
    /// Strength in the middle.
    pub tds_percent: f64,
    /// Yield in the middle.
    pub extraction_yield_percent: f64,
    /// Strength in the middle less the measured one.
    pub tds_change_points: f64,
    /// Yield in the middle less the measured one: when positive extract more (finer grind,
    /// longer contact, hotter water: common practice, no source), when negative less.
    pub extraction_yield_change_points: f64,
    /// Percolation: all that should be in the cup at this dose, once the yield is that of the
    /// middle.
    pub beverage_mass_g: Option<f64>,
    /// Immersion: brew water for this dose, once the yield is that of the middle.
    pub water_mass_g: Option<f64>,
    /// Water that thins this cup, as it stands, to the strength in the middle; left out when the
    /// cup is weaker or its mass is not known. The yield stays.
    pub add_water_g: Option<f64>,
}

/// The assessment of a brew.
pub(super) fn of(brew: &Brew<'_>, found: Option<&Found>) -> Result<YieldAssessment, MathsError> {
    let id = brew
        .request
        .control_chart
        .unwrap_or(ControlChartId::usual(brew.kind));
    let chart = id.chart();
    let strength = MassFraction::from_percent(brew.tds_percent)?;
    let region = chart.region(strength, brew.extracted.extraction_yield);
    let mut assessment = YieldAssessment {
        chart: id,
        strength: match region.0 {
            StrengthRegion::Weak => StrengthVerdict::Weak,
            StrengthRegion::Within => StrengthVerdict::Within,
            StrengthRegion::Strong => StrengthVerdict::Strong,
        },
        extraction: match region.1 {
            YieldRegion::Under => ExtractionVerdict::Under,
            YieldRegion::Within => ExtractionVerdict::Within,
            YieldRegion::Over => ExtractionVerdict::Over,
        },
        decision: None,
        probability_within: None,
        probability_of_region: None,
        to_reach_middle: middle(brew, chart, strength)?,
    };
    if let Some(found) = found {
        judge(&mut assessment, brew, found)?;
    }
    Ok(assessment)
}

fn judge(
    assessment: &mut YieldAssessment,
    brew: &Brew<'_>,
    found: &Found,
) -> Result<(), MathsError> {
    let (first_uncertainty, first_degrees_of_freedom) = found.of_strength()?;
    let pair = DependentPair {
        first: brew.tds_percent,
        first_uncertainty,
        first_degrees_of_freedom,
        second: brew.yield_percent(),
        slope: brew.extracted.sensitivities.strength,
        second_own_uncertainty: found.of_masses_points(),
    };
    let chart = assessment.chart.chart();
    let window = (
        inside(&chart.strength_percent),
        inside(&chart.yield_percent),
    );
    let region = (
        assessment.strength.interval(&chart.strength_percent),
        assessment.extraction.interval(&chart.yield_percent),
    );
    let within = joint_probability(&pair, window.0, window.1)?;
    // most brews are inside, where both are one number
    let of_region = if region == window {
        within
    } else {
        joint_probability(&pair, region.0, region.1)?
    };
    let asked = brew.request.coverage_probability.unwrap_or(USUAL_COVERAGE);
    assessment.probability_within = Some(within);
    assessment.probability_of_region = Some(of_region);
    assessment.decision = Some(if of_region >= asked {
        Decision::Clear
    } else {
        Decision::Undecided
    });
    Ok(())
}

const fn inside(window: &Range) -> Interval {
    Interval {
        low: window.min,
        high: window.max,
    }
}

const fn below(window: &Range) -> Interval {
    Interval {
        low: f64::NEG_INFINITY,
        high: window.min,
    }
}

const fn above(window: &Range) -> Interval {
    Interval {
        low: window.max,
        high: f64::INFINITY,
    }
}

impl StrengthVerdict {
    const fn interval(self, window: &Range) -> Interval {
        match self {
            Self::Weak => below(window),
            Self::Within => inside(window),
            Self::Strong => above(window),
        }
    }
}

impl ExtractionVerdict {
    const fn interval(self, window: &Range) -> Interval {
        match self {
            Self::Under => below(window),
            Self::Within => inside(window),
            Self::Over => above(window),
        }
    }
}

fn middle(
    brew: &Brew<'_>,
    chart: &ControlChart,
    strength: MassFraction,
) -> Result<MiddleOfChart, MathsError> {
    let (tds_percent, yield_percent) = chart.middle_percent();
    let (wanted, wanted_yield) = (
        MassFraction::from_percent(tds_percent)?,
        MassFraction::from_percent(yield_percent)?,
    );
    let dose = Mass::from_grams(brew.request.dose_g)?;
    // a mass beyond every range is left out: nobody brews it
    let (beverage_mass_g, water_mass_g) = if brew.is_immersion() {
        let water = immersion_water(dose, wanted_yield, wanted);
        (None, water.ok().map(Mass::grams))
    } else {
        let beverage = beverage_for(dose, wanted_yield, wanted);
        (beverage.ok().map(Mass::grams), None)
    };
    let add_water_g = brew
        .cup_g()
        .filter(|_| strength > wanted)
        .and_then(|cup_g| bypass_for(Mass::from_grams(cup_g).ok()?, strength, wanted).ok())
        .map(Mass::grams);
    Ok(MiddleOfChart {
        tds_percent,
        extraction_yield_percent: yield_percent,
        tds_change_points: tds_percent - brew.tds_percent,
        extraction_yield_change_points: yield_percent - brew.yield_percent(),
        beverage_mass_g,
        water_mass_g,
        add_water_g,
    })
}

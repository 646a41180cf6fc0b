//! The distribution of the yield by trials, after JCGM 101, and first order held against it.

mod faults;
mod workings;

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::brew::{Brew, Weighed};
use super::request::{ExtractionYieldRequest, HalfWidthDistribution};
use super::uncertainty::{Found, Term, YieldInput};
use crate::api::calculation::Call;
use crate::api::problem::Problem;
use crate::maths::MathsError;
use crate::maths::extraction::sampled::{Balance, Columns, yields};
use crate::maths::uncertainty::monte_carlo::distribution::Distribution;
use crate::maths::uncertainty::monte_carlo::inputs::Inputs;
use crate::maths::uncertainty::monte_carlo::propagate::{
    CHUNK, Propagated, Settings, Trials, propagated,
};
use crate::maths::uncertainty::monte_carlo::validation::validation;

pub(super) use faults::faults;
pub(super) use workings::steps;

/// Seed when none is given.
const USUAL_SEED: u32 = 1;
/// Trials that cost one unit: a trial of four inputs takes about 50 ns.
const TRIALS_PER_UNIT: u64 = 40;

/// The yield's distribution, after JCGM 101: trials with inputs drawn from their distributions
/// (normal for a standard uncertainty, rectangular or triangular for a half-width, Student's t
/// for the mean of readings).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct YieldMonteCarlo {
    /// Mean of the yields.
    pub mean_percent: f64,
    /// Standard deviation of the yields: the standard uncertainty.
    pub standard_points: f64,
    /// Lower end of the probabilistically symmetric coverage interval.
    pub low_percent: f64,
    /// Upper end of the probabilistically symmetric coverage interval.
    pub high_percent: f64,
    /// Lower end of the shortest coverage interval.
    pub shortest_low_percent: f64,
    /// Upper end of the shortest coverage interval.
    pub shortest_high_percent: f64,
    /// Trials made.
    pub trials: u32,
    /// Seed that they were drawn with.
    pub seed: u32,
    /// Numerical tolerance: half a unit in the second digit of the standard uncertainty.
    pub tolerance_points: f64,
    /// Whether mean, standard deviation and both ends of the symmetric interval are known to
    /// within the tolerance (JCGM 101, 7.9).
    pub stable: bool,
    /// The first-order result held against the trials.
    pub first_order: FirstOrderCheck,
}

/// Validation of the first-order result, after JCGM 101, clause 8.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct FirstOrderCheck {
    /// Lower ends of the first-order and the symmetric interval apart.
    pub low_difference_points: f64,
    /// Upper ends apart.
    pub high_difference_points: f64,
    /// What both may be: half a unit in the first digit of the first-order standard uncertainty.
    pub tolerance_points: f64,
    /// Whether both are within it, so that first order will do.
    pub valid: bool,
}

/// Cost of the trials that a request may take.
pub(super) fn cost(request: &ExtractionYieldRequest) -> u64 {
    const MOST: u64 = 2_000_000;
    let trials = request.trials.map_or(MOST, u64::from);
    1 + trials.div_ceil(TRIALS_PER_UNIT)
}

/// The distribution of the yield.
///
/// # Errors
/// `deadline_exceeded` when the call was cancelled, `no_solution` when a trial has no yield.
pub(super) fn of(
    brew: &Brew<'_>,
    found: &Found,
    call: &Call<'_>,
) -> Result<YieldMonteCarlo, Problem> {
    let request = brew.request;
    let drawn = found.terms.iter().map(|term| distribution(brew, term));
    let inputs = Inputs::new(drawn.collect::<Result<_, _>>()?, &found.correlations)?;
    let seed = request.seed.unwrap_or(USUAL_SEED);
    let settings = Settings {
        seed: u64::from(seed),
        trials: request.trials.map_or(Trials::Adaptive, Trials::Fixed),
        probability: found.published.coverage_probability,
    };
    let constants = Constants::of(brew);
    let model = |columns: &[Vec<f64>], out: &mut [f64]| {
        yields(
            constants.balance,
            constants.columns(&found.terms, columns),
            out,
        );
        for value in out {
            *value *= 100.0;
        }
    };
    let trials = propagated(&inputs, &model, &settings, &|| !call.is_cancelled())?;
    let Some(trials) = trials else {
        call.go_on()?;
        return Err(Problem::internal("trials stopped that nobody stopped"));
    };
    Ok(published(brew, found, &trials, seed)?)
}

/// What is known of an input; strengths as fractions.
fn distribution(brew: &Brew<'_>, term: &Term) -> Result<Distribution, MathsError> {
    let constants = Constants::of(brew);
    let (middle, scale) = match term.input {
        YieldInput::Dose => (constants.dose_g, 1.0),
        YieldInput::BeverageMass => (constants.beverage_g, 1.0),
        YieldInput::WaterMass => (constants.water_g, 1.0),
        YieldInput::BypassWater => (constants.bypass_g, 1.0),
        YieldInput::TdsRepeatability => (constants.strength, 100.0),
        YieldInput::TdsCalibration => (0.0, 100.0),
    };
    let standard = term.value.standard_uncertainty / scale;
    let shape = brew.request.half_width_distribution.unwrap_or_default();
    match (term.half_width, term.value.degrees_of_freedom.value()) {
        (Some(half_width), _) => match shape {
            HalfWidthDistribution::Rectangular => {
                Distribution::rectangular(middle, half_width / scale)
            }
            HalfWidthDistribution::Triangular => {
                Distribution::triangular(middle, half_width / scale)
            }
        },
        (None, Some(degrees)) => Distribution::student(middle, standard, degrees),
        (None, None) => Distribution::normal(middle, standard),
    }
}

/// The brew as measured, for the inputs that are taken as exact.
struct Constants {
    balance: Balance,
    dose_g: f64,
    beverage_g: f64,
    water_g: f64,
    bypass_g: f64,
    strength: f64,
    /// Columns of dose, beverage, brew water, bypass water, strength and zero.
    filled: [Vec<f64>; 6],
}

impl Constants {
    fn of(brew: &Brew<'_>) -> Self {
        let beverage_g = match brew.weighed {
            Some(Weighed::Before(mass) | Weighed::After(mass)) => mass,
            None => 0.0,
        };
        let (dose_g, strength) = (brew.request.dose_g, brew.tds_percent / 100.0);
        let water_g = brew.request.water_mass_g.unwrap_or(0.0);
        let all = [dose_g, beverage_g, water_g, brew.bypass_g, strength, 0.0];
        Self {
            balance: match (brew.is_immersion(), brew.weighed) {
                (false, Some(Weighed::After(_)) | None) => Balance::InCup,
                (false, Some(Weighed::Before(_))) => Balance::BeforeBypass,
                (true, None) => Balance::Immersion,
                (true, Some(Weighed::Before(_))) => Balance::ImmersionBeforeBypass,
                (true, Some(Weighed::After(_))) => Balance::ImmersionAfterBypass,
            },
            dose_g,
            beverage_g,
            water_g,
            bypass_g: brew.bypass_g,
            strength,
            filled: all.map(|value| vec![value; CHUNK]),
        }
    }

    /// The drawn column of each input, or its constant one.
    fn columns<'c>(&'c self, terms: &[Term], drawn: &'c [Vec<f64>]) -> Columns<'c> {
        let [dose, beverage, water, bypass, strength, zero] = &self.filled;
        let column = |input, constant: &'c Vec<f64>| -> &'c [f64] {
            let place = terms.iter().position(|term| term.input == input);
            place.and_then(|place| drawn.get(place)).unwrap_or(constant)
        };
        Columns {
            dose_g: column(YieldInput::Dose, dose),
            beverage_g: column(YieldInput::BeverageMass, beverage),
            water_g: column(YieldInput::WaterMass, water),
            bypass_g: column(YieldInput::BypassWater, bypass),
            strength: [
                column(YieldInput::TdsRepeatability, strength),
                column(YieldInput::TdsCalibration, zero),
            ],
        }
    }
}

fn published(
    brew: &Brew<'_>,
    found: &Found,
    trials: &Propagated,
    seed: u32,
) -> Result<YieldMonteCarlo, MathsError> {
    let first_order = &found.published;
    let held = validation(
        brew.yield_percent(),
        (first_order.standard_points, first_order.expanded_points),
        trials.intervals.symmetric,
    )?;
    Ok(YieldMonteCarlo {
        mean_percent: trials.mean,
        standard_points: trials.standard_uncertainty,
        low_percent: trials.intervals.symmetric.low,
        high_percent: trials.intervals.symmetric.high,
        shortest_low_percent: trials.intervals.shortest.low,
        shortest_high_percent: trials.intervals.shortest.high,
        trials: trials.trials,
        seed,
        tolerance_points: trials.tolerance,
        stable: trials.is_stable,
        first_order: FirstOrderCheck {
            low_difference_points: held.low_difference,
            high_difference_points: held.high_difference,
            tolerance_points: held.tolerance,
            valid: held.holds(),
        },
    })
}

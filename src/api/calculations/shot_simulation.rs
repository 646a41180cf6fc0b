//! `shot-simulation`: an espresso shot from the physics of the bed.

mod limits;
mod parameters;
mod request;
mod response;
mod sweep;
mod workings;

pub use limits::{Limit, LimitCode};
pub use parameters::ParameterOverrides;
pub use request::{AccuracyChoice, ShotSimulationRequest};
pub use response::{
    ShotSimulationResponse, SimulatedBed, SimulatedCup, SimulatedSamples, SimulationDiagnostics,
};
pub use sweep::{Sweep, SweepField, SweepPoint};

use std::time::Duration;

use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, Weight, example};
use crate::api::caution::{Caution, CautionCode};
use crate::api::from_maths::AtField;
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, Basis};
use crate::maths::quantity::{GaugePressure, Length};
use crate::maths::range::Range;
use crate::maths::simulation::{self, Bed, Outcome, PressureProfile, Shot};

/// Grinds that get no caution: below, the yield at a brew ratio of 2 and 9 bar leaves the
/// customary 22 % and nears where experiments show a fall. A choice of ours.
const FINE_GRIND_BELOW_UM: f64 = 300.0;

/// What a machine's gauge usually shows at most while brewing; common practice, no source.
const USUAL_PRESSURE_BAR: f64 = 9.0;

/// Sources that every answer rests on.
const SOURCES: &[&str] = &[
    "packedbed",
    "moroney2015",
    "cameron2020",
    "grudeva2025",
    "waszkiewicz2025",
    "iapws2008",
    "iapws2012",
];

/// Times of the samples that a caller may ask for.
const SAMPLE_TIME: Range = Range::new("sample time", 0.0, Shot::DURATION.max, "s");

/// Bounds of the fields besides the parameters.
const OWN_BOUNDS: [Bound; 10] = [
    Bound::new("dose_g", Shot::DOSE),
    Bound::new("basket_diameter_mm", Length::BASKET_DIAMETER),
    Bound::new("grind_diameter_um", Shot::GRIND_DIAMETER),
    Bound::new("water_temperature_c", Shot::WATER_TEMPERATURE),
    Bound::new("target_beverage_mass_g", Shot::TARGET_BEVERAGE),
    Bound::new("duration_s", Shot::DURATION),
    Bound::list("sample_time_s", SAMPLE_TIME, 0, 2000),
    Bound::list("time_s", PressureProfile::TIME, 1, 200),
    Bound::list("pressure_bar", GaugePressure::RANGE, 1, 200),
    Bound::list("values", sweep::VALUES, 1, sweep::MOST_POINTS),
];

const COUNT: usize = OWN_BOUNDS.len() + parameters::BOUNDS.len();

const fn all_bounds() -> [Bound; COUNT] {
    let mut all = [OWN_BOUNDS[0]; COUNT];
    let mut place = 0;
    while place < COUNT {
        all[place] = if place < OWN_BOUNDS.len() {
            OWN_BOUNDS[place]
        } else {
            parameters::BOUNDS[place - OWN_BOUNDS.len()]
        };
        place += 1;
    }
    all
}

/// The `shot-simulation` calculation.
#[derive(Debug)]
pub struct ShotSimulation;

impl Calculation for ShotSimulation {
    const NAME: &'static str = "shot-simulation";
    const SUMMARY: &'static str = "An espresso shot from the physics of the bed";
    const DESCRIPTION: &'static str = "Simulates a shot: water fills the headspace, wets the bed from the top and runs \
        through it, while fine and coarse grains give up their solubles. Answers first drop, time to a target, strength, \
        yield and flow over time, and, with `sweep`, how they change with one or two inputs. \
        The model is verified (two independent programs agree on its solution) and not validated: no raw experimental \
        curve was compared with it, and `limits` says what it leaves out. It is no model of taste. A target that is never reached is an \
        answer too: `target_reached` is then false. Points of a sweep are simulated by as many threads as are idle, in any number of which the answer is the same; where a call \
        reaches its deadline, nothing of it is answered.";
    const TAG: Tag = Tag::Shot;
    const BASIS: Basis = Basis::SimulatedUnvalidated;
    const CAUTIONS: &'static [CautionCode] = &[
        CautionCode::HotWater,
        CautionCode::PressureVessel,
        CautionCode::UnvalidatedModel,
        CautionCode::FineGrind,
        CautionCode::ChangedParameters,
    ];
    const BOUNDS: &'static [Bound] = &all_bounds();
    const HEADLINES: &'static [Headline] = &[
        Headline::new("first_drop_s", 1),
        Headline::new("time_to_target_s", 1),
        Headline::new("at_target.tds_percent", 2),
        Headline::new("at_target.extraction_yield_percent", 1),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "shot-simulation",
            "harbour-double",
            "A double at the harbour bar, 9 bar from the start"
        ),
        example!(
            "shot-simulation",
            "station-preinfusion",
            "The summit station's shot: 3 bar for 7 s, then 9, with workings and the spent bed"
        ),
        example!(
            "shot-simulation",
            "lab-grind-sweep",
            "The lab course varies the grind, with a diffusivity of its own"
        ),
    ];
    const WEIGHT: Weight = Weight::Heavy;
    /// About six seconds: a sweep of 2000 fine shots of the usual duration.
    const BUDGET: u64 = 3_000_000;
    const DEADLINE: Duration = Duration::from_secs(10);

    type Request = ShotSimulationRequest;
    type Response = ShotSimulationResponse;

    /// Most that the shots can cost: all of them as costly as the costliest and run to the end
    /// of the duration.
    fn cost(request: &ShotSimulationRequest) -> u64 {
        let shots = 2_u64.saturating_add(sweep::count(request.sweep.as_deref()) as u64);
        shots.saturating_mul(cost_of_costliest(request).unwrap_or(1))
    }

    fn answer(
        request: &ShotSimulationRequest,
        call: &Call<'_>,
    ) -> Result<Answer<ShotSimulationResponse>, Problem> {
        let sweeps = request.sweep.as_deref();
        let mut faults = request.faults();
        faults.extend(sweeps.map(sweep::faults).unwrap_or_default());
        if !faults.is_empty() {
            return Err(Problem::invalid(faults));
        }
        let parameters = parameters::parameters(request.parameters.as_ref())?;
        let bed = Bed::new(&request.shot(Vec::new())?, &parameters).at("parameters")?;
        let outcome = outcome(request, &bed, call)?;
        let mut response = ShotSimulationResponse::new(&outcome, &bed);
        response.bed = (request.include_bed == Some(true))
            .then(|| SimulatedBed::new(&outcome.bed, response.wetted_bed_depth_mm));
        response.points = sweeps
            .map(|sweeps| sweep::points(request, sweeps, &parameters, call))
            .transpose()?;
        let workings =
            (request.workings == Some(true)).then(|| workings::steps(request, &parameters, &bed));
        Ok(Answer::of::<Self>(response, SOURCES)
            .with_cautions(cautions(request))
            .with_workings(workings))
    }
}

/// The shot, sampled as asked for. Without sample times the shot is run once to learn when the
/// target is reached; sampling does not change the steps, so both runs are the same shot.
fn outcome(
    request: &ShotSimulationRequest,
    bed: &Bed,
    call: &Call<'_>,
) -> Result<Outcome, Problem> {
    let run = |sample_times_s: Vec<f64>| {
        let shot = request.shot(sample_times_s)?;
        let resolution = request.accuracy().resolution(bed);
        let outcome = simulation::run_bed(bed, &shot, resolution, &|| call.is_cancelled())?;
        // a shot that was stopped midway is no answer, and a short one ends before it asks
        call.go_on()?;
        Ok(outcome)
    };
    if let Some(times_s) = &request.sample_time_s {
        return run(times_s.clone());
    }
    let end_s = run(Vec::new())?
        .time_to_target_s
        .unwrap_or_else(|| request.duration_s());
    let seconds = (0_u32..).map(f64::from);
    run(seconds.take_while(|time| *time <= end_s).collect())
}

/// Cost of one shot in cost units, the costliest of a sweep where there is one.
///
/// One unit is about two microseconds, in which a hundred cells are carried over a time step:
/// an ordinary shot of 6400 cell-steps took 123 µs where it was measured. While the front moves
/// there is a step for each cell, over half of the cells on average; then the longest steps to
/// the end of the duration.
fn cost_of_costliest(request: &ShotSimulationRequest) -> Option<u64> {
    const CELL_STEPS_PER_UNIT: u64 = 100;
    let parameters = parameters::parameters(request.parameters.as_ref()).ok()?;
    let costliest = sweep::costliest(request);
    let bed = Bed::new(&costliest.shot(Vec::new()).ok()?, &parameters).ok()?;
    let resolution = request.accuracy().resolution(&bed);
    let cells = u64::from(resolution.cells);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "at most 600 s over the shortest step"
    )]
    let steps = (request.duration_s() / resolution.step_s).ceil() as u64;
    Some((cells * (cells / 2 + steps)).div_ceil(CELL_STEPS_PER_UNIT))
}

fn cautions(request: &ShotSimulationRequest) -> Vec<Caution> {
    let mut cautions = vec![
        Caution::from(CautionCode::UnvalidatedModel),
        Caution::from(CautionCode::HotWater),
    ];
    let pressures = &request.pressure_profile.pressure_bar;
    let highest = pressures.iter().copied().fold(0.0, f64::max);
    if highest > USUAL_PRESSURE_BAR {
        cautions.push(Caution::from(CautionCode::PressureVessel).with("pressure_bar", highest));
    }
    let finest = sweep::costliest(request).grind_diameter_um;
    if finest < FINE_GRIND_BELOW_UM {
        cautions.push(Caution::from(CautionCode::FineGrind).with("grind_diameter_um", finest));
    }
    if parameters::count(request.parameters.as_ref()) > 0 {
        cautions.push(CautionCode::ChangedParameters.into());
    }
    cautions
}

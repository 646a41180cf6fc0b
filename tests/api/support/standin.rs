//! Calculations of known cost, and with every fault that a calculation can have, for tests of
//! the server around them and for the load bench.

use std::time::Duration;

use extraction_maths::api::bounds::Bound;
use extraction_maths::api::calculation::{Calculation, Call, Example, Headline, Tag, Weight};
use extraction_maths::api::calculations::ratio::Ratio;
use extraction_maths::api::problem::Problem;
use extraction_maths::api::provenance::{Answer, Basis};
use extraction_maths::api::registry::Entry;
use extraction_maths::maths::range::Range;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use validator::Validate;

/// A real light calculation, and the stand-ins.
pub(crate) static REGISTRY: [Entry; 5] = [
    Entry::of::<Ratio>(),
    Entry::of::<StandIn<LIGHT>>(),
    Entry::of::<StandIn<HEAVY>>(),
    Entry::of::<StandIn<SWEEP>>(),
    Entry::of::<StandIn<VARYING>>(),
];

/// Kinds of stand-in.
pub(crate) const LIGHT: u8 = 0;
/// Heavy, with a short deadline.
pub(crate) const HEAVY: u8 = 1;
/// Heavy, with a long deadline.
pub(crate) const SWEEP: u8 = 2;

/// Heavy from a hundred units.
pub(crate) const VARYING: u8 = 3;

/// A calculation that spins for as many units of work as it is asked for.
pub(crate) struct StandIn<const KIND: u8>;

/// What to do besides spinning.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Misdeed {
    /// Panic.
    Panic,
    /// Spin past every deadline for a while, without asking whether to go on.
    Deaf,
    /// Answer a number that is none.
    NotFinite,
}

/// What to do.
#[derive(Debug, Clone, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct StandInRequest {
    /// Units of work.
    pub(crate) units: f64,
    /// Bytes of filling in the answer.
    pub(crate) filling: Option<f64>,
    /// Any text.
    pub(crate) label: Option<String>,
    /// Any numbers.
    pub(crate) list: Option<Vec<f64>>,
    /// What to do besides.
    pub(crate) misdeed: Option<Misdeed>,
}

/// What was done.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub(crate) struct StandInResponse {
    /// Result of the spinning.
    value: f64,
    /// The filling asked for.
    filling: String,
}

/// Most units of a call; more than can be worked before any deadline.
pub(crate) const BUDGET: u64 = 1_000_000_000;

/// Turns of the loop in a unit: some microseconds.
const TURNS_PER_UNIT: u32 = 2_000;

fn spin(units: u64, call: &Call<'_>, is_deaf: bool) -> Result<f64, Problem> {
    let mut state = 1_u64;
    for _ in 0..units {
        if !is_deaf {
            call.go_on()?;
        }
        for _ in 0..TURNS_PER_UNIT {
            // multiplier and increment of a common linear congruential generator
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
        }
    }
    Ok(f64::from(u32::try_from(state >> 32).unwrap_or_default()))
}

/// A whole number inside the bounds below.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "bounded by the request's bounds"
)]
fn whole(value: f64) -> u64 {
    value as u64
}

impl<const KIND: u8> Calculation for StandIn<KIND> {
    const NAME: &'static str = ["light", "heavy", "sweep", "varying"][KIND as usize];
    const SUMMARY: &'static str = "A stand-in of known cost";
    const DESCRIPTION: &'static str = "Spins.";
    const TAG: Tag = Tag::Recipe;
    const BASIS: Basis = Basis::SimulatedUnvalidated;
    const BOUNDS: &'static [Bound] = &[
        Bound::new("units", Range::new("units", 0.0, 1e10, "1")),
        Bound::new("filling", Range::new("filling", 0.0, 1e7, "1")),
    ];
    const HEADLINES: &'static [Headline] = &[Headline::new("value", 0)];
    const EXAMPLES: &'static [Example] = &[Example {
        name: "short",
        summary: "One unit",
        body: r#"{"units":1}"#,
    }];
    const WEIGHT: Weight = match KIND {
        LIGHT => Weight::Light,
        VARYING => Weight::ByRequest,
        _ => Weight::Heavy,
    };
    const BUDGET: u64 = BUDGET;
    const DEADLINE: Duration = Duration::from_secs(if KIND == SWEEP { 10 } else { 1 });

    type Request = StandInRequest;
    type Response = StandInResponse;

    fn cost(request: &StandInRequest) -> u64 {
        whole(request.units)
    }

    fn is_heavy(request: &StandInRequest) -> bool {
        request.units >= 100.0
    }

    fn answer(
        request: &StandInRequest,
        call: &Call<'_>,
    ) -> Result<Answer<StandInResponse>, Problem> {
        assert!(request.misdeed != Some(Misdeed::Panic), "a secret reason");
        let is_deaf = request.misdeed == Some(Misdeed::Deaf);
        let value = spin(whole(request.units), call, is_deaf)?;
        if is_deaf {
            // a loop that never asks, but with an end, so that a test has one
            let started = std::time::Instant::now();
            while started.elapsed() < Self::DEADLINE + Duration::from_millis(500) {
                std::hint::spin_loop();
            }
        }
        let filling = usize::try_from(whole(request.filling.unwrap_or(0.0))).unwrap_or(0);
        let is_finite = request.misdeed != Some(Misdeed::NotFinite);
        Ok(Answer::of::<Self>(
            StandInResponse {
                value: if is_finite { value } else { f64::NAN },
                filling: "x".repeat(filling),
            },
            &["practice"],
        ))
    }
}

//! The evidence for and against every cause, and what it comes to.

use super::request::{DiagnosisRequest, Taste};
use super::response::{
    Cause, CauseCode, Change, ChangeDirection, Contradiction, ContradictionCode, Evidence,
    EvidenceKind, Likelihood, TryFirst,
};
use super::rules::{READINGS, REMEDIES, Reading, SOUR_AND_BITTER, TASTES, Weight};
use crate::api::provenance::{WorkingStep, shown};

/// Weight from which a cause is likely.
const LIKELY_FROM: i32 = 2;

/// A cause with what speaks for and against it, weighed.
pub(super) struct Weighed {
    pub(super) code: CauseCode,
    pub(super) total: i32,
    weights: Vec<i32>,
    evidence: Vec<Evidence>,
}

impl Weighed {
    pub(super) fn likelihood(&self) -> Likelihood {
        if LIKELY_FROM <= self.total {
            Likelihood::Likely
        } else if 0 <= self.total {
            Likelihood::Possible
        } else {
            Likelihood::Unlikely
        }
    }
}

impl From<Weighed> for Cause {
    fn from(weighed: Weighed) -> Self {
        Self {
            code: weighed.code,
            likelihood: weighed.likelihood(),
            evidence: weighed.evidence,
        }
    }
}

/// Every cause that something speaks for or against, the likeliest first; among equals the one
/// that is tried first.
pub(super) fn weighed(request: &DiagnosisRequest) -> Vec<Weighed> {
    let items = evidence(request);
    let mut all: Vec<_> = CauseCode::ALL
        .into_iter()
        .map(|code| of_cause(code, &items))
        .filter(|cause| !cause.evidence.is_empty())
        .collect();
    all.sort_by_key(|cause| (std::cmp::Reverse(cause.total), cause.code));
    all
}

/// Something tasted or measured, and what it speaks for.
struct Item {
    from: &'static str,
    kind: EvidenceKind,
    detail: String,
    weights: &'static [Weight],
}

fn of_cause(code: CauseCode, items: &[Item]) -> Weighed {
    let mut cause = Weighed {
        code,
        total: 0,
        weights: Vec::new(),
        evidence: Vec::new(),
    };
    for item in items {
        for (_, weight) in item.weights.iter().filter(|(of, _)| *of == code) {
            cause.total += weight;
            cause.weights.push(*weight);
            cause.evidence.push(Evidence {
                from: item.from.to_owned(),
                kind: item.kind,
                supports: 0 < *weight,
                detail: item.detail.clone(),
            });
        }
    }
    cause
}

fn tastes_of(taste: Taste, request: &DiagnosisRequest) -> bool {
    request.tastes.contains(&taste)
}

/// Whether it tastes of anything but balanced.
fn has_fault(request: &DiagnosisRequest) -> bool {
    request.tastes.iter().any(|taste| *taste != Taste::Balanced)
}

fn is_sour_and_bitter(request: &DiagnosisRequest) -> bool {
    tastes_of(Taste::Sour, request) && tastes_of(Taste::Bitter, request)
}

fn evidence(request: &DiagnosisRequest) -> Vec<Item> {
    let said = TASTES.iter().filter(|(taste, _)| {
        // balanced says nothing beside a fault
        tastes_of(*taste, request) && (*taste != Taste::Balanced || !has_fault(request))
    });
    let mut items: Vec<_> = said
        .map(|(taste, weights)| Item {
            from: taste.word(),
            kind: EvidenceKind::Taste,
            detail: format!("it tastes {}", taste.word()),
            weights,
        })
        .collect();
    if is_sour_and_bitter(request) {
        items.push(Item {
            from: "sour_and_bitter",
            kind: EvidenceKind::Taste,
            detail: "it tastes sour and bitter at once".to_owned(),
            weights: SOUR_AND_BITTER,
        });
    }
    let readings = READINGS.iter();
    items.extend(readings.filter_map(|reading| Some(measured(reading, (reading.of)(request)?))));
    items
}

fn measured(reading: &Reading, value: f64) -> Item {
    let (where_, weights) = if value < reading.low {
        ("below", reading.below)
    } else if value <= reading.high {
        ("inside", reading.inside)
    } else {
        ("above", reading.above)
    };
    Item {
        from: reading.field,
        kind: EvidenceKind::Measurement,
        detail: format!(
            "{} is {where_} the usual {} to {} (common practice)",
            shown(value),
            shown(reading.low),
            shown(reading.high)
        ),
        weights,
    }
}

/// The change that answers the likeliest cause.
pub(super) fn try_first(causes: &[Weighed]) -> TryFirst {
    let first = causes.first().filter(|cause| 0 < cause.total);
    let remedy = first.and_then(|first| REMEDIES.iter().find(|remedy| remedy.0 == first.code));
    let nothing = (
        Change::Nothing,
        ChangeDirection::Keep,
        "nothing speaks for a change: keep the recipe, and measure or taste again",
    );
    let (change, direction, why) = remedy.map_or(nothing, |(_, change, direction, why)| {
        (*change, *direction, *why)
    });
    TryFirst {
        change,
        direction,
        why: why.to_owned(),
    }
}

/// Tastes that speak against one another.
pub(super) fn contradictions(request: &DiagnosisRequest) -> Vec<Contradiction> {
    let mut found = Vec::new();
    let mut add = |code, detail: &str| {
        found.push(Contradiction {
            code,
            detail: detail.to_owned(),
        });
    };
    if is_sour_and_bitter(request) {
        add(
            ContradictionCode::SourAndBitter,
            "sour goes with too little and bitter with too much: together they are taken as an uneven bed",
        );
    }
    if tastes_of(Taste::Balanced, request) && has_fault(request) {
        add(
            ContradictionCode::BalancedBesideOthers,
            "balanced stands beside other tastes, so it is left out",
        );
    }
    found
}

/// How every cause was weighed.
pub(super) fn workings(causes: &[Weighed]) -> Vec<WorkingStep> {
    let steps = causes.iter().map(|cause| {
        let pairs = cause.weights.iter().zip(&cause.evidence);
        let terms = pairs.map(|(weight, evidence)| format!("{weight} ({})", evidence.from));
        WorkingStep::new(
            cause.code.word(),
            (
                "Σ weights: likely from 2, possible from 0, unlikely below",
                "diagnosis-practice",
            ),
            terms.collect::<Vec<_>>().join(" + "),
            (f64::from(cause.total), "1"),
        )
    });
    steps.collect()
}

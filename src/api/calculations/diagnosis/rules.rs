//! The rules, as data: what each taste and each reading speaks for and against.
//!
//! All of them are common practice without a source: what baristas are taught. A reading that
//! tells a cause directly weighs more than all tastes together.

use super::request::{DiagnosisRequest, Taste};
use super::response::CauseCode::{
    self, BeansTooFresh, BeansTooOld, HighStrength, LowStrength, OverExtraction, ShotTooFast,
    ShotTooSlow, UnderExtraction, UnevenExtraction, WaterTooCool, WaterTooHot,
};
use super::response::{Change, ChangeDirection};

/// How much something speaks for a cause, below zero against it.
pub(super) type Weight = (CauseCode, i32);

/// A reading that tells the cause itself; more than the tastes of any cause together.
const TOLD: i32 = 10;

/// What a taste speaks for and against.
pub(super) const TASTES: [(Taste, &[Weight]); 7] = [
    (
        Taste::Sour,
        &[
            (UnderExtraction, 2),
            (WaterTooCool, 1),
            (OverExtraction, -1),
            (WaterTooHot, -1),
        ],
    ),
    (
        Taste::Bitter,
        &[
            (OverExtraction, 2),
            (WaterTooHot, 1),
            (UnderExtraction, -1),
            (WaterTooCool, -1),
        ],
    ),
    (
        Taste::Astringent,
        &[(UnevenExtraction, 2), (OverExtraction, 1), (WaterTooHot, 1)],
    ),
    (
        Taste::Thin,
        &[(LowStrength, 2), (UnderExtraction, 1), (HighStrength, -2)],
    ),
    (
        Taste::Harsh,
        &[
            (UnevenExtraction, 1),
            (OverExtraction, 1),
            (HighStrength, 1),
        ],
    ),
    (Taste::Salty, &[(UnderExtraction, 2), (OverExtraction, -1)]),
    (
        Taste::Balanced,
        &[
            (UnderExtraction, -2),
            (OverExtraction, -2),
            (UnevenExtraction, -2),
        ],
    ),
];

/// Sour and bitter at once: a part of the bed gave too little and another too much.
pub(super) const SOUR_AND_BITTER: &[Weight] = &[(UnevenExtraction, 3)];

/// Evenness, as `shot-readings` answers it, from which a shot counts as even. A flow that doubles
/// at once halfway through leaves 0.83: with 1 before and 2 after, points lie 0.25 off their line
/// (rms), a sixth of the mean. It is a statistic that neither proves nor rules out an uneven bed,
/// so it weighs no more than a taste.
const EVEN_FROM: f64 = 0.85;

/// A reading, its usual window, and what it speaks for below, inside and above.
pub(super) struct Reading {
    pub(super) field: &'static str,
    pub(super) of: fn(&DiagnosisRequest) -> Option<f64>,
    pub(super) low: f64,
    pub(super) high: f64,
    pub(super) below: &'static [Weight],
    pub(super) inside: &'static [Weight],
    pub(super) above: &'static [Weight],
}

/// Windows of espresso: yield and strength as `espresso-practice`, the others from the trade.
pub(super) const READINGS: [Reading; 8] = [
    Reading {
        field: "extraction_yield_percent",
        of: |request| request.extraction_yield_percent,
        low: 18.0,
        high: 22.0,
        below: &[(UnderExtraction, TOLD), (OverExtraction, -TOLD)],
        inside: &[(UnderExtraction, -TOLD), (OverExtraction, -TOLD)],
        above: &[(OverExtraction, TOLD), (UnderExtraction, -TOLD)],
    },
    Reading {
        field: "tds_percent",
        of: |request| request.tds_percent,
        low: 8.0,
        high: 12.0,
        below: &[(LowStrength, TOLD), (HighStrength, -TOLD)],
        inside: &[(LowStrength, -TOLD), (HighStrength, -TOLD)],
        above: &[(HighStrength, TOLD), (LowStrength, -TOLD)],
    },
    Reading {
        field: "brew_ratio",
        of: |request| request.brew_ratio,
        low: 1.5,
        high: 2.5,
        below: &[(HighStrength, 1), (UnderExtraction, 1)],
        inside: &[],
        above: &[(LowStrength, 1), (OverExtraction, 1)],
    },
    Reading {
        field: "shot_time_s",
        of: |request| request.shot_time_s,
        low: 20.0,
        high: 35.0,
        below: &[
            (ShotTooFast, TOLD),
            (ShotTooSlow, -TOLD),
            (UnderExtraction, 1),
        ],
        inside: &[(ShotTooFast, -TOLD), (ShotTooSlow, -TOLD)],
        above: &[
            (ShotTooSlow, TOLD),
            (ShotTooFast, -TOLD),
            (OverExtraction, 1),
        ],
    },
    Reading {
        field: "first_drop_s",
        of: |request| request.first_drop_s,
        low: 4.0,
        high: 12.0,
        below: &[(ShotTooFast, 1), (UnevenExtraction, 1)],
        inside: &[],
        above: &[(ShotTooSlow, 1)],
    },
    Reading {
        field: "brew_temperature_c",
        of: |request| request.brew_temperature_c,
        low: 90.0,
        high: 96.0,
        below: &[
            (WaterTooCool, TOLD),
            (WaterTooHot, -TOLD),
            (UnderExtraction, 1),
        ],
        inside: &[(WaterTooCool, -TOLD), (WaterTooHot, -TOLD)],
        above: &[
            (WaterTooHot, TOLD),
            (WaterTooCool, -TOLD),
            (OverExtraction, 1),
        ],
    },
    Reading {
        field: "bean_age_days",
        of: |request| request.bean_age_days,
        low: 5.0,
        high: 30.0,
        below: &[
            (BeansTooFresh, TOLD),
            (BeansTooOld, -TOLD),
            (UnevenExtraction, 1),
        ],
        inside: &[(BeansTooFresh, -TOLD), (BeansTooOld, -TOLD)],
        above: &[(BeansTooOld, TOLD), (BeansTooFresh, -TOLD)],
    },
    Reading {
        field: "evenness",
        of: |request| request.evenness,
        low: EVEN_FROM,
        high: 1.0,
        below: &[(UnevenExtraction, 2)],
        inside: &[(UnevenExtraction, -1)],
        above: &[],
    },
];

/// A cause, the change that answers it, which way, and why.
pub(super) type Remedy = (CauseCode, Change, ChangeDirection, &'static str);

/// The change that answers each cause.
pub(super) const REMEDIES: [Remedy; 11] = [
    (
        UnevenExtraction,
        Change::BedPreparation,
        ChangeDirection::MoreEven,
        "water runs through parts of the bed: distribute and tamp evenly before the grind is touched",
    ),
    (
        WaterTooCool,
        Change::BrewTemperature,
        ChangeDirection::Higher,
        "cooler water tends to sour: go up by a degree or two, as far as the place allows",
    ),
    (
        WaterTooHot,
        Change::BrewTemperature,
        ChangeDirection::Lower,
        "hotter water tends to bitter and astringent: go down by a degree or two",
    ),
    (
        BeansTooFresh,
        Change::Beans,
        ChangeDirection::Older,
        "freshly roasted beans give off gas that disturbs the bed: let them rest for some days",
    ),
    (
        BeansTooOld,
        Change::Beans,
        ChangeDirection::Fresher,
        "the beans are past their usual window: try fresher ones before the recipe is changed",
    ),
    (
        UnderExtraction,
        Change::GrindSetting,
        ChangeDirection::Finer,
        "too little is dissolved: a finer grind gives up more",
    ),
    (
        OverExtraction,
        Change::GrindSetting,
        ChangeDirection::Coarser,
        "too much is dissolved: a coarser grind gives up less",
    ),
    (
        ShotTooFast,
        Change::GrindSetting,
        ChangeDirection::Finer,
        "the shot runs too fast: a finer grind slows it",
    ),
    (
        ShotTooSlow,
        Change::GrindSetting,
        ChangeDirection::Coarser,
        "the shot runs too slowly: a coarser grind lets it run",
    ),
    (
        LowStrength,
        Change::BrewRatio,
        ChangeDirection::Lower,
        "too little is dissolved in the cup: stop the shot earlier",
    ),
    (
        HighStrength,
        Change::BrewRatio,
        ChangeDirection::Higher,
        "too much is dissolved in the cup: let the shot run longer",
    ),
];

//! How much of a spread the dose and each label explain, and what to tighten first.

use std::collections::BTreeMap;

use super::request::{Label, Series, ShotMade, ShotQuantity};
use super::response::{
    ExplainedBy, LeftOut, LeftOutCode, QuantityMade, ShareExplained, Statistic, TightenCode,
    TightenFirst,
};
use super::statistics::SHARE_FROM;
use crate::api::problem::Problem;
use crate::maths::MathsError;
use crate::maths::process::groups::group_share;
use crate::maths::process::line::least_squares_line;

/// The shares of one quantity's spread, by the dose and by every label that is given.
pub(super) fn shares(
    series: &Series,
    shots: &[ShotMade],
    left_out: &mut Vec<LeftOut>,
) -> Result<Vec<ShareExplained>, Problem> {
    let mut found = Vec::new();
    let mut take = |by, outcome: Result<Outcome, MathsError>| {
        match outcome? {
            Outcome::Share(share) => found.push(share),
            Outcome::NotGiven => {}
            Outcome::Left(code, detail) => left_out.push(LeftOut {
                quantity: series.quantity,
                statistic: Statistic::ShareExplained,
                by: Some(by),
                code,
                detail: detail.to_owned(),
            }),
        }
        Ok::<(), MathsError>(())
    };
    if series.quantity != ShotQuantity::DoseG {
        take(ExplainedBy::Dose, by_dose(series, shots))?;
    }
    for label in Label::ALL {
        take(explained_by(label), by_label(series, shots, label))?;
    }
    Ok(found)
}

enum Outcome {
    Share(ShareExplained),
    /// No shot tells the dose or the label.
    NotGiven,
    Left(LeftOutCode, &'static str),
}

const FEW: Outcome = Outcome::Left(
    LeftOutCode::TooFewShots,
    "it takes four shots that tell both",
);
const ALIKE: Outcome = Outcome::Left(LeftOutCode::AllAlike, "all values are alike");

fn by_dose(series: &Series, shots: &[ShotMade]) -> Result<Outcome, MathsError> {
    let pairs = series.places.iter().zip(&series.values);
    let (doses, values): (Vec<f64>, Vec<f64>) = pairs
        .filter_map(|(place, value)| Some((shots.get(*place)?.dose_g?, *value)))
        .unzip();
    if doses.is_empty() {
        return Ok(Outcome::NotGiven);
    }
    if doses.len() < SHARE_FROM {
        return Ok(FEW);
    }
    if are_alike(&values) {
        return Ok(ALIKE);
    }
    match least_squares_line(&doses, &values) {
        Ok(line) => Ok(Outcome::Share(ShareExplained {
            by: ExplainedBy::Dose,
            share_percent: 100.0 * line.share,
            adjusted_share_percent: 100.0 * line.adjusted_share,
            p_value: line.p_value,
            count: doses.len(),
            groups: None,
        })),
        Err(MathsError::NoSolution { .. }) => Ok(Outcome::Left(
            LeftOutCode::OneGroup,
            "all doses, or all values, are alike",
        )),
        Err(error) => Err(error),
    }
}

fn by_label(series: &Series, shots: &[ShotMade], label: Label) -> Result<Outcome, MathsError> {
    // a sorted map, so that the sums are made in one order whatever the labels' order
    let mut groups: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
    for (place, value) in series.places.iter().zip(&series.values) {
        if let Some(name) = shots.get(*place).and_then(|shot| label.of(shot)) {
            groups.entry(name).or_default().push(*value);
        }
    }
    let groups: Vec<Vec<f64>> = groups.into_values().collect();
    let count = groups.iter().map(Vec::len).sum::<usize>();
    if count == 0 {
        return Ok(Outcome::NotGiven);
    }
    if groups.len() < 2 {
        let detail = "all shots stand under one label";
        return Ok(Outcome::Left(LeftOutCode::OneGroup, detail));
    }
    if count < SHARE_FROM {
        return Ok(FEW);
    }
    if count == groups.len() {
        let detail = "every shot stands under a label of its own";
        return Ok(Outcome::Left(LeftOutCode::OneShotPerGroup, detail));
    }
    match group_share(&groups) {
        Ok(share) => Ok(Outcome::Share(ShareExplained {
            by: explained_by(label),
            share_percent: 100.0 * share.share,
            adjusted_share_percent: 100.0 * share.adjusted_share,
            p_value: share.p_value,
            count,
            groups: Some(groups.len()),
        })),
        Err(MathsError::NoSolution { .. }) => Ok(ALIKE),
        Err(error) => Err(error),
    }
}

fn are_alike(values: &[f64]) -> bool {
    values
        .windows(2)
        .all(|pair| pair[0].total_cmp(&pair[1]).is_eq())
}

const fn explained_by(label: Label) -> ExplainedBy {
    match label {
        Label::Barista => ExplainedBy::Barista,
        Label::Grinder => ExplainedBy::Grinder,
        Label::Group => ExplainedBy::Group,
        Label::Day => ExplainedBy::Day,
    }
}

/// Whether two labels always change together.
pub(super) fn has_confounded(shots: &[ShotMade]) -> bool {
    let all = Label::ALL.iter().enumerate();
    all.clone().any(|(place, one)| {
        let others = Label::ALL.iter().skip(place + 1);
        others
            .into_iter()
            .any(|other| change_together(shots, *one, *other))
    })
}

fn change_together(shots: &[ShotMade], one: Label, other: Label) -> bool {
    let (mut there, mut back) = (BTreeMap::new(), BTreeMap::new());
    for shot in shots {
        if let Some((a, b)) = one.of(shot).zip(other.of(shot))
            && (*there.entry(a).or_insert(b) != b || *back.entry(b).or_insert(a) != a)
        {
            return false;
        }
    }
    there.len() > 1
}

/// What stands out in the spread of a quantity.
pub(super) fn tighten(quantity: ShotQuantity, made: &QuantityMade, coverage: f64) -> TightenFirst {
    let shares = made.share_explained.iter().map(|share| {
        let code = tighten_code(share.by);
        (code, share.adjusted_share_percent, share.p_value)
    });
    let drift = made.drift.iter().map(|drift| {
        (
            TightenCode::Drift,
            drift.adjusted_share_percent,
            drift.p_value,
        )
    });
    let all: Vec<_> = shares.chain(drift).collect();
    // the more is looked at, the more stands out by chance
    let looked_at = u32::try_from(all.len()).map_or(f64::MAX, f64::from);
    let level = (1.0 - coverage) / looked_at.max(1.0);
    let clear = all.into_iter().filter(|(_, _, p_value)| *p_value < level);
    let largest = clear.max_by(|a, b| a.1.total_cmp(&b.1));
    let (code, share) = match largest {
        _ if made.largest <= made.smallest => (TightenCode::Nothing, None),
        Some((code, share, _)) => (code, Some(share)),
        None => (TightenCode::ShotToShot, None),
    };
    TightenFirst {
        code,
        quantity,
        adjusted_share_percent: share,
        detail: advice(code, quantity),
    }
}

const fn tighten_code(by: ExplainedBy) -> TightenCode {
    match by {
        ExplainedBy::Dose => TightenCode::Dose,
        ExplainedBy::Barista => TightenCode::Barista,
        ExplainedBy::Grinder => TightenCode::Grinder,
        ExplainedBy::Group => TightenCode::Group,
        ExplainedBy::Day => TightenCode::Day,
    }
}

/// What to do about it; common practice, no source.
fn advice(code: TightenCode, quantity: ShotQuantity) -> String {
    let what = quantity.words();
    match code {
        TightenCode::Dose => {
            format!("the {what} goes with the dose: weigh every dose, to a tenth of a gram")
        }
        TightenCode::Barista => format!(
            "the {what} differs by who makes the shot: agree on one way to dose, distribute, tamp and stop"
        ),
        TightenCode::Grinder => format!(
            "the {what} differs by grinder: set each by its own shots, and look at the burrs"
        ),
        TightenCode::Group => format!(
            "the {what} differs by group: clean screens and baskets, and have flow and temperature of the groups seen to"
        ),
        TightenCode::Day => format!(
            "the {what} differs by day: dial in at the start of each day, and note the age of the beans"
        ),
        TightenCode::Drift => format!(
            "the {what} drifts over the shots: mend the grind in small steps as the grinder warms and the beans age"
        ),
        TightenCode::ShotToShot => format!(
            "nothing that was recorded clearly explains the spread of the {what}: look at how the bed is prepared, and record more shots"
        ),
        TightenCode::Nothing => format!("the {what} is alike in all shots"),
    }
}

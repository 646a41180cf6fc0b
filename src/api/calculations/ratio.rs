//! `ratio`: dose, beverage, water and the ratios between them.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;
use validator::Validate;

use crate::api::bounds::Bound;
use crate::api::brew_kind::BrewKind;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, example};
use crate::api::caution::{Caution, CautionCode};
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::api::provenance::{Answer, Basis, WorkingStep, shown};
use crate::maths::MathsError;
use crate::maths::quantity::Mass;
use crate::maths::range::Range;
use crate::maths::ratio::{self, Derivation, Known, Quantity, Relation, Solution};

/// Any sufficient set of masses and ratios of one brew.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct RatioRequest {
    /// How the coffee is brewed; sets what the grounds usually retain.
    pub brew_kind: Option<BrewKind>,
    /// Dry coffee.
    pub dose_g: Option<f64>,
    /// Beverage in the cup.
    pub beverage_mass_g: Option<f64>,
    /// Beverage mass over dose.
    pub brew_ratio: Option<f64>,
    /// Brew water poured or pumped.
    pub water_mass_g: Option<f64>,
    /// Brew water over dose.
    pub water_ratio: Option<f64>,
    /// Brew water less beverage, over dose, as weighed. Default by `brew_kind`: 1.0 for
    /// espresso, 2.0 for filter and immersion (common practice, no source).
    pub retained_ratio: Option<f64>,
    /// Whether the answer shows its derivation.
    pub workings: Option<bool>,
}

/// All masses and ratios of the brew.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct RatioResponse {
    /// Dry coffee.
    pub dose_g: f64,
    /// Beverage in the cup.
    pub beverage_mass_g: f64,
    /// Beverage mass over dose.
    pub brew_ratio: f64,
    /// The brew ratio as it is spoken, to two decimals: `1:2`.
    pub brew_ratio_text: String,
    /// Brew water.
    pub water_mass_g: f64,
    /// Brew water over dose.
    pub water_ratio: f64,
    /// Brew water less beverage, over dose.
    pub retained_ratio: f64,
    /// Liquid that the grounds keep.
    pub retained_liquid_g: f64,
    /// Dose per litre of brew water, a litre taken as one kilogram, as the trade does.
    pub grams_per_litre: f64,
    /// Name of the espresso by its brew ratio: `ristretto` below 1.5, `normale` from 1.5 to
    /// below 2.5, `lungo` from 2.5 (common practice, no standard). Left out for other brews.
    pub style: Option<Style>,
}

/// Espresso by its brew ratio; common practice, no standard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Style {
    /// Brew ratio below 1.5.
    Ristretto,
    /// Brew ratio from 1.5 to below 2.5.
    Normale,
    /// Brew ratio of 2.5 or more.
    Lungo,
}

/// Brew ratio where `normale` begins; common practice, no standard.
const NORMALE_FROM: f64 = 1.5;
/// Brew ratio where `lungo` begins; common practice, no standard.
const LUNGO_FROM: f64 = 2.5;
/// Brew ratios of espresso that pass without remark; common practice, no source.
const USUAL_ESPRESSO: Range = Range::new("espresso brew ratio", 0.8, 5.0, "1");
/// Water ratios of filter and immersion that pass without remark; common practice, no source.
const USUAL_FILTER: Range = Range::new("water ratio", 8.0, 25.0, "1");

/// The `ratio` calculation.
#[derive(Debug)]
pub struct Ratio;

impl Calculation for Ratio {
    const NAME: &'static str = "ratio";
    const SUMMARY: &'static str = "Dose, beverage, water and the ratios between them";
    const DESCRIPTION: &'static str = "Solves the mass balance of a brew for whatever was left out: any two of dose, beverage \
        mass and brew ratio, or of dose, water mass and water ratio, linked by what the grounds retain. More than is \
        needed is accepted when it agrees to the digits given.";
    const TAG: Tag = Tag::Recipe;
    const BASIS: Basis = Basis::PublishedFormula;
    const CAUTIONS: &'static [CautionCode] = &[CautionCode::UnusualRatio];
    const BOUNDS: &'static [Bound] = &[
        Bound::new("dose_g", Mass::DOSE),
        Bound::new("beverage_mass_g", Mass::LIQUID),
        Bound::new("brew_ratio", ratio::BREW_RATIO),
        Bound::new("water_mass_g", Mass::LIQUID),
        Bound::new("water_ratio", ratio::WATER_RATIO),
        Bound::new("retained_ratio", ratio::RETAINED_RATIO),
    ];
    const HEADLINES: &'static [Headline] = &[
        Headline::new("dose_g", 1),
        Headline::new("beverage_mass_g", 1),
        Headline::new("brew_ratio", 2),
        Headline::new("water_mass_g", 1),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "ratio",
            "morning-double",
            "Beverage and water for a dose at a brew ratio"
        ),
        example!(
            "ratio",
            "station-filter-batch",
            "Dose for a litre of filter water, with workings"
        ),
        example!(
            "ratio",
            "lab-weighed-both",
            "Water and beverage both weighed: what the grounds retained"
        ),
    ];

    type Request = RatioRequest;
    type Response = RatioResponse;

    fn answer(request: &RatioRequest, _call: &Call<'_>) -> Result<Answer<RatioResponse>, Problem> {
        let kind = request.brew_kind.unwrap_or_default();
        let solution = ratio::solve(&known(request), kind.usually_retained())
            .map_err(|error| unsolved(error, request))?;
        check_derived(&solution)?;
        let value = |quantity| solution.value(quantity);
        let brew_ratio = value(Quantity::BrewRatio);
        let response = RatioResponse {
            dose_g: value(Quantity::Dose),
            beverage_mass_g: value(Quantity::Beverage),
            brew_ratio,
            brew_ratio_text: spoken(brew_ratio),
            water_mass_g: value(Quantity::Water),
            water_ratio: value(Quantity::WaterRatio),
            retained_ratio: value(Quantity::RetainedRatio),
            retained_liquid_g: value(Quantity::Water) - value(Quantity::Beverage),
            grams_per_litre: 1000.0 * value(Quantity::Dose) / value(Quantity::Water),
            style: (kind == BrewKind::Espresso).then(|| style(brew_ratio)),
        };
        let workings = (request.workings == Some(true)).then(|| workings(&solution));
        Ok(Answer::of::<Self>(response, &["massbalance", "practice"])
            .with_cautions(cautions(kind, &solution))
            .with_workings(workings))
    }
}

const fn known(request: &RatioRequest) -> Known {
    Known {
        dose_g: request.dose_g,
        beverage_g: request.beverage_mass_g,
        water_g: request.water_mass_g,
        brew_ratio: request.brew_ratio,
        water_ratio: request.water_ratio,
        retained_ratio: request.retained_ratio,
    }
}

/// Field, unit, symbol and range of a quantity.
const fn field(quantity: Quantity) -> (&'static str, &'static str, &'static str, Range) {
    match quantity {
        Quantity::Dose => ("dose_g", "g", "D", Mass::DOSE),
        Quantity::Beverage => ("beverage_mass_g", "g", "B", Mass::LIQUID),
        Quantity::Water => ("water_mass_g", "g", "W", Mass::LIQUID),
        Quantity::BrewRatio => ("brew_ratio", "1", "r", ratio::BREW_RATIO),
        Quantity::WaterRatio => ("water_ratio", "1", "w", ratio::WATER_RATIO),
        Quantity::RetainedRatio => ("retained_ratio", "1", "a", ratio::RETAINED_RATIO),
    }
}

/// Too little or too much input, as faults of fields.
fn unsolved(error: MathsError, request: &RatioRequest) -> Problem {
    let fault = |name: &str, code, detail: &str| Fault::new(format!("/{name}"), code, detail);
    match &error {
        MathsError::NoSolution { .. } => Problem::invalid(vec![fault(
            "dose_g",
            FaultCode::Required,
            "give two of `dose_g`, `beverage_mass_g` and `brew_ratio`, or of `dose_g`, \
             `water_mass_g` and `water_ratio`, or any other two that are not both ratios",
        )]),
        MathsError::Inconsistent { .. } => {
            let detail = error.to_string();
            let given = given(request);
            Problem::invalid(
                given
                    .iter()
                    .map(|name| fault(name, FaultCode::Inconsistent, &detail))
                    .collect(),
            )
        }
        MathsError::OutOfRange { .. }
        | MathsError::NotConverged { .. }
        | MathsError::WorkLimit { .. }
        | MathsError::NonFinite { .. } => error.into(),
    }
}

/// The quantities that the caller gave, any of which may be the wrong one.
fn given(request: &RatioRequest) -> Vec<&'static str> {
    let fields = [
        (request.dose_g, Quantity::Dose),
        (request.beverage_mass_g, Quantity::Beverage),
        (request.water_mass_g, Quantity::Water),
        (request.brew_ratio, Quantity::BrewRatio),
        (request.water_ratio, Quantity::WaterRatio),
        (request.retained_ratio, Quantity::RetainedRatio),
    ];
    let given = fields.iter().filter(|(value, _)| value.is_some());
    given.map(|(_, quantity)| field(*quantity).0).collect()
}

/// Holds what was derived against the same bounds as what is given.
fn check_derived(solution: &Solution) -> Result<(), Problem> {
    let faults: Vec<Fault> = solution
        .derivations
        .iter()
        .filter_map(|derivation| {
            let (name, _, _, range) = field(derivation.quantity);
            let error = range.check(solution.value(derivation.quantity)).err()?;
            Some(
                Problem::from(error)
                    .faults()
                    .to_vec()
                    .into_iter()
                    .map(move |fault| Fault {
                        pointer: format!("/{name}"),
                        detail: format!("the recipe needs this: {}", fault.detail),
                        ..fault
                    }),
            )
        })
        .flatten()
        .collect();
    if faults.is_empty() {
        Ok(())
    } else {
        Err(Problem::invalid(faults))
    }
}

fn spoken(brew_ratio: f64) -> String {
    let text = format!("{brew_ratio:.2}");
    format!("1:{}", text.trim_end_matches('0').trim_end_matches('.'))
}

fn style(brew_ratio: f64) -> Style {
    if brew_ratio < NORMALE_FROM {
        Style::Ristretto
    } else if brew_ratio < LUNGO_FROM {
        Style::Normale
    } else {
        Style::Lungo
    }
}

fn cautions(kind: BrewKind, solution: &Solution) -> Vec<Caution> {
    let (value, usual) = match kind {
        BrewKind::Espresso => (solution.value(Quantity::BrewRatio), USUAL_ESPRESSO),
        BrewKind::Filter | BrewKind::Immersion => {
            (solution.value(Quantity::WaterRatio), USUAL_FILTER)
        }
    };
    if usual.contains(value) {
        return Vec::new();
    }
    vec![
        Caution::from(CautionCode::UnusualRatio)
            .with("value", value)
            .with("usual_low", usual.min)
            .with("usual_high", usual.max),
    ]
}

fn workings(solution: &Solution) -> Vec<WorkingStep> {
    let mut steps: Vec<_> = solution
        .derivations
        .iter()
        .map(|d| working(solution, *d))
        .collect();
    let (water, beverage) = (
        solution.value(Quantity::Water),
        solution.value(Quantity::Beverage),
    );
    steps.push(WorkingStep::new(
        "retained_liquid_g",
        ("W − B", "massbalance"),
        format!("{} − {}", shown(water), shown(beverage)),
        (water - beverage, "g"),
    ));
    steps
}

fn working(solution: &Solution, derivation: Derivation) -> WorkingStep {
    let (name, unit, symbol, _) = field(derivation.quantity);
    let letter = |quantity| field(quantity).2.to_owned();
    let number = |quantity| shown(solution.value(quantity));
    let relation = derivation.relation;
    let (formula, substituted, source) = if relation == Relation::Assumed {
        let formula = format!("{symbol}, usual for the brew");
        (formula, number(derivation.quantity), "practice")
    } else {
        let formula = format!("{symbol} = {}", written(relation, &letter));
        (formula, written(relation, &number), "massbalance")
    };
    WorkingStep {
        formula: formula.into(),
        ..WorkingStep::new(
            name,
            ("", source),
            substituted,
            (solution.value(derivation.quantity), unit),
        )
    }
}

/// A relation with each quantity written by `write`.
fn written(relation: Relation, write: &dyn Fn(Quantity) -> String) -> String {
    match relation {
        Relation::Product(a, b) => format!("{} × {}", write(a), write(b)),
        Relation::Quotient(a, b) => format!("{} / {}", write(a), write(b)),
        Relation::Sum(a, b) => format!("{} + {}", write(a), write(b)),
        Relation::Difference(a, b) => format!("{} − {}", write(a), write(b)),
        Relation::DifferenceOver(a, b, c) => {
            format!("({} − {}) / {}", write(a), write(b), write(c))
        }
        Relation::Assumed => String::new(),
    }
}

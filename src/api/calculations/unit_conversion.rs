//! `unit-conversion`: a value in another unit, by exact factors.

mod pressure;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;
use validator::Validate;

pub use self::pressure::PressureKind;
use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, example};
use crate::api::caution::{Caution, CautionCode};
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::api::provenance::{Answer, Basis, WorkingStep, shown};
use crate::api::rule::Rule;
use crate::api::unit_codes::{UnitCode, UnitDimension};
use crate::maths::quantity::Pressure;
use crate::maths::units::conversion::{
    Conversion, Reading, VALUE, conversion, converted, smallest,
};
use crate::maths::units::table::Dimension;

/// A value, its unit, and the unit wanted.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct UnitConversionRequest {
    /// The value, in `from_unit`.
    #[schema(extensions(("x-unit" = json!("as `from_unit` says"))))]
    pub value: f64,
    /// Unit of the value.
    pub from_unit: UnitCode,
    /// Unit wanted.
    pub to_unit: UnitCode,
    /// Whether a number in degrees is a temperature, the default, or a difference of two: 10 °C
    /// are 50 °F as a temperature and 18 °F as a difference.
    pub quantity_kind: Option<QuantityKind>,
    /// What the value of a pressure is measured against.
    pub from_pressure_kind: Option<PressureKind>,
    /// What the pressure wanted is measured against.
    pub to_pressure_kind: Option<PressureKind>,
    /// Air pressure at the place, needed between gauge and absolute pressure.
    pub air_pressure_hpa: Option<f64>,
    /// Whether the answer shows its derivation.
    pub workings: Option<bool>,
}

/// What a number in degrees is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum QuantityKind {
    /// A temperature: the zeros of the scales count.
    Temperature,
    /// A difference of two temperatures: only the sizes of the degrees count.
    TemperatureDifference,
}

/// The value in the unit wanted.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct UnitConversionResponse {
    /// The value in the unit wanted.
    #[schema(extensions(("x-unit" = json!("as `to_unit` says"))))]
    pub converted_value: f64,
    /// Unit of the value given.
    pub from_unit: UnitCode,
    /// Unit of the converted value.
    pub to_unit: UnitCode,
    /// What both units measure.
    pub dimension: UnitDimension,
    /// What a number in degrees was taken for; only for temperatures.
    pub quantity_kind: Option<QuantityKind>,
    /// Units wanted in one unit given, as a fraction of whole numbers: exact.
    pub exact_factor: String,
    /// The same as the nearest number.
    #[schema(extensions(("x-unit" = json!("`to_unit` per `from_unit`"))))]
    pub factor: f64,
    /// What is added after the factor: the distance of the zeros of two scales of temperature, or
    /// the air pressure. Left out where it is nothing.
    #[schema(extensions(("x-unit" = json!("as `to_unit` says"))))]
    pub offset: Option<f64>,
}

/// The `unit-conversion` calculation.
#[derive(Debug)]
pub struct UnitConversion;

impl Calculation for UnitConversion {
    const NAME: &'static str = "unit-conversion";
    const SUMMARY: &'static str = "A value in another unit, by exact factors";
    const DESCRIPTION: &'static str = "Converts between units named by their UCUM codes, in which capitals count; \
        `GET /v1/reference/units` lists them. Factors are fractions of whole numbers, so that a result is rounded only \
        at the end. A temperature and a difference of temperatures are two things, as are gauge and absolute pressure. \
        Degrees of hardness have no UCUM code: `brewing-water` answers in all of them. A concentration in mg/L is no \
        [ppm], which is a pure number.";
    const TAG: Tag = Tag::Measurement;
    const BASIS: Basis = Basis::PublishedFormula;
    const CAUTIONS: &'static [CautionCode] = &[
        CautionCode::TakenAsTemperature,
        CautionCode::PressureKindKept,
    ];
    const BOUNDS: &'static [Bound] = &[
        Bound::new("value", VALUE),
        Bound::new("air_pressure_hpa", Pressure::AIR),
    ];
    const RULES: &'static [Rule] = &[
        Rule::Needs("from_pressure_kind", &["to_pressure_kind"]),
        Rule::Needs("to_pressure_kind", &["from_pressure_kind"]),
        Rule::Needs(
            "air_pressure_hpa",
            &["from_pressure_kind", "to_pressure_kind"],
        ),
    ];
    const HEADLINES: &'static [Headline] = &[
        Headline::new("converted_value", 3),
        Headline::new("to_unit", 0),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "unit-conversion",
            "harbour-dose",
            "Ounces of beans in grams"
        ),
        example!(
            "unit-conversion",
            "station-boiler",
            "A gauge in psi as an absolute pressure in bar, with workings"
        ),
        example!(
            "unit-conversion",
            "lab-difference",
            "A difference of temperatures, with workings"
        ),
    ];

    type Request = UnitConversionRequest;
    type Response = UnitConversionResponse;

    fn answer(
        request: &UnitConversionRequest,
        _call: &Call<'_>,
    ) -> Result<Answer<UnitConversionResponse>, Problem> {
        let faults = faults(request);
        if !faults.is_empty() {
            return Err(Problem::invalid(faults));
        }
        let (from, to) = (request.from_unit.0, request.to_unit.0);
        let by = conversion(from, to, reading(request))?;
        let plain = converted(request.value, &by)?;
        let air = pressure::added(request, plain)?;
        let offset = air.unwrap_or_else(|| by.offset().value());
        let response = UnitConversionResponse {
            converted_value: air.map_or(plain, |air| plain + air),
            from_unit: request.from_unit,
            to_unit: request.to_unit,
            dimension: from.dimension.into(),
            quantity_kind: (from.dimension == Dimension::Temperature)
                .then(|| request.quantity_kind.unwrap_or(QuantityKind::Temperature)),
            exact_factor: by.factor().to_string(),
            factor: by.factor().value(),
            offset: (offset != 0.0).then_some(offset),
        };
        let workings = (request.workings == Some(true)).then(|| workings(request, &by, plain, air));
        Ok(Answer::of::<Self>(response, &["ucum2024"])
            .with_cautions(cautions(request))
            .with_workings(workings))
    }
}

/// How the number given is to be read.
fn reading(request: &UnitConversionRequest) -> Reading {
    match request.quantity_kind {
        Some(QuantityKind::TemperatureDifference) => Reading::Difference,
        Some(QuantityKind::Temperature) | None => Reading::Point,
    }
}

fn faults(request: &UnitConversionRequest) -> Vec<Fault> {
    let (from, to) = (request.from_unit.0, request.to_unit.0);
    let mut faults = Vec::new();
    if from.dimension != to.dimension {
        let word = |dimension: Dimension| UnitDimension::from(dimension).word();
        let detail = format!(
            "{} measures {} (base unit {}) and {} measures {} (base unit {}): they do not convert",
            from.code,
            word(from.dimension),
            from.dimension.base_unit(),
            to.code,
            word(to.dimension),
            to.dimension.base_unit(),
        );
        faults.push(Fault::new("/to_unit", FaultCode::Inconsistent, detail));
    }
    let is_temperature = from.dimension == Dimension::Temperature;
    if request.quantity_kind.is_some() && !is_temperature {
        let detail = format!("{} is no unit of temperature", from.code);
        faults.push(Fault::new(
            "/quantity_kind",
            FaultCode::Contradictory,
            detail,
        ));
    }
    let least = smallest(from);
    if is_temperature && reading(request) == Reading::Point && request.value < least {
        faults.push(Fault {
            minimum: Some(least),
            maximum: Some(VALUE.max),
            unit: Some(from.code.to_owned()),
            ..Fault::new(
                "/value",
                FaultCode::OutOfRange,
                format!("{} {} is below absolute zero", request.value, from.code),
            )
        });
    }
    faults.extend(pressure::faults(request));
    faults
}

fn cautions(request: &UnitConversionRequest) -> Vec<Caution> {
    let dimension = request.from_unit.0.dimension;
    let raised = [
        (dimension == Dimension::Temperature && request.quantity_kind.is_none())
            .then_some(CautionCode::TakenAsTemperature),
        (dimension == Dimension::Pressure && request.from_pressure_kind.is_none())
            .then_some(CautionCode::PressureKindKept),
    ];
    raised.into_iter().flatten().map(Caution::from).collect()
}

fn workings(
    request: &UnitConversionRequest,
    by: &Conversion,
    plain: f64,
    air: Option<f64>,
) -> Vec<WorkingStep> {
    let unit = request.to_unit.0.code;
    let (a, b, c) = by.terms();
    let value = shown(request.value);
    let step = |name, formula, text, value| step(name, (formula, text), (value, unit));
    let mut steps = vec![
        step(
            "factor",
            "s₁ / s₂",
            by.factor().to_string(),
            by.factor().value(),
        ),
        step(
            if air.is_some() {
                "same_kind_value"
            } else {
                "converted_value"
            },
            "y = (a x + b) / c, whole numbers",
            format!("({a} × {value} + {b}) / {c}"),
            plain,
        ),
    ];
    match air {
        Some(air) => {
            let hpa = shown(request.air_pressure_hpa.unwrap_or_default());
            let text = format!("± {hpa} hPa");
            steps.push(step("offset", "± air pressure", text, air));
            let text = format!("{} + {}", shown(plain), shown(air));
            steps.push(step("converted_value", "y + offset", text, plain + air));
        }
        None if !by.offset().is_zero() => {
            let (text, value) = (by.offset().to_string(), by.offset().value());
            steps.push(step("offset", "(o₁ − o₂) / s₂", text, value));
        }
        None => {}
    }
    steps
}

fn step(
    name: &'static str,
    (formula, text): (&'static str, String),
    value: (f64, &'static str),
) -> WorkingStep {
    WorkingStep::new(name, (formula, "ucum2024"), text, value)
}

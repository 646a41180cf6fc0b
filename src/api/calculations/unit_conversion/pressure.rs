//! Gauge and absolute pressure, which differ by the air around.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::UnitConversionRequest;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::maths::units::conversion::{Reading, conversion, converted};
use crate::maths::units::table::{Dimension, unit};

/// What a pressure is measured against.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum PressureKind {
    /// The air around, as a machine's gauge shows it.
    Gauge,
    /// Nothing.
    Absolute,
}

/// What the kinds of pressure ask for.
pub(super) fn faults(request: &UnitConversionRequest) -> Vec<Fault> {
    let (Some(from), Some(to)) = (request.from_pressure_kind, request.to_pressure_kind) else {
        return Vec::new();
    };
    let mut faults = Vec::new();
    let mut add = |field: &str, code, detail: &str| {
        faults.push(Fault::new(format!("/{field}"), code, detail));
    };
    if request.from_unit.0.dimension != Dimension::Pressure {
        let detail = format!("{} is no unit of pressure", request.from_unit.0.code);
        add("from_pressure_kind", FaultCode::Contradictory, &detail);
        add("to_pressure_kind", FaultCode::Contradictory, &detail);
        return faults;
    }
    match (from == to, request.air_pressure_hpa) {
        (false, None) => add(
            "air_pressure_hpa",
            FaultCode::Required,
            "between gauge and absolute pressure the air pressure is needed",
        ),
        (true, Some(_)) => add(
            "air_pressure_hpa",
            FaultCode::Contradictory,
            "both pressures are of one kind, so the air pressure does not matter",
        ),
        (true, None) | (false, Some(_)) => {}
    }
    faults
}

/// What is added to a pressure in the unit wanted; none when both are of one kind.
///
/// # Errors
/// A [`Problem`] at the value when the absolute pressure would be below zero.
pub(super) fn added(request: &UnitConversionRequest, plain: f64) -> Result<Option<f64>, Problem> {
    let kinds = (request.from_pressure_kind, request.to_pressure_kind);
    let sign = match kinds {
        (Some(PressureKind::Gauge), Some(PressureKind::Absolute)) => 1.0,
        (Some(PressureKind::Absolute), Some(PressureKind::Gauge)) => -1.0,
        _ => return absolute_is_positive(request, plain).map(|()| None),
    };
    let hectopascal = unit("hPa").ok_or_else(|| Problem::internal("no hectopascal"))?;
    let by = conversion(hectopascal, request.to_unit.0, Reading::Difference)?;
    let air = converted(request.air_pressure_hpa.unwrap_or_default(), &by)?;
    let absolute = if sign > 0.0 { plain + air } else { plain };
    if absolute < 0.0 {
        return Err(below_nothing());
    }
    Ok(Some(sign * air))
}

fn absolute_is_positive(request: &UnitConversionRequest, plain: f64) -> Result<(), Problem> {
    let is_absolute = request.from_pressure_kind == Some(PressureKind::Absolute);
    if is_absolute && plain < 0.0 {
        return Err(below_nothing());
    }
    Ok(())
}

fn below_nothing() -> Problem {
    let detail = "the absolute pressure would be below zero";
    Problem::invalid(vec![Fault::new("/value", FaultCode::Inconsistent, detail)])
}

//! Temperatures that cannot be together.

use crate::api::boiler::Boiler;
use crate::api::both_scales::BothScales;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::api::provenance::shown;
use crate::maths::quantity::{Pressure, Temperature};
use crate::maths::water::saturation::boiling_temperature;

/// The temperatures of a request.
#[derive(Debug, Clone, Copy)]
pub(super) struct Temperatures {
    pub(super) start: BothScales,
    pub(super) end: BothScales,
    pub(super) feed: Temperature,
}

/// Refuses temperatures that cannot be together, all of them at once.
///
/// # Errors
/// A [`Problem`] with a fault at each field that may be the wrong one.
pub(super) fn check(
    temperatures: &Temperatures,
    boiler: &Boiler,
    air: Pressure,
) -> Result<(), Problem> {
    let Temperatures { start, end, feed } = *temperatures;
    let (steam, boiling) = (boiler.temperature, boiling_temperature(air)?);
    let starts = start.field("start_temperature_c", "start_temperature_f");
    let ends = end.field("final_temperature_c", "final_temperature_f");
    let (s, e) = (shown(start.celsius()), shown(end.celsius()));
    let b = shown(steam.celsius());
    let mut faults = Vec::new();
    let mut fault = |fields: &[&str], detail: String| {
        let of = |field| Fault::new(format!("/{field}"), FaultCode::Inconsistent, detail.clone());
        faults.extend(fields.iter().map(of));
    };
    if end.temperature <= start.temperature {
        let detail = format!("milk that is at {s} °C is not warmed by steaming it to {e} °C");
        fault(&[starts, ends], detail);
    }
    if end.temperature >= steam.temperature {
        let detail = format!("steam of {b} °C cannot heat milk to {e} °C");
        fault(&[ends, boiler.field()], detail);
    } else if end.temperature >= boiling {
        let at = shown(boiling.celsius());
        let detail = format!("milk cannot be steamed to {e} °C where water boils at {at} °C");
        fault(&[ends], detail);
    }
    if feed > steam.temperature {
        let detail = format!("water coming in is hotter than the boiler of {b} °C");
        fault(&["feed_temperature_c"], detail);
    }
    if faults.is_empty() {
        Ok(())
    } else {
        Err(Problem::invalid(faults))
    }
}

//! What was recorded of a shot, and its translation to the maths.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use validator::Validate;

use crate::api::bounds::Bound;
use crate::api::problem::{Fault, FaultCode};
use crate::maths::quantity::{Length, Mass, Temperature};
use crate::maths::range::Range;
use crate::maths::shot::analysis::USUAL_LAG;
use crate::maths::shot::smooth::Lag;
use crate::maths::shot::stream::FEWEST_READINGS;
use crate::maths::shot::{Recording, Series};

/// Most readings of a shot.
const MOST: usize = 10_000;

/// The clock of the readings.
const CLOCK: Range = Range::new("clock", -3_600.0, 86_400.0, "s");
/// What a scale shows: less than nothing where a cup was lifted.
const READING: Range = Range::new("scale reading", -10_000.0, 100_000.0, "g");
/// Values of either series; each has its own range besides.
const VALUE: Range = Range::new("value of a series", -5.0, 150.0, "1");
/// What a gauge shows, its own offset included.
const PRESSURE: Range = Range::new("pressure", -1.0, 20.0, "bar");
const TEMPERATURE: Range = Range::new("water temperature", 0.0, 150.0, "°C");
const SCALE_LAG: Range = Range::new("lag of the scale", 0.0, 5.0, "s");
const TRANSPORT_DELAY: Range = Range::new("transport delay", 0.0, 5.0, "s");
const BED_DEPTH: Range = Range::new("wetted bed depth", 1.0, 100.0, "mm");

/// Bounds of the fields.
pub(super) const BOUNDS: &[Bound] = &[
    Bound::list("time_s", CLOCK, 1, MOST),
    Bound::list("mass_g", READING, FEWEST_READINGS, MOST),
    Bound::list("value", VALUE, 1, MOST),
    Bound::new("dose_g", Mass::DOSE),
    Bound::new("basket_diameter_mm", Length::BASKET_DIAMETER),
    Bound::new("wetted_bed_depth_mm", BED_DEPTH),
    Bound::new("target_beverage_mass_g", Mass::LIQUID),
    Bound::new("pump_on_at_s", CLOCK),
    Bound::new("stopped_at_s", CLOCK),
    Bound::new("scale_lag_s", SCALE_LAG),
    Bound::new("transport_delay_s", TRANSPORT_DELAY),
];

/// What a scale, and where there are any a pressure and a temperature sensor, recorded.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Validate, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ShotReadingsRequest {
    /// Instants of the readings, in the order in which they came. They count from the pump's
    /// start, or `pump_on_at_s` tells when that was.
    pub time_s: Vec<f64>,
    /// What the scale showed at these instants. A cup on the scale, a tare on the way and
    /// readings less than nothing are dealt with.
    pub mass_g: Vec<f64>,
    /// Pressure on its own instants, as a gauge shows it: `value` in bar above the air around,
    /// -1 to 20.
    pub pressure_series: Option<SeriesRequest>,
    /// Temperature of the brew water on its own instants: `value` in degrees Celsius, 0 to 150.
    pub temperature_series: Option<SeriesRequest>,
    /// Dry coffee.
    pub dose_g: Option<f64>,
    /// Inner diameter of the basket, taken as a cylinder.
    pub basket_diameter_mm: Option<f64>,
    /// Depth of the wetted bed; by default dose over area at 400 kg of dry coffee per cubic
    /// metre of wetted bed, as in `shot-simulation`.
    pub wetted_bed_depth_mm: Option<f64>,
    /// Beverage that was wanted.
    pub target_beverage_mass_g: Option<f64>,
    /// When the pump was switched on, on the clock of the readings. Default: 0.
    pub pump_on_at_s: Option<f64>,
    /// When the pump was switched off, on the clock of the readings. By default taken from the
    /// fall of the pressure, or else from that of the flow.
    pub stopped_at_s: Option<f64>,
    /// Time constant with which the scale follows its load. Default: 0.4.
    pub scale_lag_s: Option<f64>,
    /// Time that a reading takes until it has its `time_s`. Default: 0.12.
    pub transport_delay_s: Option<f64>,
    /// Whether the answer shows how it was worked out.
    pub workings: Option<bool>,
}

/// A quantity over time, on its own instants. Both lists have the same length.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SeriesRequest {
    /// Instants on the clock of the readings.
    pub time_s: Vec<f64>,
    /// Values at these instants; unit and range stand beside the series.
    pub value: Vec<f64>,
}

impl SeriesRequest {
    fn series(&self, begin_s: f64) -> Series {
        let times_s: Vec<_> = self.time_s.iter().map(|time| time - begin_s).collect();
        Series::new(&times_s, &self.value)
    }

    fn faults(&self, name: &str, range: Range) -> Vec<Fault> {
        let pointer = format!("/{name}/value");
        let lengths = unequal(&pointer, self.value.len(), self.time_s.len());
        let values = self.value.iter().enumerate();
        let outside = values.filter(|(_, value)| !range.contains(**value));
        let told = outside.take(MOST_TOLD).map(|(place, value)| Fault {
            minimum: Some(range.min),
            maximum: Some(range.max),
            unit: Some(range.unit.to_owned()),
            ..Fault::new(
                format!("{pointer}/{place}"),
                FaultCode::OutOfRange,
                format!(
                    "{} of {value} {} is outside {} to {} {}",
                    range.quantity, range.unit, range.min, range.max, range.unit
                ),
            )
        });
        lengths.into_iter().chain(told).collect()
    }
}

/// Values out of range that one series names.
const MOST_TOLD: usize = 10;

/// A list that is not as long as that of its instants.
fn unequal(pointer: &str, values: usize, instants: usize) -> Option<Fault> {
    (values != instants).then(|| {
        let detail = format!("{values} values stand against {instants} instants");
        Fault::new(pointer, FaultCode::Inconsistent, detail)
    })
}

/// The lists of a recording, on the clock that counts from the pump's start.
#[derive(Debug)]
pub(super) struct Recorded {
    times_s: Vec<f64>,
    pressure: Option<Series>,
    pub(super) temperature: Option<Series>,
}

impl ShotReadingsRequest {
    /// When the pump was switched on, on the caller's clock, s.
    pub(super) fn pump_on_s(&self) -> f64 {
        self.pump_on_at_s.unwrap_or(0.0)
    }

    /// How the scale follows the cup.
    pub(super) fn lag(&self) -> Lag {
        Lag {
            scale_s: self.scale_lag_s.unwrap_or(USUAL_LAG.scale_s),
            transport_s: self.transport_delay_s.unwrap_or(USUAL_LAG.transport_s),
        }
    }

    pub(super) fn recorded(&self) -> Recorded {
        let on_s = self.pump_on_s();
        let series = |given: &Option<SeriesRequest>| given.as_ref().map(|s| s.series(on_s));
        Recorded {
            times_s: self.time_s.iter().map(|time| time - on_s).collect(),
            pressure: series(&self.pressure_series),
            temperature: series(&self.temperature_series),
        }
    }

    pub(super) fn recording<'a>(&'a self, recorded: &'a Recorded) -> Recording<'a> {
        Recording {
            times_s: &recorded.times_s,
            masses_g: &self.mass_g,
            pressure: recorded.pressure.clone(),
            pump_on_s: 0.0,
            stopped_s: self.stopped_at_s.map(|stop_s| stop_s - self.pump_on_s()),
            lag: self.lag(),
        }
    }

    /// What bounds cannot express.
    pub(super) fn faults(&self) -> Vec<Fault> {
        let mut faults = Vec::new();
        faults.extend(unequal("/mass_g", self.mass_g.len(), self.time_s.len()));
        for (name, series, range) in [
            ("pressure_series", &self.pressure_series, PRESSURE),
            ("temperature_series", &self.temperature_series, TEMPERATURE),
        ] {
            faults.extend(series.iter().flat_map(|series| series.faults(name, range)));
        }
        let on_s = self.pump_on_s();
        if self.stopped_at_s.is_some_and(|stop_s| stop_s <= on_s) {
            let detail = format!("the pump was switched on later, at {on_s} s");
            let pointer = "/stopped_at_s";
            faults.push(Fault::new(pointer, FaultCode::Inconsistent, detail));
        }
        let last_s = self.time_s.iter().copied().fold(f64::MIN, f64::max);
        if last_s <= on_s {
            let detail = format!("no reading is later than the pump's start, at {on_s} s");
            faults.push(Fault::new("/time_s", FaultCode::Inconsistent, detail));
        }
        faults
    }
}

/// Temperature of brew water where none was recorded; common practice, no source.
pub(super) const USUAL_TEMPERATURE_C: f64 = 93.0;

/// The mean temperature over a stretch, or the usual one.
pub(super) fn temperature_c(recorded: &Recorded, (from_s, to_s): (f64, f64)) -> f64 {
    let mean = recorded
        .temperature
        .as_ref()
        .and_then(|s| s.mean(from_s, to_s));
    // the mean of values in range is in range but for rounding
    mean.map_or(USUAL_TEMPERATURE_C, |mean| {
        mean.clamp(TEMPERATURE.min, Temperature::BREWING.max)
    })
}

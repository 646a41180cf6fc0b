//! From readings to the sugar scale at 20 °C, and on to coffee solids.

use super::request::RefractometryRequest;
use crate::api::from_maths::AtField;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::maths::MathsError;
use crate::maths::quantity::{Brix, MassFraction, RefractiveIndex, Temperature};
use crate::maths::refraction::coffee::{SOLIDS_PER_BRIX, SOLIDS_PER_BRIX_HALF_WIDTH};
use crate::maths::refraction::sucrose::{WATER_ON_SCALE, sucrose_index, sugar_scale};
use crate::maths::refraction::warmth::{AtTwenty, at_twenty};
use crate::maths::refraction::water_index::index_in_air;
use crate::maths::uncertainty::type_a;

/// Further below water than any reading is off by itself, %.
const BELOW_WATER: f64 = -0.5;

/// What the instrument shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Scale {
    Brix,
    Index,
    Solids,
}

impl Scale {
    /// Unit of a reading.
    pub(super) const fn unit(self) -> &'static str {
        match self {
            Self::Brix | Self::Solids => "%",
            Self::Index => "1",
        }
    }

    /// Index at 20 °C that has this reading.
    fn index(self, reading: f64, factor: f64) -> Result<f64, MathsError> {
        match self {
            Self::Index => Ok(reading),
            Self::Brix => Ok(sucrose_index(Brix::from_percent(reading)?)?.ratio()),
            Self::Solids => Ok(sucrose_index(Brix::from_percent(reading / factor)?)?.ratio()),
        }
    }

    /// Change of that index by the reading.
    fn index_by_reading(self, index: f64, factor: f64) -> Result<f64, MathsError> {
        let twenty = Temperature::from_celsius(20.0)?;
        let slope = 1.0 / at_twenty(RefractiveIndex::from_ratio(index)?, twenty)?.by_index;
        Ok(match self {
            Self::Index => 1.0,
            Self::Brix => slope,
            Self::Solids => slope / factor,
        })
    }
}

/// A sample whose solids are known, with every number on the way there.
#[derive(Debug)]
pub(super) struct Sample<'r> {
    pub(super) request: &'r RefractometryRequest,
    pub(super) scale: Scale,
    /// The field that was read.
    pub(super) field: &'static str,
    pub(super) readings: &'r [f64],
    pub(super) mean: f64,
    pub(super) zero: Option<f64>,
    /// Temperature that the reading is corrected for.
    pub(super) celsius: Option<f64>,
    pub(super) factor: f64,
    pub(super) index_read: f64,
    /// Index of water as it should have been read; only with a zero check or a temperature.
    pub(super) water_index: Option<f64>,
    pub(super) index_zeroed: f64,
    pub(super) brix_read: f64,
    pub(super) brix_zeroed: f64,
    pub(super) at_twenty: AtTwenty,
    pub(super) tds_percent: f64,
    pub(super) by: Sensitivities,
}

/// The index less what water reads too much.
#[derive(Debug, Clone, Copy)]
struct Zeroed {
    index: RefractiveIndex,
    water_index: Option<f64>,
    /// Change of the index by the reading of water, without its sign.
    index_by_zero: f64,
}

impl Zeroed {
    fn of(
        (scale, factor): (Scale, f64),
        index_read: f64,
        zero: Option<f64>,
        celsius: Option<f64>,
    ) -> Result<Self, MathsError> {
        let water_index = match celsius {
            Some(celsius) => Some(index_in_air(Temperature::from_celsius(celsius)?)?.ratio()),
            None => zero.map(|_| WATER_ON_SCALE),
        };
        let (Some(zero), Some(water)) = (zero, water_index) else {
            return Ok(Self {
                index: RefractiveIndex::from_ratio(index_read)?,
                water_index,
                index_by_zero: 0.0,
            });
        };
        let zero_index = scale.index(zero, factor)?;
        Ok(Self {
            index: RefractiveIndex::from_ratio(index_read - zero_index + water)?,
            water_index,
            index_by_zero: scale.index_by_reading(zero_index, factor)?,
        })
    }
}

/// Change of the solids, in points, by each input in its unit.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sensitivities {
    pub(super) reading: f64,
    pub(super) zero: f64,
    pub(super) temperature: f64,
    pub(super) factor: f64,
}

impl<'r> Sample<'r> {
    /// The solids of what was read.
    pub(super) fn of(request: &'r RefractometryRequest) -> Result<Self, Problem> {
        let (scale, field, readings, zero) = given(request)?;
        let celsius = celsius(request, scale)?;
        let mean = match readings {
            [only] => *only,
            several => type_a::type_a(several).at(field)?.mean,
        };
        let factor = request.solids_per_brix.unwrap_or(SOLIDS_PER_BRIX);
        let index_read = scale.index(mean, factor).at(field)?;
        let zeroed = Zeroed::of((scale, factor), index_read, zero, celsius).at(field)?;
        let at_temperature = Temperature::from_celsius(celsius.unwrap_or(20.0))?;
        let at_twenty = at_twenty(zeroed.index, at_temperature).at(field)?;
        let by = Sensitivities {
            reading: scale.index_by_reading(index_read, factor)?,
            zero: zeroed.index_by_zero,
            temperature: 0.0,
            factor: at_twenty.brix.percent(),
        };
        let mut sample = Self {
            request,
            scale,
            field,
            readings,
            mean,
            zero,
            celsius,
            factor,
            index_read,
            water_index: zeroed.water_index,
            index_zeroed: zeroed.index.ratio(),
            brix_read: sugar_scale(RefractiveIndex::from_ratio(index_read)?)?.percent(),
            brix_zeroed: sugar_scale(zeroed.index).at(field)?.percent(),
            at_twenty,
            tds_percent: factor * at_twenty.brix.percent(),
            by: by.carried(factor, &at_twenty, zero.is_some()),
        };
        sample.keep_as_read().at(field)?;
        sample.check()?;
        Ok(sample)
    }

    /// What needs no correction stays bit for bit.
    fn keep_as_read(&mut self) -> Result<(), MathsError> {
        if self.zero.is_some() || self.celsius.is_some() {
            return Ok(());
        }
        match self.scale {
            Scale::Brix => {
                self.at_twenty.brix = Brix::from_percent(self.mean)?;
                self.tds_percent = self.factor * self.mean;
            }
            Scale::Solids => self.tds_percent = self.mean,
            Scale::Index => {}
        }
        Ok(())
    }

    /// Whether the factor is the default one.
    pub(super) const fn has_usual_factor(&self) -> bool {
        self.request.solids_per_brix.is_none()
    }

    /// Standard uncertainty or half-width of the factor.
    pub(super) fn factor_spread(&self) -> (Option<f64>, Option<f64>) {
        let r = self.request;
        match (r.solids_per_brix_uncertainty, r.solids_per_brix_half_width) {
            (None, None) if self.has_usual_factor() => (None, Some(SOLIDS_PER_BRIX_HALF_WIDTH)),
            given => given,
        }
    }

    /// A brew is neither thinner than water nor stronger than any.
    fn check(&self) -> Result<(), Problem> {
        let brix = self.at_twenty.brix.percent();
        let detail = if brix < BELOW_WATER {
            format!("the corrected reading of {brix} % is far below that of water")
        } else if self.tds_percent > MassFraction::STRENGTH_PERCENT.max {
            let most = MassFraction::STRENGTH_PERCENT.max;
            format!(
                "{} % of solids is more than the {most} % of any brew",
                self.tds_percent
            )
        } else {
            return Ok(());
        };
        let zero = match self.scale {
            Scale::Brix => "zero_brix_percent",
            Scale::Index => "zero_refractive_index",
            Scale::Solids => "zero_tds_percent",
        };
        let fields = [
            Some(self.field),
            self.zero.map(|_| zero),
            self.celsius.map(|_| "sample_temperature_c"),
            self.request.solids_per_brix.map(|_| "solids_per_brix"),
        ];
        let fault =
            |field: &str| Fault::new(format!("/{field}"), FaultCode::Inconsistent, detail.clone());
        Err(Problem::invalid(
            fields.into_iter().flatten().map(fault).collect(),
        ))
    }
}

impl Sensitivities {
    /// From changes of the index to changes of the solids.
    fn carried(self, factor: f64, at: &AtTwenty, has_zero: bool) -> Self {
        let by_index = factor * at.by_index;
        // water that is read at the temperature of the sample takes most of its effect away
        let cancelled = if has_zero {
            at.by_index * at.water_per_kelvin
        } else {
            0.0
        };
        Self {
            reading: by_index * self.reading,
            zero: -by_index * self.zero,
            temperature: factor * (at.by_temperature + cancelled),
            factor: self.factor,
        }
    }
}

/// Scale, field, readings and zero of the request.
type Given<'r> = (Scale, &'static str, &'r [f64], Option<f64>);

fn given(request: &RefractometryRequest) -> Result<Given<'_>, Problem> {
    let one = |value: &'static str, number: &Option<f64>| number.map(|_| value);
    let r = request;
    let scalars = [
        (one("brix_percent", &r.brix_percent), &r.brix_percent),
        (
            one("refractive_index", &r.refractive_index),
            &r.refractive_index,
        ),
        (one("tds_percent", &r.tds_percent), &r.tds_percent),
    ];
    let lists = [
        ("brix_readings_percent", &r.brix_readings_percent),
        ("refractive_index_readings", &r.refractive_index_readings),
        ("tds_readings_percent", &r.tds_readings_percent),
    ];
    let scales = [
        (Scale::Brix, r.zero_brix_percent),
        (Scale::Index, r.zero_refractive_index),
        (Scale::Solids, r.zero_tds_percent),
    ];
    for (((scale, zero), scalar), list) in scales.into_iter().zip(scalars).zip(lists) {
        if let (Some(field), Some(value)) = scalar {
            return Ok((scale, field, std::slice::from_ref(value), zero));
        }
        if let (field, Some(values)) = list {
            return Ok((scale, field, values, zero));
        }
    }
    // the rules demand one of the six
    Err(Problem::internal("no reading"))
}

/// The temperature to correct for, unless the instrument has done so.
fn celsius(request: &RefractometryRequest, scale: Scale) -> Result<Option<f64>, Problem> {
    let is_compensated = request
        .temperature_compensated
        .unwrap_or(scale == Scale::Solids);
    match (
        request.temperature_compensated,
        request.sample_temperature_c,
    ) {
        (Some(false), None) => Err(Problem::invalid(vec![Fault::new(
            "/sample_temperature_c",
            FaultCode::Required,
            "a reading that is not compensated needs the temperature of the sample",
        )])),
        (_, temperature) => Ok(temperature.filter(|_| !is_compensated)),
    }
}

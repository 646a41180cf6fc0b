//! Control charts by the names that a request can call them.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::brew_kind::BrewKind;
use crate::maths::extraction::chart::{CONTROL_CHARTS, ControlChart};

/// A window of strength and yield of the list; the limits belong to it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ControlChartEntry {
    /// The name that a request calls it by.
    pub control_chart: Cow<'static, str>,
    /// Least strength.
    pub tds_low_percent: f64,
    /// Greatest strength.
    pub tds_high_percent: f64,
    /// Least yield.
    pub extraction_yield_low_percent: f64,
    /// Greatest yield.
    pub extraction_yield_high_percent: f64,
    /// Ways of brewing that are held against it unless another chart is asked for.
    pub default_for: Vec<BrewKind>,
    /// Id of the source in `GET /v1/sources`.
    pub source: Cow<'static, str>,
    /// How the limits are known.
    pub known: Cow<'static, str>,
}

/// The charts, the defaults first.
#[must_use]
pub fn all() -> Vec<ControlChartEntry> {
    CONTROL_CHARTS.iter().map(of).collect()
}

fn of(chart: &ControlChart) -> ControlChartEntry {
    ControlChartEntry {
        control_chart: Cow::Borrowed(chart.id),
        tds_low_percent: chart.strength_percent.min,
        tds_high_percent: chart.strength_percent.max,
        extraction_yield_low_percent: chart.yield_percent.min,
        extraction_yield_high_percent: chart.yield_percent.max,
        default_for: default_for(chart),
        source: Cow::Borrowed(chart.source),
        known: Cow::Borrowed(chart.known),
    }
}

fn default_for(chart: &ControlChart) -> Vec<BrewKind> {
    if *chart == ControlChart::ESPRESSO {
        vec![BrewKind::Espresso]
    } else if *chart == ControlChart::FILTER {
        vec![BrewKind::Filter, BrewKind::Immersion]
    } else {
        Vec::new()
    }
}

#[cfg(test)]
mod tests {
    use super::all;
    use crate::api::bibliography;
    use crate::api::calculations::extraction_yield::ControlChartId;

    #[test]
    fn every_chart_of_the_list_can_be_asked_for_and_has_a_source() {
        for chart in all() {
            let name = serde_json::json!(chart.control_chart);
            serde_json::from_value::<ControlChartId>(name).expect("a name of a request");
            let sources = bibliography::sources();
            assert!(
                sources.iter().any(|source| source.id == chart.source),
                "{}",
                chart.source
            );
        }
    }
}

//! Published control charts: windows of strength and yield, and where a brew falls.

use crate::maths::quantity::MassFraction;
use crate::maths::range::Range;

/// Percentage points by which a computed value may pass a limit that it equals but for
/// rounding.
const ROUNDING_POINTS: f64 = 1e-9;

/// A window of strength and yield that somebody published or that the trade uses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ControlChart {
    /// Publication and year, or the name of a practice.
    pub id: &'static str,
    /// Strength in percent by mass, limits included.
    pub strength_percent: Range,
    /// Extraction yield in percent of the dose, limits included.
    pub yield_percent: Range,
    /// Id of the source in the bibliography.
    pub source: &'static str,
    /// How the limits are known, in the bibliography's words.
    pub known: &'static str,
}

/// Where the strength lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StrengthRegion {
    /// Below the window.
    Weak,
    /// Inside, limits included.
    Within,
    /// Above the window.
    Strong,
}

/// Where the yield lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum YieldRegion {
    /// Below the window.
    Under,
    /// Inside, limits included.
    Within,
    /// Above the window.
    Over,
}

/// The charts, the default for filter and immersion first and the one for espresso second.
pub const CONTROL_CHARTS: [ControlChart; 5] = [
    chart("scaa2015", [1.15, 1.35], "scaa2015", "read"),
    chart(
        "espresso-practice",
        [8.0, 12.0],
        "espresso-practice",
        "common practice",
    ),
    chart(
        "lockhart1957",
        [1.15, 1.35],
        "lockhart1957",
        "read on a secondary page",
    ),
    chart(
        "european-chart",
        [1.20, 1.45],
        "european-chart",
        "from memory",
    ),
    chart(
        "norwegian-chart",
        [1.30, 1.55],
        "norwegian-chart",
        "from memory",
    ),
];

/// The yield window is the same in all of them.
const fn chart(
    id: &'static str,
    strength: [f64; 2],
    source: &'static str,
    known: &'static str,
) -> ControlChart {
    let [low, high] = strength;
    ControlChart {
        id,
        strength_percent: Range::new("strength", low, high, "%"),
        yield_percent: Range::new("extraction yield", 18.0, 22.0, "%"),
        source,
        known,
    }
}

impl ControlChart {
    /// Default for filter and immersion brews: the most recent standard that was read.
    pub const FILTER: Self = CONTROL_CHARTS[0];
    /// Default for espresso: common practice, its yield window borrowed from filter brewing.
    pub const ESPRESSO: Self = CONTROL_CHARTS[1];

    /// The chart of an id.
    #[must_use]
    pub fn by_id(id: &str) -> Option<&'static Self> {
        CONTROL_CHARTS.iter().find(|chart| chart.id == id)
    }

    /// Where a brew falls on the chart.
    ///
    /// # Equation
    /// `low <= x <= high` for each of the two axes: nine regions
    ///
    /// # Source
    /// The chart's own; `[batali2020]` for the nine regions.
    ///
    /// # Valid for
    /// Every strength and yield.
    ///
    /// # Example
    /// ```
    /// # use extraction_maths::maths::{extraction::chart::{ControlChart, StrengthRegion, YieldRegion},
    /// #     quantity::MassFraction};
    /// let percent = MassFraction::from_percent;
    /// let region = ControlChart::FILTER.region(percent(1.35)?, percent(23.0)?);
    /// assert_eq!(region, (StrengthRegion::Within, YieldRegion::Over));
    /// # Ok::<(), extraction_maths::maths::MathsError>(())
    /// ```
    #[must_use]
    pub fn region(
        &self,
        strength: MassFraction,
        extraction_yield: MassFraction,
    ) -> (StrengthRegion, YieldRegion) {
        let strength = match side(strength, &self.strength_percent) {
            Side::Below => StrengthRegion::Weak,
            Side::Within => StrengthRegion::Within,
            Side::Above => StrengthRegion::Strong,
        };
        let extraction = match side(extraction_yield, &self.yield_percent) {
            Side::Below => YieldRegion::Under,
            Side::Within => YieldRegion::Within,
            Side::Above => YieldRegion::Over,
        };
        (strength, extraction)
    }

    /// Middle of the window: strength and yield in percent.
    #[must_use]
    pub const fn middle_percent(&self) -> (f64, f64) {
        (
            f64::midpoint(self.strength_percent.min, self.strength_percent.max),
            f64::midpoint(self.yield_percent.min, self.yield_percent.max),
        )
    }
}

enum Side {
    Below,
    Within,
    Above,
}

const fn side(value: MassFraction, window: &Range) -> Side {
    let percent = value.percent();
    if percent < window.min - ROUNDING_POINTS {
        Side::Below
    } else if percent > window.max + ROUNDING_POINTS {
        Side::Above
    } else {
        Side::Within
    }
}

//! Exercises about scatter: two brews compared, operators, a calibration, a row of shots.

use super::super::diagnosis::DiagnosisCode as Code;
use super::super::topic::{Ask, Draw, Variant, ask, between, number, times};

const DIFFERENCE: Ask = ask("difference", "the second less the first")
    .in_unit("percentage points")
    .to(2);
const OF_DIFFERENCE: Ask = ask(
    "standard_uncertainty",
    "the standard uncertainty of the difference",
)
.in_unit("percentage points")
.to(2);
/// √5, for five readings each.
const SQRT_5: f64 = 2.236_067_977_499_79;

pub(super) const BREW_COMPARISON: &[Variant] = &[
    Variant {
        level: 1,
        told: "The yield of a brew is {first.value} % with a standard uncertainty of {first.standard_uncertainty} percentage points, and that of another one {second.value} % with {second.standard_uncertainty} percentage points. The two are independent.",
        fixed: &[],
        draws: &[
            between("first.value", (1850, 1990), 2),
            between("first.standard_uncertainty", (15, 35), 2),
            Draw::Plus("first.value", number("second.value", (40, 160), 2)),
            between("second.standard_uncertainty", (15, 35), 2),
        ],
        asks: &[DIFFERENCE, OF_DIFFERENCE],
        slips: &[],
    },
    Variant {
        level: 2,
        told: "The strength of a brew is read five times as {first.readings} %, and that of another one, ground finer, as {second.readings} %. The uncertainties are those of the means.",
        fixed: &[],
        draws: &[
            Draw::Readings(5, 3, number("first.readings", (126, 132), 2)),
            Draw::Readings(5, 3, number("second.readings", (139, 147), 2)),
        ],
        asks: &[
            DIFFERENCE,
            OF_DIFFERENCE,
            ask("t", "the difference over its standard uncertainty").to(2),
        ],
        slips: &[times(Code::SingleForMean, "standard_uncertainty", SQRT_5)],
    },
    Variant {
        level: 3,
        told: "The strength of a brew is read five times as {first.readings} %, and that of another one, ground finer, as {second.readings} %. The uncertainties are those of the means. Take Student's t, two-sided, for 95 % and the effective degrees of freedom, rounded down.",
        fixed: &[],
        draws: &[
            Draw::Readings(5, 3, number("first.readings", (126, 132), 2)),
            Draw::Readings(5, 3, number("second.readings", (139, 147), 2)),
        ],
        asks: &[
            DIFFERENCE,
            OF_DIFFERENCE,
            ask(
                "effective_degrees_of_freedom",
                "the effective degrees of freedom, before they are rounded down",
            )
            .to(2),
            ask("coverage_factor", "the coverage factor"),
            ask(
                "expanded_uncertainty",
                "the expanded uncertainty of the difference",
            )
            .in_unit("percentage points")
            .to(2),
        ],
        slips: &[times(Code::SingleForMean, "standard_uncertainty", SQRT_5)],
    },
];

const MEAN: Ask = ask("mean", "the mean of all readings").in_unit("%");
const WITHIN: Ask = ask("repeatability", "the standard deviation within an operator")
    .in_unit("percentage points")
    .to(2);
/// √(6/8) and √(9/12): degrees of freedom over readings, two operators or three with four each.
const POPULATION: f64 = 0.866_025_403_784_438_6;
const DIVISOR: super::super::topic::Slip =
    times(Code::PopulationDivisor, "repeatability", POPULATION);

pub(super) const REPEATABILITY: &[Variant] = &[
    Variant {
        level: 1,
        told: "Two operators read the same brew four times each: the first {groups.0.readings} %, the second {groups.1.readings} %. Pool the squares of the two.",
        fixed: &[],
        draws: &[
            Draw::Readings(4, 2, number("groups.0.readings", (130, 140), 2)),
            Draw::Readings(4, 2, number("groups.1.readings", (130, 140), 2)),
        ],
        asks: &[MEAN, WITHIN],
        slips: &[DIVISOR],
    },
    Variant {
        level: 2,
        told: "Three operators read the same brew four times each: the first {groups.0.readings} %, the second {groups.1.readings} %, the third {groups.2.readings} %. Work the analysis of variance.",
        fixed: &[],
        draws: THREE,
        asks: &[
            MEAN,
            WITHIN,
            ask(
                "f_ratio",
                "the mean square between operators over that within",
            )
            .to(2),
        ],
        slips: &[DIVISOR],
    },
    Variant {
        level: 3,
        told: "Three operators read the same brew four times each: the first {groups.0.readings} %, the second {groups.1.readings} %, the third {groups.2.readings} %. Work the analysis of variance, and take it apart into the scatter within and between operators.",
        fixed: &[],
        draws: THREE,
        asks: &[
            WITHIN,
            ask("between_groups", "the standard deviation between operators")
                .in_unit("percentage points")
                .to(2),
            ask(
                "intermediate_precision",
                "the standard deviation of one reading by any operator",
            )
            .in_unit("percentage points")
            .to(2),
            ask(
                "mean_standard_uncertainty",
                "the standard uncertainty of the mean of all",
            )
            .in_unit("percentage points")
            .to(2),
        ],
        slips: &[DIVISOR],
    },
];

const THREE: &[Draw] = &[
    Draw::Readings(4, 2, number("groups.0.readings", (130, 142), 2)),
    Draw::Readings(4, 2, number("groups.1.readings", (130, 142), 2)),
    Draw::Readings(4, 2, number("groups.2.readings", (130, 142), 2)),
];

const SLOPE: Ask = ask("slope", "the slope of the correction over the reading").to(2);
const MIDDLE: Ask = ask("intercept", "the correction at the mean reading")
    .in_unit("percentage points")
    .to(2);
/// Solutions of known strength, and an instrument that reads too high, the more the stronger.
const PAIRS: [Draw; 10] = [
    between("reference_values.0", (78, 84), 2),
    between("reference_values.1", (102, 108), 2),
    between("reference_values.2", (126, 132), 2),
    between("reference_values.3", (150, 156), 2),
    between("reference_values.4", (174, 180), 2),
    Draw::Plus("reference_values.0", number("readings.0", (1, 2), 2)),
    Draw::Plus("reference_values.1", number("readings.1", (3, 4), 2)),
    Draw::Plus("reference_values.2", number("readings.2", (4, 6), 2)),
    Draw::Plus("reference_values.3", number("readings.3", (6, 8), 2)),
    Draw::Plus("reference_values.4", number("readings.4", (8, 10), 2)),
];

pub(super) const CALIBRATION_LINE: &[Variant] = &[
    Variant {
        level: 1,
        told: "Solutions of {reference_values.0}, {reference_values.1}, {reference_values.2}, {reference_values.3} and {reference_values.4} % read {readings.0}, {readings.1}, {readings.2}, {readings.3} and {readings.4} % on a refractometer. The correction is the true value less the reading; fit it by a straight line in the reading, by least squares.",
        fixed: &[],
        draws: &PAIRS,
        asks: &[SLOPE, MIDDLE],
        slips: &[],
    },
    Variant {
        level: 2,
        told: "Solutions of {reference_values.0}, {reference_values.1}, {reference_values.2}, {reference_values.3} and {reference_values.4} % read {readings.0}, {readings.1}, {readings.2}, {readings.3} and {readings.4} % on a refractometer. The correction is the true value less the reading; fit it by a straight line in the reading, by least squares, and correct a brew that reads {correct_readings} %.",
        fixed: &[],
        draws: &CORRECTED,
        asks: &[
            SLOPE,
            ask("corrections", "the correction of the brew's reading")
                .in_unit("percentage points")
                .to(2),
            ask("corrected_values", "the strength of the brew").in_unit("%"),
        ],
        slips: &[],
    },
    Variant {
        level: 3,
        told: "Solutions of {reference_values.0}, {reference_values.1}, {reference_values.2}, {reference_values.3} and {reference_values.4} % read {readings.0}, {readings.1}, {readings.2}, {readings.3} and {readings.4} % on a refractometer. The correction is the true value less the reading; fit it by a straight line in the reading, by least squares.",
        fixed: &[],
        draws: &PAIRS,
        asks: &[
            SLOPE,
            ask(
                "residual_standard_deviation",
                "the standard deviation of the residuals",
            )
            .in_unit("percentage points")
            .to(2),
            ask(
                "slope_standard_uncertainty",
                "the standard uncertainty of the slope",
            )
            .to(2),
        ],
        slips: &[times(
            Code::PopulationDivisor,
            "residual_standard_deviation",
            LEAST_SQUARES_POPULATION,
        )],
    },
];

/// √(3/5): degrees of freedom over points.
const LEAST_SQUARES_POPULATION: f64 = 0.774_596_669_241_483_4;

const CORRECTED: [Draw; 11] = {
    let [a, b, c, d, e, f, g, h, i, j] = PAIRS;
    let brew = Draw::Readings(1, 0, number("correct_readings", (120, 170), 2));
    [a, b, c, d, e, f, g, h, i, j, brew]
};

const MEAN_DOSE: Ask = ask("quantities.dose_g.mean", "the mean dose");
const SPREAD: Ask = ask(
    "quantities.dose_g.spread",
    "the standard deviation of the doses",
)
.to(2);
/// √(5/6): degrees of freedom over shots.
const SIX: f64 = 0.912_870_929_175_276_9;
const SHOTS: &[Draw] = &[Draw::Rows("shots", 6, 6, number("dose_g", (175, 195), 1))];
const SPREAD_DIVISOR: super::super::topic::Slip =
    times(Code::PopulationDivisor, "quantities.dose_g.spread", SIX);

pub(super) const CONSISTENCY: &[Variant] = &[
    Variant {
        level: 1,
        told: "Six shots in a row are dosed with {shots.dose_g}.",
        fixed: &[],
        draws: SHOTS,
        asks: &[MEAN_DOSE, SPREAD],
        slips: &[SPREAD_DIVISOR],
    },
    Variant {
        level: 2,
        told: "Six shots in a row are dosed with {shots.dose_g}. For a control chart of single values, the mean of the moving ranges of two shots, divided by 1.128, stands for the standard deviation; the limits are three of these from the mean.",
        fixed: &[],
        draws: SHOTS,
        asks: &[
            MEAN_DOSE,
            ask("quantities.dose_g.limits.lower", "the lower control limit"),
            ask("quantities.dose_g.limits.upper", "the upper control limit"),
        ],
        slips: &[],
    },
    Variant {
        level: 3,
        told: "Six shots in a row are dosed with {shots.dose_g}. The interval that holds the standard deviation with a probability of 95 % follows from χ², with equal chances on both sides.",
        fixed: &[],
        draws: SHOTS,
        asks: &[
            SPREAD,
            ask(
                "quantities.dose_g.spread_low",
                "the lower end of the interval for the standard deviation",
            )
            .to(2),
            ask("quantities.dose_g.spread_high", "its upper end").to(2),
        ],
        slips: &[SPREAD_DIVISOR],
    },
];

//! The normal distribution with mean zero and standard deviation one.

use super::PROBABILITY;
use crate::maths::error::MathsError;

/// Numerator and denominator of a rational approximation, lowest power first.
struct Rational {
    numerator: [f64; 8],
    denominator: [f64; 8],
}

/// Wichura 1988, algorithm AS 241, routine PPND16: the centre, |p - 1/2| <= 0.425.
const CENTRE: Rational = Rational {
    numerator: [
        3.387_132_872_796_366_608,
        1.331_416_678_917_843_774_5e2,
        1.971_590_950_306_551_442_7e3,
        1.373_169_376_550_946_112_5e4,
        4.592_195_393_154_987_145_7e4,
        6.726_577_092_700_870_085_3e4,
        3.343_057_558_358_812_810_5e4,
        2.509_080_928_730_122_672_7e3,
    ],
    denominator: [
        1.0,
        4.231_333_070_160_091_125_2e1,
        6.871_870_074_920_579_083e2,
        5.394_196_021_424_751_107_7e3,
        2.121_379_430_158_659_586_7e4,
        3.930_789_580_009_271_061e4,
        2.872_908_573_572_194_267_4e4,
        5.226_495_278_852_854_561e3,
    ],
};

/// The same, the flanks: sqrt(-ln p) <= 5.
const FLANK: Rational = Rational {
    numerator: [
        1.423_437_110_749_683_577_34,
        4.630_337_846_156_545_295_9,
        5.769_497_221_460_691_405_5,
        3.647_848_324_763_204_605_04,
        1.270_458_252_452_368_382_58,
        2.417_807_251_774_506_117_7e-1,
        2.272_384_498_926_918_458_33e-2,
        7.745_450_142_783_414_076_4e-4,
    ],
    denominator: [
        1.0,
        2.053_191_626_637_758_821_87,
        1.676_384_830_183_803_849_4,
        6.897_673_349_851_000_045_5e-1,
        1.481_039_764_274_800_745_9e-1,
        1.519_866_656_361_645_719_66e-2,
        5.475_938_084_995_344_946e-4,
        1.050_750_071_644_416_843_24e-9,
    ],
};

/// The same, the far tails.
const TAIL: Rational = Rational {
    numerator: [
        6.657_904_643_501_103_777_2,
        5.463_784_911_164_114_369_9,
        1.784_826_539_917_291_335_8,
        2.965_605_718_285_048_912_3e-1,
        2.653_218_952_657_612_309_3e-2,
        1.242_660_947_388_078_438_6e-3,
        2.711_555_568_743_487_578_15e-5,
        2.010_334_399_292_288_132_65e-7,
    ],
    denominator: [
        1.0,
        5.998_322_065_558_879_376_9e-1,
        1.369_298_809_227_358_053_1e-1,
        1.487_536_129_085_061_485_25e-2,
        7.868_691_311_456_132_591e-4,
        1.846_318_317_510_054_681_8e-5,
        1.421_511_758_316_445_888_7e-7,
        2.044_263_103_389_939_785_64e-15,
    ],
};

/// Density of the normal distribution.
///
/// # Equation
/// `phi(z) = exp(-z^2 / 2) / sqrt(2 pi)`
///
/// # Source
/// Definition.
///
/// # Valid for
/// Every finite number.
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::normal::density;
/// assert!((density(0.0) - 0.398_942_280_401_432_7).abs() < 1e-15);
/// ```
#[must_use]
pub fn density(z: f64) -> f64 {
    libm::exp(-0.5 * z * z) / (2.0 * std::f64::consts::PI).sqrt()
}

/// Probability that a normally distributed number is at most z.
///
/// # Equation
/// `Phi(z) = erfc(-z / sqrt(2)) / 2`
///
/// # Source
/// Definition; the complementary error function keeps the lower tail's digits.
///
/// # Valid for
/// Every number; 0 and 1 at the infinities.
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::normal::cumulative;
/// assert!((cumulative(1.96) - 0.975).abs() < 1e-5);
/// ```
#[must_use]
pub fn cumulative(z: f64) -> f64 {
    0.5 * libm::erfc(-z * std::f64::consts::FRAC_1_SQRT_2)
}

/// Number below which a normally distributed one falls with a given probability.
///
/// # Equation
/// `z` with `Phi(z) = p`
///
/// # Source
/// `[wichura1988]`, algorithm AS 241, routine PPND16: about one part in 10^16.
///
/// # Valid for
/// Probabilities inside [`PROBABILITY`].
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::normal::quantile;
/// assert!((quantile(0.975)? - 1.959_963_984_540_054).abs() < 1e-14);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn quantile(probability: f64) -> Result<f64, MathsError> {
    PROBABILITY.check(probability)?;
    let from_middle = probability - 0.5;
    if from_middle.abs() <= 0.425 {
        return Ok(from_middle * CENTRE.at(0.180_625 - from_middle * from_middle));
    }
    let upper = from_middle > 0.0;
    let tail = if upper {
        1.0 - probability
    } else {
        probability
    };
    let root = (-libm::log(tail)).sqrt();
    let size = if root <= 5.0 {
        FLANK.at(root - 1.6)
    } else {
        TAIL.at(root - 5.0)
    };
    Ok(if upper { size } else { -size })
}

/// Half-width, in standard deviations, of the symmetric interval that holds a given
/// probability.
///
/// # Equation
/// `z` with `Phi(z) - Phi(-z) = p`
///
/// # Source
/// As [`quantile`]; `[jcgm2008]` table G.1 and the last row of table G.2.
///
/// # Valid for
/// Probabilities inside [`PROBABILITY`].
///
/// # Errors
/// [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::normal::two_sided_quantile;
/// assert!((two_sided_quantile(0.95)? - 1.959_963_984_540_054).abs() < 1e-14);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn two_sided_quantile(probability: f64) -> Result<f64, MathsError> {
    PROBABILITY.check(probability)?;
    // near zero the middle form keeps the digits, near one the tail does
    if probability < 0.5 {
        let half = 0.5 * probability;
        Ok(half * CENTRE.at(0.180_625 - half * half))
    } else {
        Ok(-quantile(0.5 * (1.0 - probability))?)
    }
}

impl Rational {
    fn at(&self, x: f64) -> f64 {
        let horner = |row: &[f64; 8]| row.iter().rev().fold(0.0, |sum, c| sum * x + c);
        horner(&self.numerator) / horner(&self.denominator)
    }
}

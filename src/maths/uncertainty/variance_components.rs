//! One-way analysis of variance: how much readings differ within groups, and groups among
//! themselves.

use super::type_a::type_a;
use super::{DegreesOfFreedom, fisher};
use crate::maths::error::MathsError;

/// Where the variance of grouped readings is from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VarianceComponents {
    /// Mean of all readings.
    pub mean: f64,
    /// Mean square within the groups: the variance of repeatability.
    pub within: f64,
    /// Mean square between the groups.
    pub between: f64,
    /// Degrees of freedom within.
    pub within_degrees: DegreesOfFreedom,
    /// Degrees of freedom between.
    pub between_degrees: DegreesOfFreedom,
    /// Readings in a group, as far as unequal ones have a common number.
    pub readings_per_group: f64,
    /// Variance of the groups' own values; zero where the between mean square is the smaller.
    pub of_groups: f64,
    /// Ratio of the mean squares; none where nothing varies within the groups.
    pub ratio: Option<f64>,
    /// Probability of a ratio this large when the groups do not differ.
    pub p_value: Option<f64>,
}

/// Variance within groups of readings and between them.
///
/// # Equation
/// `s_b^2 = sum_jk (x_jk - x_j)^2 / (N - J)`, `s_a^2 = sum_j n_j (x_j - x)^2 / (J - 1)`,
/// `F = s_a^2 / s_b^2`, `s_B^2 = (s_a^2 - s_b^2) / n0`, `n0 = (N - sum n_j^2 / N) / (J - 1)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `s_b^2`, `s_a^2` | mean squares within and between groups (returned) | square of the quantity |
/// | `s_B^2` | variance of the groups' own values (returned) | the same |
/// | `x_jk`, `x_j`, x | reading, mean of its group, mean of all | of the quantity |
/// | J, `n_j`, N | groups, readings in one, readings in all | 1 |
///
/// # Source
/// `[jcgm2008]` H.5, equations H.22 to H.27 for equal groups; n0 for unequal ones as in
/// `[iso5725]` (from memory).
///
/// # Valid for
/// Independent normal readings with one spread in all groups.
///
/// # Errors
/// [`MathsError::NoSolution`] for fewer than two groups, an empty group, or one reading in
/// each, [`MathsError::NonFinite`] or [`MathsError::OutOfRange`] for readings beyond 1e100.
///
/// # Example
/// ```
/// # use extraction_maths::maths::uncertainty::variance_components::variance_components;
/// let found = variance_components(&[&[1.0, 3.0], &[5.0, 7.0]])?;
/// assert!((found.within - 2.0).abs() < 1e-12);
/// assert!((found.between - 16.0).abs() < 1e-12);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn variance_components(groups: &[&[f64]]) -> Result<VarianceComponents, MathsError> {
    let sizes: Vec<f64> = groups.iter().map(|group| count(group.len())).collect();
    let (all, number) = (sizes.iter().sum::<f64>(), count(groups.len()));
    if number < 2.0 || sizes.contains(&0.0) || all - number < 1.0 {
        return Err(MathsError::NoSolution {
            equation: "analysis of variance",
            reason: "it needs two groups, and one of them with two readings",
        });
    }
    let together: Vec<f64> = groups
        .iter()
        .flat_map(|group| group.iter().copied())
        .collect();
    let mean = type_a(&together)?.mean;
    let [within, between] = sums_of_squares(groups, mean)?;
    let (within, between) = (within / (all - number), between / (number - 1.0));
    let squares: f64 = sizes.iter().map(|size| size * size).sum();
    let readings_per_group = (all - squares / all) / (number - 1.0);
    let within_degrees = DegreesOfFreedom::finite(all - number)?;
    let between_degrees = DegreesOfFreedom::finite(number - 1.0)?;
    let ratio = (within > 0.0).then(|| between / within);
    let p_value = ratio.map(|ratio| fisher::upper_tail(ratio, between_degrees, within_degrees));
    Ok(VarianceComponents {
        mean,
        within,
        between,
        within_degrees,
        between_degrees,
        readings_per_group,
        of_groups: ((between - within) / readings_per_group).max(0.0),
        ratio,
        p_value: p_value.transpose()?,
    })
}

/// Sums of squares within the groups and between them.
fn sums_of_squares(groups: &[&[f64]], mean: f64) -> Result<[f64; 2], MathsError> {
    let (mut within, mut between) = (0.0, 0.0);
    for group in groups {
        let size = count(group.len());
        let (own, square) = match group {
            [only] => (*only, 0.0),
            _ => {
                let found = type_a(group)?;
                (
                    found.mean,
                    found.standard_deviation * found.standard_deviation,
                )
            }
        };
        within += (size - 1.0) * square;
        between += size * (own - mean) * (own - mean);
    }
    Ok([within, between])
}

fn count(length: usize) -> f64 {
    u32::try_from(length).map_or(f64::MAX, f64::from)
}

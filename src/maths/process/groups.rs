//! How much of a spread lies between groups.

use super::{centred, count};
use crate::maths::error::MathsError;
use crate::maths::numeric::special::{UnitPoint, regularised_incomplete_beta};

/// What belonging to a group explains.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GroupShare {
    /// Share of the spread that lies between the groups, eta squared.
    pub share: f64,
    /// The same corrected for what groups explain by chance, omega squared; not below zero.
    pub adjusted_share: f64,
    /// F of the analysis of variance; left out when nothing is left inside the groups.
    pub f: Option<f64>,
    /// Probability of at least as large a share where the groups do not differ.
    pub p_value: f64,
    /// Standard deviation inside the groups.
    pub within: f64,
}

/// Share of a spread that lies between groups: analysis of variance with one factor.
///
/// # Equation
/// `eta2 = S_b / (S_b + S_w)`, `F = (S_b/v_b) / (S_w/v_w)`,
/// `omega2 = (S_b - v_b M_w) / (S_b + S_w + M_w)`, `M_w = S_w / v_w`,
/// `p = I_(1 - eta2)(v_w/2, v_b/2)`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `S_b`, `S_w` | sums of squares between and inside the groups | |
/// | `v_b`, `v_w` | groups less one, values less groups | 1 |
/// | p | upper tail of F (returned) | 1 |
///
/// # Source
/// Analysis of variance, derived; held against `[nist-strd]`. Omega squared is Hays's, from
/// memory.
///
/// # Valid for
/// Two groups or more, and more values than groups; the test takes the values as independent
/// and normally distributed with one spread in all groups.
///
/// # Errors
/// [`MathsError::NoSolution`] for fewer than two groups, no more values than groups, or values
/// that are all alike; [`MathsError::OutOfRange`] or [`MathsError::NonFinite`] for a value
/// outside.
///
/// # Example
/// ```
/// # use extraction_maths::maths::process::groups::group_share;
/// let groups = [vec![1.0, 3.0], vec![5.0, 7.0]];
/// let share = group_share(&groups)?;
/// // between 16, inside 4
/// assert!((share.share - 0.8).abs() < 1e-14);
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn group_share(groups: &[Vec<f64>]) -> Result<GroupShare, MathsError> {
    let groups: Vec<_> = groups.iter().filter(|group| !group.is_empty()).collect();
    let all: Vec<f64> = groups
        .iter()
        .flat_map(|group| group.iter().copied())
        .collect();
    let (n, k) = (count(all.len()), count(groups.len()));
    let none = |reason| MathsError::NoSolution {
        equation: "share explained by groups",
        reason,
    };
    if k < 2.0 || n <= k {
        return Err(none("there are too few groups, or too few values in them"));
    }
    let (mean, total) = centred(&all)?;
    if total <= 0.0 {
        return Err(none("all values are alike"));
    }
    let (mut between, mut inside) = (0.0, 0.0);
    for group in &groups {
        let (own_mean, squares) = centred(group)?;
        between += count(group.len()) * (own_mean - mean) * (own_mean - mean);
        inside += squares;
    }
    let (v_between, v_inside) = (k - 1.0, n - k);
    let mean_inside = inside / v_inside;
    let omega = (between - v_between * mean_inside) / (between + inside + mean_inside);
    let at = UnitPoint::from_parts(inside, between)?;
    Ok(GroupShare {
        share: between / (between + inside),
        adjusted_share: omega.max(0.0),
        f: (inside > 0.0).then(|| between / v_between / mean_inside),
        p_value: regularised_incomplete_beta(0.5 * v_inside, 0.5 * v_between, at)?,
        within: libm::sqrt(mean_inside),
    })
}

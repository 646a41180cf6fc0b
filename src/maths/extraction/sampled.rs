//! The yield of very many brews: the balances of percolation and immersion without a check of
//! each, for values drawn around a brew that was checked.

/// Which balance holds, and when the beverage was weighed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Balance {
    /// Percolation, all that is in the cup weighed: `E = t B / D`.
    InCup,
    /// Percolation, weighed before the bypass water: `E = t (B + V) / D`.
    BeforeBypass,
    /// Immersion: `E = (W / D) b / (1 - b)` with `b = t`.
    Immersion,
    /// Immersion, weighed before the bypass water: the same with `b = t (B + V) / B`.
    ImmersionBeforeBypass,
    /// Immersion, weighed after it: the same with `b = t B / (B - V)`.
    ImmersionAfterBypass,
}

/// Columns of measured values, all equally long.
#[derive(Debug, Clone, Copy)]
pub struct Columns<'c> {
    /// Dose D, g.
    pub dose_g: &'c [f64],
    /// Beverage B, g.
    pub beverage_g: &'c [f64],
    /// Brew water W, g.
    pub water_g: &'c [f64],
    /// Bypass water V, g.
    pub bypass_g: &'c [f64],
    /// Strength of the cup t, as a fraction in two parts that are added.
    pub strength: [&'c [f64]; 2],
}

/// Yields of many brews.
///
/// # Equation
/// As [`Balance`] says.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | E | extraction yield (written to `yields`) | 1 |
/// | D, B, W, V | dose, beverage, brew water, bypass water | g |
/// | t, b | strength of the cup, of the brew | 1 |
///
/// # Source
/// As [`percolation`](super::percolation::percolation) and
/// [`immersion`](super::immersion::immersion).
///
/// # Valid for
/// Values near a brew that those functions accept. Nothing is checked here: a dose of zero
/// makes an infinite yield, which is the caller's to find.
///
/// # Example
/// ```
/// # use extraction_maths::maths::extraction::sampled::{Balance, Columns, yields};
/// let columns = Columns {
///     dose_g: &[20.0],
///     beverage_g: &[320.0],
///     water_g: &[0.0],
///     bypass_g: &[0.0],
///     strength: [&[0.0125], &[0.0]],
/// };
/// let mut found = [0.0];
/// yields(Balance::InCup, columns, &mut found);
/// assert!((found[0] - 0.2).abs() < 1e-15);
/// ```
pub fn yields(balance: Balance, columns: Columns<'_>, yields: &mut [f64]) {
    match balance {
        Balance::InCup => each(columns, yields, |row| row.t * row.b / row.d),
        Balance::BeforeBypass => each(columns, yields, |row| row.t * (row.b + row.v) / row.d),
        Balance::Immersion => each(columns, yields, |row| steeped(row, row.t)),
        Balance::ImmersionBeforeBypass => each(columns, yields, |row| {
            steeped(row, row.t * (row.b + row.v) / row.b)
        }),
        Balance::ImmersionAfterBypass => each(columns, yields, |row| {
            steeped(row, row.t * row.b / (row.b - row.v))
        }),
    }
}

/// One brew.
#[derive(Clone, Copy)]
struct Brew {
    d: f64,
    b: f64,
    w: f64,
    v: f64,
    t: f64,
}

fn steeped(row: Brew, brew: f64) -> f64 {
    row.w / row.d * brew / (1.0 - brew)
}

fn each(columns: Columns<'_>, yields: &mut [f64], of: impl Fn(Brew) -> f64) {
    let masses = columns.dose_g.iter().zip(columns.beverage_g);
    let waters = columns.water_g.iter().zip(columns.bypass_g);
    let strengths = columns.strength[0].iter().zip(columns.strength[1]);
    let rows = masses.zip(waters).zip(strengths);
    for (out, (((d, b), (w, v)), (t, more))) in yields.iter_mut().zip(rows) {
        *out = of(Brew {
            d: *d,
            b: *b,
            w: *w,
            v: *v,
            t: t + more,
        });
    }
}

//! Flow through restrictor and bed: Darcy's law with compaction, and the resistance of a layer.

use super::bed::Bed;
use crate::maths::error::MathsError;

/// Flux at which restrictor and bed together use up the pressure.
///
/// # Equation
/// `P = B (q A)^2 + dP`, `q = kappa0 Psi(dP)/I`, `Psi = sigma_c (1 - exp(-dP/sigma_c))`
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | q | volume flux (returned) | m/s |
/// | P, dP | gauge pressure, its part across the bed | Pa |
/// | I | `resistance`: viscosity over relative permeability, integrated over the wet bed | Pa s m |
/// | B, A, `kappa0`, `sigma_c` | of the [`Bed`] | |
///
/// # Source
/// Darcy; `Psi` integrates a permeability `kappa0 exp(-sigma/sigma_c)` under the drag of the
/// fluid itself, `sigma` being the pressure lost down to a depth. Compaction as in
/// `[waszkiewicz2025]`, the exponential law assumed.
///
/// # Valid for
/// Laminar flow in the bed. Pressures of zero and below give no flow. Newton's method on a
/// convex rising function: quadratic, one or two steps as a rule, stops when a step is below
/// 3e-6 of q, which leaves an error below 1e-10.
///
/// # Errors
/// [`MathsError::NotConverged`] when the iteration does not end, as with a NaN.
///
/// # Example
/// ```
/// # use extraction_maths::maths::quantity::{GaugePressure, Length, Mass, Temperature};
/// # use extraction_maths::maths::simulation::{Bed, Parameters, PressureProfile, Shot, flow::flux};
/// # let shot = Shot {
/// #     dose: Mass::from_grams(20.0)?,
/// #     basket_diameter: Length::from_millimetres(58.4)?,
/// #     grind_diameter_um: 350.0,
/// #     water_temperature: Temperature::from_celsius(93.0)?,
/// #     pressure_profile: PressureProfile::constant(GaugePressure::from_bar(9.0)?),
/// #     target_beverage: Mass::from_grams(40.0)?,
/// #     duration_s: 60.0,
/// #     sample_times_s: vec![],
/// # };
/// let bed = Bed::new(&shot, &Parameters::default())?;
/// let q = flux(&bed, 9e5, bed.viscosity_pa_s * bed.depth_m)?;
/// assert!(q > 0.0 && q < bed.permeability_m2 * 9e5 / (bed.viscosity_pa_s * bed.depth_m));
/// # Ok::<(), extraction_maths::maths::MathsError>(())
/// ```
pub fn flux(bed: &Bed, pressure_pa: f64, resistance: f64) -> Result<f64, MathsError> {
    flux_with_growth(bed, pressure_pa, [resistance, 0.0], 0.0)
}

/// As [`flux`], with a resistance `r0 + r1 q` that grows with the flux itself, as when the
/// front moves on during a step; starts from a guess if that is above zero.
pub(super) fn flux_with_growth(
    bed: &Bed,
    pressure_pa: f64,
    [fixed, growing]: [f64; 2],
    guess: f64,
) -> Result<f64, MathsError> {
    const ITERATIONS: u32 = 80;
    if pressure_pa <= 0.0 {
        return Ok(0.0);
    }
    let restrictor = bed.restrictor_pa_s2_per_m6 * bed.area_m2 * bed.area_m2;
    // The free flux through the restrictor, or less: the zero lies below. A convex rising
    // function sends Newton's method above its zero and from there steadily down to it.
    let cap = (pressure_pa / restrictor).sqrt();
    let mut q = guess.min(cap);
    if !(q > 0.0 && q.is_finite()) {
        let free = bed.permeability_m2 * effective_pressure(bed, pressure_pa).0;
        q = cap.min(free / fixed).min((free / growing).sqrt());
    }
    let mut step = f64::NAN;
    for _ in 0..ITERATIONS {
        let across = pressure_pa - restrictor * q * q;
        let (effective, slope) = effective_pressure(bed, across);
        let value = q * (fixed + growing * q) - bed.permeability_m2 * effective;
        let rise = fixed + 2.0 * growing * q + bed.permeability_m2 * slope * 2.0 * restrictor * q;
        let next = q - value / rise;
        // Not `min`, which would hide a NaN.
        let next = if next > cap { cap } else { next };
        step = next - q;
        q = next;
        if step.abs() <= 3e-6 * q {
            return Ok(q);
        }
    }
    Err(MathsError::NotConverged {
        method: "flux through restrictor and bed",
        iterations: ITERATIONS,
        residual: step,
    })
}

/// The last two fluxes, half a step apart, which foretell the next.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Trend {
    last: f64,
    before: f64,
}

impl Trend {
    /// The next flux if it grows as it last did; not a number at rest.
    pub(super) fn next(&self) -> f64 {
        self.last * (self.last / self.before)
    }

    /// The last flux.
    pub(super) const fn last(&self) -> f64 {
        self.last
    }

    /// Takes note of a flux.
    pub(super) const fn note(&mut self, flux: f64) {
        self.before = self.last;
        self.last = flux;
    }
}

/// `Psi` and its slope.
fn effective_pressure(bed: &Bed, across_pa: f64) -> (f64, f64) {
    let grown = libm::expm1(-across_pa / bed.compaction_pa);
    (-bed.compaction_pa * grown, 1.0 + grown)
}

/// The law of a layer's resistance with its constants drawn together.
#[derive(Debug, Clone, Copy)]
pub(super) struct Resistivity {
    porosity: f64,
    solubles: f64,
    opening: f64,
    growth: f64,
    /// Viscosity times `eps^3/phi^2`.
    scale: f64,
}

impl Resistivity {
    pub(super) fn new(bed: &Bed) -> Self {
        let (porosity, solid) = (bed.porosity, bed.solid());
        Self {
            porosity,
            solubles: bed.grain_solubles_kg_per_m3,
            opening: bed.opening_m3_per_kg,
            growth: bed.viscosity_growth_m3_per_kg,
            scale: bed.viscosity_pa_s * porosity * porosity * porosity / (solid * solid),
        }
    }

    /// Viscosity over relative permeability, Pa s, from the concentration in the liquid and the
    /// mean one in the grains, kg/m³.
    #[inline(always)]
    pub(super) fn of(&self, liquid: f64, grains: f64) -> f64 {
        let open = self.porosity + self.opening * (self.solubles - grains);
        let solid = 1.0 - open;
        self.scale * exponential(self.growth * liquid) * (solid * solid) / (open * open * open)
    }
}

/// The exponential of a number between -1 and 6, from products and sums alone: same bits
/// everywhere and several at once. Within 1e-10 of the value, 1e-14 up to an argument of one.
///
/// Taylor's polynomial of degree 8 at a 32nd of the argument, squared five times.
#[inline(always)]
fn exponential(x: f64) -> f64 {
    const C: [f64; 7] = [
        0.5,
        1.0 / 6.0,
        1.0 / 24.0,
        1.0 / 120.0,
        1.0 / 720.0,
        1.0 / 5040.0,
        1.0 / 40320.0,
    ];
    let y = x * (1.0 / 32.0);
    let tail = C[2] + y * (C[3] + y * (C[4] + y * (C[5] + y * C[6])));
    let series = 1.0 + y * (1.0 + y * (C[0] + y * (C[1] + y * tail)));
    let two = series * series;
    let four = two * two;
    let eight = four * four;
    let sixteen = eight * eight;
    sixteen * sixteen
}

#[cfg(test)]
mod tests {
    use super::exponential;

    /// Second method: `libm::exp`.
    #[test]
    fn exponential_agrees_with_the_library() {
        for k in -100..=600 {
            let x = f64::from(k) * 0.01;
            let tolerance = if x <= 1.0 { 2e-14 } else { 1e-10 };
            assert!(
                (exponential(x) / libm::exp(x) - 1.0).abs() <= tolerance,
                "at {x}"
            );
        }
    }
}

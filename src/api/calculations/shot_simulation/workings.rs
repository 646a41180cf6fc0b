//! The constants of the shot with the numbers put in.

use super::request::ShotSimulationRequest;
use crate::api::provenance::{WorkingStep, shown};
use crate::maths::simulation::{Bed, Parameter, Parameters};

/// Id of the source of all steps but those about water.
const MODEL: &str = "packedbed";

/// What the steps read from.
struct Known<'a> {
    request: &'a ShotSimulationRequest,
    parameters: &'a Parameters,
    bed: &'a Bed,
}

impl Known<'_> {
    /// A parameter as it reads in a derivation, SI.
    fn of(&self, parameter: Parameter) -> String {
        shown(self.parameters.given(parameter).unwrap_or_default())
    }

    fn grind_m(&self) -> f64 {
        self.request.grind_diameter_um * 1e-6
    }

    /// Temperature of water and bed, K.
    fn kelvin(&self) -> f64 {
        self.request.water_temperature_c + 273.15
    }

    /// Diffusivity in the grains at the temperature of the shot, m²/s.
    fn grain_diffusivity(&self) -> f64 {
        let radius_m = 0.5 * self.grind_m();
        self.bed.coarse_rate_per_s * radius_m * radius_m
    }

    /// Diffusivities over those at 93 °C.
    fn mobility(&self) -> f64 {
        let reference = self.parameters.given(Parameter::GrainDiffusivity);
        reference.map_or(1.0, |reference| self.grain_diffusivity() / reference)
    }

    fn solid(&self) -> f64 {
        1.0 - self.bed.porosity
    }
}

/// The derivation of the constants of a shot, SI units.
pub(super) fn steps(
    request: &ShotSimulationRequest,
    parameters: &Parameters,
    bed: &Bed,
) -> Vec<WorkingStep> {
    let known = Known {
        request,
        parameters,
        bed,
    };
    let mut steps = geometry(&known);
    steps.extend(solubles(&known));
    steps.extend(water(&known));
    steps.extend(grains(&known));
    steps.extend(transfer(&known));
    steps.extend(flow(&known));
    steps
}

fn geometry(known: &Known<'_>) -> Vec<WorkingStep> {
    let bed = known.bed;
    let diameter_m = shown(known.request.basket_diameter_mm * 1e-3);
    vec![
        WorkingStep::new(
            "area of the bed",
            ("A = pi d_b^2 / 4", MODEL),
            format!("pi × {diameter_m}^2 / 4"),
            (bed.area_m2, "m²"),
        ),
        WorkingStep::new(
            "depth of the wetted bed",
            ("L = m_d / (rho_bed A)", MODEL),
            format!(
                "{} / ({} × {})",
                shown(bed.dose_kg),
                known.of(Parameter::BedDensity),
                shown(bed.area_m2)
            ),
            (bed.depth_m, "m"),
        ),
        WorkingStep::new(
            "water that wets a volume of bed",
            ("eps_w = eps + (1 − eps) chi", MODEL),
            format!(
                "{} + {} × {}",
                shown(bed.porosity),
                shown(known.solid()),
                shown(bed.water_uptake)
            ),
            (bed.wetting, "1"),
        ),
    ]
}

fn solubles(known: &Known<'_>) -> Vec<WorkingStep> {
    let bed = known.bed;
    vec![
        WorkingStep::new(
            "solubles in a volume of dry grain",
            ("c_s0 = E_max rho_bed / (1 − eps)", MODEL),
            format!(
                "{} × {} / {}",
                known.of(Parameter::ExtractableFraction),
                known.of(Parameter::BedDensity),
                shown(known.solid())
            ),
            (bed.grain_solubles_kg_per_m3, "kg/m³"),
        ),
        WorkingStep::new(
            "partition between grain and liquid",
            ("K = chi + c_s0 / c_sat", MODEL),
            format!(
                "{} + {} / {}",
                shown(bed.water_uptake),
                shown(bed.grain_solubles_kg_per_m3),
                shown(bed.saturation_kg_per_m3)
            ),
            (bed.partition, "1"),
        ),
    ]
}

fn water(known: &Known<'_>) -> Vec<WorkingStep> {
    let (bed, kelvin) = (known.bed, known.kelvin());
    vec![
        WorkingStep::new(
            "viscosity of water, a fit from 60 to 100 °C",
            (
                "mu_w = exp(−10.69391542 + 604.88752615 / (T − 133.05004542))",
                "iapws2008",
            ),
            format!(
                "exp(−10.69391542 + 604.88752615 / ({} − 133.05004542))",
                shown(kelvin)
            ),
            (bed.viscosity_pa_s, "Pa s"),
        ),
        WorkingStep::new(
            "density of water, a fit from 60 to 100 °C",
            (
                "rho_w = 963.512739 − 0.687944453 (T − 366.15) − 2.54269647e-3 (T − 366.15)^2",
                "iapws2012",
            ),
            format!(
                "963.512739 − 0.687944453 × ({0}) − 2.54269647e-3 × ({0})^2",
                shown(kelvin - 366.15)
            ),
            (bed.water_density_kg_per_m3, "kg/m³"),
        ),
        WorkingStep::new(
            "diffusivity in the grains, by Stokes and Einstein",
            ("D = D_s (T / 366.15) mu_w(366.15) / mu_w(T)", MODEL),
            format!(
                "{} × {}",
                known.of(Parameter::GrainDiffusivity),
                shown(known.mobility())
            ),
            (known.grain_diffusivity(), "m²/s"),
        ),
    ]
}

fn grains(known: &Known<'_>) -> Vec<WorkingStep> {
    let bed = known.bed;
    let fines_m = known.of(Parameter::FinesRadius);
    vec![
        fines_share(known),
        WorkingStep::new(
            "Sauter mean diameter of all grains",
            ("1 / d32 = f1 / (2 a1) + (1 − f1) / d2", MODEL),
            format!(
                "1 / ({0} / (2 × {fines_m}) + {1} / {2})",
                shown(bed.fines_share),
                shown(1.0 - bed.fines_share),
                shown(known.grind_m())
            ),
            (bed.sauter_diameter_m, "m"),
        ),
    ]
}

fn fines_share(known: &Known<'_>) -> WorkingStep {
    let (formula, substituted) = if known.parameters.given(Parameter::FinesShare).is_some() {
        ("f1, given", shown(known.bed.fines_share))
    } else {
        (
            "f1 = min(0.9, f1_ref (d_ref / d2)^f1_exp)",
            format!(
                "min(0.9, {} × ({} / {})^{})",
                known.of(Parameter::FinesShareReference),
                known.of(Parameter::ReferenceDiameter),
                shown(known.grind_m()),
                known.of(Parameter::FinesShareExponent)
            ),
        )
    };
    WorkingStep::new(
        "share of the fines",
        (formula, MODEL),
        substituted,
        (known.bed.fines_share, "1"),
    )
}

fn transfer(known: &Known<'_>) -> Vec<WorkingStep> {
    let bed = known.bed;
    let fines_m = known.of(Parameter::FinesRadius);
    vec![
        WorkingStep::new(
            "pore radius of the capillary model",
            ("R_pore = eps d32 / (3 (1 − eps))", MODEL),
            format!(
                "{} × {} / (3 × {})",
                shown(bed.porosity),
                shown(bed.sauter_diameter_m),
                shown(known.solid())
            ),
            (bed.pore_radius_m, "m"),
        ),
        WorkingStep::new(
            "mass transfer through the liquid film",
            ("k_m = (3.66 / 2) D_l' / R_pore", MODEL),
            format!(
                "1.83 × {} × {} / {}",
                known.of(Parameter::LiquidDiffusivity),
                shown(known.mobility()),
                shown(bed.pore_radius_m)
            ),
            (bed.film_m_per_s, "m/s"),
        ),
        WorkingStep::new(
            "mass transfer of the fines, film and grain in series",
            ("h1 = k_m / (1 + k_m a1 / (5 K D))", MODEL),
            format!(
                "{0} / (1 + {0} × {fines_m} / (5 × {1} × {2}))",
                shown(bed.film_m_per_s),
                shown(bed.partition),
                shown(known.grain_diffusivity())
            ),
            (bed.fines_transfer_m_per_s, "m/s"),
        ),
    ]
}

fn flow(known: &Known<'_>) -> Vec<WorkingStep> {
    let bed = known.bed;
    vec![
        WorkingStep::new(
            "permeability of the unextracted, unloaded bed",
            (
                "kappa0 = C_kappa (d2 / d_ref)^n_kappa eps^3 d32^2 / (180 (1 − eps)^2)",
                MODEL,
            ),
            format!(
                "{} × ({} / {})^{} × {}^3 × {}^2 / (180 × {}^2)",
                known.of(Parameter::PermeabilityFactor),
                shown(known.grind_m()),
                known.of(Parameter::ReferenceDiameter),
                known.of(Parameter::PermeabilityExponent),
                shown(bed.porosity),
                shown(bed.sauter_diameter_m),
                shown(known.solid())
            ),
            (bed.permeability_m2, "m²"),
        ),
        WorkingStep::new(
            "restrictor, pressure over flow squared",
            ("B = rho_w / (2 (C_d pi d_orifice^2 / 4)^2)", MODEL),
            format!(
                "{} / (2 × ({} × pi × {}^2 / 4)^2)",
                shown(bed.water_density_kg_per_m3),
                known.of(Parameter::DischargeCoefficient),
                known.of(Parameter::OrificeDiameter)
            ),
            (bed.restrictor_pa_s2_per_m6, "Pa s²/m⁶"),
        ),
    ]
}

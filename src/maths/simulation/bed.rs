//! The constants of one shot, worked out once from shot and parameters.

use super::parameters::{Parameter, Parameters};
use super::shot::Shot;
use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// Temperature that diffusivities are given at, K (93 °C).
const REFERENCE_KELVIN: f64 = 366.15;
/// Sherwood number of fully developed laminar flow in a tube at constant wall concentration.
const SHERWOOD: f64 = 3.66;
/// Density of dissolved coffee solids that the density of the beverage rests on, kg/m³.
const DISSOLVED_DENSITY: f64 = 1600.0;
/// Most of the bed's volume that can be fines when the grind sets their share.
const MOST_FINES: f64 = 0.9;
/// `ln mu = a + b / (T - c)`: viscosity of water, Pa s, fitted to `[iapws2008]` from 60 to
/// 100 °C, largest error 1.3e-5.
const LN_VISCOSITY: [f64; 3] = [-10.69391542, 604.88752615, 133.05004542];
/// Density of water, kg/m³, as a polynomial in `T - 366.15 K`, fitted to `[iapws2012]` at
/// 0.6 MPa from 60 to 100 °C, largest error 1.9e-5.
const DENSITY: [f64; 3] = [963.512739, -0.687944453, -2.54269647e-3];

/// Porosities that the law of resistance is used for.
const OPEN: Range = Range::new("porosity during the shot", 0.02, 0.9, "1");

/// Constants of one shot, SI units.
///
/// The fields are open so that limits of the model can be set up for checking; a bed made by
/// [`Bed::new`] is consistent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bed {
    /// Dry coffee, kg.
    pub dose_kg: f64,
    /// Area of the bed, m².
    pub area_m2: f64,
    /// Depth of the bed, m.
    pub depth_m: f64,
    /// Porosity between the grains.
    pub porosity: f64,
    /// Water taken up per volume of grain.
    pub water_uptake: f64,
    /// Water needed to wet a volume of bed.
    pub wetting: f64,
    /// Solubles per volume of dry grain, kg/m³.
    pub grain_solubles_kg_per_m3: f64,
    /// Concentration in a grain over that of the liquid it is in equilibrium with.
    pub partition: f64,
    /// Saturation concentration, kg/m³.
    pub saturation_kg_per_m3: f64,
    /// Volume share of the fines.
    pub fines_share: f64,
    /// Sauter mean diameter of all grains, m.
    pub sauter_diameter_m: f64,
    /// Pore radius of the capillary model, m.
    pub pore_radius_m: f64,
    /// Mass transfer coefficient of the liquid film, m/s.
    pub film_m_per_s: f64,
    /// Mass transfer coefficient of the fines, film and grain in series, m/s.
    pub fines_transfer_m_per_s: f64,
    /// Rate at which the fines approach equilibrium, 1/s.
    pub fines_rate_per_s: f64,
    /// Diffusion in the coarse grains over radius squared, 1/s.
    pub coarse_rate_per_s: f64,
    /// Biot number of the coarse grains.
    pub coarse_biot: f64,
    /// Permeability of the unextracted, unloaded bed, m².
    pub permeability_m2: f64,
    /// Compaction pressure, Pa.
    pub compaction_pa: f64,
    /// Restrictor: pressure over flow squared, Pa s²/m⁶.
    pub restrictor_pa_s2_per_m6: f64,
    /// Headspace above the bed, m³.
    pub headspace_m3: f64,
    /// Dispersion length, m.
    pub dispersivity_m: f64,
    /// Viscosity of water, Pa s.
    pub viscosity_pa_s: f64,
    /// Growth of viscosity with concentration, m³/kg.
    pub viscosity_growth_m3_per_kg: f64,
    /// Porosity gained per concentration lost from the grains, m³/kg.
    pub opening_m3_per_kg: f64,
    /// Density of water, kg/m³.
    pub water_density_kg_per_m3: f64,
    /// Growth of density with concentration.
    pub density_growth: f64,
}

impl Bed {
    /// Constants of a shot.
    ///
    /// # Equation
    /// `A = pi d_b^2/4`, `L = m_d/(rho_bed A)`, `phi = 1 - eps`, `c_s0 = E_max rho_bed/phi`,
    /// `K = chi + c_s0/c_sat`, `eps_w = eps + phi chi`, `1/d32 = f1/(2 a1) + f2/(2 a2)`,
    /// `R_pore = eps d32/(3 phi)`, `k_m = (Sh/2) D_l/R_pore`,
    /// `h1 = k_m/(1 + k_m a1/(5 K D))`,
    /// `kappa0 = C_kappa (d2/d_ref)^n_kappa eps^3 d32^2/(180 phi^2)`,
    /// `B = rho_w/(2 (C_d pi d_orifice^2/4)^2)`; diffusivities scale with `T/mu`.
    ///
    /// Symbols and units are those of [`Parameter`] and of the fields of [`Bed`].
    ///
    /// # Source
    /// `[packedbed]`: structure of `[moroney2015]` and `[cameron2020]` with the front of `[grudeva2025]` and the
    /// compaction of `[waszkiewicz2025]`; water by `[iapws2008]` and `[iapws2012]`; Kozeny and
    /// Carman, Stokes and Einstein, and the Sherwood number from memory.
    ///
    /// # Valid for
    /// [`Shot::check`] and the ranges of [`Parameter`]. Outside: refused, never clamped,
    /// except that the share of the fines stops at nine tenths.
    ///
    /// # Errors
    /// What [`Shot::check`] finds; [`MathsError::Inconsistent`] when the parameters together let
    /// dissolution use up all solid, or water soaking in close all pores.
    ///
    /// # Example
    /// ```
    /// # use extraction_maths::maths::quantity::{GaugePressure, Length, Mass, Temperature};
    /// # use extraction_maths::maths::simulation::{Bed, Parameters, PressureProfile, Shot};
    /// let shot = Shot {
    ///     dose: Mass::from_grams(20.0)?,
    ///     basket_diameter: Length::from_millimetres(58.4)?,
    ///     grind_diameter_um: 350.0,
    ///     water_temperature: Temperature::from_celsius(93.0)?,
    ///     pressure_profile: PressureProfile::constant(GaugePressure::from_bar(9.0)?),
    ///     target_beverage: Mass::from_grams(40.0)?,
    ///     duration_s: 60.0,
    ///     sample_times_s: vec![],
    /// };
    /// let bed = Bed::new(&shot, &Parameters::default())?;
    /// assert!((bed.depth_m - 18.666e-3).abs() < 1e-6);
    /// # Ok::<(), extraction_maths::maths::MathsError>(())
    /// ```
    pub fn new(shot: &Shot, parameters: &Parameters) -> Result<Self, MathsError> {
        shot.check()?;
        let value = |parameter| parameters.value(parameter);
        let (porosity, uptake) = (value(Parameter::Porosity), value(Parameter::WaterUptake));
        let solid = 1.0 - porosity;
        let area_m2 = disc(shot.basket_diameter.millimetres() * 1e-3);
        let (dose_kg, grind_m) = (shot.dose.grams() * 1e-3, shot.grind_diameter_um * 1e-6);
        let solubles = value(Parameter::ExtractableFraction) * value(Parameter::BedDensity) / solid;
        let water = Water::at(shot.water_temperature.kelvin());
        let partition = uptake + solubles / value(Parameter::Saturation);
        let grains = Grains::new(grind_m, parameters, partition, water.mobility);
        Self {
            dose_kg,
            area_m2,
            depth_m: dose_kg / (value(Parameter::BedDensity) * area_m2),
            porosity,
            water_uptake: uptake,
            wetting: porosity + solid * uptake,
            grain_solubles_kg_per_m3: solubles,
            partition,
            saturation_kg_per_m3: value(Parameter::Saturation),
            fines_share: grains.fines_share,
            sauter_diameter_m: grains.sauter_m,
            pore_radius_m: grains.pore_radius_m,
            film_m_per_s: grains.film_m_per_s,
            fines_transfer_m_per_s: grains.fines_transfer_m_per_s,
            fines_rate_per_s: grains.fines_rate_per_s,
            coarse_rate_per_s: grains.coarse_rate_per_s,
            coarse_biot: grains.coarse_biot,
            permeability_m2: permeability_m2(grind_m, grains.sauter_m, parameters),
            compaction_pa: value(Parameter::CompactionPressure),
            restrictor_pa_s2_per_m6: restrictor(water.density, parameters),
            headspace_m3: value(Parameter::Headspace),
            dispersivity_m: value(Parameter::Dispersivity) * grind_m,
            viscosity_pa_s: water.viscosity,
            viscosity_growth_m3_per_kg: value(Parameter::ViscosityGrowth),
            opening_m3_per_kg: value(Parameter::Opening) * solid / value(Parameter::SolidDensity),
            water_density_kg_per_m3: water.density,
            density_growth: 1.0 - water.density / DISSOLVED_DENSITY,
        }
        .with_open_pores()
    }

    /// The bed itself if its pores stay between closed and all of it at every extraction.
    fn with_open_pores(self) -> Result<Self, MathsError> {
        let soaked = self.water_uptake * self.saturation_kg_per_m3;
        let least = self.porosity - self.opening_m3_per_kg * soaked;
        let most = self.porosity + self.opening_m3_per_kg * self.grain_solubles_kg_per_m3;
        if OPEN.min <= least && most <= OPEN.max {
            return Ok(self);
        }
        let (left, right) = if most <= OPEN.max {
            (OPEN.min, least)
        } else {
            (most, OPEN.max)
        };
        Err(MathsError::Inconsistent {
            rule: "porosity stays open and below that of a suspension while coffee dissolves",
            left,
            right,
            unit: OPEN.unit,
        })
    }

    /// Volume of grain per volume of bed.
    pub(super) fn solid(&self) -> f64 {
        1.0 - self.porosity
    }
}

/// Water at one temperature.
struct Water {
    viscosity: f64,
    density: f64,
    /// Diffusivity over that at the reference temperature, by Stokes and Einstein.
    mobility: f64,
}

impl Water {
    fn at(kelvin: f64) -> Self {
        let viscosity =
            |t: f64| libm::exp(LN_VISCOSITY[0] + LN_VISCOSITY[1] / (t - LN_VISCOSITY[2]));
        let d = kelvin - REFERENCE_KELVIN;
        Self {
            viscosity: viscosity(kelvin),
            density: DENSITY[0] + d * (DENSITY[1] + d * DENSITY[2]),
            mobility: (kelvin / REFERENCE_KELVIN) * viscosity(REFERENCE_KELVIN) / viscosity(kelvin),
        }
    }
}

/// Sizes of the grains and the rates at which they give up solubles.
struct Grains {
    fines_share: f64,
    sauter_m: f64,
    pore_radius_m: f64,
    film_m_per_s: f64,
    fines_transfer_m_per_s: f64,
    fines_rate_per_s: f64,
    coarse_rate_per_s: f64,
    coarse_biot: f64,
}

impl Grains {
    fn new(grind_m: f64, parameters: &Parameters, partition: f64, mobility: f64) -> Self {
        let value = |parameter| parameters.value(parameter);
        let fines_share = parameters.given(Parameter::FinesShare).unwrap_or_else(|| {
            let finer = value(Parameter::ReferenceDiameter) / grind_m;
            let share = libm::pow(finer, value(Parameter::FinesShareExponent));
            MOST_FINES.min(value(Parameter::FinesShareReference) * share)
        });
        let (fine_m, coarse_m) = (value(Parameter::FinesRadius), 0.5 * grind_m);
        let per_sauter = fines_share / (2.0 * fine_m) + (1.0 - fines_share) / (2.0 * coarse_m);
        let sauter_m = 1.0 / per_sauter;
        let porosity = value(Parameter::Porosity);
        let pore_radius_m = porosity * sauter_m / (3.0 * (1.0 - porosity));
        let diffusivity = value(Parameter::GrainDiffusivity) * mobility;
        let film = 0.5 * SHERWOOD * value(Parameter::LiquidDiffusivity) * mobility / pore_radius_m;
        let transfer = film / (1.0 + film * fine_m / (5.0 * partition * diffusivity));
        Self {
            fines_share,
            sauter_m,
            pore_radius_m,
            film_m_per_s: film,
            fines_transfer_m_per_s: transfer,
            fines_rate_per_s: 3.0 * transfer / (fine_m * partition),
            coarse_rate_per_s: diffusivity / (coarse_m * coarse_m),
            coarse_biot: film * coarse_m / (partition * diffusivity),
        }
    }
}

fn permeability_m2(grind_m: f64, sauter_m: f64, parameters: &Parameters) -> f64 {
    let porosity = parameters.value(Parameter::Porosity);
    let solid = 1.0 - porosity;
    let coarser = grind_m / parameters.value(Parameter::ReferenceDiameter);
    let growth = libm::pow(coarser, parameters.value(Parameter::PermeabilityExponent));
    parameters.value(Parameter::PermeabilityFactor)
        * growth
        * porosity
        * porosity
        * porosity
        * sauter_m
        * sauter_m
        / (180.0 * solid * solid)
}

fn restrictor(water_density: f64, parameters: &Parameters) -> f64 {
    let orifice_m = parameters.value(Parameter::OrificeDiameter);
    let effective = parameters.value(Parameter::DischargeCoefficient) * disc(orifice_m);
    water_density / (2.0 * effective * effective)
}

/// Area of a disc from its diameter.
fn disc(diameter_m: f64) -> f64 {
    std::f64::consts::PI * diameter_m * diameter_m / 4.0
}

//! The constants of the model that a caller may change: one table of symbol, meaning, default,
//! range and where the default comes from.

use crate::maths::error::MathsError;
use crate::maths::range::Range;

/// What is known of one parameter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ParameterInfo {
    /// The parameter described.
    pub parameter: Parameter,
    /// Symbol in the equations; the name an override is given by.
    pub symbol: &'static str,
    /// Name, unit and the values accepted, in SI units.
    pub range: Range,
    /// Value used when none is given; absent where it follows from other inputs.
    pub default: Option<f64>,
    /// Where the default comes from, and how well it is known.
    pub source: &'static str,
}

/// Declares the parameters in one table, so that enum and descriptions cannot drift apart.
macro_rules! parameters {
    ($($name:ident, $symbol:literal, $meaning:literal, $unit:literal,
       $default:expr, $min:expr, $max:expr, $source:literal;)*) => {
        /// A constant of the model, by what it is.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum Parameter {
            $(#[doc = concat!("`", $symbol, "`: ", $meaning, ", ", $unit, ".")] $name,)*
        }

        impl Parameter {
            /// Every parameter with its description, in reading order.
            pub const ALL: &'static [ParameterInfo] = &[$(ParameterInfo {
                parameter: Parameter::$name,
                symbol: $symbol,
                range: Range::new($meaning, $min, $max, $unit),
                default: $default,
                source: $source,
            },)*];
        }
    };
}

parameters! {
    BedDensity, "rho_bed", "dry bed density", "kg/m3", Some(400.0), 200.0, 700.0,
        "arithmetic from the geometry of cameron2020, whose values are from memory";
    Porosity, "eps", "porosity between the grains", "1", Some(0.17), 0.05, 0.5,
        "cameron2020 (one less the solids fraction), from memory";
    WaterUptake, "chi", "water taken up per volume of grain", "m3/m3", Some(0.33), 0.0, 0.8,
        "assumed, so that 20 g of coffee keep 21.4 g of water";
    ExtractableFraction, "E_max", "extractable mass fraction", "1", Some(0.30), 0.05, 0.45,
        "about 30 % of roasted coffee dissolves (from memory); calibrated";
    Saturation, "c_sat", "saturation concentration", "kg/m3", Some(212.4), 50.0, 600.0,
        "moroney2015 and cameron2020, from memory";
    FinesRadius, "a1", "radius of the fines", "m", Some(12e-6), 2e-6, 50e-6,
        "cameron2020, from memory";
    FinesShare, "f1", "volume share of the fines", "1", None, 0.0, 0.9,
        "follows from f1_ref, f1_exp and d_ref unless given";
    FinesShareReference, "f1_ref", "share of the fines at the reference grind", "1",
        Some(0.25), 0.0, 0.9, "assumed";
    FinesShareExponent, "f1_exp", "growth of the fines when grinding finer", "1",
        Some(0.6), 0.0, 3.0, "assumed; cameron2020 gives the direction, from memory";
    ReferenceDiameter, "d_ref", "reference grind diameter", "m", Some(350e-6), 100e-6, 1000e-6,
        "a choice of unit for f1_ref and C_kappa";
    GrainDiffusivity, "D_s", "diffusivity inside the grains at 93 °C", "m2/s",
        Some(2.0e-10), 1e-12, 1e-8,
        "calibrated; three times below cameron2020, both from memory";
    LiquidDiffusivity, "D_l", "diffusivity in water at 93 °C", "m2/s", Some(1.8e-9), 1e-11, 1e-7,
        "about 5e-10 at 25 °C (from memory), scaled with temperature over viscosity";
    Dispersivity, "alpha_L", "dispersivity in grind diameters", "1", Some(1.0), 0.05, 10.0,
        "particle Peclet number about one in packed beds, from memory";
    ViscosityGrowth, "k_mu", "growth of viscosity with concentration", "m3/kg",
        Some(2.5e-3), 0.0, 1e-2, "assumed, as in sugar solutions";
    SolidDensity, "rho_sol", "density of the dissolving solid", "kg/m3",
        Some(1400.0), 1000.0, 2000.0, "moroney2015, from memory";
    Opening, "alpha_d", "opening of the pores by dissolution", "1", Some(0.30), 0.0, 2.0,
        "assumed; sets how the flow rises during a shot";
    CompactionPressure, "sigma_c", "compaction pressure", "Pa", Some(6.0e5), 5e4, 1e12,
        "assumed; sub-linear flow against pressure as in waszkiewicz2025";
    PermeabilityFactor, "C_kappa", "permeability factor", "1", Some(0.036), 1e-4, 10.0,
        "calibrated: 20 g give 40 g in about 28 s at 9 bar";
    PermeabilityExponent, "n_kappa", "extra growth of permeability with grind", "1",
        Some(0.7), -3.0, 5.0, "calibrated: permeability grows as grind squared in total";
    OrificeDiameter, "d_orifice", "restrictor diameter", "m", Some(0.6e-3), 0.1e-3, 5e-3,
        "assumed; 7.6 mL/s of free flow at 9 bar";
    DischargeCoefficient, "C_d", "restrictor discharge coefficient", "1", Some(0.62), 0.1, 1.0,
        "assumed";
    Headspace, "V_head", "volume above the bed", "m3", Some(10e-6), 0.0, 100e-6, "assumed";
}

const COUNT: usize = Parameter::ALL.len();

impl Parameter {
    /// The description of this parameter.
    #[must_use]
    pub const fn info(self) -> &'static ParameterInfo {
        &Self::ALL[self as usize]
    }

    /// The parameter with this symbol, if there is one.
    #[must_use]
    pub fn by_symbol(symbol: &str) -> Option<Self> {
        Self::ALL
            .iter()
            .find(|info| info.symbol == symbol)
            .map(|info| info.parameter)
    }
}

/// A full set of parameters; every value is inside its range.
#[derive(Debug, Clone, PartialEq)]
pub struct Parameters {
    values: [Option<f64>; COUNT],
}

impl Default for Parameters {
    fn default() -> Self {
        let mut values = [None; COUNT];
        for (value, info) in values.iter_mut().zip(Parameter::ALL) {
            *value = info.default;
        }
        Self { values }
    }
}

impl Parameters {
    /// Replaces one value, in SI units.
    ///
    /// # Errors
    /// [`MathsError::NonFinite`] or [`MathsError::OutOfRange`] when the value is outside the
    /// parameter's range.
    pub fn set(&mut self, parameter: Parameter, value: f64) -> Result<(), MathsError> {
        self.values[parameter as usize] = Some(parameter.info().range.check(value)?);
        Ok(())
    }

    /// The value in SI units; absent only for the share of the fines when the grind sets it.
    #[must_use]
    pub const fn given(&self, parameter: Parameter) -> Option<f64> {
        self.values[parameter as usize]
    }

    /// The value of a parameter that always has one; zero for the share of the fines when the
    /// grind sets it.
    pub(super) fn value(&self, parameter: Parameter) -> f64 {
        self.given(parameter).unwrap_or(0.0)
    }
}

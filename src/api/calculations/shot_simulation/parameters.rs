//! Constants of the model that a caller may change: in the units of the trade where there is one,
//! or by their symbol in the equations, in SI units.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::api::bounds::Bound;
use crate::api::from_maths::AtField;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::maths::range::Range;
use crate::maths::simulation::{Parameter, Parameters};

/// Declares the overrides: field, parameter of the maths, how many of the field's unit make an
/// SI unit, that unit, description, symbol.
macro_rules! overrides {
    ($($field:ident, $parameter:ident, $per_si:literal, $unit:literal, $description:literal,
       $symbol:ident;)*) => {
        /// Constants of the model to change, each by name or, in SI units, by the symbol that the
        /// equations have for it; what is left out keeps its default.
        /// They are effective constants of a simple model: a value that fits shots is no
        /// property of the coffee. None was compared with raw experimental curves.
        #[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
        #[serde(deny_unknown_fields)]
        #[expect(non_snake_case, reason = "symbols as the equations have them")]
        pub struct ParameterOverrides {
            $(#[doc = $description] pub $field: Option<f64>,)*
            $(
                /// The constant whose description begins with this symbol, in SI units.
                pub $symbol: Option<f64>,
            )*
        }

        /// Every override: its name, its parameter, and how many of its unit make an SI unit.
        const FIELDS: [(&str, Parameter, f64); 2 * COUNT] = [
            $((stringify!($field), Parameter::$parameter, $per_si),)*
            $((stringify!($symbol), Parameter::$parameter, 1.0),)*
        ];

        /// Range of every override, read from the parameters of the maths.
        pub(super) const BOUNDS: [Bound; 2 * COUNT] = [
            $(Bound::new(
                stringify!($field),
                converted(&Parameter::$parameter.info().range, $per_si, $unit),
            ),)*
            $(Bound::new(stringify!($symbol), Parameter::$parameter.info().range),)*
        ];

        impl ParameterOverrides {
            /// The overrides that are given, as entries of [`FIELDS`] with the value.
            fn given(&self) -> impl Iterator<Item = (&'static (&'static str, Parameter, f64), f64)> {
                let values = [$(self.$field,)* $(self.$symbol,)*];
                FIELDS.iter().zip(values).filter_map(|(field, value)| Some((field, value?)))
            }
        }
    };
}

/// How many parameters there are.
const COUNT: usize = Parameter::ALL.len();

overrides! {
    bed_density_kg_per_m3, BedDensity, 1.0, "kg/m³",
        "`rho_bed`: dry coffee in a volume of bed. Default 400, arithmetic from the bed of cameron2020.",
        rho_bed;
    porosity, Porosity, 1.0, "1",
        "`eps`: volume between the grains over that of the bed. Default 0.17, cameron2020, from memory.",
        eps;
    water_uptake, WaterUptake, 1.0, "1",
        "`chi`: water taken up per volume of grain. Default 0.33, assumed, so that 20 g of coffee keep 21.4 g of water.",
        chi;
    extractable_percent, ExtractableFraction, 100.0, "%",
        "`E_max`: mass of the dry coffee that can dissolve. Default 30, from memory, calibrated.",
        E_max;
    saturation_kg_per_m3, Saturation, 1.0, "kg/m³",
        "`c_sat`: concentration of the liquid in equilibrium with unextracted grains. Default 212.4, moroney2015 and cameron2020, from memory.",
        c_sat;
    fines_radius_um, FinesRadius, 1e6, "µm",
        "`a1`: radius of the fines. Default 12, cameron2020, from memory.",
        a1;
    fines_share, FinesShare, 1.0, "1",
        "`f1`: share of the fines in the volume of grains. No default: it follows from `fines_share_reference`, `fines_share_exponent` and `reference_diameter_um`.",
        f1;
    fines_share_reference, FinesShareReference, 1.0, "1",
        "`f1_ref`: share of the fines at the reference grind. Default 0.25, assumed.",
        f1_ref;
    fines_share_exponent, FinesShareExponent, 1.0, "1",
        "`f1_exp`: growth of the share of the fines when grinding finer. Default 0.6, assumed; the direction is that of cameron2020, from memory.",
        f1_exp;
    reference_diameter_um, ReferenceDiameter, 1e6, "µm",
        "`d_ref`: grind diameter that `fines_share_reference` and `permeability_factor` refer to. Default 350, a choice.",
        d_ref;
    grain_diffusivity_m2_per_s, GrainDiffusivity, 1.0, "m²/s",
        "`D_s`: diffusivity inside the grains at 93 °C. Default 2e-10, calibrated, three times below cameron2020, from memory.",
        D_s;
    liquid_diffusivity_m2_per_s, LiquidDiffusivity, 1.0, "m²/s",
        "`D_l`: diffusivity in water at 93 °C. Default 1.8e-9, scaled from about 5e-10 at 25 °C, from memory.",
        D_l;
    dispersivity, Dispersivity, 1.0, "1",
        "`alpha_L`: dispersion length over grind diameter. Default 1, a particle Peclet number of about one, from memory.",
        alpha_L;
    viscosity_growth_m3_per_kg, ViscosityGrowth, 1.0, "m³/kg",
        "`k_mu`: growth of the logarithm of viscosity with concentration. Default 0.0025, assumed, as in sugar solutions.",
        k_mu;
    solid_density_kg_per_m3, SolidDensity, 1.0, "kg/m³",
        "`rho_sol`: density of the dissolving solid. Default 1400, moroney2015, from memory.",
        rho_sol;
    pore_opening, Opening, 1.0, "1",
        "`alpha_d`: share of the dissolved volume that opens the pores. Default 0.3, assumed; sets how the flow rises during a shot.",
        alpha_d;
    compaction_pressure_bar, CompactionPressure, 1e-5, "bar",
        "`sigma_c`: pressure difference over which compaction lowers permeability by a factor e. Default 6, assumed; sub-linear flow as in waszkiewicz2025.",
        sigma_c;
    permeability_factor, PermeabilityFactor, 1.0, "1",
        "`C_kappa`: permeability over that of Kozeny and Carman. Default 0.036, calibrated so that 20 g give 40 g in about 28 s at 9 bar.",
        C_kappa;
    permeability_exponent, PermeabilityExponent, 1.0, "1",
        "`n_kappa`: extra growth of permeability with grind diameter. Default 0.7, calibrated so that it grows as grind squared in total.",
        n_kappa;
    orifice_diameter_mm, OrificeDiameter, 1e3, "mm",
        "`d_orifice`: diameter of the restrictor before the bed. Default 0.6, assumed; 7.6 mL/s of free flow at 9 bar.",
        d_orifice;
    discharge_coefficient, DischargeCoefficient, 1.0, "1",
        "`C_d`: discharge coefficient of the restrictor. Default 0.62, assumed.",
        C_d;
    headspace_ml, Headspace, 1e6, "mL",
        "`V_head`: volume above the bed that fills first. Default 10, assumed.",
        V_head;
}

/// A range in another unit. Every product here is exact to the last bit, which a test proves.
const fn converted(range: &Range, per_si: f64, unit: &'static str) -> Range {
    Range::new(range.quantity, range.min * per_si, range.max * per_si, unit)
}

/// The parameters of the maths with the overrides put in.
pub(super) fn parameters(overrides: Option<&ParameterOverrides>) -> Result<Parameters, Problem> {
    let mut parameters = Parameters::default();
    for ((name, parameter, per_si), value) in
        overrides.into_iter().flat_map(ParameterOverrides::given)
    {
        let range = &parameter.info().range;
        // converting the end of a range may miss it by one bit
        let value = (value / per_si).clamp(range.min, range.max);
        parameters
            .set(*parameter, value)
            .at(&format!("parameters/{name}"))?;
    }
    Ok(parameters)
}

/// Constants that are given twice, by name and by symbol.
pub(super) fn faults(overrides: Option<&ParameterOverrides>) -> Vec<Fault> {
    let given = || overrides.into_iter().flat_map(ParameterOverrides::given);
    let twice = given().filter_map(|((name, parameter, _), _)| {
        let mut others = given().filter(|((other, of, _), _)| of == parameter && other != name);
        let ((other, ..), _) = others.next()?;
        let pointer = format!("/parameters/{name}");
        let detail = format!("`{other}` is the same constant: give one of the two");
        Some(Fault::new(pointer, FaultCode::Contradictory, detail))
    });
    twice.collect()
}

/// How many constants were changed.
pub(super) fn count(overrides: Option<&ParameterOverrides>) -> usize {
    overrides.map_or(0, |overrides| overrides.given().count())
}

#[cfg(test)]
mod tests {
    use super::{BOUNDS, FIELDS, ParameterOverrides};
    use utoipa::PartialSchema;

    /// The number that a description states as the default.
    fn stated(text: &str) -> f64 {
        let after = text.split_once("Default ").expect(text).1;
        let number = after.split([',', ' ']).next().expect(text);
        number.trim_end_matches('.').parse().expect(text)
    }

    #[test]
    fn descriptions_state_symbol_and_default_of_the_maths() {
        let schema = serde_json::to_value(ParameterOverrides::schema()).expect("a schema");
        for (name, parameter, per_si) in FIELDS {
            let text = schema["properties"][name]["description"]
                .as_str()
                .expect(name);
            let symbol = parameter.info().symbol;
            if name == symbol {
                assert!(text.ends_with("in SI units."), "{text}");
                continue;
            }
            assert!(text.starts_with(&format!("`{symbol}`: ")), "{text}");
            match parameter.info().default {
                Some(default) => {
                    let default = default * per_si;
                    assert!((stated(text) - default).abs() <= 1e-12 * default, "{text}");
                }
                None => assert!(text.contains("No default"), "{text}"),
            }
        }
    }

    #[test]
    fn every_parameter_can_be_changed_between_round_bounds() {
        for (bound, (name, parameter, per_si)) in BOUNDS.iter().zip(FIELDS) {
            assert_eq!(bound.field, name);
            let range = parameter.info().range;
            for (end, si) in [(bound.range.min, range.min), (bound.range.max, range.max)] {
                assert!(
                    (end / per_si - si).abs() <= f64::EPSILON * si.abs(),
                    "{name}"
                );
                let digits = format!("{end:e}").len();
                assert!(digits < 8, "{name}: {end}");
            }
        }
    }
}

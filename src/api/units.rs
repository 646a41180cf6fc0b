//! The unit of a field, read off its name: `_g`, `_percent`, `_hpa`.

use crate::maths::simulation::Parameter;

/// Endings of field names and the unit each one stands for, longest first.
const SUFFIXES: &[(&str, &str)] = &[
    ("_price_per_kg", "currency/kg"),
    ("_price_per_l", "currency/L"),
    ("tds_factor", "mg/L per µS/cm"),
    ("micrometres_per_step", "µm"),
    ("_percent_of_milk", "%"),
    ("_percent_of_drink", "%"),
    ("mg_per_l_caco3", "mg/L as CaCO3"),
    ("_bar_s_per_ml", "bar s/mL"),
    ("_kj_per_kg_k", "kJ/(kg K)"),
    ("_kg_per_m3", "kg/m³"),
    ("_m3_per_kg", "m³/kg"),
    ("_m2_per_s", "m²/s"),
    ("_us_per_cm", "µS/cm"),
    ("_g_per_mol", "g/mol"),
    ("_mol_per_l", "mol/L"),
    ("mmol_per_l", "mmol/L"),
    ("meq_per_l", "meq/L"),
    ("_g_per_ml", "g/mL"),
    ("_kj_per_kg", "kJ/kg"),
    ("_mg_per_l", "mg/L"),
    ("_g_per_s", "g/s"),
    ("_per_litre", "g/L"),
    ("_percent", "%"),
    ("_bar_abs", "bar"),
    ("_points", "percentage points"),
    ("_hpa", "hPa"),
    ("_days", "d"),
    ("days_covered", "d"),
    ("days_left", "d"),
    ("days_to_start", "d"),
    ("days_since_roast", "d"),
    ("_hours", "h"),
    ("_kj_per_mol", "kJ/mol"),
    ("_bar", "bar"),
    ("gpg_us", "grain per US gallon"),
    ("clark", "°Clark"),
    ("_ml", "mL"),
    ("_m2", "m²"),
    ("_mm2", "mm²"),
    ("_mm", "mm"),
    ("_um", "µm"),
    ("_ft", "ft"),
    ("_kj", "kJ"),
    ("_g", "g"),
    ("_l", "L"),
    ("_s", "s"),
    ("_c", "°C"),
    ("_f", "°F"),
    ("_m", "m"),
    ("_w", "W"),
];

/// Unit of a field by its name; `"1"` for a pure number such as a ratio, a count or a
/// probability.
#[must_use]
pub fn unit_of(field: &str) -> &'static str {
    // the two short names of degrees of hardness stand alone, or they would end other words
    match field {
        "dh" => return "°dH",
        "fh" => return "°fH",
        _ => {}
    }
    // symbols of equations end as they like
    if let Some(parameter) = Parameter::by_symbol(field) {
        return parameter.info().range.unit;
    }
    SUFFIXES
        .iter()
        .find(|(suffix, _)| field.ends_with(suffix))
        .map_or("1", |(_, unit)| unit)
}

/// Unit of an output by its path with dots: that of the last part, or of the part around it.
#[must_use]
pub fn unit_of_path(path: &str) -> &'static str {
    let mut parts = path.rsplit('.').map(unit_of);
    parts.find(|unit| *unit != "1").unwrap_or("1")
}

/// The name of a field without its unit: `dose` of `dose_g`; empty when it is all unit.
#[must_use]
pub fn without_unit(field: &str) -> &str {
    let bare = SUFFIXES
        .iter()
        .find_map(|(suffix, _)| field.strip_suffix(suffix));
    bare.unwrap_or(field).trim_end_matches('_')
}

#[cfg(test)]
mod tests {
    use super::{unit_of, unit_of_path, without_unit};

    #[test]
    fn an_end_of_a_window_has_the_unit_of_the_window() {
        assert_eq!(unit_of_path("shot_time_window_s.low"), "s");
        assert_eq!(
            unit_of_path("uncertainty.expanded_points"),
            "percentage points"
        );
        assert_eq!(unit_of_path("cost.total"), "1");
    }

    #[test]
    fn a_name_is_what_stands_before_its_unit() {
        assert_eq!(without_unit("heat_up_energy_kj"), "heat_up_energy");
        assert_eq!(without_unit("mg_per_l_caco3"), "");
        assert_eq!(without_unit("brew_ratio"), "brew_ratio");
    }

    #[test]
    fn the_longest_ending_wins() {
        assert_eq!(unit_of("dose_g"), "g");
        assert_eq!(unit_of("mean_flow_g_per_s"), "g/s");
        assert_eq!(unit_of("bed_area_mm2"), "mm²");
        assert_eq!(unit_of("tamped_density_g_per_ml"), "g/mL");
        assert_eq!(unit_of("brew_ratio"), "1");
        assert_eq!(unit_of("alkalinity_mg_per_l_caco3"), "mg/L as CaCO3");
        assert_eq!(unit_of("edta_mol_per_l"), "mol/L");
        assert_eq!(unit_of("meq_per_l"), "meq/L");
        assert_eq!(unit_of("volume_l"), "L");
    }
}

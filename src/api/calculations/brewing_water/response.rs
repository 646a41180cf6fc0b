//! The answer of `brewing-water`.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use super::BrewingWaterRequest;
use super::analysis::Analysis;
use super::indices::Indices;
use super::profile::{self, ProfileCheck};
use crate::api::problem::Problem;
use crate::api::water::profiles::ProfileQuantity;
use crate::api::water::{HardnessInUnits, IonName};
use crate::maths::chemistry::alkalinity::carbonate_split;
use crate::maths::chemistry::equilibrium::CALCITE_FITTED;
use crate::maths::chemistry::four_factor;
use crate::maths::chemistry::hardness::ion_hardness;
use crate::maths::chemistry::ions::{Ion, ion_balance};
use crate::maths::chemistry::scale::scale_bound;
use crate::maths::quantity::Hardness;

/// How dissolved solids are known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum SolidsFrom {
    /// Conductivity times `tds_factor`.
    Conductivity,
    /// The ions, less what bicarbonate loses on evaporation.
    Ions,
}

/// How the ionic strength is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum StrengthFrom {
    /// A whole analysis.
    Ions,
    /// Conductivity.
    Conductivity,
    /// The ions that are known, which reads low.
    KnownIons,
}

/// How a saturation index was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum IndexMethod {
    /// Standard Methods 2330 B with the constants of Plummer and Busenberg.
    Apha2330,
}

/// What is in the water; what is not known is left out.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct BrewingWaterResponse {
    /// Calcium and magnesium together.
    pub total_hardness: Option<HardnessInUnits>,
    /// Hardness that calcium brings.
    pub calcium_hardness: Option<HardnessInUnits>,
    /// Hardness that magnesium brings.
    pub magnesium_hardness: Option<HardnessInUnits>,
    /// Alkalinity, all of it taken as bicarbonate.
    pub alkalinity: Option<HardnessInUnits>,
    /// Bicarbonate of the alkalinity.
    pub bicarbonate_mg_per_l: Option<f64>,
    /// Hardness matched by alkalinity.
    pub carbonate_hardness_mg_per_l_caco3: Option<f64>,
    /// Hardness above the alkalinity, which heat does not drop.
    pub non_carbonate_hardness_mg_per_l_caco3: Option<f64>,
    /// Sum of the cations; left out without a cation and an anion.
    pub cations_meq_per_l: Option<f64>,
    /// Sum of the anions; left out without a cation and an anion.
    pub anions_meq_per_l: Option<f64>,
    /// Cations less anions, over their sum; above zero where anions are missing.
    pub ion_balance_percent: Option<f64>,
    /// Main ions that are not known and count as absent in the balance.
    pub ions_not_known: Option<Vec<IonName>>,
    /// Dissolved solids.
    pub water_tds_mg_per_l: Option<f64>,
    /// How the dissolved solids are known.
    pub water_tds_from: Option<SolidsFrom>,
    /// Dissolved solids per conductivity that was used.
    pub tds_factor: Option<f64>,
    /// Ionic strength, no ions paired.
    pub ionic_strength_mol_per_l: Option<f64>,
    /// How the ionic strength is known.
    pub ionic_strength_from: Option<StrengthFrom>,
    /// Temperature at which `saturation_index` and `four_factor_index` hold.
    pub water_temperature_c: f64,
    /// pH less the pH in equilibrium with calcite; above zero chalk can drop. Needs pH,
    /// calcium and bicarbonate.
    pub saturation_index: Option<f64>,
    /// pH in equilibrium with calcite.
    pub saturation_ph: Option<f64>,
    /// How the index was found.
    pub saturation_index_method: Option<IndexMethod>,
    /// Lowest temperature of the method.
    pub saturation_index_low_c: Option<f64>,
    /// Highest temperature of the method; above, the index is extrapolated.
    pub saturation_index_high_c: Option<f64>,
    /// The index in the boiler, with the ions concentrated, at `boiler_ph` or else `ph`.
    pub boiler_saturation_index: Option<f64>,
    /// pH in equilibrium with calcite in the boiler.
    pub boiler_saturation_ph: Option<f64>,
    /// Whether `boiler_temperature_c` is above the range of the method.
    pub boiler_index_is_extrapolated: Option<bool>,
    /// Four-factor index, an indicator only; left out above `four_factor_high_c`.
    pub four_factor_index: Option<f64>,
    /// Twice the four-factor pH of saturation less the pH; an indicator only.
    pub four_factor_stability_index: Option<f64>,
    /// Highest temperature at which the four-factor index is offered.
    pub four_factor_high_c: Option<f64>,
    /// Most calcium carbonate that a litre of boiler water can drop: the lower of calcium
    /// hardness and alkalinity, times the cycles of concentration. Less drops in a closed system.
    pub scale_bound_mg_per_l: Option<f64>,
    /// The same per litre of feed water.
    pub feed_scale_bound_mg_per_l: Option<f64>,
    /// How the water stands to the profile, for every quantity that is known.
    pub profile_check: Option<Vec<ProfileCheck>>,
    /// Quantities of the profile that the request does not tell.
    pub profile_not_checked: Option<Vec<ProfileQuantity>>,
}

/// The answer to a request.
///
/// # Errors
/// None for an analysis that exists, but for rounding at the ends of ranges.
pub(super) fn of(
    request: &BrewingWaterRequest,
    analysis: &Analysis,
    indices: &Indices,
) -> Result<BrewingWaterResponse, Problem> {
    let mut response = composition(analysis)?;
    balance(analysis, &mut response);
    index(request, indices, &mut response);
    let calcium = analysis.calcium.map(|c| ion_hardness(Ion::Calcium, c));
    if let Some((calcium, alkalinity)) = calcium.transpose()?.zip(analysis.alkalinity) {
        let cycles = request.boiler_cycles_of_concentration.unwrap_or(1.0);
        let bound = |cycles| scale_bound(calcium, alkalinity, cycles);
        response.scale_bound_mg_per_l = Some(bound(cycles)?.milligrams_per_litre());
        response.feed_scale_bound_mg_per_l = Some(bound(1.0)?.milligrams_per_litre());
    }
    if let Some(id) = request.profile {
        let (checked, missing) = profile::check(id, request, &response);
        response.profile_check = Some(checked);
        response.profile_not_checked = (!missing.is_empty()).then_some(missing);
    }
    Ok(response)
}

fn composition(analysis: &Analysis) -> Result<BrewingWaterResponse, Problem> {
    let units = |hardness: Option<Hardness>| hardness.map(|h| HardnessInUnits::new(h, None));
    let split = analysis.total.zip(analysis.alkalinity);
    let split = split.map(|(h, a)| carbonate_split(h, a)).transpose()?;
    let bicarbonate = analysis.known.ions.get(Ion::Bicarbonate);
    Ok(BrewingWaterResponse {
        total_hardness: analysis
            .total
            .map(|h| HardnessInUnits::new(h, analysis.hardness_reading)),
        calcium_hardness: units(analysis.known.hardness_of(Ion::Calcium)?),
        magnesium_hardness: units(analysis.known.hardness_of(Ion::Magnesium)?),
        alkalinity: analysis
            .alkalinity
            .map(|a| HardnessInUnits::new(a, analysis.alkalinity_reading)),
        bicarbonate_mg_per_l: bicarbonate.map(|c| c.milligrams_per_litre()),
        carbonate_hardness_mg_per_l_caco3: split.map(|s| s.carbonate.milligrams_per_litre()),
        non_carbonate_hardness_mg_per_l_caco3: split
            .map(|s| s.non_carbonate.milligrams_per_litre()),
        water_tds_mg_per_l: analysis.solids.map(|s| s.amount.milligrams_per_litre()),
        water_tds_from: analysis.solids.map(|s| s.from),
        tds_factor: analysis.solids.and_then(|s| s.factor),
        ionic_strength_mol_per_l: analysis.strength.map(|(i, _)| i.moles_per_litre()),
        ionic_strength_from: analysis.strength.map(|(_, from)| from),
        ..EMPTY
    })
}

/// An answer that knows nothing yet.
const EMPTY: BrewingWaterResponse = BrewingWaterResponse {
    total_hardness: None,
    calcium_hardness: None,
    magnesium_hardness: None,
    alkalinity: None,
    bicarbonate_mg_per_l: None,
    carbonate_hardness_mg_per_l_caco3: None,
    non_carbonate_hardness_mg_per_l_caco3: None,
    cations_meq_per_l: None,
    anions_meq_per_l: None,
    ion_balance_percent: None,
    ions_not_known: None,
    water_tds_mg_per_l: None,
    water_tds_from: None,
    tds_factor: None,
    ionic_strength_mol_per_l: None,
    ionic_strength_from: None,
    water_temperature_c: 0.0,
    saturation_index: None,
    saturation_ph: None,
    saturation_index_method: None,
    saturation_index_low_c: None,
    saturation_index_high_c: None,
    boiler_saturation_index: None,
    boiler_saturation_ph: None,
    boiler_index_is_extrapolated: None,
    four_factor_index: None,
    four_factor_stability_index: None,
    four_factor_high_c: None,
    scale_bound_mg_per_l: None,
    feed_scale_bound_mg_per_l: None,
    profile_check: None,
    profile_not_checked: None,
};

fn balance(analysis: &Analysis, response: &mut BrewingWaterResponse) {
    let Ok(balance) = ion_balance(&analysis.known.ions) else {
        return;
    };
    if balance.cations_meq_per_l <= 0.0 || balance.anions_meq_per_l <= 0.0 {
        return;
    }
    response.cations_meq_per_l = Some(balance.cations_meq_per_l);
    response.anions_meq_per_l = Some(balance.anions_meq_per_l);
    response.ion_balance_percent = Some(balance.percent);
    let missing: Vec<_> = analysis.missing().into_iter().map(IonName::from).collect();
    response.ions_not_known = (!missing.is_empty()).then_some(missing);
}

fn index(request: &BrewingWaterRequest, indices: &Indices, response: &mut BrewingWaterResponse) {
    response.water_temperature_c = indices.water_temperature.celsius();
    response.saturation_index = indices.water.map(|index| index.value());
    response.saturation_ph = indices.water.map(|index| index.saturation_ph);
    response.boiler_saturation_index = indices.boiler.map(|index| index.value());
    response.boiler_saturation_ph = indices.boiler.map(|index| index.saturation_ph);
    response.boiler_index_is_extrapolated = indices
        .boiler
        .map(|index| !CALCITE_FITTED.contains(index.temperature.celsius()));
    if indices.water.or(indices.boiler).is_some() {
        response.saturation_index_method = Some(IndexMethod::Apha2330);
        response.saturation_index_low_c = Some(CALCITE_FITTED.min);
        response.saturation_index_high_c = Some(CALCITE_FITTED.max);
    }
    let both = request.ph.zip(indices.four_factor_saturation_ph);
    if let Some((ph, saturated)) = both {
        response.four_factor_index = Some(ph - saturated);
        response.four_factor_stability_index = Some(2.0 * saturated - ph);
        response.four_factor_high_c = Some(four_factor::OFFERED.max);
    }
}

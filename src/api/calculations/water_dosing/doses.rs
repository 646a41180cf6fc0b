//! The doses, the water that they make, and how they were found.

use super::{SaltAtHand, SaltDose, WaterDosingRequest, WaterDosingResponse};
use crate::api::from_maths::AtField;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::api::provenance::{WorkingStep, shown};
use crate::api::water::{
    Known, TargetMissed, WaterGiven, WaterMade, WaterQuantity, aims, missed, needed,
};
use crate::maths::MathsError;
use crate::maths::chemistry::dosing::nearest_doses;
use crate::maths::chemistry::ions::{Ion, Ions};
use crate::maths::chemistry::salts::{Hydrate, Salt, concentrate_g_per_ml, dissolved};
use crate::maths::quantity::{Concentration, Hardness};

/// An answer and what a derivation of it needs.
pub(super) struct Dosed {
    pub(super) response: WaterDosingResponse,
    hydrates: Vec<Hydrate>,
    /// What was wanted, and what the start water holds of it.
    wanted: Vec<(WaterQuantity, f64, f64)>,
}

/// The doses for a request.
///
/// # Errors
/// A [`Problem`] at the fields that say too little, contradict one another or name a form of a
/// salt that is not sold.
pub(super) fn of(request: &WaterDosingRequest) -> Result<Dosed, Problem> {
    let hydrates = hydrates(&request.salts)?;
    let start = match &request.start_water {
        Some(water) => water.known("/start_water")?,
        None => pure()?,
    };
    let wanted = wanted(&request.target, &start)?;
    let lacking: Vec<_> = wanted
        .iter()
        .map(|(q, target, held)| (q.aim(), (target - held) / q.per_equivalent()))
        .collect();
    let doses = nearest_doses(&hydrates, &lacking)?;
    let added = added(&hydrates, &doses)?;
    let water = together(&start, &added)?;
    let mut short = Vec::new();
    for (quantity, target, _) in &wanted {
        let reached = quantity.value(&water)?.unwrap_or_default();
        short.extend(missed(*quantity, *target, reached));
    }
    let exceeded = request.limits.as_ref().map(|l| above(l, &water, &added));
    let response = WaterDosingResponse {
        doses: weighed(request, &hydrates, &doses)?,
        added: WaterMade::of(&added)?,
        water: WaterMade::of(&water)?,
        missed: short,
        exceeded: exceeded.transpose()?,
    };
    Ok(Dosed {
        response,
        hydrates,
        wanted,
    })
}

/// Each salt in its form.
fn hydrates(salts: &[SaltAtHand]) -> Result<Vec<Hydrate>, Problem> {
    let (mut found, mut faults) = (Vec::new(), Vec::new());
    for (place, at_hand) in salts.iter().enumerate() {
        let forms = Salt::from(at_hand.salt).hydrates();
        let fault =
            |code, detail: String| Fault::new(format!("/salts/{place}/hydrate"), code, detail);
        let listed = || {
            let words: Vec<_> = forms.iter().map(u32::to_string).collect();
            words.join(", ")
        };
        let waters = match (at_hand.hydrate, forms) {
            (Some(waters), _) => waters,
            (None, [only]) => *only,
            (None, _) => {
                let detail = format!("this salt is sold with {} molecules of water", listed());
                faults.push(fault(FaultCode::Required, detail));
                continue;
            }
        };
        match Hydrate::new(at_hand.salt.into(), waters) {
            Ok(hydrate) => found.push(hydrate),
            Err(_) => {
                let detail = format!("allowed for this salt: {}", listed());
                faults.push(fault(FaultCode::Inconsistent, detail));
            }
        }
    }
    if faults.is_empty() {
        Ok(found)
    } else {
        Err(Problem::invalid(faults))
    }
}

/// Water that holds no ion at all.
fn pure() -> Result<Known, MathsError> {
    let none = Concentration::from_milligrams_per_litre(0.0)?;
    let all = Ion::ALL.into_iter();
    Ok(Known {
        ions: all.fold(Ions::default(), |ions, ion| ions.with(ion, none)),
        hardness_reading: None,
    })
}

fn wanted(target: &WaterGiven, start: &Known) -> Result<Vec<(WaterQuantity, f64, f64)>, Problem> {
    let all = aims(target, "/target")?.into_iter();
    all.map(|(quantity, target)| {
        let held = needed(quantity, start, "/start_water")?;
        Ok((quantity, target, held))
    })
    .collect()
}

/// What all doses bring; an ion that none brings is known to be 0.
fn added(hydrates: &[Hydrate], doses: &[Concentration]) -> Result<Known, MathsError> {
    let mut sum = pure()?;
    for (hydrate, dose) in hydrates.iter().zip(doses) {
        sum.ions = joined(&sum.ions, &dissolved(*hydrate, *dose)?, |_| true)?;
    }
    Ok(sum)
}

/// The start water with what was added; an ion unknown there stays unknown.
fn together(start: &Known, added: &Known) -> Result<Known, MathsError> {
    let ions = joined(&start.ions, &added.ions, |ion| {
        start.ions.get(ion).is_some()
    })?;
    let totals = start.hardness_reading.zip(added.total_hardness()?);
    let hardness = totals.map(|(a, b)| {
        Hardness::from_milligrams_per_litre(a.milligrams_per_litre() + b.milligrams_per_litre())
    });
    Ok(Known {
        ions,
        hardness_reading: hardness.transpose()?,
    })
}

fn joined(a: &Ions, b: &Ions, is_known: impl Fn(Ion) -> bool) -> Result<Ions, MathsError> {
    let held = |ions: &Ions, ion| {
        ions.get(ion)
            .map_or(0.0, Concentration::milligrams_per_litre)
    };
    let mut ions = Ions::default();
    for ion in Ion::ALL.into_iter().filter(|ion| is_known(*ion)) {
        let sum = Concentration::from_milligrams_per_litre(held(a, ion) + held(b, ion))?;
        ions = ions.with(ion, sum);
    }
    Ok(ions)
}

/// What lies above the limits; of an unknown start water, what was added alone.
fn above(limits: &WaterGiven, water: &Known, added: &Known) -> Result<Vec<TargetMissed>, Problem> {
    let mut all = Vec::new();
    for (quantity, limit) in aims(limits, "/limits")? {
        let known = quantity.value(water)?;
        let least = quantity.value(added)?.unwrap_or_default();
        let over = missed(quantity, limit, known.unwrap_or(least));
        all.extend(over.filter(|over| over.difference > 0.0));
    }
    Ok(all)
}

fn weighed(
    request: &WaterDosingRequest,
    hydrates: &[Hydrate],
    doses: &[Concentration],
) -> Result<Vec<SaltDose>, Problem> {
    let of = request.salts.iter().zip(hydrates).zip(doses);
    of.map(|((at_hand, hydrate), dose)| {
        let per_ml = request
            .concentrate_dose_ml
            .map(|ml| concentrate_g_per_ml(*dose, request.volume_l, ml));
        let per_ml = per_ml.transpose().at("concentrate_dose_ml")?;
        let made = per_ml.zip(request.concentrate_volume_ml);
        Ok(SaltDose {
            salt: at_hand.salt,
            hydrate: hydrate.waters(),
            mass_g: dose.milligrams_per_litre() * request.volume_l / 1000.0,
            dose_mg_per_l: dose.milligrams_per_litre(),
            concentrate_g_per_ml: per_ml,
            concentrate_mass_g: made.map(|(per_ml, ml)| per_ml * ml),
        })
    })
    .collect()
}

impl Dosed {
    /// The derivation, step by step.
    pub(super) fn workings(&self, request: &WaterDosingRequest) -> Vec<WorkingStep> {
        let mut steps = self.lacking();
        for (hydrate, dose) in self.hydrates.iter().zip(&self.response.doses) {
            let [(cation, count), _] = hydrate.salt().parts();
            let mass = hydrate.molar_mass() / (count * cation.charge());
            steps.push(WorkingStep::new(
                "dose_mg_per_l",
                (
                    "x M / (n z), x in meq/L from min Σ (lack − Σ A x)² over x ≥ 0",
                    "lawson1974",
                ),
                format!("{} × {}", shown(dose.dose_mg_per_l / mass), shown(mass)),
                (dose.dose_mg_per_l, "mg/L"),
            ));
            let volume = shown(request.volume_l);
            steps.push(WorkingStep::new(
                "mass_g",
                ("dose V / 1000", "massbalance"),
                format!("{} × {volume} / 1000", shown(dose.dose_mg_per_l)),
                (dose.mass_g, "g"),
            ));
            if let Some((per_ml, ml)) = dose.concentrate_g_per_ml.zip(request.concentrate_dose_ml) {
                steps.push(WorkingStep::new(
                    "concentrate_g_per_ml",
                    ("m / d", "massbalance"),
                    format!("{} / {}", shown(dose.mass_g), shown(ml)),
                    (per_ml, "g/mL"),
                ));
            }
        }
        steps
    }

    /// What the start water lacks of each quantity aimed at.
    fn lacking(&self) -> Vec<WorkingStep> {
        let mut steps = Vec::new();
        for (quantity, target, held) in &self.wanted {
            let per = quantity.per_equivalent();
            let name = quantity.named().0;
            steps.push(WorkingStep {
                step: format!("lacking_meq_per_l_of_{name}").into(),
                ..WorkingStep::new(
                    "",
                    ("(t − w) / (M / |z|)", "ciaaw2021"),
                    format!("({} − {}) / {}", shown(*target), shown(*held), shown(per)),
                    ((target - held) / per, "meq/L"),
                )
            });
        }
        steps
    }
}

//! What became of the recipe, in codes and words: kept, changed, not met, what to check first.

use super::carried::Carried;
use super::request::peak;
use super::response::{
    CarriedCode, CarriedNote, CupCheck, CupCheckCode, NotCarried, NotCarriedCode, ShotTimeChange,
    ShotTimeDirection, ShotTimeMethod,
};
use super::shot_time::Simulated;
use crate::api::calculations::basket_capacity::BasketFit;

/// What was kept and what was changed.
pub(super) struct Notes {
    pub(super) kept: Vec<CarriedNote>,
    pub(super) changed: Vec<CarriedNote>,
}

impl Notes {
    fn add(&mut self, code: CarriedCode, is_kept: bool, detail: String) {
        let list = if is_kept {
            &mut self.kept
        } else {
            &mut self.changed
        };
        list.push(CarriedNote { code, detail });
    }

    /// A number that stays or becomes another one.
    fn number(&mut self, code: CarriedCode, (old, new): (f64, f64), unit: &str) {
        let is_kept = old.total_cmp(&new).is_eq();
        let detail = if is_kept {
            format!("stays at {}{unit}", rounded(old))
        } else {
            format!("{}{unit} becomes {}{unit}", rounded(old), rounded(new))
        };
        self.add(code, is_kept, detail);
    }
}

/// A number as it reads in a sentence: two decimals at most.
fn rounded(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// What was kept and what was changed.
pub(super) fn notes(carried: &Carried<'_>, time: &ShotTimeChange) -> Notes {
    let mut notes = Notes {
        kept: Vec::new(),
        changed: Vec::new(),
    };
    let recipe = carried.recipe;
    notes.number(CarriedCode::Dose, (recipe.dose_g, carried.dose_g), " g");
    if let Some(baskets) = &carried.baskets {
        let old = baskets.from.result.tamped_depth_mm;
        // the same depth up to rounding is the same depth
        let new = if baskets.is_limited() {
            baskets.to.result.tamped_depth_mm
        } else {
            old
        };
        notes.number(CarriedCode::BedDepth, (old, new), " mm of tamped bed");
    }
    if let Some(ratios) = &carried.ratios {
        let masses = (
            recipe.beverage_mass_g.unwrap_or_default(),
            ratios.beverage_mass_g,
        );
        notes.number(CarriedCode::BeverageMass, masses, " g");
        let spoken = &ratios.to.result.brew_ratio_text;
        notes.add(CarriedCode::BrewRatio, true, format!("stays at {spoken}"));
        notes.add(CarriedCode::Strength, true, strength(carried));
    }
    let temperatures = (carried.water.wanted_c, carried.water.carried_c);
    notes.number(CarriedCode::BrewTemperature, temperatures, " °C");
    profile(&mut notes, carried);
    shot_time(&mut notes, time);
    notes
}

fn profile(notes: &mut Notes, carried: &Carried<'_>) {
    if let Some((old, new)) = carried
        .recipe
        .pressure_profile
        .as_ref()
        .zip(carried.profile.as_ref())
    {
        let is_kept = old == new;
        let detail = if is_kept {
            "stays as it is: a gauge reads against the air around it, and so does the cup"
        } else {
            "is held down to what the machine gives"
        };
        notes.add(CarriedCode::PressureProfile, is_kept, detail.to_owned());
    }
}

fn strength(carried: &Carried<'_>) -> String {
    let aim = carried.recipe.tds_percent.map_or_else(
        || "stays the aim".to_owned(),
        |tds| format!("stays the aim, {} %", rounded(tds)),
    );
    format!("{aim}: the same ratio gives the same strength when the yield is the same")
}

fn shot_time(notes: &mut Notes, time: &ShotTimeChange) {
    let detail = match time.direction {
        ShotTimeDirection::Unchanged => "stays about what it was",
        ShotTimeDirection::Longer => "gets longer",
        ShotTimeDirection::Shorter => "gets shorter",
        ShotTimeDirection::Undetermined => return,
    };
    let by = match time.method {
        ShotTimeMethod::Simulation => "by simulation",
        ShotTimeMethod::Direction => "by what changes; how much is not known",
    };
    let is_kept = time.direction == ShotTimeDirection::Unchanged;
    notes.add(CarriedCode::ShotTime, is_kept, format!("{detail}, {by}"));
}

/// What the new set-up does not give.
pub(super) fn not_met(carried: &Carried<'_>, simulated: &Simulated) -> Vec<NotCarried> {
    [
        dose_not_met(carried),
        cup_not_met(carried),
        temperature_not_met(carried),
        pressure_not_met(carried),
        beverage_not_met(simulated),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn dose_not_met(carried: &Carried<'_>) -> Option<NotCarried> {
    let baskets = carried.baskets.as_ref()?;
    let (code, limit_g, side, basket) = match baskets.misfit? {
        BasketFit::TooLarge => {
            let largest = baskets.to.result.dose_max_g;
            (
                NotCarriedCode::DoseTooLarge,
                largest,
                "more",
                "a deeper basket",
            )
        }
        BasketFit::TooSmall => {
            let smallest = baskets.to.result.dose_min_g;
            (
                NotCarriedCode::DoseTooSmall,
                smallest,
                "less",
                "a shallower basket",
            )
        }
        BasketFit::Fits => return None,
    };
    let (dose, limit) = (rounded(baskets.same_depth_dose_g), rounded(limit_g));
    let instead = if baskets.is_limited() {
        format!(
            "take {limit} g at another bed depth and mend the time with the grind, or use {basket}"
        )
    } else {
        format!(
            "the recipe left its own basket's range as well: look at the headspace, or use {basket}"
        )
    };
    Some(NotCarried {
        code,
        detail: format!(
            "the same bed depth takes {dose} g, {side} than the {limit} g that the basket is made for"
        ),
        instead,
    })
}

fn cup_not_met(carried: &Carried<'_>) -> Option<NotCarried> {
    let (cup_ml, beverage_g) = (carried.to.cup_ml?, carried.beverage_mass_g()?);
    (cup_ml < beverage_g).then(|| NotCarried {
        code: NotCarriedCode::CupTooSmall,
        detail: format!(
            "{} g of beverage do not go into a cup of {} mL, foam not counted",
            rounded(beverage_g),
            rounded(cup_ml)
        ),
        instead: "use a larger cup, or a smaller basket with less dose at the same ratio"
            .to_owned(),
    })
}

fn temperature_not_met(carried: &Carried<'_>) -> Option<NotCarried> {
    let water = &carried.water;
    if water.is_reachable() != Some(false) {
        return None;
    }
    let boiling = rounded(water.place.as_ref()?.result.boiling_point_c);
    let (wanted, taken) = (rounded(water.wanted_c), rounded(water.carried_c));
    let mend = "grind finer or brew longer, since cooler water extracts less";
    let (detail, instead) = if water.under_bar.is_some() {
        (
            format!("{wanted} °C are above the boiling point under the pressure given"),
            format!("brew at {taken} °C and {mend}; more pressure is for equipment built for it"),
        )
    } else {
        (
            format!(
                "water in an open kettle boils at {boiling} °C there and gets no hotter, so {wanted} °C cannot be had"
            ),
            format!(
                "brew at {taken} °C, just off the boil, and {mend}; or brew under the pressure of a machine, which keeps {wanted} °C"
            ),
        )
    };
    Some(NotCarried {
        code: NotCarriedCode::TemperatureOutOfReach,
        detail,
        instead,
    })
}

fn pressure_not_met(carried: &Carried<'_>) -> Option<NotCarried> {
    let (old, new) = carried.profiles();
    let (wanted, given) = (peak(&old?), peak(&new?));
    (given < wanted).then(|| NotCarried {
        code: NotCarriedCode::PressureOutOfReach,
        detail: format!(
            "the recipe asks for {} bar and the machine gives {} bar",
            rounded(wanted),
            rounded(given)
        ),
        instead: "grind a little coarser to keep the time; leave the machine's pressure to licensed service".to_owned(),
    })
}

fn beverage_not_met(simulated: &Simulated) -> Option<NotCarried> {
    let Simulated::Both(shots) = simulated else {
        return None;
    };
    let [_, new] = shots.as_ref();
    (!new.result.target_reached).then(|| NotCarried {
        code: NotCarriedCode::BeverageNotReached,
        detail: "the simulated shot does not give the beverage in time".to_owned(),
        instead: "grind coarser".to_owned(),
    })
}

/// What to check in the first cups, the first one first; common practice, no source.
pub(super) fn check_first(carried: &Carried<'_>, notes: &Notes) -> Vec<CupCheck> {
    let has_changed = |code| notes.changed.iter().any(|note| note.code == code);
    let diameters = (
        carried.from.basket_diameter_mm,
        carried.to.basket_diameter_mm,
    );
    let is_cooler = carried.water.carried_c < carried.water.wanted_c;
    let checks = [
        is_cooler.then_some((
            CupCheckCode::Sourness,
            "taste for sourness first: cooler water extracts less; grind finer if it is sour",
        )),
        (has_changed(CarriedCode::ShotTime) || has_changed(CarriedCode::Dose)).then_some((
            CupCheckCode::ShotTime,
            "time the shot: if it runs another time than expected, mend it with the grind before anything else",
        )),
        (diameters.0 != diameters.1).then_some((
            CupCheckCode::Evenness,
            "look at how evenly it runs: another basket wants its own tamper and its own distribution",
        )),
        (!notes.changed.is_empty()).then_some((
            CupCheckCode::Strength,
            "measure the strength: the same ratio keeps it only when the yield is the same",
        )),
    ];
    let given = checks.into_iter().flatten();
    given
        .map(|(code, detail)| CupCheck {
            code,
            detail: detail.to_owned(),
        })
        .collect()
}

//! An order on its way to a recipe: what was asked, what could not be met, and what the other
//! calculations said besides their numbers.

use std::borrow::Cow;

use super::request::{RecipesRequest, ShotShare};
use super::response::{NotMet, NotMetCode};
use crate::api::brew_kind::BrewKind;
use crate::api::calculation::{Calculation, Call};
use crate::api::caution::{Caution, CautionCode};
use crate::api::compose::answer_of;
use crate::api::drinks::{self, Drink};
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, WorkingStep};

/// An order, and everything gathered on the way.
pub(super) struct Order<'r> {
    pub(super) request: &'r RecipesRequest,
    pub(super) drink: &'static Drink,
    pub(super) not_met: Vec<NotMet>,
    pub(super) sources: Vec<Cow<'static, str>>,
    pub(super) cautions: Vec<Caution>,
    pub(super) workings: Vec<WorkingStep>,
    call: Call<'r>,
}

impl<'r> Order<'r> {
    pub(super) fn of(request: &'r RecipesRequest, call: &Call<'r>) -> Self {
        Self {
            request,
            drink: request.drink.drink(),
            not_met: Vec::new(),
            sources: vec![Cow::Borrowed(drinks::SOURCE)],
            cautions: Vec::new(),
            workings: Vec::new(),
            call: *call,
        }
    }

    pub(super) fn is_espresso(&self) -> bool {
        self.drink.brew_kind == BrewKind::Espresso
    }

    pub(super) fn servings(&self) -> u32 {
        self.request.servings.unwrap_or(1)
    }

    pub(super) fn share(&self) -> ShotShare {
        self.request.shot_share.unwrap_or_default()
    }

    /// Cups that one brew makes.
    pub(super) fn cups_per_brew(&self) -> u32 {
        match self.share() {
            ShotShare::Half if self.is_espresso() => 2,
            ShotShare::Half | ShotShare::Whole => 1,
        }
    }

    /// Brews for all servings, the last one perhaps for one cup only.
    pub(super) fn brews(&self) -> u32 {
        self.servings().div_ceil(self.cups_per_brew())
    }

    /// Milk over beverage.
    pub(super) fn milk_ratio(&self) -> f64 {
        let own = self.drink.milk_to_beverage;
        self.request.milk_to_beverage_ratio.unwrap_or(own)
    }

    /// Added water over beverage.
    pub(super) fn water_ratio(&self) -> f64 {
        let own = self.drink.water_to_beverage;
        self.request.water_to_beverage_ratio.unwrap_or(own)
    }

    /// Whether the answer is to show its derivation.
    pub(super) fn shows(&self) -> Option<bool> {
        self.request.workings.filter(|wanted| *wanted)
    }

    /// The answer of another calculation, of which nothing is kept.
    pub(super) fn peek<C: Calculation>(
        &self,
        request: &C::Request,
    ) -> Result<Answer<C::Response>, Problem> {
        answer_of::<C>(request, &self.call)
    }

    /// The answer of another calculation, whose sources, cautions and workings are kept.
    pub(super) fn ask<C: Calculation>(
        &mut self,
        request: &C::Request,
    ) -> Result<C::Response, Problem> {
        let answer = self.peek::<C>(request)?;
        for source in answer.provenance.sources {
            self.use_source(source);
        }
        for caution in answer.provenance.cautions {
            self.add_caution(caution);
        }
        for step in answer.provenance.workings.into_iter().flatten() {
            self.use_source(step.source.clone());
            let name = Cow::Owned(format!("{}.{}", C::NAME, step.step));
            self.workings.push(WorkingStep { step: name, ..step });
        }
        Ok(answer.result)
    }

    pub(super) fn use_source(&mut self, source: Cow<'static, str>) {
        if !self.sources.contains(&source) {
            self.sources.push(source);
        }
    }

    /// Adds a caution, unless another calculation has raised it already.
    pub(super) fn add_caution(&mut self, caution: Caution) {
        if !self.cautions.iter().any(|other| other.code == caution.code) {
            self.cautions.push(caution);
        }
    }

    /// Takes back a caution about something that only this calculation has assumed.
    pub(super) fn drop_caution(&mut self, code: CautionCode) {
        self.cautions.retain(|caution| caution.code != code);
    }

    /// Notes that something could not be met.
    pub(super) fn miss(&mut self, code: NotMetCode, detail: impl Into<String>) {
        let detail = detail.into();
        self.not_met.push(NotMet { code, detail });
    }

    /// Adds a step of the derivation, when it is wanted.
    pub(super) fn step(&mut self, step: impl FnOnce() -> WorkingStep) {
        if self.shows().is_some() {
            let step = step();
            self.use_source(step.source.clone());
            self.workings.push(step);
        }
    }
}

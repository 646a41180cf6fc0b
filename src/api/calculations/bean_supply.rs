//! `bean-supply`: age and window of roasted beans, what to order and when, and what storage does.

mod keeping;
mod order;
mod request;
mod shelf;
mod working;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

pub use self::keeping::GasLeft;
use self::keeping::Storage;
use self::order::Order;
pub use self::request::BeanSupplyRequest;
use self::shelf::Shelf;
use crate::api::bounds::Bound;
use crate::api::calculation::{Calculation, Call, Example, Headline, Tag, example};
use crate::api::calendar::CalendarDate;
use crate::api::caution::{Caution, CautionCode};
use crate::api::problem::Problem;
use crate::api::provenance::{Answer, Basis};
use crate::api::rule::Rule;
use crate::maths::supply::window::WindowState;

/// Age, window, order and keeping of the beans.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct BeanSupplyResponse {
    /// Days from the roast to the brew, frozen ones too.
    pub days_since_roast: f64,
    /// Age of the beans: days from the roast to the brew, frozen ones left out.
    pub age_days: f64,
    /// Whether the age is inside the window, ends included.
    pub in_window: bool,
    /// Where the age lies against the window.
    pub window_state: BeanWindow,
    /// First day of use, frozen days added.
    #[schema(value_type = String, format = Date)]
    pub window_start_date: CalendarDate,
    /// Last day of use, frozen days added.
    #[schema(value_type = String, format = Date)]
    pub window_end_date: CalendarDate,
    /// Days until the first day of use; 0 from then on.
    pub days_to_start: f64,
    /// Days until the last day of use; negative after it.
    pub days_left: f64,
    /// Coffee that leaves the shelf in a day, waste included; only when a daily use was given.
    pub daily_use_g: Option<f64>,
    /// Order that lasts until the next one: the daily use times `order_every_days`.
    pub order_mass_g: Option<f64>,
    /// Largest lot that is used up between the first and the last day of its window.
    pub largest_fresh_order_g: Option<f64>,
    /// Coffee on hand: as given, or one order.
    pub on_hand_g: Option<f64>,
    /// Days that the coffee on hand lasts.
    pub days_covered: Option<f64>,
    /// Coffee on hand that will be older than its window before it is used.
    pub left_over_g: Option<f64>,
    /// Stock at which to order, so that it lasts until the order arrives; only when a lead time
    /// was given.
    pub reorder_point_g: Option<f64>,
    /// Day of the next order: when the stock falls to the reorder point, or a lead time before
    /// the window ends, whichever comes first, and never before the brew date. Only when a lead
    /// time was given.
    #[schema(value_type = Option<String>, format = Date)]
    pub next_order_date: Option<CalendarDate>,
    /// Temperature at which the coffee is kept; only when it was given, as all that follows from
    /// it.
    pub storage_temperature_c: Option<f64>,
    /// The same in degrees Fahrenheit.
    pub storage_temperature_f: Option<f64>,
    /// Temperature compared with.
    pub reference_temperature_c: Option<f64>,
    /// The same in degrees Fahrenheit.
    pub reference_temperature_f: Option<f64>,
    /// How fast the coffee ages there against the reference, with the published activation
    /// energy of roasted and ground coffee.
    pub ageing_factor: Option<f64>,
    /// Age at the reference temperature that is as old as `age_days` at the storage temperature.
    pub equivalent_age_days: Option<f64>,
    /// Factor for 10 °C above the reference that the published activation energy stands for.
    pub q10_at_reference: Option<f64>,
    /// Carbon dioxide left in the ground coffee; only when grind and time were given.
    pub gas_left_percent: Option<GasLeft>,
}

/// Where an age lies against a window.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum BeanWindow {
    /// Before the first day.
    Resting,
    /// From the first to the last day.
    Open,
    /// After the last day.
    Past,
}

impl From<WindowState> for BeanWindow {
    fn from(state: WindowState) -> Self {
        match state {
            WindowState::Resting => Self::Resting,
            WindowState::Open => Self::Open,
            WindowState::Past => Self::Past,
        }
    }
}

/// The `bean-supply` calculation.
#[derive(Debug)]
pub struct BeanSupply;

impl Calculation for BeanSupply {
    const NAME: &'static str = "bean-supply";
    const SUMMARY: &'static str = "Age and window of roasted beans, what to order and when";
    const DESCRIPTION: &'static str = "From the day of the roast and the day of the brew (both given, so that no answer \
        depends on a clock): the age of the beans and the days in which the trade uses them. With a daily use: order, \
        reorder point, day of the next order, and what is left over. With a storage temperature between 4 and 40 °C: how \
        fast ground coffee ages against a reference, by the published activation energy; frozen storage is refused, \
        since no factor for it is published. With a grind: the span of carbon dioxide left in it.";
    const TAG: Tag = Tag::Recipe;
    const BASIS: Basis = Basis::CommonPractice;
    const CAUTIONS: &'static [CautionCode] = &[
        CautionCode::FreshnessPractice,
        CautionCode::Resting,
        CautionCode::PastWindow,
        CautionCode::FrozenClock,
        CautionCode::OrderOutlivesWindow,
        CautionCode::LeftOverStock,
        CautionCode::NoSafetyStock,
        CautionCode::OneOrderOnHand,
        CautionCode::GroundCoffeeEnergy,
        CautionCode::OneGrainSize,
    ];
    const BOUNDS: &'static [Bound] = request::BOUNDS;
    const RULES: &'static [Rule] = request::RULES;
    const HEADLINES: &'static [Headline] = &[
        Headline::new("age_days", 0),
        Headline::new("window_state", 0),
        Headline::new("window_start_date", 0),
        Headline::new("window_end_date", 0),
        Headline::new("order_mass_g", 0),
        Headline::new("reorder_point_g", 0),
        Headline::new("next_order_date", 0),
        Headline::new("days_covered", 1),
    ];
    const EXAMPLES: &'static [Example] = &[
        example!(
            "bean-supply",
            "harbour-week",
            "A week's order of a bar, with workings"
        ),
        example!(
            "bean-supply",
            "station-frozen",
            "Beans that were frozen for a while"
        ),
        example!(
            "bean-supply",
            "lab-storage",
            "A warm shelf against a cool one, and ground coffee, with workings"
        ),
    ];

    type Request = BeanSupplyRequest;
    type Response = BeanSupplyResponse;

    fn answer(
        request: &BeanSupplyRequest,
        _call: &Call<'_>,
    ) -> Result<Answer<BeanSupplyResponse>, Problem> {
        let found = Found::of(request)?;
        let workings = (request.workings == Some(true)).then(|| working::of(request, &found));
        Ok(Answer::of::<Self>(found.response(), &found.sources())
            .with_cautions(found.cautions(request))
            .with_workings(workings))
    }
}

/// All that was found out about the beans.
struct Found {
    shelf: Shelf,
    order: Option<Order>,
    storage: Option<Storage>,
    gas: Option<GasLeft>,
}

impl Found {
    fn of(request: &BeanSupplyRequest) -> Result<Self, Problem> {
        let shelf = Shelf::of(request)?;
        Ok(Self {
            order: Order::of(request, &shelf)?,
            storage: Storage::of(request, shelf.age_days)?,
            gas: keeping::gas(request)?,
            shelf,
        })
    }

    fn response(&self) -> BeanSupplyResponse {
        let (shelf, order) = (&self.shelf, self.order.as_ref());
        let reorder = order.and_then(|order| order.reorder.as_ref());
        let storage = self.storage.as_ref();
        BeanSupplyResponse {
            days_since_roast: shelf.days_since_roast,
            age_days: shelf.age_days,
            in_window: shelf.state == WindowState::Open,
            window_state: shelf.state.into(),
            window_start_date: shelf.window_start_date,
            window_end_date: shelf.window_end_date,
            days_to_start: shelf.window.days_to_start(shelf.age_days),
            days_left: shelf.window.days_left(shelf.age_days),
            daily_use_g: order.map(|order| order.daily_use_g),
            order_mass_g: order.map(|order| order.order_mass_g),
            largest_fresh_order_g: order.map(|order| order.largest_fresh_order_g),
            on_hand_g: order.map(|order| order.on_hand_g),
            days_covered: order.map(|order| order.days_covered),
            left_over_g: order.map(|order| order.left_over_g),
            reorder_point_g: reorder.map(|reorder| reorder.point_g),
            next_order_date: reorder.map(|reorder| reorder.date),
            storage_temperature_c: storage.map(|storage| storage.storage.celsius()),
            storage_temperature_f: storage.map(|storage| storage.storage.fahrenheit),
            reference_temperature_c: storage.map(|storage| storage.reference.celsius()),
            reference_temperature_f: storage.map(|storage| storage.reference.fahrenheit),
            ageing_factor: storage.map(|storage| storage.ageing_factor),
            equivalent_age_days: storage.map(|storage| storage.equivalent_age_days),
            q10_at_reference: storage.map(|storage| storage.q10),
            gas_left_percent: self.gas,
        }
    }

    /// Ids of everything that the answer rests on.
    fn sources(&self) -> Vec<&'static str> {
        let mut sources = vec!["freshness-practice"];
        if self.order.is_some() {
            sources.push("reorder-point");
        }
        if self.storage.is_some() {
            sources.extend(["cardelli2001", "arrhenius", "si-constants", "units"]);
        }
        if self.gas.is_some() {
            sources.extend(["anderson2003", "crank1975"]);
        }
        sources
    }

    fn cautions(&self, request: &BeanSupplyRequest) -> Vec<Caution> {
        let shelf = &self.shelf;
        let aged = |code| Caution::from(code).with("age_days", shelf.age_days);
        let mut cautions = vec![
            Caution::from(CautionCode::FreshnessPractice)
                .with("window_start_days", shelf.window.start_days())
                .with("window_end_days", shelf.window.end_days()),
        ];
        match shelf.state {
            WindowState::Resting => cautions.push(aged(CautionCode::Resting)),
            WindowState::Past => cautions.push(aged(CautionCode::PastWindow)),
            WindowState::Open => {}
        }
        if shelf.frozen_days > 0.0 {
            let frozen = Caution::from(CautionCode::FrozenClock);
            cautions.push(frozen.with("frozen_days", shelf.frozen_days));
        }
        if let Some(order) = &self.order {
            cautions.extend(order_cautions(request, order));
        }
        if self.storage.is_some() {
            cautions.push(CautionCode::GroundCoffeeEnergy.into());
        }
        if self.gas.is_some() {
            cautions.push(CautionCode::OneGrainSize.into());
        }
        cautions
    }
}

fn order_cautions(request: &BeanSupplyRequest, order: &Order) -> Vec<Caution> {
    let raised = [
        (order.order_mass_g > order.largest_fresh_order_g).then(|| {
            Caution::from(CautionCode::OrderOutlivesWindow)
                .with("order_mass_g", order.order_mass_g)
                .with("largest_fresh_order_g", order.largest_fresh_order_g)
        }),
        (order.left_over_g > 0.0).then(|| {
            Caution::from(CautionCode::LeftOverStock).with("left_over_g", order.left_over_g)
        }),
        (order.reorder.is_some() && request.daily_spread_g.is_none())
            .then(|| CautionCode::NoSafetyStock.into()),
        request
            .on_hand_g
            .is_none()
            .then(|| CautionCode::OneOrderOnHand.into()),
    ];
    raised.into_iter().flatten().collect()
}

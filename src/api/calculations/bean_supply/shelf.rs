//! The dates of a roast: its age and its window.

use super::BeanSupplyRequest;
use crate::api::calendar::CalendarDate;
use crate::api::problem::{Fault, FaultCode, Problem};
use crate::maths::supply::window::{END_DAYS, START_DAYS, Window, WindowState};

/// Beans on the brew date.
pub(super) struct Shelf {
    pub(super) window: Window,
    pub(super) days_since_roast: f64,
    pub(super) frozen_days: f64,
    pub(super) age_days: f64,
    pub(super) state: WindowState,
    pub(super) window_start_date: CalendarDate,
    pub(super) window_end_date: CalendarDate,
}

impl Shelf {
    /// The beans of a request.
    ///
    /// # Errors
    /// A [`Problem`] that names every date and number that cannot be true together.
    pub(super) fn of(request: &BeanSupplyRequest) -> Result<Self, Problem> {
        let days = |given: Option<u32>, usual| given.map_or(usual, f64::from);
        let (start, end) = (
            days(request.window_start_days, START_DAYS),
            days(request.window_end_days, END_DAYS),
        );
        let frozen_days = days(request.frozen_days, 0.0);
        let since = request.brew_date.days_since(request.roast_date);
        let since = since.ok_or_else(|| Problem::internal("days between two dates"))?;
        let mut faults = date_faults(request, since, frozen_days);
        let window = match Window::between(start, end) {
            Ok(window) => window,
            Err(error) => {
                faults.extend(window_faults(request, &error.to_string()));
                return Err(Problem::invalid(faults));
            }
        };
        if !faults.is_empty() {
            return Err(Problem::invalid(faults));
        }
        let age_days = since - frozen_days;
        Ok(Self {
            window,
            days_since_roast: since,
            frozen_days,
            age_days,
            state: window.state(age_days),
            window_start_date: day(request.roast_date, start + frozen_days, "roast_date")?,
            window_end_date: day(request.roast_date, end + frozen_days, "roast_date")?,
        })
    }
}

fn inconsistent(field: &str, detail: &str) -> Fault {
    Fault::new(format!("/{field}"), FaultCode::Inconsistent, detail)
}

fn date_faults(request: &BeanSupplyRequest, since: f64, frozen_days: f64) -> Vec<Fault> {
    if since < 0.0 {
        let (roast, brew) = (request.roast_date, request.brew_date);
        let detail = format!(
            "the roast on {roast} comes after the brew on {brew}: beans are brewed on the day of \
             their roast or later"
        );
        return ["roast_date", "brew_date"]
            .map(|field| inconsistent(field, &detail))
            .to_vec();
    }
    if frozen_days > since {
        let detail = format!(
            "{frozen_days} days frozen are more than the {since} days from the roast to the brew"
        );
        return vec![inconsistent("frozen_days", &detail)];
    }
    Vec::new()
}

/// The ends of the window that were given, either of which may be the wrong one.
fn window_faults(request: &BeanSupplyRequest, detail: &str) -> Vec<Fault> {
    let ends = [
        ("window_start_days", request.window_start_days),
        ("window_end_days", request.window_end_days),
    ];
    let given = ends.into_iter().filter(|(_, days)| days.is_some());
    given
        .map(|(field, _)| inconsistent(field, detail))
        .collect()
}

/// The day so many days after another one, which is at fault when there is none.
pub(super) fn day(from: CalendarDate, days: f64, field: &str) -> Result<CalendarDate, Problem> {
    from.plus_days(days).ok_or_else(|| {
        let detail = "a date of the answer lies beyond the year 9999";
        Problem::invalid(vec![Fault::new(
            format!("/{field}"),
            FaultCode::OutOfRange,
            detail,
        )])
    })
}

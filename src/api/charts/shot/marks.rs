//! What is marked on the panels of a shot: phases, first drop, stop, faults.

use crate::api::calculations::shot_readings::ShotReadingsResponse;
use crate::api::charts::word;
use crate::api::picture::panel::{LEFT, Panel};
use crate::api::picture::scale::{Scale, Span};
use crate::api::picture::sheet::Sheet;
use crate::api::picture::svg::{Anchor, Area, Marker, Point};
use crate::api::picture::text::width;

/// Names of the phases above the panels, each where there is room for it.
pub(super) fn phase_names(sheet: &mut Sheet, time: Span, answer: &ShotReadingsResponse) {
    let em = sheet.em;
    sheet.used += 0.4 * em;
    let row = sheet.take(LEFT * em, 1.3 * em);
    let x = Scale::new(time, row.left, row.right);
    let y = row.bottom - 0.35 * em;
    let mut free_from = row.left;
    for phase in &answer.phases {
        let (from, to) = (
            x.at(phase.start_s.max(time.low)),
            x.at(phase.end_s.min(time.high)),
        );
        let name = word(&phase.phase);
        let room = width(&name, 0.85 * em);
        // a short phase may lend a little room from its neighbours
        let middle = f64::midpoint(from, to);
        let left = middle - room / 2.0;
        if left >= free_from && to - from > 0.6 * room && left + room <= row.right + 0.3 * em {
            sheet
                .svg
                .text("s", Anchor::Middle, Point::new(middle, y), &name);
            free_from = left + room + 0.6 * em;
        }
        for end in [from, to] {
            let foot = Point::new(end, row.bottom + 0.2 * em);
            sheet
                .svg
                .line("x", Point::new(end, row.bottom - 0.1 * em), foot);
        }
    }
}

/// Draws what is behind the line of a panel.
pub(super) fn draw(
    sheet: &mut Sheet,
    panel: &Panel,
    (answer, is_first): (&ShotReadingsResponse, bool),
) {
    for phase in answer.phases.iter().step_by(2) {
        sheet
            .svg
            .rect("f", panel.between(phase.start_s, phase.end_s));
    }
    if let Some(first_drop_s) = answer.first_drop_s {
        let spread_s = 2.0 * answer.first_drop_uncertainty_s.unwrap_or(0.0);
        let band = panel.between(first_drop_s - spread_s, first_drop_s + spread_s);
        sheet.svg.rect("u", band);
        panel.across_x(sheet, "v", first_drop_s);
    }
    if let Some(shot_time_s) = answer.shot_time_s {
        panel.across_x(sheet, "r", shot_time_s);
    }
    if is_first {
        faults(sheet, panel, answer);
    }
}

fn faults(sheet: &mut Sheet, panel: &Panel, answer: &ShotReadingsResponse) {
    let em = sheet.em;
    let y = panel.area.bottom - 0.7 * em;
    let mut last_x = f64::MIN;
    for fault in &answer.faults {
        let x = panel.x.at(fault.time_s);
        // a row of faults is one mark
        if x - last_x < 0.8 * em {
            continue;
        }
        last_x = x;
        sheet.svg.open_named(&word(&fault.code));
        sheet
            .svg
            .marker("q", (Marker::Triangle, 0.45 * em), Point::new(x, y));
        sheet.svg.close_named();
    }
}

/// Says what the marks are, beside a sample of each.
pub(super) fn legend(sheet: &mut Sheet, answer: &ShotReadingsResponse) {
    let em = sheet.em;
    sheet.used += 0.4 * em;
    let marks = [
        (answer.first_drop_s.is_some(), "first drop", Some("v")),
        (answer.shot_time_s.is_some(), "pump off", Some("r")),
        (!answer.faults.is_empty(), "faulty readings", None),
    ];
    let row = sheet.take(0.0, 1.5 * em);
    let y = row.bottom - 0.4 * em;
    let mut x = row.left;
    for (_, name, class) in marks.into_iter().filter(|(is_there, ..)| *is_there) {
        sample(
            sheet,
            class,
            Area {
                left: x,
                right: x + 1.6 * em,
                ..row
            },
        );
        let at = Point::new(x + 2.0 * em, y);
        sheet.svg.text("n", Anchor::Start, at, name);
        x += 3.2 * em + width(name, 0.85 * em);
    }
}

fn sample(sheet: &mut Sheet, class: Option<&str>, area: Area) {
    let em = sheet.em;
    let y = area.bottom - 0.7 * em;
    match class {
        Some(class) => {
            let (from, to) = (Point::new(area.left, y), Point::new(area.right, y));
            sheet.svg.line(class, from, to);
        }
        None => {
            let at = Point::new(f64::midpoint(area.left, area.right), y);
            sheet.svg.marker("q", (Marker::Triangle, 0.45 * em), at);
        }
    }
}

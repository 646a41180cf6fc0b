//! Labels of points, each where there is room for it.

use super::brew::Brew;
use super::plane::{Plane, text_area};
use crate::api::picture::sheet::Sheet;
use crate::api::picture::svg::{Anchor, Area, Point};
use crate::api::picture::text::shortened;

/// Longest label, in ems.
const LONGEST: f64 = 11.0;

/// Writes the labels of the brews: to the right of a point, to the left, above or below it,
/// whichever is free first; a label that has no room nowhere is not written.
pub(super) fn draw(sheet: &mut Sheet, plane: &Plane, (brews, point): (&[Brew], f64)) {
    let (em, area) = (sheet.em, plane.panel.area);
    let size = 0.85 * em;
    let mut taken: Vec<Area> = plane.written.clone();
    let places = brews
        .iter()
        .map(|brew| plane.panel.at(brew.yield_percent, brew.tds_percent));
    taken.extend(places.map(|at| around(at, point)));
    for brew in brews.iter().filter(|brew| !brew.label.is_empty()) {
        let at = plane.panel.at(brew.yield_percent, brew.tds_percent);
        let label = shortened(&brew.label, size, LONGEST * em);
        let free = candidates(at, em).into_iter().find_map(|(anchor, at)| {
            let place = text_area(&label, (size, anchor), at);
            let is_free = area.holds(&place) && !taken.iter().any(|other| other.overlaps(&place));
            is_free.then_some((anchor, at, place))
        });
        if let Some((anchor, at, place)) = free {
            sheet.svg.text("k", anchor, at, &label);
            taken.push(place);
        }
    }
}

fn around(at: Point, size: f64) -> Area {
    Area {
        left: at.x - size,
        top: at.y - size,
        right: at.x + size,
        bottom: at.y + size,
    }
}

fn candidates(at: Point, em: f64) -> [(Anchor, Point); 4] {
    [
        (Anchor::Start, Point::new(at.x + 0.75 * em, at.y + 0.3 * em)),
        (Anchor::End, Point::new(at.x - 0.75 * em, at.y + 0.3 * em)),
        (Anchor::Middle, Point::new(at.x, at.y - 0.75 * em)),
        (Anchor::Middle, Point::new(at.x, at.y + 1.35 * em)),
    ]
}

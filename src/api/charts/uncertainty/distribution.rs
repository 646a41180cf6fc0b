//! The distribution of a yield: the trials as a histogram, and the first order over it.

use crate::api::calculations::extraction_yield::YieldMonteCarlo;
use crate::api::calculations::extraction_yield::YieldUncertainty;
use crate::api::picture::panel::{Below, MARK, Panel};
use crate::api::picture::scale::Span;
use crate::api::picture::sheet::Sheet;
use crate::api::picture::svg::{Anchor, Area, Point};
use crate::maths::uncertainty::normal;

/// Height of the panel, in ems.
const HEIGHT: f64 = 11.0;
/// Parts of the curve.
const PARTS: u8 = 80;

/// Draws the histogram of the trials beside the normal distribution of the first order.
pub(super) fn draw(
    sheet: &mut Sheet,
    yield_percent: f64,
    (first, trials): (&YieldUncertainty, &YieldMonteCarlo),
) {
    let bins = bins(trials);
    let edges = bins.iter().flat_map(|bin| [bin.low, bin.high]);
    let Some(x) = Span::of(edges).map(Span::opened) else {
        return;
    };
    let normal = |percent: f64| {
        let spread = first.standard_points;
        normal::density((percent - yield_percent) / spread) / spread
    };
    let highest = bins.iter().map(|bin| bin.density);
    let highest = highest.fold(normal(yield_percent), f64::max);
    // both intervals stand above the curve
    let y = Span::new(0.0, highest * 1.35).rounded(HEIGHT / MARK);
    let titles = (
        "density, 1 per point",
        Below::Axis("extraction yield, % of dose"),
    );
    let panel = Panel::draw(sheet, (x, y), titles, HEIGHT);
    sheet.svg.open_window(panel.area);
    for bin in &bins {
        let (foot, top) = (panel.at(bin.low, 0.0), panel.at(bin.high, bin.density));
        let area = Area {
            left: foot.x,
            top: top.y,
            right: top.x,
            bottom: foot.y,
        };
        sheet.svg.rect("i", area);
    }
    let places = (0..=PARTS).map(|part| x.low + x.width() * f64::from(part) / f64::from(PARTS));
    let curve: Vec<_> = places
        .map(|percent| panel.at(percent, normal(percent)))
        .collect();
    sheet.svg.curve("b", &curve);
    sheet.svg.close_window();
    intervals(sheet, &panel, yield_percent, (first, trials));
}

/// A bin of the histogram, as high as the density of the trials in it.
struct Bin {
    low: f64,
    high: f64,
    density: f64,
}

fn bins(trials: &YieldMonteCarlo) -> Vec<Bin> {
    let Some(histogram) = &trials.histogram else {
        return Vec::new();
    };
    let all = f64::from(trials.trials);
    let ends = histogram.edge_percent.windows(2);
    let bins = ends.zip(&histogram.trials).filter_map(|(ends, count)| {
        let &[low, high] = ends else {
            return None;
        };
        // without any spread there is nothing to draw
        let density = f64::from(*count) / (all * (high - low));
        (high > low).then_some(Bin { low, high, density })
    });
    bins.collect()
}

/// Both coverage intervals as bars at the top of the panel.
fn intervals(
    sheet: &mut Sheet,
    panel: &Panel,
    yield_percent: f64,
    (first, trials): (&YieldUncertainty, &YieldMonteCarlo),
) {
    let em = sheet.em;
    let expanded = first.expanded_points;
    let rows = [
        ("a", "trials", trials.low_percent, trials.high_percent),
        (
            "b",
            "first order",
            yield_percent - expanded,
            yield_percent + expanded,
        ),
    ];
    let mut y = panel.area.top + 0.9 * em;
    for (class, name, low, high) in rows {
        let inside = |value: f64| value.clamp(panel.x.span.low, panel.x.span.high);
        let (from, to) = (panel.x.at(inside(low)), panel.x.at(inside(high)));
        sheet
            .svg
            .line(class, Point::new(from, y), Point::new(to, y));
        let at = Point::new(from - 0.5 * em, y + 0.3 * em);
        sheet.svg.text("k", Anchor::End, at, name);
        y += 1.3 * em;
    }
}

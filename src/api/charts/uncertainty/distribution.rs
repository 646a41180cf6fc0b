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
    let Some(histogram) = &trials.histogram else {
        return;
    };
    let edges = &histogram.edge_percent;
    let Some(x) = Span::of(edges.iter().copied()) else {
        return;
    };
    let bins: Vec<_> = edges.windows(2).zip(&histogram.trials).collect();
    let all = f64::from(trials.trials);
    let density = |(ends, count): &(&[f64], &u32)| match ends {
        [low, high] if high > low => f64::from(**count) / (all * (high - low)),
        _ => 0.0,
    };
    let normal = |percent: f64| {
        let spread = first.standard_points;
        normal::density((percent - yield_percent) / spread) / spread
    };
    let highest = bins.iter().map(density).fold(normal(yield_percent), f64::max);
    let y = Span::new(0.0, highest * 1.03).rounded(HEIGHT / MARK);
    let titles = ("density, 1 per point", Below::Axis("extraction yield, % of dose"));
    let panel = Panel::draw(sheet, (x.opened(), y), titles, HEIGHT);
    sheet.svg.open_window(panel.area);
    for bin in &bins {
        if let [low, high] = bin.0 {
            let (foot, top) = (panel.at(*low, 0.0), panel.at(*high, density(bin)));
            let area = Area {
                left: foot.x,
                top: top.y,
                right: top.x,
                bottom: foot.y,
            };
            sheet.svg.rect("i", area);
        }
    }
    let places = (0..=PARTS).map(|part| x.low + x.width() * f64::from(part) / f64::from(PARTS));
    let curve: Vec<_> = places.map(|percent| panel.at(percent, normal(percent))).collect();
    sheet.svg.curve("b", &curve);
    sheet.svg.close_window();
    intervals(sheet, &panel, yield_percent, (first, trials));
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
        ("b", "first order", yield_percent - expanded, yield_percent + expanded),
    ];
    let mut y = panel.area.top + 0.9 * em;
    for (class, name, low, high) in rows {
        let inside = |value: f64| value.clamp(panel.x.span.low, panel.x.span.high);
        let (from, to) = (panel.x.at(inside(low)), panel.x.at(inside(high)));
        sheet.svg.line(class, Point::new(from, y), Point::new(to, y));
        let at = Point::new(from - 0.5 * em, y + 0.3 * em);
        sheet.svg.text("k", Anchor::End, at, name);
        y += 1.3 * em;
    }
}

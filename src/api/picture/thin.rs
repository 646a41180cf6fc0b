//! A line of many readings with no more points than the sheet can show.

use super::svg::Point;

/// The points of a line that can be told apart: of those in one column of the sheet the first,
/// the last, and the highest and lowest, in their order. Short lines pass as they are.
pub(crate) fn thinned(points: &[Point], column: f64) -> Vec<Point> {
    if points.len() < FEW {
        return points.to_vec();
    }
    let mut kept = Vec::new();
    let mut rest = points;
    while let Some(first) = rest.first() {
        let end = rest
            .iter()
            .take_while(|p| p.x < first.x + column && p.x >= first.x);
        let (these, others) = rest.split_at(end.count().max(1));
        keep_extremes(these, &mut kept);
        rest = others;
    }
    kept
}

/// Lines with fewer points are not worth thinning.
const FEW: usize = 400;

fn keep_extremes(points: &[Point], kept: &mut Vec<Point>) {
    let by_height = |a: &&(usize, &Point), b: &&(usize, &Point)| a.1.y.total_cmp(&b.1.y);
    let numbered: Vec<_> = points.iter().enumerate().collect();
    let highest = numbered.iter().min_by(by_height).map(|(place, _)| *place);
    let lowest = numbered.iter().max_by(by_height).map(|(place, _)| *place);
    let mut places = vec![Some(0), highest, lowest, points.len().checked_sub(1)];
    places.sort();
    places.dedup();
    let chosen = places.into_iter().flatten();
    kept.extend(chosen.filter_map(|place| points.get(place)).copied());
}

#[cfg(test)]
mod tests {
    use super::thinned;
    use crate::api::picture::svg::Point;

    #[test]
    fn a_spike_survives_and_most_points_do_not() {
        let mut points: Vec<_> = (0..10_000)
            .map(|place| Point::new(f64::from(place) / 20.0, 5.0))
            .collect();
        points[5_003].y = 90.0;
        let thin = thinned(&points, 1.0);
        assert!(thin.len() < 2_100, "{}", thin.len());
        assert!(thin.contains(&points[5_003]));
        assert_eq!((thin.first(), thin.last()), (points.first(), points.last()));
    }
}

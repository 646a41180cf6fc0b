//! Refractive indices against published values; the source of each stands in its row.

use extraction_maths::maths::quantity::{Brix, RefractiveIndex, Temperature};
use extraction_maths::maths::refraction::sucrose::{sucrose_index, sugar_scale};
use extraction_maths::maths::refraction::warmth::at_twenty;
use extraction_maths::maths::refraction::water_index::{index_in_air, index_in_vacuum};

use super::rows::{Row, rows};
use crate::support::published;

fn celsius(value: f64) -> Temperature {
    Temperature::from_celsius(value).expect("a temperature")
}

fn brix(value: f64) -> Brix {
    Brix::from_percent(value).expect("a reading")
}

fn index(value: f64) -> RefractiveIndex {
    RefractiveIndex::from_ratio(value).expect("an index")
}

/// [iapws1997] verification values, read in an open test suite
#[test]
fn water_has_the_verified_indices() {
    let cold = index_in_vacuum(997.047_435, 298.15, 0.2265);
    published(cold.expect("an index").ratio(), "1.39277824", "1");
    let hot = index_in_vacuum(30.475_853_4, 773.15, 0.5893);
    published(hot.expect("an index").ratio(), "1.00949307", "1");
}

#[test]
fn water_sugar_and_temperature_match_the_table() {
    let mut seen = 0;
    for row in rows("refractometry.csv") {
        let kind = row.id.split('-').nth(1).expect("a kind").to_owned();
        match kind.as_str() {
            "SU" | "IC" => sugar(&row),
            "W" | "ISO1743" => water(&row),
            "OIV" | "LAB" => correction(&row),
            "SYRUP" => syrup(&row),
            // densities, and factors between sugar and coffee, are checked elsewhere
            "SD" | "K" | "SLOPE" | "OD" => continue,
            _ => panic!("{} is not checked", row.id),
        }
        seen += 1;
    }
    assert!(seen > 100, "{seen} rows");
}

/// There, and back within what the table's tolerance is worth.
fn sugar(row: &Row) {
    let percent = row.number("brix");
    let computed = sucrose_index(brix(percent)).expect("an index").ratio();
    row.check(computed);
    let back = sugar_scale(index(computed)).expect("a reading").percent();
    assert!((back - percent).abs() < 1e-10, "{}: {back}", row.id);
    let [printed] = row.expected()[..] else {
        panic!("{}: one index", row.id)
    };
    let read = sugar_scale(index(printed)).expect("a reading").percent();
    assert!(
        (read - percent).abs() < row.tolerance / 1.4e-3,
        "{}: {read}",
        row.id
    );
}

fn water(row: &Row) {
    let temperature = celsius(row.number("T_degC"));
    let in_air = index_in_air(temperature).expect("an index").ratio();
    row.check(if row.id.ends_with('v') {
        // the table's own index of air
        in_air * 1.000_273
    } else {
        in_air
    });
}

fn correction(row: &Row) {
    let reading = brix(row.number("reading_pct"));
    let read = sucrose_index(reading).expect("an index");
    let corrected = at_twenty(read, celsius(row.number("T_degC"))).expect("a reading");
    row.check(corrected.brix.percent() - reading.percent());
}

/// Glucose syrup is no sucrose, but water takes the greater part of its change.
fn syrup(row: &Row) {
    let dry = brix(row.number("dry_pct"));
    let at_20 = sucrose_index(dry).expect("an index").ratio();
    let [change] = row.expected()[..] else {
        panic!("{}: one change", row.id)
    };
    let back = at_twenty(index(at_20 + change), celsius(30.0)).expect("a reading");
    let off = (back.brix.percent() - dry.percent()) / back.by_index;
    assert!(off.abs() <= row.tolerance, "{}: off by {off}", row.id);
}

/// The derivatives against differences of the same function.
#[test]
fn the_derivatives_are_those_of_the_function() {
    for (percent, warm) in [(0.0, 15.0), (3.0, 20.0), (11.0, 26.5), (25.0, 29.0)] {
        let read = sucrose_index(brix(percent)).expect("an index").ratio();
        let at = |n: f64, t: f64| at_twenty(index(n), celsius(t)).expect("a reading");
        let here = at(read, warm);
        let by = |more: f64, less: f64, step: f64| (more - less) / (2.0 * step);
        let by_index = by(
            at(read + 1e-6, warm).brix.percent(),
            at(read - 1e-6, warm).brix.percent(),
            1e-6,
        );
        let by_temperature = by(
            at(read, warm + 0.01).brix.percent(),
            at(read, warm - 0.01).brix.percent(),
            0.01,
        );
        assert!((by_index / here.by_index - 1.0).abs() < 1e-6, "{percent}");
        assert!(
            (by_temperature - here.by_temperature).abs() < 1e-5,
            "{percent}"
        );
    }
}

#[test]
fn what_is_off_the_scale_is_refused() {
    for ratio in [1.0, 1.3, 1.5, 1.6] {
        assert!(sugar_scale(index(ratio)).is_err(), "{ratio}");
        assert!(at_twenty(index(ratio), celsius(25.0)).is_err(), "{ratio}");
    }
    let water = index(1.333);
    assert!(at_twenty(water, celsius(10.0)).is_ok() && at_twenty(water, celsius(30.0)).is_ok());
    assert!(at_twenty(water, celsius(9.99)).is_err() && at_twenty(water, celsius(30.01)).is_err());
}

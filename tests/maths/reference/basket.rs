//! Baskets against measured ones and the trade's capacities.

use extraction_maths::maths::basket::capacity::{
    DoseFit, HEADSPACE_MM, TAMPED_DENSITY_G_PER_ML, bed_in_basket_mm, doses_by_depth,
    doses_by_diameter, doses_by_rating, largest_tamped_depth_mm, tamped_depth_mm,
};
use extraction_maths::maths::basket::geometry::{Basket, bed_area_mm2};
use extraction_maths::maths::quantity::{BulkDensity, Length, Mass};

use super::rows::{Row, rows};
use crate::support::{published, relative};

fn mm(value: f64) -> Length {
    Length::from_millimetres(value).expect("a length")
}

fn tamped() -> BulkDensity {
    BulkDensity::from_grams_per_millilitre(TAMPED_DENSITY_G_PER_ML).expect("a density")
}

fn row(name: &str, id: &str) -> Row {
    let found = rows(name).into_iter().find(|row| row.id == id);
    found.unwrap_or_else(|| panic!("{name} has no {id}"))
}

fn cylinder(row: &Row) -> Basket {
    Basket::straight(mm(row.number("diameter_mm")), mm(row.number("depth_mm"))).expect("a basket")
}

/// Common practice, no source: 58 mm holds 18 to 22 g, 54 mm up to 19 g: 22 (54/58)^2 = 19.07.
#[test]
fn doses_by_diameter_are_those_of_the_trade() {
    let doses = |d| doses_by_diameter(mm(d), tamped()).expect("doses");
    published(doses(58.0).smallest.grams(), "18.000000000000", "g");
    published(doses(58.0).largest.grams(), "22.000000000000", "g");
    published(doses(54.0).smallest.grams(), "15.60", "g");
    published(doses(54.0).largest.grams(), "19.07", "g");
    let gram = |g| Mass::from_grams(g).expect("a dose");
    assert_eq!(doses(58.0).fit(gram(22.0)), DoseFit::Fits);
    assert_eq!(doses(58.0).fit(gram(18.0)), DoseFit::Fits);
    assert_eq!(doses(58.0).fit(gram(22.01)), DoseFit::TooLarge);
    assert_eq!(doses(58.0).fit(gram(17.99)), DoseFit::TooSmall);
}

/// 22 g / 0.55 g/mL = 40 mL over pi 58^2 / 4 = 2642.079 mm2: 15.1396 mm, by hand.
#[test]
fn the_deepest_bed_follows_from_the_largest_dose() {
    published(bed_area_mm2(mm(58.0)), "2642.079", "mm2");
    published(largest_tamped_depth_mm().expect("a depth"), "15.1396", "mm");
}

/// Common practice, no source: the dose stamped on a basket, give or take a gram.
#[test]
fn a_rated_basket_holds_its_rating_give_or_take_a_gram() {
    let doses = doses_by_rating(Mass::from_grams(20.0).expect("a dose")).expect("doses");
    published(doses.smallest.grams(), "19.0", "g");
    published(doses.largest.grams(), "21.0", "g");
    assert!(doses_by_rating(Mass::from_grams(1.05).expect("a dose")).is_err());
}

/// Row B of the measured baskets: the cylinder of its rim and depth.
#[test]
fn the_cylinder_of_a_measured_basket_has_the_computed_volume() {
    let cylinder_b = row("basket.csv", "BK-B-cyl");
    cylinder_b.check(cylinder(&cylinder_b).volume_ml());
}

/// Measured volumes are 2 to 3 % below the cylinders: BK-A-f 0.9691, BK-C-f 0.9774.
#[test]
fn measured_baskets_hold_slightly_less_than_their_cylinders() {
    for (volume, factor) in [
        ("BK-A-vol", Some("BK-A-f")),
        ("BK-B-vol", None),
        ("BK-C-vol", Some("BK-C-f")),
    ] {
        let measured = row("basket.csv", volume);
        let share = measured.expected()[0] / cylinder(&measured).volume_ml();
        assert!(0.965 < share && share < 0.98, "{volume}: {share}");
        if let Some(id) = factor {
            row("basket.csv", id).check(share);
        }
    }
}

/// Nominal dose per brim volume of two stamped baskets: a tapered basket that holds the
/// measured volume, filled to the default headspace, takes its nominal dose within a gram.
#[test]
fn stamped_baskets_take_their_nominal_dose_at_the_default_headspace() {
    for (volume, density) in [("BK-B-vol", "BK-B-n"), ("BK-C-vol", "BK-C-n")] {
        let measured = row("basket.csv", volume);
        let nominal = measured.number("nominal_g");
        row("basket.csv", density).check(nominal / measured.expected()[0]);
        let basket = tapered_to(&measured);
        relative(
            basket.volume_ml(),
            measured.expected()[0],
            1e-12,
            "tapered volume",
        );
        let doses = doses_by_depth(&basket, mm(HEADSPACE_MM), tamped()).expect("doses");
        assert!(
            (doses.largest.grams() - nominal).abs() < 1.0,
            "{volume}: {doses:?}"
        );
        let (_, left) = bed_in_basket_mm(&basket, Mass::from_grams(nominal).unwrap(), tamped());
        assert!(
            (left - HEADSPACE_MM).abs() < 1.0,
            "{volume}: headspace {left}"
        );
    }
}

/// The bottom diameter that gives the measured volume: the root of V's quadratic in it.
fn tapered_to(measured: &Row) -> Basket {
    let (rim, depth) = (measured.number("diameter_mm"), measured.number("depth_mm"));
    let squares = 12_000.0 * measured.expected()[0] / (std::f64::consts::PI * depth);
    let bottom = 0.5 * ((4.0 * squares - 3.0 * rim * rim).sqrt() - rim);
    Basket::tapered(mm(rim), mm(bottom), mm(depth)).expect("a basket")
}

/// Tamped pucks measured by their depth below the rim: the density that comes out is the row's.
#[test]
fn densities_of_measured_pucks_follow_from_their_headspace() {
    for id in ["BK-PUCK-1", "BK-PUCK-3"] {
        let puck = row("basket.csv", id);
        let headspace_ml = bed_area_mm2(mm(puck.number("rim_diameter_mm")))
            * puck.number("depth_below_rim_mm")
            / 1000.0;
        let bed_ml = puck.number("basket_mL") - headspace_ml;
        puck.check(puck.number("dose_g") / bed_ml);
    }
}

/// [cameron2020] bed: radius 29.2 mm, depth 18.7 mm, 20 g. (A wetted bed of the model's
/// porosity: the geometry is checked, the density is not taken over.)
#[test]
fn the_bed_of_a_published_model_has_the_computed_volume() {
    let volume = row("espresso_solids.csv", "ES-CAM-V");
    let (diameter, depth) = (2.0 * volume.number("R_mm"), volume.number("L_mm"));
    let bed = Basket::straight(mm(diameter), mm(depth)).expect("a bed");
    volume.check(bed.volume_ml());
    let density = row("espresso_solids.csv", "ES-CAM-RHO");
    density.check(density.number("dose_g") / bed.volume_ml());
    // and back: that density fills the bed to its depth
    let loose = BulkDensity::from_grams_per_millilitre(20.0 / bed.volume_ml()).expect("a density");
    let dose = Mass::from_grams(20.0).expect("a dose");
    relative(
        tamped_depth_mm(mm(diameter), dose, loose).expect("a depth"),
        depth,
        1e-12,
        "depth",
    );
    // bed depth = phi M / (rho pi R^2): solid grains of 330 kg/m3 of the model's definition
    let length = row("espresso_solids.csv", "ES-CAM-L");
    let dose_of_grains = Mass::from_grams(1e3 * length.number("phi") * length.number("M_kg"));
    let grains = BulkDensity::from_grams_per_millilitre(length.number("rho") / 1e3);
    let found = tamped_depth_mm(
        mm(2e3 * length.number("R_m")),
        dose_of_grains.expect("a mass"),
        grains.expect("a density"),
    );
    length.check(found.expect("a depth"));
}

//! Baskets of every shape.

use extraction_maths::maths::MathsError;
use extraction_maths::maths::basket::capacity::{
    bed_in_basket_mm, doses_by_depth, doses_by_diameter, tamped_depth_mm,
};
use extraction_maths::maths::basket::geometry::Basket;
use extraction_maths::maths::quantity::{BulkDensity, Length, Mass};
use proptest::prelude::*;

use crate::support::relative;

fn mm(value: f64) -> Length {
    Length::from_millimetres(value).expect("a length")
}

fn density(value: f64) -> BulkDensity {
    BulkDensity::from_grams_per_millilitre(value).expect("a density")
}

proptest! {
    #[test]
    fn height_undoes_volume(rim in 30.0..80.0_f64, taper in 0.0..1.0_f64, depth in 5.0..60.0_f64,
                            part in 0.01..1.0_f64) {
        let bottom = 30.0 + (rim - 30.0) * taper;
        let basket = Basket::tapered(mm(rim), mm(bottom), mm(depth)).unwrap();
        let height = basket.height_mm(basket.volume_to_ml(part * depth));
        relative(height, part * depth, 1e-12, "height");
        // between the cylinders of its bottom and of its rim
        let cylinder = |d| Basket::straight(mm(d), mm(depth)).unwrap().volume_ml();
        let slack = 1.0 + 1e-12;
        prop_assert!(cylinder(bottom) <= basket.volume_ml() * slack);
        prop_assert!(basket.volume_ml() <= cylinder(rim) * slack);
    }

    #[test]
    fn the_largest_dose_leaves_the_headspace(rim in 45.0..70.0_f64, taper in 0.0..6.0_f64,
                                             depth in 15.0..40.0_f64, rho in 0.4..0.7_f64) {
        let basket = Basket::tapered(mm(rim), mm(rim - taper), mm(depth)).unwrap();
        let doses = doses_by_depth(&basket, mm(11.0), density(rho)).unwrap();
        let (bed, left) = bed_in_basket_mm(&basket, doses.largest, density(rho));
        relative(left, 11.0, 1e-11, "headspace");
        relative(bed, depth - 11.0, 1e-11, "bed");
        relative(doses.smallest.grams() * 22.0, doses.largest.grams() * 18.0, 1e-12, "span");
    }

    #[test]
    fn doses_of_one_depth_go_with_the_square_of_the_diameter(d in 30.0..40.0_f64) {
        let doses = |d| doses_by_diameter(mm(d), density(0.55)).unwrap().largest;
        relative(doses(2.0 * d).grams(), 4.0 * doses(d).grams(), 1e-12, "dose");
        let depth = |d| tamped_depth_mm(mm(d), doses(d), density(0.55)).unwrap();
        relative(depth(2.0 * d), depth(d), 1e-12, "depth");
    }
}

#[test]
fn shapes_that_are_no_basket_are_refused() {
    assert!(matches!(
        Basket::tapered(mm(54.0), mm(58.0), mm(25.0)),
        Err(MathsError::Inconsistent { .. })
    ));
    for diameter in [29.99, 80.01] {
        assert!(matches!(
            Basket::straight(mm(diameter), mm(25.0)),
            Err(MathsError::OutOfRange { .. })
        ));
        assert!(doses_by_diameter(mm(diameter), density(0.55)).is_err());
    }
    assert!(Basket::straight(mm(30.0), mm(5.0)).is_ok());
    assert!(Basket::straight(mm(80.0), mm(100.0)).is_ok());
    let shallow = Basket::straight(mm(58.0), mm(11.0)).expect("a basket");
    assert!(matches!(
        doses_by_depth(&shallow, mm(11.0), density(0.55)),
        Err(MathsError::Inconsistent { .. })
    ));
}

#[test]
fn a_dose_heaped_above_the_rim_leaves_negative_headspace() {
    let basket = Basket::straight(mm(58.0), mm(20.0)).expect("a basket");
    let (bed, left) = bed_in_basket_mm(&basket, Mass::from_grams(40.0).unwrap(), density(0.55));
    assert!(bed > 20.0 && left < 0.0);
}

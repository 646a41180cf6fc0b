//! Steps and ends of a dial.

use extraction_maths::maths::MathsError;
use extraction_maths::maths::dial_in::{Dial, HigherIs};

const TENTHS: Dial = Dial {
    higher_is: HigherIs::Coarser,
    smallest_step: 0.1,
    micrometres_per_step: None,
    lowest: Some(0.25),
    highest: Some(9.95),
};

#[test]
#[expect(
    clippy::float_cmp,
    reason = "settings on a step are read, so they are exact"
)]
fn a_setting_lands_on_a_step_inside_the_ends() {
    assert_eq!(TENTHS.nearest_step(3.04), 3.0);
    assert_eq!(TENTHS.nearest_step(0.3), 0.3);
    assert_eq!(TENTHS.nearest_step(-5.0), 0.3);
    assert_eq!(TENTHS.nearest_step(50.0), 9.9);
    assert_eq!(TENTHS.steps_around(0.3), [0.3, 0.4]);
    assert_eq!(TENTHS.steps_around(0.31), [0.3, 0.4]);
}

#[test]
fn crossed_ends_and_steps_of_nothing_are_refused() {
    assert_eq!(TENTHS.check(), Ok(()));
    let crossed = Dial {
        lowest: Some(10.0),
        ..TENTHS
    };
    assert!(matches!(
        crossed.check(),
        Err(MathsError::Inconsistent { .. })
    ));
    let still = Dial {
        smallest_step: 0.0,
        ..TENTHS
    };
    assert!(matches!(still.check(), Err(MathsError::OutOfRange { .. })));
}

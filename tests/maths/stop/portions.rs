//! The same readings lead to the same tracker, bit for bit, in however many portions they come.

use extraction_maths::maths::stop::drain::learned;
use extraction_maths::maths::stop::{Taken, Tracker};
use proptest::prelude::*;

use super::figures::settings;
use super::stop_streams::{Draws, Machine, Shot};

fn fresh() -> Tracker {
    Tracker::new(settings(36.0), learned(&[])).expect("settings")
}

/// Taken apart and put together again.
fn carried(tracker: &Tracker) -> Tracker {
    Tracker::from_numbers(&tracker.numbers()).expect("a state of ours")
}

fn bits(tracker: &Tracker) -> Vec<u64> {
    tracker.numbers().iter().map(|n| n.to_bits()).collect()
}

/// Readings of a shot with all that can go wrong, stopped on the way.
fn rough(seed: u64) -> Vec<(f64, f64)> {
    let mut draws = Draws::new(seed);
    let machine = Machine::drawn(&mut draws);
    let mut shot = Shot::drawn(machine, seed);
    let mut readings = Vec::new();
    let (mut shift_s, mut zero_g) = (0.0, 0.0);
    for number in 0..400 {
        let (time_s, reading_g) = shot.next();
        if number == 200 {
            shot.command(time_s);
        }
        let lot = draws.even(0.0, 1.0);
        match () {
            () if lot < 0.01 => shift_s -= draws.even(0.0, 3.0),
            () if lot < 0.02 => zero_g = draws.even(-150.0, 20.0),
            () if lot < 0.05 => continue,
            () => {}
        }
        let bump_g = if lot > 0.98 {
            draws.even(-40.0, 40.0)
        } else {
            0.0
        };
        readings.push((time_s + shift_s, reading_g + zero_g + bump_g));
        if lot > 0.95 {
            // sent a second time
            let from = readings.len().saturating_sub(5);
            readings.extend_from_within(from..);
        }
    }
    readings
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn portions_do_not_matter(seed in 0_u64..10_000, sizes in prop::collection::vec(1_usize..60, 1..40)) {
        let readings = rough(seed);
        let mut whole = fresh();
        let mut expected: Vec<Taken> = Vec::new();
        for (time_s, reading_g) in &readings {
            expected.push(whole.push(*time_s, *reading_g).unwrap());
        }
        let mut found = Vec::new();
        let mut tracker = fresh();
        let (mut rest, mut sizes) = (readings.as_slice(), sizes.iter().cycle());
        while !rest.is_empty() {
            let (portion, later) = rest.split_at((*sizes.next().unwrap()).min(rest.len()));
            tracker = carried(&tracker);
            for (time_s, reading_g) in portion {
                found.push(tracker.push(*time_s, *reading_g).unwrap());
            }
            rest = later;
        }
        prop_assert_eq!(found, expected);
        prop_assert_eq!(bits(&tracker), bits(&whole));
    }

    #[test]
    fn any_readings_leave_a_state_that_can_be_carried_on(
        readings in prop::collection::vec(
            (-3600.0..=86_400.0_f64, prop_oneof![-5000.0..=10_000.0_f64, 0.0..=50.0_f64]), 0..80)
    ) {
        let mut tracker = fresh();
        for (time_s, reading_g) in readings {
            tracker.push(time_s, reading_g).unwrap();
            prop_assert_eq!(bits(&carried(&tracker)), bits(&tracker));
            let outlook = tracker.outlook();
            for value in [outlook.mass_g, outlook.stop_at_s, outlook.stop_uncertainty_s, outlook.final_g, outlook.uncertainty_g] {
                prop_assert!(value.is_none_or(f64::is_finite), "{:?}", outlook);
            }
        }
    }

    #[test]
    fn numbers_that_are_no_state_are_refused_or_answered_with_finite_ones(
        place in any::<prop::sample::Index>(), value in any::<f64>(), seed in 0_u64..50, length in 0_usize..390
    ) {
        let mut tracker = fresh();
        for (time_s, reading_g) in &rough(seed)[..length] {
            tracker.push(*time_s, *reading_g).unwrap();
        }
        let mut numbers = tracker.numbers();
        let place = place.index(numbers.len());
        numbers[place] = value;
        if let Ok(mut forged) = Tracker::from_numbers(&numbers) {
            for step in 0..30 {
                let time_s = 50.0 + f64::from(step) / 10.0;
                forged.push(time_s, 30.0).unwrap();
                let outlook = forged.outlook();
                for value in [outlook.mass_g, outlook.stop_at_s, outlook.stop_uncertainty_s, outlook.final_g, outlook.uncertainty_g] {
                    prop_assert!(value.is_none_or(f64::is_finite), "{} {:?}", place, outlook);
                }
            }
        }
    }
}

#[test]
fn too_few_and_too_many_numbers_are_refused() {
    let numbers = fresh().numbers();
    for length in 0..numbers.len() {
        assert!(
            Tracker::from_numbers(&numbers[..length]).is_err(),
            "{length}"
        );
    }
    assert!(Tracker::from_numbers(&[numbers, vec![0.0]].concat()).is_err());
}

#[test]
fn a_portion_that_is_sent_again_changes_nothing() {
    let mut draws = Draws::new(5);
    let mut shot = Shot::drawn(Machine::drawn(&mut draws), 5);
    let mut tracker = fresh();
    let mut sent = Vec::new();
    for _ in 0..150 {
        let reading = shot.next();
        sent.push(reading);
        tracker.push(reading.0, reading.1).expect("a reading");
        let before = bits(&tracker);
        for (time_s, reading_g) in sent.iter().rev().take(8).rev() {
            let taken = tracker.push(*time_s, *reading_g).expect("a reading");
            assert!(!taken.is_used && taken.fault.is_none());
        }
        assert_eq!(bits(&tracker), before);
    }
}

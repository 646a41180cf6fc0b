//! Heat balances: conservation, order, limits, edges.

use extraction_maths::maths::MathsError;
use extraction_maths::maths::heat::cooling::{Cooling, temperature_after};
use extraction_maths::maths::heat::heating::{Heater, heating_heat, heating_time};
use extraction_maths::maths::heat::milk::{
    Composition, MILK_FAT_PERCENT, MILK_TEMPERATURE, Milk, enthalpy_rise, heat_capacity,
};
use extraction_maths::maths::heat::milk_density::milk_density;
use extraction_maths::maths::heat::mixing::{Body, mixed_temperature, pouring_temperature};
use extraction_maths::maths::heat::refill::refilled_temperature;
use extraction_maths::maths::heat::steaming::{
    Steam, condensate, recovery_heat, steam_enthalpy, steaming_heat,
};
use extraction_maths::maths::quantity::{
    Duration, Heat, HeatCapacity, Mass, MassFraction, Power, Pressure, SpecificEnthalpy,
    Temperature,
};
use proptest::prelude::*;

fn celsius(value: f64) -> Temperature {
    Temperature::from_celsius(value).unwrap()
}

fn grams(value: f64) -> Mass {
    Mass::from_grams(value).unwrap()
}

fn part(value: f64) -> MassFraction {
    MassFraction::from_fraction(value).unwrap()
}

fn capacity(value: f64) -> HeatCapacity {
    HeatCapacity::from_kilojoules_per_kilogram_kelvin(value).unwrap()
}

fn body((mass, specific, at): (f64, f64, f64)) -> Body {
    Body {
        mass: grams(mass),
        capacity: capacity(specific),
        temperature: celsius(at),
    }
}

fn sea() -> Pressure {
    Pressure::from_hectopascals(1013.25).unwrap()
}

fn any_body() -> impl Strategy<Value = (f64, f64, f64)> {
    (1.0..5000.0f64, 0.4..4.3f64, 0.0..150.0f64)
}

proptest! {
    #[test]
    fn mixing_conserves_heat_and_lies_between(list in proptest::collection::vec(any_body(), 1..6)) {
        let bodies: Vec<_> = list.iter().copied().map(body).collect();
        let mixed = mixed_temperature(&bodies).unwrap();
        let (low, high) = list.iter().fold((f64::MAX, f64::MIN), |(low, high), b| (low.min(b.2), high.max(b.2)));
        prop_assert!(low - 1e-9 <= mixed.celsius() && mixed.celsius() <= high + 1e-9);
        let left: f64 = bodies.iter().map(|b| b.heat_to(mixed).unwrap().kilojoules()).sum();
        prop_assert!(left.abs() < 1e-8, "{left} kJ");
    }

    #[test]
    fn pouring_is_the_inverse_of_mixing(water in any_body(), other in any_body()) {
        let (water, other) = (body(water), body(other));
        let mixed = mixed_temperature(&[water, other]).unwrap();
        // a thimble of water would need temperatures that nothing can have
        if let Ok(back) = pouring_temperature((water.mass, water.capacity), &[other], mixed) {
            let scale = 1.0 + other.mass.grams() / water.mass.grams();
            prop_assert!((back.celsius() - water.temperature.celsius()).abs() < 1e-9 * scale);
        }
    }

    #[test]
    fn cooling_twice_is_cooling_for_both_waits(start in 0.0..150.0f64, around in 0.0..40.0f64, tau in 100.0..9000.0f64, wait in 0.0..5000.0f64) {
        let cooling = Cooling {
            surroundings: celsius(around),
            time_constant: Duration::from_seconds(tau).unwrap(),
        };
        let after = |from, seconds| {
            temperature_after(from, cooling, Duration::from_seconds(seconds).unwrap()).unwrap()
        };
        let once = after(celsius(start), 2.0 * wait).celsius();
        let twice = after(after(celsius(start), wait), wait).celsius();
        prop_assert!((once - twice).abs() < 1e-9);
        prop_assert!(start.min(around) - 1e-9 <= once && once <= start.max(around) + 1e-9);
    }

    #[test]
    fn milk_between_two_fats_lies_between_them_and_adds_up(percent in 0.0..12.25f64) {
        let composition = Composition::of_fat(MassFraction::from_percent(percent).unwrap()).unwrap();
        let total: f64 = composition.parts().iter().sum();
        prop_assert!((total - 1.0).abs() < 1e-12);
        let of = |composition: &Composition| {
            enthalpy_rise(composition, celsius(4.0), celsius(65.0)).unwrap().kilojoules_per_kilogram()
        };
        let richest = Composition::of_fat(MassFraction::from_percent(12.25).unwrap()).unwrap();
        let leanest = Composition::of_fat(MassFraction::from_percent(0.0).unwrap()).unwrap();
        prop_assert!(of(&richest) <= of(&composition) && of(&composition) <= of(&leanest));
    }

    #[test]
    fn condensate_balances_milk_and_steam(
        mass in 10.0..2000.0f64, from in 0.0..30.0f64, rise in 1.0..60.0f64,
        boiler in 101.0..198.0f64, quality in 0.5..1.0f64, loss in 0.0..1.0f64,
    ) {
        let milk = Milk::Whole.composition();
        let end = celsius(from + rise);
        let taken = enthalpy_rise(&milk, celsius(from), end).unwrap();
        let none = Heat::from_kilojoules(0.0).unwrap();
        let heat = steaming_heat((grams(mass), taken), none, part(loss)).unwrap();
        let steam = Steam { boiler: celsius(boiler), quality: part(quality) };
        let enthalpy = steam_enthalpy(steam).unwrap();
        let steam_mass = condensate(heat, enthalpy, (end, sea())).unwrap();
        // more milk needs more steam, in proportion
        let twice = steaming_heat((grams(2.0 * mass), taken), none, part(loss)).unwrap();
        let double = condensate(twice, enthalpy, (end, sea())).unwrap();
        prop_assert!((double.grams() / steam_mass.grams() - 2.0).abs() < 1e-9);
        // wetter steam gives less heat, so more of it condenses
        let wetter = Steam { quality: part(quality * 0.5 + 0.25), ..steam };
        let wet = condensate(heat, steam_enthalpy(wetter).unwrap(), (end, sea())).unwrap();
        prop_assert!(wet.grams() >= steam_mass.grams());
        // the heater makes at least what the milk took
        let recovery = recovery_heat(steam_mass, steam, celsius(0.0)).unwrap();
        prop_assert!(recovery.kilojoules() > heat.kilojoules());
    }

    #[test]
    fn a_refilled_boiler_lies_between_and_cold_water_cools(boiler in 90.0..198.0f64, cold in 1.0..80.0f64, share in 0.01..1.0f64) {
        let hot = (grams(1000.0), celsius(boiler));
        let mixed = refilled_temperature(hot, (grams(1000.0 * share), celsius(cold))).unwrap();
        prop_assert!(cold < mixed.celsius() && mixed.celsius() < boiler);
        let more = refilled_temperature(hot, (grams(1100.0 * share), celsius(cold))).unwrap();
        prop_assert!(more < mixed);
    }
}

#[test]
fn density_of_milk_falls_with_temperature_and_with_fat() {
    for percent in [0.0, 1.0, 3.25, 3.6, 8.0, 12.25] {
        let at = |percent: f64, t: f64| {
            let fat = MassFraction::from_percent(percent).unwrap();
            let density = milk_density(fat, celsius(t)).unwrap();
            density.kilograms_per_cubic_metre()
        };
        for step in 0..100 {
            let t = f64::from(step);
            assert!(
                at(percent, t + 1.0) <= at(percent, t),
                "{percent} % at {t} °C"
            );
            assert!(at(percent, t) <= at(0.0, t));
        }
        // no jump where the table ends
        assert!((at(percent, 38.9) - at(percent, 38.900_001)).abs() < 1e-5);
    }
}

#[test]
fn both_ends_are_taken_and_what_lies_outside_is_refused() {
    let milk = Milk::Skim.composition();
    for t in [MILK_TEMPERATURE.min, MILK_TEMPERATURE.max] {
        assert!(heat_capacity(&milk, celsius(t)).is_ok());
        assert!(milk_density(part(0.03), celsius(t)).is_ok());
    }
    for t in [
        MILK_TEMPERATURE.min.next_down(),
        MILK_TEMPERATURE.max.next_up(),
    ] {
        let refused = |error| matches!(error, MathsError::OutOfRange { .. });
        assert!(refused(heat_capacity(&milk, celsius(t)).unwrap_err()));
        assert!(refused(
            enthalpy_rise(&milk, celsius(4.0), celsius(t)).unwrap_err()
        ));
        assert!(refused(milk_density(part(0.03), celsius(t)).unwrap_err()));
    }
    let richest = MILK_FAT_PERCENT.max;
    assert!(Composition::of_fat(MassFraction::from_percent(richest).unwrap()).is_ok());
    assert!(Composition::of_fat(MassFraction::from_percent(12.3).unwrap()).is_err());
}

#[test]
fn what_cannot_be_is_refused_by_name() {
    let milk = Milk::Skim.composition();
    let cooled = enthalpy_rise(&milk, celsius(60.0), celsius(10.0)).unwrap_err();
    assert!(matches!(cooled, MathsError::Inconsistent { .. }));
    let heat = Heat::from_kilojoules(40.0).unwrap();
    let cool_steam = SpecificEnthalpy::from_kilojoules_per_kilogram(200.0).unwrap();
    let no_heat = condensate(heat, cool_steam, (celsius(60.0), sea())).unwrap_err();
    assert!(matches!(no_heat, MathsError::NoSolution { .. }));
    let boiling = condensate(heat, cool_steam, (celsius(100.0), sea())).unwrap_err();
    assert!(matches!(boiling, MathsError::Inconsistent { .. }));
}

#[test]
fn what_nothing_comes_of_is_refused_by_name() {
    let (heat, below) = (
        Heat::from_kilojoules(40.0).unwrap(),
        Heat::from_kilojoules(-1.0).unwrap(),
    );
    let heater = Heater {
        power: Power::from_watts(2000.0).unwrap(),
        efficiency: part(0.0),
    };
    assert!(matches!(
        heating_time(heat, heater),
        Err(MathsError::NoSolution { .. })
    ));
    let heater = Heater {
        efficiency: part(1.0),
        ..heater
    };
    assert!(matches!(
        heating_time(below, heater),
        Err(MathsError::NoSolution { .. })
    ));
    assert!(matches!(
        mixed_temperature(&[]),
        Err(MathsError::NoSolution { .. })
    ));
    let nothing = (grams(0.0), capacity(4.2));
    let poured = pouring_temperature(nothing, &[], celsius(90.0));
    assert!(matches!(poured, Err(MathsError::NoSolution { .. })));
    let empty = (grams(0.0), celsius(120.0));
    assert!(matches!(
        refilled_temperature(empty, empty),
        Err(MathsError::NoSolution { .. })
    ));
    let hotter = refilled_temperature((grams(1.0), celsius(100.0)), (grams(1.0), celsius(120.0)));
    assert!(matches!(hotter, Err(MathsError::Inconsistent { .. })));
}

/// Heating there in two steps takes the heat of one, and none for standing still.
#[test]
fn heats_add_up_along_the_way() {
    let kettle = Some((grams(800.0), capacity(0.5)));
    let heat = |from: f64, to: f64| {
        let heat = heating_heat(grams(1000.0), kettle, celsius(from), celsius(to)).unwrap();
        heat.kilojoules()
    };
    assert!((heat(10.0, 50.0) + heat(50.0, 93.0) - heat(10.0, 93.0)).abs() < 1e-9);
    assert!(heat(50.0, 50.0).abs() < 1e-12);
    assert!((heat(10.0, 93.0) + heat(93.0, 10.0)).abs() < 1e-9);
}

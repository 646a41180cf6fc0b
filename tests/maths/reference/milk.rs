//! Milk and the steam that heats it: [choi1986], [sherbon1988], [milk-density], [iapws2012]; rows
//! in tests/data, see docs/REFERENCES.md.

use extraction_maths::maths::air::atmosphere::air_pressure;
use extraction_maths::maths::heat::milk::{Composition, Milk, enthalpy_rise, heat_capacity};
use extraction_maths::maths::heat::milk_density::milk_density;
use extraction_maths::maths::heat::steaming::{
    Steam, condensate, recovery_heat, steam_enthalpy, steaming_heat,
};
use extraction_maths::maths::heat::{heating, mixing::Body};
use extraction_maths::maths::quantity::{
    GaugePressure, GeopotentialAltitude, HeatCapacity, Mass, MassFraction, Power, SpecificEnthalpy,
    Temperature,
};
use extraction_maths::maths::water::gauge::boiling_temperature_under;

use crate::support::{Row, cell, published, relative, table};

/// The same equations evaluated by other programs, relative.
const SAME_EQUATIONS: f64 = 1e-9;

fn celsius(value: f64) -> Temperature {
    Temperature::from_celsius(value).unwrap()
}

fn part(value: f64) -> MassFraction {
    MassFraction::from_fraction(value).unwrap()
}

fn milk(name: &str) -> Milk {
    match name {
        "skim" => Milk::Skim,
        "lowfat1" => Milk::LowFat,
        "reduced2" => Milk::ReducedFat,
        "whole" => Milk::Whole,
        other => panic!("no milk {other}"),
    }
}

/// Rise of the milk's enthalpy as the row has it.
fn rise(row: &Row) -> SpecificEnthalpy {
    let (from, to) = (cell(row, "t1_c"), cell(row, "t2_c"));
    if row["kind"] == "const_cp" {
        let rise = cell(row, "cp_const_kj_kgk") * (to - from);
        return SpecificEnthalpy::from_kilojoules_per_kilogram(rise).unwrap();
    }
    let composition = milk(&row["milk"]).composition();
    enthalpy_rise(&composition, celsius(from), celsius(to)).unwrap()
}

fn jug(row: &Row) -> Body {
    let specific = cell(row, "jug_cp_kj_kgk");
    Body {
        mass: Mass::from_grams(cell(row, "jug_g")).unwrap(),
        capacity: HeatCapacity::from_kilojoules_per_kilogram_kelvin(specific).unwrap(),
        temperature: celsius(cell(row, "jug_t1_c")),
    }
}

#[test]
fn every_row_of_steamed_milk_is_matched() {
    for row in table("choi1986_milk.csv") {
        let check = |computed: f64, column: &str| {
            let name = format!("{} {column}", row["id"]);
            relative(computed, cell(&row, column), SAME_EQUATIONS, &name);
        };
        let altitude = GeopotentialAltitude::from_metres(cell(&row, "geopotential_m")).unwrap();
        let air = air_pressure(altitude).unwrap();
        let gauge = GaugePressure::from_bar(cell(&row, "p_gauge_bar")).unwrap();
        let boiler = boiling_temperature_under(gauge, air).unwrap();
        check(boiler.celsius(), "t_boiler_c");
        let rise = rise(&row);
        check(rise.kilojoules_per_kilogram(), "dh_milk_kj_kg");
        let steam = Steam {
            boiler,
            quality: part(cell(&row, "dryness")),
        };
        let enthalpy = steam_enthalpy(steam).unwrap();
        check(enthalpy.kilojoules_per_kilogram(), "h_steam_kj_kg");
        let end = celsius(cell(&row, "t2_c"));
        let jug = jug(&row).heat_to(end).unwrap();
        let mass = Mass::from_grams(cell(&row, "m_milk_g")).unwrap();
        let loss = part(cell(&row, "loss_fraction"));
        let heat = steaming_heat((mass, rise), jug, loss).unwrap();
        check(heat.kilojoules(), "energy_kj");
        let taken = condensate(heat, enthalpy, (end, air)).unwrap();
        check(taken.grams(), "condensate_g");
        let share = 100.0 * taken.grams() / mass.grams();
        check(share, "condensate_pct_of_milk");
        let of_drink = 100.0 * taken.grams() / (mass.grams() + taken.grams());
        check(of_drink, "dilution_pct_of_total");
        let heater = heating::Heater {
            power: Power::from_watts(cell(&row, "boiler_power_w")).unwrap(),
            efficiency: part(cell(&row, "boiler_efficiency")),
        };
        let recovery = recovery_heat(taken, steam, celsius(cell(&row, "feed_t_c"))).unwrap();
        let time = heating::heating_time(recovery, heater).unwrap();
        check(time.seconds(), "time_s");
    }
}

/// [sherbon1988] section 11.9: measured heat capacities, kJ/(kg K). The sum over the parts is
/// within +1.1 % and -1.7 % of them.
#[test]
fn heat_capacities_are_near_the_measured_ones() {
    for (name, at, measured) in [
        ("skim", 1.0, 3.906),
        ("skim", 50.0, 3.993),
        ("skim", 80.0, 4.052),
        ("whole", 80.0, 3.931),
    ] {
        let composition = milk(name).composition();
        let capacity = heat_capacity(&composition, celsius(at)).unwrap();
        let off = capacity.kilojoules_per_kilogram_kelvin() / measured - 1.0;
        assert!(-0.0175 <= off && off <= 0.0115, "{name} at {at} °C: {off}");
    }
}

/// [choi1986] by hand for skim at 50 °C, term by term:
/// water .9084 (4.1762 - .0045432 + .01368275) = 3.801 961; protein .0337 (2.0082 + .060445 -
/// .00328225) = .069 603; fat .0008 (1.9842 + .073665 - .012002) = .001 637; carbohydrate .0496
/// (1.5488 + .098125 - .01484975) = .080 951; ash .0075 (1.0926 + .09448 - .00920425) = .008 834
#[test]
fn heat_capacity_of_skim_at_50_celsius_is_the_sum_done_by_hand() {
    let skim = heat_capacity(&Milk::Skim.composition(), celsius(50.0)).unwrap();
    published(
        skim.kilojoules_per_kilogram_kelvin(),
        "3.96299",
        "kJ/(kg K)",
    );
}

/// [choi1986] second route: the trapezium rule over the heat capacity
#[test]
fn rise_of_enthalpy_is_the_area_under_the_heat_capacity() {
    for name in ["skim", "lowfat1", "reduced2", "whole"] {
        let composition = milk(name).composition();
        let at = |t: f64| {
            let capacity = heat_capacity(&composition, celsius(t)).unwrap();
            capacity.kilojoules_per_kilogram_kelvin()
        };
        let area: f64 = (0..1000)
            .map(|step| {
                let t = f64::from(step) * 0.1;
                0.05 * (at(t) + at(t + 0.1))
            })
            .sum();
        let rise = enthalpy_rise(&composition, celsius(0.0), celsius(100.0)).unwrap();
        relative(rise.kilojoules_per_kilogram(), area, 1e-7, name);
    }
}

/// [milk-density], all twelve of its values in kg/L
#[test]
fn densities_are_those_of_the_table() {
    for (fat, printed) in [
        (0.0, ["1.036", "1.035", "1.033", "1.026"]),
        (3.6, ["1.033", "1.032", "1.029", "1.022"]),
        (12.25, ["1.027", "1.025", "1.020", "1.010"]),
    ] {
        for (at, printed) in [4.4, 10.0, 20.0, 38.9].into_iter().zip(printed) {
            let fat = MassFraction::from_percent(fat).unwrap();
            let density = milk_density(fat, celsius(at)).unwrap();
            published(
                density.kilograms_per_cubic_metre() / 1000.0,
                printed,
                "kg/L",
            );
        }
    }
}

/// [usda-milk], from memory: the fat of each milk gives back its composition
#[test]
fn a_milk_is_the_milk_of_its_fat() {
    for sold in Milk::ALL {
        let composition = sold.composition();
        let again = Composition::of_fat(composition.fat().unwrap()).unwrap();
        for (one, other) in composition.parts().into_iter().zip(again.parts()) {
            relative(one, other, 1e-12, "a part");
        }
        relative(composition.parts().iter().sum(), 1.0, 1e-12, "all parts");
    }
}

/// Worked by hand: 200 g of whole milk take 0.2 × 237.916 = 47.583 kJ from 4 to 65 °C; steam of
/// 1.2 bar gauge (h = 2710.894) becomes water of 65 °C (h = 272.142): 47 583 / 2438.752 = 19.511 g
#[test]
fn the_worked_example_comes_out() {
    let drink = (
        celsius(65.0),
        air_pressure(GeopotentialAltitude::from_metres(0.0).unwrap()).unwrap(),
    );
    let milk = Milk::Whole.composition();
    let rise = enthalpy_rise(&milk, celsius(4.0), celsius(65.0)).unwrap();
    let jug = extraction_maths::maths::quantity::Heat::from_kilojoules(0.0).unwrap();
    let mass = Mass::from_grams(200.0).unwrap();
    let heat = steaming_heat((mass, rise), jug, part(0.0)).unwrap();
    let steam = SpecificEnthalpy::from_kilojoules_per_kilogram(2710.894).unwrap();
    published(heat.kilojoules(), "47.583", "kJ");
    published(
        condensate(heat, steam, drink).unwrap().grams(),
        "19.511",
        "g",
    );
}

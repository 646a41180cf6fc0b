//! Exercises about boiling, steam and heat.

use super::super::diagnosis::DiagnosisCode as Code;
use super::super::topic::Change::{Drop, Less, Move, Set, Swap};
use super::super::topic::{Draw, Fixed, Slip, Variant, ask, ask_to, ask_within, between, slip};

const AT_SEA: Slip = slip(
    Code::SeaLevelAssumed,
    &[Set("altitude_m", Fixed::Number(0.0))],
);
const IN_FEET: Slip = slip(Code::FeetForMetres, &[Move("altitude_m", "altitude_ft")]);
/// 1 bar is 1000 hPa.
const AS_ABSOLUTE: Slip = slip(
    Code::GaugeForAbsolute,
    &[Less("pressure_bar", "station_pressure_hpa", 0.001)],
);

pub(super) const WATER_TEMPERATURE: &[Variant] = &[
    Variant {
        level: 1,
        told: "A barometer in the bar shows {station_pressure_hpa}. Water at {target_temperature_c} is wanted from an open kettle, which is kept half a degree below boiling at least. Use steam tables.",
        fixed: &[],
        draws: &[
            between("station_pressure_hpa", (720, 830), 0),
            between("target_temperature_c", (920, 960), 1),
        ],
        asks: &[
            ask("boiling_point_c"),
            ask("recommended_open_kettle_temperature_c"),
        ],
        slips: &[slip(
            Code::SeaLevelAssumed,
            &[Set("station_pressure_hpa", Fixed::Number(1013.25))],
        )],
    },
    Variant {
        level: 2,
        told: "A mountain station lies at {altitude_m}. Water at {target_temperature_c} is wanted. Take the pressure from the standard atmosphere and the boiling point from steam tables.",
        fixed: &[],
        draws: &[
            between("altitude_m", (1800, 3200), 0),
            between("target_temperature_c", (930, 960), 1),
        ],
        asks: &[
            ask("air_pressure_hpa"),
            ask_within("boiling_point_c", "boiling_point_uncertainty_c"),
            ask_to("flash_percent", 2),
        ],
        slips: &[IN_FEET, AT_SEA],
    },
    Variant {
        level: 3,
        told: "A barometer shows {station_pressure_hpa}, and the gauge of an espresso machine {brew_pressure_bar}. The brew water is at {target_temperature_c}.",
        fixed: &[],
        draws: &[
            between("station_pressure_hpa", (740, 1010), 0),
            between("brew_pressure_bar", (60, 95), 1),
            between("target_temperature_c", (920, 960), 1),
        ],
        asks: &[
            ask_to("absolute_pressure_hpa", 4),
            ask_to("boiling_point_under_pressure_c", 4),
            ask_to("altitude_where_target_boils_m", 2),
        ],
        slips: &[slip(
            Code::GaugeForAbsolute,
            &[Less("brew_pressure_bar", "station_pressure_hpa", 0.001)],
        )],
    },
];

pub(super) const STEAM_BOILER: &[Variant] = &[
    Variant {
        level: 1,
        told: "The gauge of a steam boiler shows {pressure_bar} where a barometer shows {station_pressure_hpa}. The steam is saturated. Use steam tables.",
        fixed: &[],
        draws: &[
            between("pressure_bar", (90, 150), 2),
            between("station_pressure_hpa", (740, 1020), 0),
        ],
        asks: &[ask_to("boiler_pressure_hpa", 4), ask_to("temperature_c", 4)],
        slips: &[AS_ABSOLUTE],
    },
    Variant {
        level: 2,
        told: "Water and steam in a boiler are at {temperature_c}, at an altitude of {altitude_m}. Take the pressure of the air from the standard atmosphere. How much does the gauge show?",
        fixed: &[],
        draws: &[
            between("temperature_c", (118, 130), 0),
            between("altitude_m", (1500, 3000), 0),
        ],
        asks: &[
            ask("air_pressure_hpa"),
            ask("boiler_pressure_hpa"),
            ask("pressure_bar"),
        ],
        slips: &[AT_SEA, IN_FEET],
    },
    Variant {
        level: 3,
        told: "The gauge of a boiler shows {pressure_bar} where a barometer shows {station_pressure_hpa}. Find the enthalpies of the water and the steam in it, and the share of the water that would flash to steam if its pressure were lost.",
        fixed: &[],
        draws: &[
            between("pressure_bar", (90, 150), 2),
            between("station_pressure_hpa", (740, 1020), 0),
        ],
        asks: &[
            ask("water_enthalpy_kj_per_kg"),
            ask("steam_enthalpy_kj_per_kg"),
            ask("latent_heat_kj_per_kg"),
            ask_to("flash_percent", 2),
        ],
        slips: &[AS_ABSOLUTE],
    },
];

const MILKS: &[&str] = &["skim", "low_fat", "reduced_fat", "whole"];

pub(super) const MILK_STEAMING: &[Variant] = &[
    Variant {
        level: 1,
        told: "{milk_mass_g} of {milk_id} milk are warmed by steam from {start_temperature_c} to {final_temperature_c}. The gauge of the boiler shows {pressure_bar}, a barometer {station_pressure_hpa}. The steam is dry, and no heat is lost.",
        fixed: &[],
        draws: &[
            between("milk_mass_g", (120, 300), 0),
            Draw::Word("milk_id", MILKS),
            between("start_temperature_c", (30, 60), 1),
            between("final_temperature_c", (550, 640), 1),
            between("pressure_bar", (100, 140), 2),
            between("station_pressure_hpa", (740, 1020), 0),
        ],
        asks: &[
            ask("heat_kj"),
            ask("steam_condensed_g"),
            ask("final_mass_g"),
        ],
        slips: &[slip(
            Code::RiseFromZero,
            &[Set("start_temperature_c", Fixed::Number(0.0))],
        )],
    },
    Variant {
        level: 2,
        told: "{milk_mass_g} of {milk_id} milk are warmed by steam from {start_temperature_c} to {final_temperature_c}. The gauge of the boiler shows {pressure_bar}, a barometer {station_pressure_hpa}. Of the steam's mass the fraction {steam_quality} is vapour, and the fraction {loss_fraction} of the heat is lost besides.",
        fixed: &[],
        draws: &[
            between("milk_mass_g", (120, 300), 0),
            Draw::Word("milk_id", MILKS),
            between("start_temperature_c", (30, 60), 1),
            between("final_temperature_c", (550, 640), 1),
            between("pressure_bar", (100, 140), 2),
            between("station_pressure_hpa", (740, 1020), 0),
            between("steam_quality", (90, 98), 2),
            between("loss_fraction", (5, 15), 2),
        ],
        asks: &[
            ask("heat_kj"),
            ask("steam_enthalpy_kj_per_kg"),
            ask("steam_condensed_g"),
            ask("condensate_percent_of_drink"),
        ],
        slips: &[
            slip(Code::LossForgotten, &[Drop("loss_fraction")]),
            slip(Code::WetSteamForgotten, &[Drop("steam_quality")]),
        ],
    },
];

const NO_VESSEL: Slip = slip(
    Code::VesselForgotten,
    &[
        Drop("vessel_mass_g"),
        Drop("vessel_specific_heat_kj_per_kg_k"),
        Drop("vessel_temperature_c"),
    ],
);

pub(super) const SLURRY_TEMPERATURE: &[Variant] = &[
    Variant {
        level: 1,
        told: "{water_mass_g} of water at {water_temperature_c} are poured on {dose_g} of coffee at {coffee_temperature_c}. No heat is lost. Take 4.2 kJ/(kg K) for water and 1.6 kJ/(kg K) for coffee.",
        fixed: &[],
        draws: &[
            between("water_mass_g", (200, 500), 0),
            between("water_temperature_c", (900, 980), 1),
            between("dose_g", (150, 320), 1),
            between("coffee_temperature_c", (170, 250), 1),
        ],
        asks: &[ask("slurry_temperature_c"), ask_to("heat_to_coffee_kj", 2)],
        slips: &[
            slip(Code::SwappedMasses, &[Swap("water_mass_g", "dose_g")]),
            slip(
                Code::SwappedTemperatures,
                &[Swap("water_temperature_c", "coffee_temperature_c")],
            ),
        ],
    },
    Variant {
        level: 2,
        told: "{water_mass_g} of water at {water_temperature_c} are poured on {dose_g} of coffee at {coffee_temperature_c} in a vessel of {vessel_mass_g} at {vessel_temperature_c}, whose specific heat is {vessel_specific_heat_kj_per_kg_k}. Nothing is lost to the air. Take 4.2 kJ/(kg K) for water and 1.6 kJ/(kg K) for coffee.",
        fixed: &[],
        draws: &[
            between("water_mass_g", (250, 500), 0),
            between("water_temperature_c", (900, 980), 1),
            between("dose_g", (150, 320), 1),
            between("coffee_temperature_c", (170, 250), 1),
            between("vessel_mass_g", (150, 450), 0),
            between("vessel_specific_heat_kj_per_kg_k", (75, 90), 2),
            between("vessel_temperature_c", (200, 600), 1),
        ],
        asks: &[
            ask("slurry_temperature_c"),
            ask("heat_from_water_kj"),
            ask("heat_to_vessel_kj"),
        ],
        slips: &[
            NO_VESSEL,
            slip(Code::SwappedMasses, &[Swap("water_mass_g", "dose_g")]),
            slip(
                Code::SwappedTemperatures,
                &[Swap("vessel_temperature_c", "coffee_temperature_c")],
            ),
        ],
    },
];

//! Exercises about heat: milk under steam, and water on coffee.

use super::super::diagnosis::DiagnosisCode as Code;
use super::super::topic::Change::{Drop, Set, Swap};
use super::super::topic::{Ask, Draw, Fixed, Slip, Variant, ask, between, slip};

const HEAT: Ask = ask("heat_kj", "the heat that the steam has to bring");
const CONDENSED: Ask = ask("steam_condensed_g", "the mass of steam that condenses");
const STEAM: Ask = ask("steam_enthalpy_kj_per_kg", "the enthalpy of the steam");
const LOSS_FORGOTTEN: Slip = slip(Code::LossForgotten, &[Drop("loss_fraction")]);
const WET_STEAM_FORGOTTEN: Slip = slip(Code::WetSteamForgotten, &[Drop("steam_quality")]);

const MILK: Draw = between("milk_mass_g", (120, 300), 0);
const SPECIFIC: Draw = between("milk_specific_heat_kj_per_kg_k", (385, 395), 2);
const COLD: Draw = between("start_temperature_c", (30, 60), 1);
const WARM: Draw = between("final_temperature_c", (550, 640), 1);
const GAUGE: Draw = between("pressure_bar", (100, 140), 2);
const BAROMETER: Draw = between("station_pressure_hpa", (740, 1020), 0);
const QUALITY: Draw = between("steam_quality", (90, 98), 2);
const LOSS: Draw = between("loss_fraction", (5, 15), 2);

pub(super) const MILK_STEAMING: &[Variant] = &[
    Variant {
        level: 1,
        told: "{milk_mass_g} of milk, of a specific heat of {milk_specific_heat_kj_per_kg_k}, are warmed by steam from {start_temperature_c} to {final_temperature_c}. The gauge of the boiler shows {pressure_bar}, and a barometer {station_pressure_hpa}. The steam is dry and saturated, its water ends as warm as the milk, and no heat is lost. Use steam tables.",
        fixed: &[],
        draws: &[MILK, SPECIFIC, COLD, WARM, GAUGE, BAROMETER],
        asks: &[
            HEAT,
            CONDENSED,
            ask("final_mass_g", "the mass of the drink"),
        ],
        slips: &[slip(
            Code::RiseFromZero,
            &[Set("start_temperature_c", Fixed::Number(0.0))],
        )],
    },
    Variant {
        level: 2,
        told: "{milk_mass_g} of milk, of a specific heat of {milk_specific_heat_kj_per_kg_k}, are warmed by steam from {start_temperature_c} to {final_temperature_c}. The gauge of the boiler shows {pressure_bar}, and a barometer {station_pressure_hpa}. Of the mass of the steam the fraction {steam_quality} is vapour, and the rest is water as hot as the boiler. Beside the heat for the milk, the fraction {loss_fraction} of it is lost. Use steam tables.",
        fixed: &[],
        draws: &[MILK, SPECIFIC, COLD, WARM, GAUGE, BAROMETER, QUALITY, LOSS],
        asks: &[
            HEAT,
            STEAM,
            CONDENSED,
            ask(
                "condensate_percent_of_drink",
                "the share of the condensed steam in the drink",
            )
            .to(2),
        ],
        slips: &[LOSS_FORGOTTEN, WET_STEAM_FORGOTTEN],
    },
    Variant {
        level: 3,
        told: "{milk_mass_g} of milk, of a specific heat of {milk_specific_heat_kj_per_kg_k}, are warmed by steam from {start_temperature_c} to {final_temperature_c} in a steel jug of {jug_mass_g} and {jug_specific_heat_kj_per_kg_k}, which is at {jug_temperature_c} before and as warm as the milk after. The gauge of the boiler shows {pressure_bar}, and a barometer {station_pressure_hpa}. Of the mass of the steam the fraction {steam_quality} is vapour, and the rest is water as hot as the boiler. Beside the heat for milk and jug, the fraction {loss_fraction} of it is lost. Use steam tables.",
        fixed: &[],
        draws: &[
            MILK,
            SPECIFIC,
            COLD,
            WARM,
            between("jug_mass_g", (180, 400), 0),
            between("jug_specific_heat_kj_per_kg_k", (48, 52), 2),
            between("jug_temperature_c", (180, 260), 1),
            GAUGE,
            BAROMETER,
            QUALITY,
            LOSS,
        ],
        asks: &[
            ask("jug_heat_kj", "the heat that the jug takes up").to(2),
            HEAT,
            STEAM,
            CONDENSED,
        ],
        slips: &[
            slip(
                Code::VesselForgotten,
                &[
                    Drop("jug_mass_g"),
                    Drop("jug_specific_heat_kj_per_kg_k"),
                    Drop("jug_temperature_c"),
                ],
            ),
            LOSS_FORGOTTEN,
            WET_STEAM_FORGOTTEN,
        ],
    },
];

const SLURRY: Ask = ask("slurry_temperature_c", "the temperature after mixing");
const NO_VESSEL: Slip = slip(
    Code::VesselForgotten,
    &[
        Drop("vessel_mass_g"),
        Drop("vessel_specific_heat_kj_per_kg_k"),
        Drop("vessel_temperature_c"),
    ],
);
const SWAPPED: Slip = slip(Code::SwappedMasses, &[Swap("water_mass_g", "dose_g")]);

const WATER: Draw = between("water_mass_g", (250, 500), 0);
const HOT: Draw = between("water_temperature_c", (900, 960), 1);
const DOSE: Draw = between("dose_g", (150, 320), 1);
const COFFEE: Draw = between("coffee_temperature_c", (170, 250), 1);
const VESSEL: Draw = between("vessel_mass_g", (150, 450), 0);
const VESSEL_SPECIFIC: Draw = between("vessel_specific_heat_kj_per_kg_k", (75, 90), 2);

pub(super) const SLURRY_TEMPERATURE: &[Variant] = &[
    Variant {
        level: 1,
        told: "{water_mass_g} of water at {water_temperature_c} are poured on {dose_g} of ground coffee at {coffee_temperature_c}. No heat is lost. Take a specific heat of 4.2 kJ/(kg K) for water and 1.6 kJ/(kg K) for coffee.",
        fixed: &[],
        draws: &[WATER, HOT, DOSE, COFFEE],
        asks: &[
            SLURRY,
            ask("heat_to_coffee_kj", "the heat that the coffee takes up"),
        ],
        slips: &[
            SWAPPED,
            slip(
                Code::SwappedTemperatures,
                &[Swap("water_temperature_c", "coffee_temperature_c")],
            ),
        ],
    },
    Variant {
        level: 2,
        told: "{water_mass_g} of water at {water_temperature_c} are poured on {dose_g} of ground coffee at {coffee_temperature_c} in a ceramic vessel of {vessel_mass_g} at {vessel_temperature_c}, whose specific heat is {vessel_specific_heat_kj_per_kg_k}. Nothing is lost to the air. Take a specific heat of 4.2 kJ/(kg K) for water and 1.6 kJ/(kg K) for coffee.",
        fixed: &[],
        draws: &[
            WATER,
            HOT,
            DOSE,
            COFFEE,
            VESSEL,
            VESSEL_SPECIFIC,
            between("vessel_temperature_c", (350, 600), 1),
        ],
        asks: &[
            SLURRY,
            ask("heat_from_water_kj", "the heat that the water gives off"),
            ask("heat_to_vessel_kj", "the heat that the vessel takes up").to(2),
        ],
        slips: &[
            NO_VESSEL,
            SWAPPED,
            slip(
                Code::SwappedTemperatures,
                &[Swap("vessel_temperature_c", "coffee_temperature_c")],
            ),
        ],
    },
    Variant {
        level: 3,
        told: "{water_mass_g} of water at {water_temperature_c} are poured on {dose_g} of ground coffee at {coffee_temperature_c} in a ceramic vessel of {vessel_mass_g} at {vessel_temperature_c}, whose specific heat is {vessel_specific_heat_kj_per_kg_k}. Take a specific heat of 4.2 kJ/(kg K) for water and 1.6 kJ/(kg K) for coffee, and let them mix before anything is lost. Then they stand {wait_s} in a room at {surroundings_temperature_c}: the distance from the room falls exponentially, with a time constant of {cooling_time_constant_s}.",
        fixed: &[],
        draws: &[
            WATER,
            HOT,
            DOSE,
            COFFEE,
            VESSEL,
            VESSEL_SPECIFIC,
            between("vessel_temperature_c", (180, 240), 1),
            between("wait_s", (180, 300), 0),
            between("surroundings_temperature_c", (180, 240), 1),
            between("cooling_time_constant_s", (1800, 3600), 0),
        ],
        asks: &[
            SLURRY,
            ask(
                "cooled_temperature_c",
                "the temperature at the end of that time",
            ),
        ],
        slips: &[NO_VESSEL, SWAPPED],
    },
];

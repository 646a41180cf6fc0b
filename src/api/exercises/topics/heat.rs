//! Exercises about boiling water and steam.

use super::super::diagnosis::DiagnosisCode as Code;
use super::super::topic::Change::{Less, Move, Set};
use super::super::topic::{Ask, Fixed, Slip, Variant, ask, between, slip};

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

const AIR: Ask = ask("air_pressure_hpa", "the pressure of the air");
const BOILING: Ask = ask("boiling_point_c", "the boiling point of the place");
const IN_BOILER: Ask = ask("boiler_pressure_hpa", "the absolute pressure in the boiler");

const FLASH: Ask = ask(
    "flash_percent",
    "the share of the water that flashes to steam",
)
.to(2);

pub(super) const WATER_TEMPERATURE: &[Variant] = &[
    Variant {
        level: 1,
        told: "A barometer in the bar shows {station_pressure_hpa}. Water at {target_temperature_c} is wanted, but an open kettle is to be kept at least 0.5 °C below boiling. Use steam tables.",
        fixed: &[],
        draws: &[
            between("station_pressure_hpa", (720, 830), 0),
            between("target_temperature_c", (945, 965), 1),
        ],
        asks: &[
            BOILING,
            ask(
                "recommended_open_kettle_temperature_c",
                "the highest temperature that the kettle may be set to",
            ),
        ],
        slips: &[slip(
            Code::SeaLevelAssumed,
            &[Set("station_pressure_hpa", Fixed::Number(1013.25))],
        )],
    },
    Variant {
        level: 2,
        told: "A mountain station lies at {altitude_m}. A machine brews there with water at {target_temperature_c}. Take the pressure of the air from the standard atmosphere, and the boiling point and the enthalpies from steam tables: where the water meets the air, part of it flashes to steam at constant enthalpy.",
        fixed: &[],
        draws: &[
            between("altitude_m", (2300, 3200), 0),
            between("target_temperature_c", (940, 960), 1),
        ],
        asks: &[AIR, BOILING.within("boiling_point_uncertainty_c"), FLASH],
        slips: &[IN_FEET, AT_SEA],
    },
    Variant {
        level: 3,
        told: "A barometer shows {station_pressure_hpa}, and the gauge of an espresso machine {brew_pressure_bar}. The brew water is at {target_temperature_c}. Use steam tables and the standard atmosphere.",
        fixed: &[],
        draws: &[
            between("station_pressure_hpa", (740, 1010), 0),
            between("brew_pressure_bar", (60, 95), 1),
            between("target_temperature_c", (920, 960), 1),
        ],
        asks: &[
            ask(
                "absolute_pressure_hpa",
                "the absolute pressure of the brew water",
            )
            .to(2),
            ask(
                "boiling_point_under_pressure_c",
                "the boiling point at that pressure",
            ),
            ask(
                "altitude_where_target_boils_m",
                "the altitude at which water of that temperature would boil",
            )
            .to(2),
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
        asks: &[
            IN_BOILER,
            ask("temperature_c", "the temperature in the boiler"),
        ],
        slips: &[AS_ABSOLUTE],
    },
    Variant {
        level: 2,
        told: "Water and steam in a boiler are at {temperature_c}, at an altitude of {altitude_m}. Take the pressure of the air from the standard atmosphere, and that of the steam from tables.",
        fixed: &[],
        draws: &[
            between("temperature_c", (118, 130), 0),
            between("altitude_m", (1500, 3000), 0),
        ],
        asks: &[AIR, IN_BOILER, ask("pressure_bar", "what the gauge shows")],
        slips: &[AT_SEA, IN_FEET],
    },
    Variant {
        level: 3,
        told: "The gauge of a boiler shows {pressure_bar} where a barometer shows {station_pressure_hpa}. Water and steam in it are saturated. If the pressure were lost, part of the water would flash to steam, at constant enthalpy, until the rest boils at the pressure of the air. Use steam tables.",
        fixed: &[],
        draws: &[
            between("pressure_bar", (90, 150), 2),
            between("station_pressure_hpa", (740, 1020), 0),
        ],
        asks: &[
            ask("water_enthalpy_kj_per_kg", "the enthalpy of the water"),
            ask("steam_enthalpy_kj_per_kg", "the enthalpy of the steam"),
            ask("latent_heat_kj_per_kg", "the latent heat"),
            FLASH,
        ],
        slips: &[AS_ABSOLUTE],
    },
];

//! The simulation kernel once over, for counting its instructions: see `benches/instructions.sh`.

use std::hint::black_box;

use extraction_maths::maths::MathsError;
use extraction_maths::maths::quantity::{GaugePressure, Length, Mass, Temperature};
use extraction_maths::maths::simulation::{Accuracy, Parameters, PressureProfile, Shot, run};

/// Runs of the shot whose instructions are counted, from the command line: start-up is the same
/// for any number, so the difference of two counts is that of the runs alone.
fn main() -> Result<(), MathsError> {
    let runs = std::env::args().find_map(|argument| argument.parse().ok());
    let bar = GaugePressure::from_bar;
    let profile = [(0.0, bar(3.0)?), (7.0, bar(3.0)?), (8.0, bar(9.0)?)];
    let shot = Shot {
        dose: Mass::from_grams(20.0)?,
        basket_diameter: Length::from_millimetres(58.4)?,
        grind_diameter_um: 320.0,
        water_temperature: Temperature::from_celsius(93.0)?,
        pressure_profile: PressureProfile::new(&profile)?,
        target_beverage: Mass::from_grams(40.0)?,
        duration_s: Shot::DEFAULT_DURATION_S,
        sample_times_s: vec![],
    };
    for _ in 0..runs.unwrap_or(1_u32) {
        let outcome = run(
            black_box(&shot),
            &Parameters::default(),
            Accuracy::Standard,
            &|| false,
        );
        black_box(outcome?);
    }
    Ok(())
}

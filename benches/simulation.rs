//! Time of one simulated shot up to its target.

use std::hint::black_box;

use divan::Bencher;
use extraction_maths::maths::MathsError;
use extraction_maths::maths::quantity::{GaugePressure, Length, Mass, Temperature};
use extraction_maths::maths::simulation::{Accuracy, Parameters, PressureProfile, Shot, run};

fn main() {
    divan::main();
}

/// Three shots from 23 s to 41 s.
#[derive(Debug, Clone, Copy)]
enum Kind {
    Ordinary,
    FineGrind,
    PreInfusion,
}

const KINDS: [Kind; 3] = [Kind::Ordinary, Kind::FineGrind, Kind::PreInfusion];

fn shot(kind: Kind) -> Result<Shot, MathsError> {
    let bar = GaugePressure::from_bar;
    let (grind_diameter_um, points) = match kind {
        Kind::Ordinary => (350.0, vec![(0.0, bar(9.0)?)]),
        Kind::FineGrind => (280.0, vec![(0.0, bar(9.0)?)]),
        Kind::PreInfusion => (
            320.0,
            vec![(0.0, bar(3.0)?), (7.0, bar(3.0)?), (8.0, bar(9.0)?)],
        ),
    };
    Ok(Shot {
        dose: Mass::from_grams(20.0)?,
        basket_diameter: Length::from_millimetres(58.4)?,
        grind_diameter_um,
        water_temperature: Temperature::from_celsius(93.0)?,
        pressure_profile: PressureProfile::new(&points)?,
        target_beverage: Mass::from_grams(40.0)?,
        duration_s: Shot::DEFAULT_DURATION_S,
        sample_times_s: vec![],
    })
}

fn bench(bencher: Bencher<'_, '_>, kind: Kind, accuracy: Accuracy) {
    let (shot, parameters) = (shot(kind), Parameters::default());
    bencher.bench_local(|| {
        let shot = black_box(shot.as_ref()).map_err(Clone::clone)?;
        run(shot, black_box(&parameters), accuracy, &|| false)
    });
}

#[divan::bench(args = KINDS, sample_count = 500, sample_size = 4)]
fn standard(bencher: Bencher<'_, '_>, kind: Kind) {
    bench(bencher, kind, Accuracy::Standard);
}

#[divan::bench(args = KINDS, sample_count = 500, sample_size = 2)]
fn fine(bencher: Bencher<'_, '_>, kind: Kind) {
    bench(bencher, kind, Accuracy::Fine);
}

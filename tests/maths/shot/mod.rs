//! Readings of a scale: accuracy on seeded streams with a known truth, faults, edges.

#[path = "../../shared/scale_stream.rs"]
mod scale_stream;

mod accuracy;
mod faults;

use extraction_maths::maths::shot::analysis::USUAL_LAG;
use extraction_maths::maths::shot::smooth::Lag;
use extraction_maths::maths::shot::{Analysis, Recording};

use scale_stream::{Draws, Recorded, Scale, Truth};

const NO_LAG: Lag = Lag {
    scale_s: 0.0,
    transport_s: 0.0,
};

/// A shot and its readings.
struct Case {
    seed: u64,
    truth: Truth,
    recorded: Recorded,
}

/// Seeded shots on seeded scales.
fn cases(count: u64) -> impl Iterator<Item = Case> {
    (0..count).map(|seed| case(seed, &|_| 0.0))
}

/// A seeded shot with something else on the scale.
fn case(seed: u64, extra_g: &dyn Fn(f64) -> f64) -> Case {
    let mut draws = Draws::seeded(seed);
    let truth = Truth::drawn(&mut draws);
    let scale = Scale::drawn(&mut draws);
    let recorded = Recorded::of(&truth, &scale, &mut draws, extra_g);
    Case {
        seed,
        truth,
        recorded,
    }
}

fn perfect(truth: &Truth) -> Recorded {
    Recorded::of(truth, &Scale::PERFECT, &mut Draws::seeded(1), &|_| 0.0)
}

fn analysed(recorded: &Recorded, stopped_s: Option<f64>) -> Analysis {
    analysed_with(recorded, stopped_s, USUAL_LAG)
}

fn analysed_with(recorded: &Recorded, stopped_s: Option<f64>, lag: Lag) -> Analysis {
    Analysis::of(&Recording {
        times_s: &recorded.time_s,
        masses_g: &recorded.mass_g,
        pressure: None,
        pump_on_s: 0.0,
        stopped_s,
        lag,
    })
    .expect("an analysis")
}

/// Errors against the truth.
#[derive(Debug)]
struct Errors {
    bias: f64,
    deviation: f64,
    worst: f64,
}

impl Errors {
    fn of(errors: Vec<f64>) -> Self {
        let count = f64::from(u32::try_from(errors.len()).expect("few"));
        let bias = errors.iter().sum::<f64>() / count;
        let squares: f64 = errors.iter().map(|e| (e - bias).powi(2)).sum();
        Self {
            bias,
            deviation: (squares / count).sqrt(),
            worst: errors.iter().fold(0.0, |worst: f64, e| worst.max(e.abs())),
        }
    }

    /// Asserts largest bias, standard deviation and error.
    #[track_caller]
    fn within(&self, what: &str, (bias, deviation, worst): (f64, f64, f64)) {
        println!("{what}: {self:?}");
        assert!(
            self.bias.abs() <= bias && self.deviation <= deviation && self.worst <= worst,
            "{what}: {self:?}"
        );
    }
}

//! Worlds to be dialled in: a coffee, a machine and a grinder drawn from a seed, and shots pulled
//! in them by the standard simulation, which is another resolution than the fit's.

use extraction_maths::maths::dial_in::{Dial, HigherIs, PulledShot, Recipe};
use extraction_maths::maths::quantity::{GaugePressure, Length, Mass, Temperature};
use extraction_maths::maths::simulation::{
    Accuracy, Parameter, Parameters, PressureProfile, Shot, run,
};

/// Standard normal numbers from a seed: counted splitmix, then Box and Muller.
pub(super) struct Draw(u64);

impl Draw {
    pub(super) const fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15))
    }

    /// Uniform between zero and one, neither of them.
    pub(super) fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        let top = u32::try_from(z >> 32).expect("32 bits");
        (f64::from(top) + 0.5) / 4_294_967_296.0
    }

    pub(super) fn normal(&mut self) -> f64 {
        let (a, b) = (self.uniform(), self.uniform());
        (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }
}

/// What is true of a world beyond what the model fits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Physics {
    /// Only what is fitted differs from the defaults.
    Right,
    /// Fines, dispersion, viscosity and saturation differ too.
    Other,
}

pub(super) struct World {
    parameters: Parameters,
    pub(super) dial: Dial,
    /// Grind at setting 20, µm.
    at_20_um: f64,
    um_per_step: f64,
    draw: Draw,
    puck_spread: f64,
}

/// The setting at which every barista here begins.
pub(super) const START: f64 = 20.0;

/// The constants of a world.
fn drawn(draw: &mut Draw, physics: Physics) -> Parameters {
    let mut parameters = Parameters::default();
    let mut set = |parameter: Parameter, change: &dyn Fn(f64) -> f64| {
        let info = parameter.info();
        let value = change(info.default.expect("a default"));
        let inside = value.clamp(info.range.min, info.range.max);
        parameters.set(parameter, inside).expect("in range");
    };
    for (parameter, spread) in [
        (Parameter::PermeabilityFactor, 0.5),
        (Parameter::ExtractableFraction, 0.07),
        (Parameter::GrainDiffusivity, 0.5),
        (Parameter::CompactionPressure, 0.4),
    ] {
        let z = draw.normal();
        set(parameter, &|value| value * (spread * z).exp());
    }
    for (parameter, spread) in [
        (Parameter::PermeabilityExponent, 0.7),
        (Parameter::WaterUptake, 0.04),
        (Parameter::Headspace, 3e-6),
        (Parameter::Opening, 0.15),
    ] {
        let z = draw.normal();
        set(parameter, &|value| value + spread * z);
    }
    if physics == Physics::Other {
        for (parameter, spread) in [
            (Parameter::FinesShareReference, 0.2),
            (Parameter::FinesRadius, 0.2),
            (Parameter::Dispersivity, 0.5),
            (Parameter::ViscosityGrowth, 0.4),
            (Parameter::Saturation, 0.15),
        ] {
            let z = draw.normal();
            set(parameter, &|value| value * (spread * z).exp());
        }
    }
    parameters
}

impl World {
    pub(super) fn new(seed: u64, higher_is: HigherIs, physics: Physics) -> Self {
        let mut draw = Draw::new(seed);
        let parameters = drawn(&mut draw, physics);
        let dial = Dial {
            higher_is,
            smallest_step: 1.0,
            micrometres_per_step: None,
            lowest: None,
            highest: None,
        };
        Self {
            parameters,
            dial,
            at_20_um: 350.0 * (0.15 * draw.normal().clamp(-2.0, 2.0)).exp(),
            // a step between a third and three times of ten micrometres
            um_per_step: 10.0 * (0.8 * draw.normal().clamp(-1.4, 1.4)).exp(),
            draw,
            puck_spread: 0.05,
        }
    }

    /// Whether what was drawn can be pulled: an ordinary shot of 12 to 60 s.
    pub(super) fn is_usual(&mut self) -> bool {
        let usual = |time: f64| (12.0..60.0).contains(&time);
        let spread = std::mem::take(&mut self.puck_spread);
        let time = self.true_shot(&recipe(START)).map(|(time, ..)| time);
        self.puck_spread = spread;
        time.is_some_and(usual)
    }

    fn grind_um(&self, setting: f64) -> f64 {
        let coarser = self.dial.higher_is.sign() * (setting - START);
        (self.at_20_um + coarser * self.um_per_step).clamp(200.0, 600.0)
    }

    /// Time, strength and first drop of a shot by the truth, with a puck of its own.
    pub(super) fn true_shot(&mut self, recipe: &Recipe) -> Option<(f64, f64, f64)> {
        let mut parameters = self.parameters.clone();
        let kappa = parameters.given(Parameter::PermeabilityFactor)?;
        let puck = (self.puck_spread * self.draw.normal()).exp();
        parameters
            .set(Parameter::PermeabilityFactor, kappa * puck)
            .ok()?;
        let shot = Shot {
            dose: recipe.dose,
            basket_diameter: recipe.basket_diameter,
            grind_diameter_um: self.grind_um(recipe.setting),
            water_temperature: recipe.water_temperature,
            pressure_profile: recipe.pressure_profile.clone(),
            target_beverage: recipe.beverage,
            duration_s: 300.0,
            sample_times_s: vec![],
        };
        let outcome = run(&shot, &parameters, Accuracy::Standard, &|| false).ok()?;
        let cup = outcome.at_target?;
        Some((
            outcome.time_to_target_s?,
            cup.dissolved_fraction,
            outcome.first_drop_s?,
        ))
    }

    /// A shot that was pulled and read.
    pub(super) fn pulled(&mut self, recipe: &Recipe) -> Option<PulledShot> {
        let (time, dissolved, drop) = self.true_shot(recipe)?;
        // nobody waits longer, and nobody keeps a shot that gushes
        Recipe::SHOT_TIME.check(time).ok()?;
        let mut noisy = |value: f64, spread: f64| value + spread * self.draw.normal();
        Some(PulledShot {
            recipe: recipe.clone(),
            shot_time_s: noisy(time, 0.3),
            dissolved_fraction: Some(noisy(dissolved, 5e-4)),
            first_drop_s: Some(noisy(drop, 0.3)),
        })
    }

    pub(super) fn pulled_at(&mut self, settings: &[f64]) -> Option<Vec<PulledShot>> {
        settings
            .iter()
            .map(|setting| self.pulled(&recipe(*setting)))
            .collect()
    }
}

/// 18 g to 36 g at 9 bar and 93 °C.
pub(super) fn recipe(setting: f64) -> Recipe {
    let bar = GaugePressure::from_bar(9.0).expect("9 bar");
    Recipe {
        setting,
        dose: Mass::from_grams(18.0).expect("a mass"),
        basket_diameter: Length::from_millimetres(58.4).expect("a length"),
        beverage: Mass::from_grams(36.0).expect("a mass"),
        water_temperature: Temperature::from_celsius(93.0).expect("a temperature"),
        pressure_profile: PressureProfile::constant(bar),
    }
}

/// Worlds that can be pulled, by rising seed.
pub(super) fn usual(count: usize, higher_is: HigherIs, physics: Physics) -> Vec<World> {
    (1..)
        .map(|seed| World::new(seed, higher_is, physics))
        .filter_map(|mut world| world.is_usual().then_some(world))
        .take(count)
        .collect()
}

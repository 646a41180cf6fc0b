//! Limits with a solution on paper. Beds are changed field by field where no parameter reaches
//! the limit.

use extraction_maths::maths::quantity::{Length, Mass};
use extraction_maths::maths::simulation::flow::flux;
use extraction_maths::maths::simulation::{Accuracy, Bed, Parameter, Parameters, Shot, run};

use super::cases::{STANDARD, bed, ordinary, outcome};
use crate::support::relative;

const NINE_BAR: f64 = 9e5;

/// No compaction, no change of viscosity or porosity, no restrictor, no headspace.
fn rigid() -> Bed {
    Bed {
        restrictor_pa_s2_per_m6: 0.0,
        headspace_m3: 0.0,
        viscosity_growth_m3_per_kg: 0.0,
        opening_m3_per_kg: 0.0,
        compaction_pa: 1e15,
        ..bed(&ordinary(&[(0.0, 9.0)]))
    }
}

/// Washburn's law, `s^2 = 2 kappa P t/(eps_w mu)`: the front's own resistance grows with it.
#[test]
fn a_front_in_a_rigid_bed_follows_washburn() {
    let (bed, shot) = (rigid(), ordinary(&[(0.0, 9.0)]));
    let depth = bed.depth_m;
    let expected =
        bed.wetting * bed.viscosity_pa_s * depth * depth / (2.0 * bed.permeability_m2 * NINE_BAR);
    // Printed by the independent program for this bed.
    relative(expected, 2.887488, 1e-6, "Washburn");
    for resolution in [(10, 5, 0.25), STANDARD] {
        let first_drop_s = outcome(&bed, &shot, resolution)
            .first_drop_s
            .expect("a drop");
        relative(first_drop_s, expected, 1e-3, "first drop");
    }
}

/// Darcy's law: `q = kappa P/(mu L)`.
#[test]
fn steady_flow_through_a_rigid_bed_is_darcys() {
    let bed = rigid();
    let expected = bed.permeability_m2 * NINE_BAR / (bed.viscosity_pa_s * bed.depth_m);
    // Printed by the independent program for this bed.
    relative(expected, 1.434793e-3, 1e-6, "Darcy");
    let q = flux(&bed, NINE_BAR, bed.viscosity_pa_s * bed.depth_m).expect("a flux");
    relative(q, expected, 1e-6, "flux");
    let clean = Bed {
        grain_solubles_kg_per_m3: 1e-9,
        ..bed
    };
    let end = outcome(&clean, &ordinary(&[(0.0, 9.0)]), STANDARD).end;
    let flow = expected * bed.area_m2 * bed.water_density_kg_per_m3 * 1e3;
    relative(end.flow_g_per_s, flow, 1e-6, "flow into the cup");
}

/// `q/q_rigid = (sigma_c/P)(1 - exp(-P/sigma_c))`; at 9 bar over 6 bar that is
/// (1 - exp(-1.5))/1.5 = 0.517913.
#[test]
fn compaction_lowers_the_flow_by_the_integral_of_its_law() {
    let stiff = rigid();
    let soft = Bed {
        compaction_pa: 6e5,
        ..stiff
    };
    let resistance = stiff.viscosity_pa_s * stiff.depth_m;
    let ratio = flux(&soft, NINE_BAR, resistance).expect("a flux")
        / flux(&stiff, NINE_BAR, resistance).expect("a flux");
    relative(ratio, (1.0 - (-1.5_f64).exp()) / 1.5, 1e-6, "compaction");
    relative(
        ratio,
        0.517913,
        1e-6,
        "compaction, printed by the independent program",
    );
}

/// The restrictor alone: `q A = sqrt(P/B)`, and both in series add up to the pressure.
#[test]
fn restrictor_and_bed_share_the_pressure() {
    let bed = bed(&ordinary(&[(0.0, 9.0)]));
    let free = flux(&bed, NINE_BAR, 0.0).expect("a flux") * bed.area_m2;
    relative(
        free,
        (NINE_BAR / bed.restrictor_pa_s2_per_m6).sqrt(),
        1e-9,
        "free flow",
    );
    for resistance in [1e-9, 1e-7, 1e-6, 1e-5, 1e-3] {
        for pressure in [1.0, 1e3, NINE_BAR, 1.5e6] {
            let q = flux(&bed, pressure, resistance).expect("a flux");
            let flow = q * bed.area_m2;
            let across = pressure - bed.restrictor_pa_s2_per_m6 * flow * flow;
            let pressed = bed.compaction_pa * -(-across / bed.compaction_pa).exp_m1();
            // Where the restrictor takes nearly all, what is left for the bed loses digits.
            let slack = 1e-8 * bed.permeability_m2 * pressure;
            assert!((q * resistance - bed.permeability_m2 * pressed).abs() <= slack);
        }
    }
    assert!(flux(&bed, 0.0, 1e-6).expect("no flux").abs() < f64::MIN_POSITIVE);
    assert!(flux(&bed, NINE_BAR, f64::NAN).is_err());
}

/// Coarse grains that give nothing, no water taken up: the fines' share of the solubles is all.
#[test]
fn with_inert_coarse_grains_extraction_ends_at_the_share_of_the_fines() {
    let mut parameters = Parameters::default();
    parameters
        .set(Parameter::WaterUptake, 0.0)
        .expect("in range");
    let shot = Shot {
        duration_s: 200.0,
        sample_times_s: vec![200.0],
        ..ordinary(&[(0.0, 9.0)])
    };
    let bed = Bed {
        coarse_rate_per_s: 0.0,
        ..Bed::new(&shot, &parameters).expect("a bed")
    };
    let extraction = outcome(&bed, &shot, STANDARD).end.extraction_fraction;
    assert!((extraction - 0.25 * 0.30).abs() <= 1e-4, "{extraction}");
}

#[test]
fn extraction_ends_at_the_extractable_share() {
    let shot = Shot {
        duration_s: 600.0,
        sample_times_s: vec![600.0],
        ..ordinary(&[(0.0, 9.0)])
    };
    // Five times the diffusivity stands for 3000 s.
    let ordinary = bed(&shot);
    let quick = Bed {
        coarse_rate_per_s: 5.0 * ordinary.coarse_rate_per_s,
        ..ordinary
    };
    let extraction = outcome(&quick, &shot, STANDARD).end.extraction_fraction;
    assert!((extraction - 0.30).abs() <= 1e-4, "{extraction}");
}

/// A bed of half as much again, with restrictor and headspace to match, is the same shot.
#[test]
fn a_wider_bed_gives_the_same_shot() {
    let small = ordinary(&[(0.0, 3.0), (7.0, 3.0), (8.0, 9.0)]);
    let large = Shot {
        dose: Mass::from_grams(30.0).expect("a dose"),
        basket_diameter: Length::from_millimetres(58.4 * 1.5_f64.sqrt()).expect("a basket"),
        target_beverage: Mass::from_grams(60.0).expect("a target"),
        ..small.clone()
    };
    let mut parameters = Parameters::default();
    parameters
        .set(Parameter::Headspace, 15e-6)
        .expect("in range");
    parameters
        .set(Parameter::OrificeDiameter, 0.6e-3 * 1.5_f64.sqrt())
        .expect("in range");
    let run = |shot, parameters| {
        run(shot, parameters, Accuracy::Standard, &|| false).expect("an outcome")
    };
    let (small, large) = (
        run(&small, &Parameters::default()),
        run(&large, &parameters),
    );
    relative(
        large.first_drop_s.expect("a drop"),
        small.first_drop_s.expect("a drop"),
        1e-9,
        "drop",
    );
    let cups = [large, small].map(|outcome| outcome.at_target.expect("the target"));
    relative(cups[0].time_s, cups[1].time_s, 1e-9, "time to target");
    relative(
        cups[0].extraction_fraction,
        cups[1].extraction_fraction,
        1e-9,
        "extraction",
    );
}

/// Exchange at once and hardly any dispersion: the beverage leaves saturated until nothing is
/// left, `EY = min(E_max, c_sat V/m_d)`. The deviation shrinks about with the root of the
/// dispersivity.
#[test]
fn equilibrium_with_little_dispersion_tends_to_a_plug() {
    let shot = Shot {
        duration_s: 60.0,
        sample_times_s: (8..=60).map(f64::from).collect(),
        ..ordinary(&[(0.0, 9.0)])
    };
    let deviation = |dispersivity: f64| {
        let bed = Bed {
            fines_rate_per_s: 1e4,
            coarse_rate_per_s: 1e4,
            dispersivity_m: dispersivity * 350e-6,
            ..rigid()
        };
        let samples = outcome(&bed, &shot, (400, 5, 0.02)).samples;
        let worst = samples.iter().map(|cup| {
            let solute_g = cup.extraction_fraction * 20.0;
            let water_g = cup.beverage_mass_g - bed.density_growth * solute_g;
            let volume_ml = water_g / bed.water_density_kg_per_m3 * 1e3;
            let plug = (bed.saturation_kg_per_m3 * 1e-3 * volume_ml / 20.0).min(0.30);
            (cup.extraction_fraction - plug).abs()
        });
        worst.fold(0.0, f64::max)
    };
    let [wide, narrow] = [0.5, 0.1].map(deviation);
    assert!(wide < 0.03, "{wide}");
    let order = (wide / narrow).ln() / 5.0_f64.ln();
    assert!(order >= 0.45, "{wide} then {narrow}, order {order}");
}

/// Dispersion that mixes the whole bed: its outlet is that of a stirred vessel,
/// `d(eps c + phi K y)/dt = -q c/L`, here at equilibrium (`y = c`) so that
/// `c` falls as `exp(-q t/(L (eps + phi K)))` in a rigid bed.
#[test]
fn a_well_mixed_bed_empties_like_a_stirred_vessel() {
    let bed = Bed {
        fines_rate_per_s: 1e4,
        coarse_rate_per_s: 1e4,
        dispersivity_m: 3000.0 * 350e-6,
        ..rigid()
    };
    let shot = Shot {
        duration_s: 60.0,
        sample_times_s: vec![10.0, 30.0],
        ..ordinary(&[(0.0, 9.0)])
    };
    let samples = outcome(&bed, &shot, (60, 5, 0.05)).samples;
    let q = bed.permeability_m2 * NINE_BAR / (bed.viscosity_pa_s * bed.depth_m);
    let outlet = samples.iter().map(|cup| {
        let density = cup.flow_g_per_s * 1e-3 / (q * bed.area_m2);
        (density - bed.water_density_kg_per_m3) / bed.density_growth
    });
    let outlet: Vec<f64> = outlet.collect();
    let solid = 1.0 - bed.porosity;
    let rate = q / (bed.depth_m * (bed.porosity + solid * bed.partition));
    // Mixing over one bed depth is not perfect: a part in the Peclet number, 1/56.
    relative(
        outlet[1] / outlet[0],
        (-rate * 20.0).exp(),
        0.02,
        "fall of the outlet",
    );
}

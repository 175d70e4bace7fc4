//! Every kind becomes an antenna that the solver takes, over real ground, on every band of the demo.

use farhop_antenna::templates::{Material, build};
use farhop_antenna::{Conductor, Ground, Solution};
use farhop_gear::AntennaKind;
use farhop_gear::antenna::{
    DeltaLoop, EndFed, EndFedShape, FlatDipole, FreeWires, HorizontalLoop, InvertedV, LinkedDipole, Loading, SmallLoop,
    Vertical, Whip,
};

const AVERAGE: Ground = Ground::Real {
    eps_r: 13.0,
    sigma_s_per_m: 0.005,
};

fn all() -> Vec<(&'static str, AntennaKind)> {
    let whip = |loading, lean_deg| {
        AntennaKind::Whip(Whip {
            length_m: 5.2,
            mast_m: 0.8,
            loading,
            coil_uh: None,
            coil_q: 200.0,
            lean_deg,
            lean_toward_deg: 90.0,
            counterpoises: 2,
            counterpoise_m: 5.0,
            counterpoise_height_m: 0.05,
        })
    };
    let end_fed = |shape, corner_height_m| {
        AntennaKind::EndFed(EndFed {
            wire_m: 20.0,
            shape,
            feed_height_m: 1.0,
            far_height_m: 7.0,
            corner_height_m,
            counterpoise_m: 5.0,
            transformer_ratio: 9.0,
        })
    };
    let small = |turns, diameter_m| {
        AntennaKind::SmallLoop(SmallLoop {
            diameter_m,
            turns,
            conductor_diameter_mm: 12.0,
            height_m: 0.8,
            capacitor_min_pf: 5.0,
            capacitor_max_pf: 1000.0,
            capacitor_q: 1500.0,
        })
    };
    vec![
        (
            "flat dipole",
            AntennaKind::FlatDipole(FlatDipole {
                length_m: 20.2,
                height_m: 2.0,
            }),
        ),
        (
            "inverted v",
            AntennaKind::InvertedV(InvertedV {
                length_m: 20.2,
                apex_height_m: 6.0,
                end_height_m: 1.5,
            }),
        ),
        (
            "linked dipole",
            AntennaKind::LinkedDipole(LinkedDipole {
                leg_lengths_m: vec![5.0, 6.9, 10.1, 19.5],
                apex_height_m: 7.0,
                end_height_m: 1.0,
            }),
        ),
        ("end-fed sloping", end_fed(EndFedShape::Sloping, 7.0)),
        ("end-fed L", end_fed(EndFedShape::LShaped, 6.0)),
        ("end-fed flat", end_fed(EndFedShape::Flat, 7.0)),
        (
            "vertical",
            AntennaKind::Vertical(Vertical {
                length_m: 10.2,
                base_height_m: 0.0,
                radials: 4,
                radial_m: 10.0,
            }),
        ),
        ("whip", whip(Loading::None, 0.0)),
        ("whip base", whip(Loading::Base, 45.0)),
        ("whip centre", whip(Loading::Centre, 0.0)),
        ("small loop", small(1, 1.0)),
        ("small loop of 2 turns", small(2, 0.8)),
        (
            "horizontal loop",
            AntennaKind::HorizontalLoop(HorizontalLoop {
                perimeter_m: 42.0,
                height_m: 3.0,
            }),
        ),
        (
            "delta loop",
            AntennaKind::DeltaLoop(DeltaLoop {
                perimeter_m: 42.0,
                apex_height_m: 9.0,
                base_height_m: 1.5,
            }),
        ),
        (
            "wires",
            AntennaKind::Wires(FreeWires {
                wires_m: vec![[-5.0, 0.0, 3.0, 5.0, 0.0, 3.0]],
                feed_wire: 1,
            }),
        ),
    ]
}

#[test]
fn every_kind_solves_on_every_band() {
    let material = Material {
        conductor: Conductor::COPPER,
        radius_m: 0.0006,
    };
    for (name, kind) in all() {
        for freq_mhz in [3.6, 5.36, 7.1, 10.12, 14.1] {
            let built = build(&kind, material, AVERAGE, freq_mhz).unwrap_or_else(|e| panic!("{name} {freq_mhz}: {e}"));
            let start = std::time::Instant::now();
            let solution = Solution::new(&built.antenna, freq_mhz).unwrap_or_else(|e| panic!("{name} {freq_mhz}: {e}"));
            let z = solution.impedance_ohm;
            println!(
                "{name:22} {freq_mhz:5} N {:3} {:5.1} ms Z {:8.2} {:+9.2}j eff {:6.3} % zenith {:6.2} el 20 {:6.2} dBi {:?} {:?}",
                solution.currents.mesh.segments.len(),
                start.elapsed().as_secs_f64() * 1e3,
                z.re,
                z.im,
                100.0 * solution.efficiency(),
                solution.pattern.gain_dbi(90.0, 0.0),
                solution.pattern.gain_dbi(20.0, 0.0),
                built.notes,
                solution.cautions,
            );
            assert!(z.re > 0.0, "{name} {freq_mhz}: {z}");
            let split = solution.split;
            for part in [split.sky, split.conductor, split.loads, split.ground] {
                assert!((-0.002..=1.002).contains(&part), "{name} {freq_mhz}: {split:?}");
            }
        }
    }
}

#[test]
fn what_a_file_may_not_say_is_not_built() {
    let material = Material {
        conductor: Conductor::COPPER,
        radius_m: 0.0006,
    };
    let wrong = AntennaKind::FlatDipole(FlatDipole {
        length_m: 20.0,
        height_m: 0.0,
    });
    let why = build(&wrong, material, AVERAGE, 7.1).unwrap_err().to_string();
    assert!(why.contains("lies on the ground"), "{why}");
}

use farhop_antenna::near_field::potentials_v;
use farhop_antenna::solve::solve;
use farhop_antenna::{Antenna as Thin, Conductor, Ground, Source, Wire as Wire3};
use farhop_earth::GroundClass;
use farhop_exposure::search::{FieldAtWatt, profile};
use farhop_exposure::shape::Piece;
use farhop_outing::antenna::{FlatDipole, SmallLoop};
use farhop_outing::{Antenna, AntennaKind, Id, Wire, WireMetal};

use super::*;

fn antenna(kind: AntennaKind, diameter_mm: f64) -> Antenna {
    Antenna {
        id: Id::new("a").unwrap(),
        name: "A".into(),
        kind,
        wire: Wire {
            metal: WireMetal::Copper,
            diameter_mm,
        },
        azimuth_deg: None,
        usable_mhz: Vec::new(),
        feedline: None,
        transformer: None,
        setup_min: 10.0,
        notes: String::new(),
    }
}

fn near(kind: AntennaKind, freq_mhz: f64) -> NearAtWatt {
    near_of(&antenna(kind, 1.0), GroundClass::Average.constants(), freq_mhz).unwrap()
}

fn small_loop() -> AntennaKind {
    AntennaKind::SmallLoop(SmallLoop {
        diameter_m: 0.95,
        turns: 1,
        conductor_diameter_mm: 10.0,
        height_m: 1.0,
        capacitor_min_pf: 12.0,
        capacitor_max_pf: 400.0,
        capacitor_q: 1_000.0,
    })
}

/// Magnetic field of a ring of even current 1 A (radius a, middle at height z0, in the x-z plane), by Biot and Savart.
fn ring_h(point: [f64; 3], a: f64, z0: f64) -> f64 {
    let count = 360;
    let step = 2.0 * std::f64::consts::PI / f64::from(count);
    let mut sum = [0.0; 3];
    for i in 0..count {
        let (sin, cos) = ((f64::from(i) + 0.5) * step).sin_cos();
        let dl = [-a * sin * step, 0.0, a * cos * step];
        let r = [point[0] - a * cos, point[1], point[2] - z0 - a * sin];
        let cubed = r.iter().map(|v| v * v).sum::<f64>().powf(1.5) * 4.0 * std::f64::consts::PI;
        for (i, s) in sum.iter_mut().enumerate() {
            let (j, k) = ((i + 1) % 3, (i + 2) % 3);
            *s += (dl[j] * r[k] - dl[k] * r[j]) / cubed;
        }
    }
    sum.iter().map(|v| v * v).sum::<f64>().sqrt()
}

#[test]
fn the_field_of_a_small_loop_is_that_of_its_current() {
    let near = near(small_loop(), 7.05);
    let (a, b) = (0.475f64, 0.005f64);
    let (step, z0) = (std::f64::consts::PI / 6.0, 1.0 + a);
    let corner = |i: u32| {
        let (sin, cos) = (f64::from(i) * step).sin_cos();
        [a * cos, 0.0, z0 + a * sin]
    };
    let pieces: Vec<Piece> = (0..12)
        .map(|i| Piece {
            from_m: corner(i),
            to_m: corner(i + 1),
        })
        .collect();
    let by_hand = profile(&pieces, |points| {
        let one = |p: &[f64; 3]| FieldAtWatt {
            e_v_per_m: 0.0,
            h_a_per_m: ring_h(*p, a, z0),
        };
        points.iter().map(one).collect()
    })
    .unwrap();
    // 2πfL I = V across the capacitor; L of a ring (textbook): μ0 a (ln(8a/b) - 2).
    let capacitor = near.contacts.iter().find(|c| c.part == Part::Capacitor).unwrap();
    let pi = std::f64::consts::PI;
    let reactance_ohm = 2.0 * pi * 7.05e6 * 4e-7 * pi * a * ((8.0 * a / b).ln() - 2.0);
    let current_a = capacitor.rms_v / reactance_ohm;
    // A tenth: the current is not quite even, and the ground has its mirror. Beyond 2 m the waves begin.
    for (got, want) in near
        .profile
        .steps()
        .iter()
        .zip(by_hand.steps())
        .filter(|(s, _)| s.distance_m < 2.0)
    {
        let ratio = got.h_a_per_m / (want.h_a_per_m * current_a);
        assert!((ratio - 1.0).abs() < 0.1, "{got:?} {ratio}");
    }
}

#[test]
fn a_loop_on_five_watts_stands_near_a_kilovolt() {
    // The design page of this project and common practice: around a kilovolt at 5 W.
    let capacitor = near(small_loop(), 7.05);
    let volts = capacitor
        .contacts
        .iter()
        .find(|c| c.part == Part::Capacitor)
        .unwrap()
        .rms_v
        * 5f64.sqrt();
    assert!((300.0..1_500.0).contains(&volts), "{volts}");
}

#[test]
fn the_end_of_a_half_wave_dipole() {
    // Free space. A sinusoidal current I0 carries the charge (I0/c) sin kz a metre; its potential at the wire's surface 2 m from
    // the end by direct summation of e^(-jkR)/R. At the very end real charge crowds, which the sinusoid does not know.
    let (freq_mhz, radius_m) = (7.05, 0.000_5);
    let half_m = 299.792_458 / freq_mhz / 4.0;
    let wire = Wire3::new([-half_m, 0.0, 0.0], [half_m, 0.0, 0.0], radius_m, Conductor::COPPER);
    let antenna = Thin {
        wires: vec![wire],
        sources: vec![Source::middle_of(0)],
        loads: Vec::new(),
        ground: Ground::Free,
    };
    let currents = solve(&antenna, freq_mhz).unwrap();
    let at_m = half_m - 2.0;
    let got = potentials_v(&currents, &[[at_m, 0.0, 0.0]], 1.0)[0];
    let i0 = (0.5 / currents.input_w()).sqrt() * currents.feeds[0].peak_a.norm();
    let k = std::f64::consts::PI / 2.0 / half_m;
    let (count, mut sum) = (200_000, [0.0f64; 2]);
    for i in 0..count {
        let z = half_m * (2.0 * (f64::from(i) + 0.5) / f64::from(count) - 1.0);
        let r = ((z - at_m).powi(2) + radius_m * radius_m).sqrt();
        let (sin, cos) = (-k * r).sin_cos();
        let weight = (k * z).sin() / r * 2.0 * half_m / f64::from(count);
        sum = [sum[0] + weight * cos, sum[1] + weight * sin];
    }
    // Φ = Z0/(4π) I0 Σ: 30 Ω times the sum.
    let want = 376.73 / (4.0 * std::f64::consts::PI) * i0 * sum[0].hypot(sum[1]);
    assert!((got / want - 1.0).abs() < 0.08, "{got} {want}");
}

#[test]
fn wires_overhead_are_out_of_reach() {
    let high = near(
        AntennaKind::FlatDipole(FlatDipole {
            length_m: 20.3,
            height_m: 6.0,
        }),
        7.05,
    );
    assert!(high.profile.out_of_reach() && high.contacts.is_empty());
    assert!((high.profile.steps()[0].distance_m - 4.0).abs() < 1e-6);
    let low = near(
        AntennaKind::FlatDipole(FlatDipole {
            length_m: 20.3,
            height_m: 1.5,
        }),
        7.05,
    );
    assert!(!low.profile.out_of_reach());
    // The same antenna nearer to people makes stronger fields where they stand.
    assert!(low.profile.steps()[0].e_v_per_m > 5.0 * high.profile.steps()[0].e_v_per_m);
}

/// Keeps nothing, and counts the near fields that were worked out.
#[derive(Default)]
struct Counting(std::sync::atomic::AtomicUsize);

impl crate::engine::SolutionStore for Counting {
    fn get(&self, _: &[u8]) -> Option<std::sync::Arc<crate::engine::SolvedAntenna>> {
        None
    }
    fn put(&self, _: &[u8], _: &std::sync::Arc<crate::engine::SolvedAntenna>) {}
    fn keep_near(&self, _: &[u8], _: &std::sync::Arc<NearAtWatt>) {
        self.0.fetch_add(1, std::sync::atomic::Ordering::SeqCst);
    }
}

#[test]
fn sites_on_the_same_ground_share_what_is_worked_out_once() {
    let mut parts = crate::demo::demo().into_parts();
    let ground = parts.sites[0].ground;
    parts.sites.iter_mut().for_each(|s| s.ground = ground);
    parts.sites.iter_mut().for_each(|s| s.antennas.clear());
    let outing = farhop_outing::Outing::new(parts).unwrap();
    let store = Counting::default();
    let all = of_outing(&outing, (None, None), &store, &crate::watch::Unwatched);
    let of = |s: &BandSafety| (s.antenna, s.sending.freq_mhz.to_bits());
    let distinct: std::collections::BTreeSet<(usize, u64)> = all.iter().map(of).collect();
    let worked_out = store.0.load(std::sync::atomic::Ordering::SeqCst);
    assert!(
        all.len() > distinct.len(),
        "{} cases, {} distinct",
        all.len(),
        distinct.len()
    );
    assert_eq!(worked_out, distinct.len());
    // What is shared is what each would have by itself; a few of them tell.
    for (case, shared) in safety_cases(&outing, None, None).iter().zip(&all).step_by(7) {
        assert_eq!(safety_of(&outing, case, &store), *shared);
    }
}

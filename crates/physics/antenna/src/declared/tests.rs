use std::f64::consts::PI;

use super::*;
use farhop_earth::GroundClass;
use proptest::prelude::*;

const FREQ_MHZ: f64 = 7.1;
const WAVELENGTH_M: f64 = 299.792_458 / FREQ_MHZ;

fn half_wave(height_in_wavelengths: f64) -> Declared {
    Declared::FlatDipole {
        length_m: WAVELENGTH_M / 2.0,
        height_m: height_in_wavelengths * WAVELENGTH_M,
        wire_azimuth_deg: 0.0,
    }
}

fn gain(antenna: Declared, below: Below, elevation_deg: f64, azimuth_deg: f64) -> f64 {
    antenna
        .prepare(FREQ_MHZ, below)
        .unwrap()
        .gain_dbi(elevation_deg, azimuth_deg)
}

#[test]
fn free_space_limits_of_the_textbook() {
    // Half-wave dipole 2.15 dBi, short dipole and small loop 1.76 dBi; nothing along the wire.
    assert!((gain(half_wave(1.0), Below::FreeSpace, 20.0, 90.0) - 2.15).abs() < 0.01);
    let short = Declared::FlatDipole {
        length_m: 0.03 * WAVELENGTH_M,
        height_m: 5.0,
        wire_azimuth_deg: 30.0,
    };
    assert!((gain(short, Below::FreeSpace, 0.0, 120.0) - 1.76).abs() < 0.01);
    let small = Declared::SmallLoop {
        height_m: 5.0,
        plane_azimuth_deg: 30.0,
        efficiency: 1.0,
    };
    assert!((gain(small, Below::FreeSpace, 0.0, 30.0) - 1.761).abs() < 0.01);
    assert!(gain(half_wave(1.0), Below::FreeSpace, 0.0, 0.0) < -60.0);
    assert!(gain(small, Below::FreeSpace, 0.0, 120.0) < -60.0);
}

#[test]
fn images_over_perfect_ground() {
    // Quarter-wave vertical: 5.16 dBi at the horizon (half the resistance of the dipole of 2.15 dBi).
    let quarter = Declared::ShortVertical {
        length_m: WAVELENGTH_M / 4.0,
        efficiency: 1.0,
    };
    assert!((gain(quarter, Below::PerfectGround, 0.0, 0.0) - 5.16).abs() < 0.01);
    let short = Declared::ShortVertical {
        length_m: WAVELENGTH_M / 100.0,
        efficiency: 1.0,
    };
    assert!((gain(short, Below::PerfectGround, 0.0, 0.0) - 4.77).abs() < 0.01);
    // Dipole a quarter wave up: R = 73.13 - R₁₂(λ/2) = 73.13 + 12.53 = 85.66 Ω; straight up 120 · 4 / 85.66 = 7.485 dBi.
    let up = gain(half_wave(0.25), Below::PerfectGround, 90.0, 0.0);
    assert!((up - 10.0 * (480.0_f64 / 85.66).log10()).abs() < 0.02, "{up}");
    // Small loop on perfect ground: twice the resistance, four times the field power: 3 · … = 4.77 dBi along its plane.
    let small = Declared::SmallLoop {
        height_m: 0.01 * WAVELENGTH_M,
        plane_azimuth_deg: 0.0,
        efficiency: 1.0,
    };
    assert!((gain(small, Below::PerfectGround, 0.0, 0.0) - 4.77).abs() < 0.03);
}

#[test]
fn power_is_kept_over_perfect_ground_by_the_induced_emf_too() {
    // Two roads to one resistance: the sky integral (in use) and R₁₁ - Re Z₁₂(2h).
    for height in [0.1, 0.25, 0.5, 0.8] {
        let up = gain(half_wave(height), Below::PerfectGround, 90.0, 0.0);
        let resistance =
            current::radiation_resistance_ohm(PI) - current::mutual_impedance_ohm(PI, 4.0 * PI * height).re;
        let field = 4.0 * (2.0 * PI * height).sin().powi(2);
        if field > 0.1 {
            assert!(
                (up - 10.0 * (120.0 * field / resistance).log10()).abs() < 0.02,
                "{height} {up}"
            );
        }
    }
}

#[test]
fn very_good_ground_tends_to_the_perfect_one() {
    let metal = Below::Ground(GroundConstants {
        eps_r: 1.0,
        sigma_s_per_m: 1e7,
    });
    for elevation_deg in [10.0, 40.0, 90.0] {
        let (real, perfect) = (
            gain(half_wave(0.3), metal, elevation_deg, 60.0),
            gain(half_wave(0.3), Below::PerfectGround, elevation_deg, 60.0),
        );
        assert!((real - perfect).abs() < 0.05, "{elevation_deg}: {real} {perfect}");
    }
}

#[test]
fn efficiency_counts_in_full_and_low_wires_are_flagged() {
    let ground = Below::Ground(GroundClass::Average.constants());
    let at = |efficiency| {
        gain(
            Declared::ShortVertical {
                length_m: 5.0,
                efficiency,
            },
            ground,
            20.0,
            0.0,
        )
    };
    assert!((at(1.0) - at(0.1) - 10.0).abs() < 1e-9);
    assert!(half_wave(0.01).prepare(FREQ_MHZ, ground).unwrap().caution().is_some());
    assert!(half_wave(0.25).prepare(FREQ_MHZ, ground).unwrap().caution().is_none());
    assert!((gain(Declared::Fixed { gain_dbi: 3.0 }, ground, 20.0, 0.0) - 3.0).abs() < 1e-9);
    assert_eq!(gain(Declared::Fixed { gain_dbi: 3.0 }, ground, 0.0, 0.0), FLOOR_DBI);
}

#[test]
fn nonsense_is_refused() {
    let ground = Below::Ground(GroundClass::Average.constants());
    assert!(half_wave(0.25).prepare(f64::NAN, ground).is_err());
    assert!(half_wave(-0.25).prepare(FREQ_MHZ, ground).is_err());
    assert!(
        Declared::ShortVertical {
            length_m: 5.0,
            efficiency: 0.0
        }
        .prepare(FREQ_MHZ, ground)
        .is_err()
    );
    assert!(
        Declared::ShortVertical {
            length_m: f64::NAN,
            efficiency: 0.5
        }
        .prepare(FREQ_MHZ, ground)
        .is_err()
    );
    assert!(
        Declared::Fixed { gain_dbi: f64::NAN }
            .prepare(FREQ_MHZ, ground)
            .is_err()
    );
}

proptest! {
    #[test]
    fn no_more_power_leaves_than_goes_in(
        f in 1.8..30.0_f64, height in 0.3..40.0_f64, length in 4.0..40.0_f64, class in 0_usize..8
    ) {
        let antenna = Declared::FlatDipole { length_m: length, height_m: height, wire_azimuth_deg: 17.0 };
        let ground = Below::Ground(GroundClass::ALL[class].constants());
        if let Ok(pattern) = antenna.prepare(f, ground) {
            let (mut sum, mut weight) = (0.0, 0.0);
            for elevation in (1..90).step_by(2) {
                for azimuth in (0..360).step_by(6) {
                    let cosine = f64::from(elevation).to_radians().cos();
                    sum += cosine * 10.0_f64.powf(pattern.gain_dbi(f64::from(elevation), f64::from(azimuth)) / 10.0);
                    weight += cosine;
                }
            }
            // Mean gain over the half space is at most 2 (3 dBi).
            prop_assert!(sum / weight <= 2.02, "{}", sum / weight);
        }
    }

    #[test]
    fn gains_are_finite_everywhere(
        f in 1.8..30.0_f64, elevation in -90.0..=90.0_f64, azimuth in -360.0..360.0_f64, height in 0.01..50.0_f64
    ) {
        let ground = GroundClass::Poor.constants();
        for antenna in [
            Declared::FlatDipole { length_m: 12.0, height_m: height, wire_azimuth_deg: 17.0 },
            Declared::SmallLoop { height_m: height, plane_azimuth_deg: 17.0, efficiency: 0.05 },
            Declared::ShortVertical { length_m: 2.5, efficiency: 0.1 },
        ] {
            if let Ok(gain) = antenna.gain_dbi(f, ground, elevation, azimuth) {
                prop_assert!(gain.is_finite() && (FLOOR_DBI..15.0).contains(&gain));
            }
        }
    }
}

//! The auroral zone: its frame against a general library, and the whole signal as K rises.

use crate::common::{five_watts, number, read};
use farhop_earth::{IgrfEpoch, Place, UtcTime, destination};
use farhop_ionosphere::{Activity, Ionosphere, SkyConditions};
use farhop_propagation::corrected::DipoleFrame;
use farhop_propagation::noise::{NoiseClass, man_made};
use farhop_propagation::{
    Circuit, CircuitSky, Events, Flare, PolarCap, ProtonLevel, Signal, SkyPath, SnrMixture, noise_in_band,
};

/// validation/propagation/corrected.csv: field lines traced by aacgmv2.
#[test]
fn corrected_coordinates_and_magnetic_time() {
    let time = UtcTime::from_civil(2026, 1, 15, 5, 30, 0).unwrap();
    let field = IgrfEpoch::at(time.decimal_year()).unwrap();
    let frame = DipoleFrame::of(&field);
    let sun = farhop_earth::SunOfInstant::new(time);
    // Where the sun stands straight above: from its direction at latitude and longitude 0.
    let greenwich = sun.position(Place::new(0.0, 0.0).unwrap());
    let mut worst = [0.0_f64; 3];
    let mut rows = 0;
    for row in read("corrected.csv") {
        let get = |column| number(&row, column).unwrap();
        let corrected = frame.corrected(&field, Place::new(get("lat_deg"), get("lon_deg")).unwrap());
        let turned = |degrees: f64| (degrees + 180.0).rem_euclid(360.0) - 180.0;
        let lat = (corrected.lat_deg - get("corrected_lat_deg")).abs();
        let lon = turned(corrected.lon_deg - get("corrected_lon_deg")).abs() * corrected.lat_deg.to_radians().cos();
        let (zenith, azimuth) = (greenwich.zenith_deg.to_radians(), greenwich.azimuth_deg.to_radians());
        let sun_lon_deg = (zenith.sin() * azimuth.sin()).atan2(zenith.cos()).to_degrees();
        let mlt_h = frame.magnetic_local_time_h(&corrected, sun.declination_deg(), sun_lon_deg);
        let mlt = (turned(15.0 * (mlt_h - get("magnetic_local_time_h"))) / 15.0).abs();
        worst = [worst[0].max(lat), worst[1].max(lon), worst[2].max(mlt)];
        rows += 1;
    }
    println!(
        "worst: latitude {:.3} deg, longitude {:.3} deg of a great circle, time {:.3} h",
        worst[0], worst[1], worst[2]
    );
    assert!(rows > 100 && worst[0] < 0.3 && worst[1] < 1.0, "{worst:?}");
    assert!(worst[2] < 0.2, "{worst:?}");
}

fn median_snr_db(lat_deg: f64, k: f64, hour: i8, month: i8, events: Events) -> f64 {
    let field = IgrfEpoch::at(2026.0).unwrap();
    let conditions = SkyConditions {
        k_index: Some(k),
        ..SkyConditions::quiet(Activity::from_ssn(80.0).unwrap())
    };
    let sky = Ionosphere::embedded().sky(&field, &conditions);
    let from = Place::new(lat_deg, 20.0).unwrap();
    let circuit = Circuit::new(from, destination(from, 90.0, 660.0));
    let time = UtcTime::from_civil(2026, month, 15, hour, 0, 0).unwrap();
    let path: SkyPath = CircuitSky::new(&sky, &circuit, time).with_events(events).at(time);
    let setup = five_watts();
    let best = [3.6, 5.36, 7.1].map(|freq_mhz| {
        let signal = Signal::new(&path, &path.modes(freq_mhz), &setup);
        let noise = noise_in_band(&man_made(NoiseClass::QuietRural, freq_mhz), 500.0);
        SnrMixture::new(&signal.mixture(), &noise).quantile_db(0.5)
    });
    best.into_iter().fold(f64::MIN, f64::max)
}

/// Common practice: a disturbed field never makes a path at high latitudes better.
#[test]
fn the_signal_never_rises_with_k() {
    let mut wrong = Vec::new();
    for lat_deg in [52.0, 58.0, 61.0, 64.0, 68.0] {
        for (month, hour) in [(1, 5), (3, 6), (3, 22), (6, 12), (6, 23), (12, 18)] {
            let by_k: Vec<f64> = (0..=9)
                .map(|k| median_snr_db(lat_deg, f64::from(k), hour, month, Events::default()))
                .collect();
            println!("{lat_deg} N month {month} {hour} UT: {by_k:.1?}");
            if by_k.windows(2).any(|pair| pair[1] > pair[0] + 0.05) {
                wrong.push((lat_deg, month, hour, by_k));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#.1?}");
}

#[test]
fn flares_and_protons_take_what_they_say() {
    let time = UtcTime::from_civil(2026, 6, 15, 12, 0, 0).unwrap();
    let quiet = median_snr_db(64.0, 2.0, 12, 6, Events::default());
    let flare = Flare {
        peak_flux_w_per_m2: 1e-4,
        from: time.add_s(-300),
        until: None,
    };
    let lit = median_snr_db(
        64.0,
        2.0,
        12,
        6,
        Events {
            flares: vec![flare],
            ..Events::default()
        },
    );
    let past = Flare {
        from: time.add_s(-86_400),
        ..flare
    };
    let over = median_snr_db(
        64.0,
        2.0,
        12,
        6,
        Events {
            flares: vec![past],
            ..Events::default()
        },
    );
    let storm = PolarCap {
        level: ProtonLevel::Flux {
            above_10_mev_per_cm2_s_sr: 1_000.0,
        },
        from: time,
        until: None,
    };
    let cap = |lat_deg| {
        median_snr_db(
            lat_deg,
            2.0,
            12,
            6,
            Events {
                polar_cap: vec![storm],
                ..Events::default()
            },
        )
    };
    println!(
        "quiet {quiet:.1}, X1 {lit:.1}, a day later {over:.1}, 1000 pfu {:.1} at 68 N, {:.1} at 48 N",
        cap(68.0),
        cap(48.0)
    );
    assert!(lit < quiet - 5.0 && over == quiet);
    assert!(cap(68.0) < median_snr_db(68.0, 2.0, 12, 6, Events::default()) - 30.0);
    assert_eq!(cap(48.0), median_snr_db(48.0, 2.0, 12, 6, Events::default()));
}

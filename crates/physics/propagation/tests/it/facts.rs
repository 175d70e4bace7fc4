//! Facts of the trade: what operators find, marked as common practice, and figures of an independent integration along
//! traced rays (5 W, 0 dBi at both ends, rural man-made noise, 500 Hz, no atmospheric noise).

use crate::common::five_watts;
use farhop_earth::{IgrfEpoch, Place, UtcTime, destination};
use farhop_ionosphere::{Activity, Ionosphere, SkyConditions};
use farhop_propagation::noise::{NoiseClass, man_made};
use farhop_propagation::{Circuit, Horizon, LinkEnd, LinkSetup, Signal, SkyPath, SnrMixture, noise_in_band};

const BANDWIDTH_HZ: f64 = 500.0;

struct Question {
    lat_deg: f64,
    distance_km: f64,
    freq_mhz: f64,
    month: i8,
    hour_ut: i8,
    flux_sfu: f64,
}

fn snr(question: &Question) -> SnrMixture {
    let field = IgrfEpoch::at(2026.5).unwrap();
    let conditions = SkyConditions::quiet(Activity::from_flux(question.flux_sfu).unwrap());
    let sky = Ionosphere::embedded().sky(&field, &conditions);
    let from = Place::new(question.lat_deg, 0.0).unwrap();
    let circuit = Circuit::new(from, destination(from, 90.0, question.distance_km));
    let time = UtcTime::from_civil(2026, question.month, 15, question.hour_ut, 0, 0).unwrap();
    let path = SkyPath::new(&sky, &circuit, time);
    let setup = five_watts();
    let signal = Signal::new(&path, &path.modes(question.freq_mhz), &setup);
    let noise = noise_in_band(&man_made(NoiseClass::Rural, question.freq_mhz), BANDWIDTH_HZ);
    SnrMixture::new(&signal.mixture(), &noise)
}

fn median_db(question: &Question) -> f64 {
    let snr = snr(question);
    let median_db = snr.quantile_db(0.5);
    println!(
        "{} km {} MHz month {} {} UT: {median_db:.1} dB",
        question.distance_km, question.freq_mhz, question.month, question.hour_ut
    );
    median_db
}

const SUMMER: Question = Question {
    lat_deg: 50.0,
    distance_km: 500.0,
    freq_mhz: 3.6,
    month: 7,
    hour_ut: 12,
    flux_sfu: 130.0,
};

#[test]
fn eighty_metres_is_close_to_hopeless_at_summer_noon() {
    // Common practice; the independent integration gives about -10 dB over 400 to 600 km.
    for distance_km in [400.0, 500.0, 600.0] {
        let db = median_db(&Question { distance_km, ..SUMMER });
        assert!((-18.0..=-3.0).contains(&db), "{distance_km} km: {db}");
    }
}

#[test]
fn forty_metres_improves_towards_evening() {
    // Common practice; the independent integration gives +21 to +28 dB in the evening.
    let noon = median_db(&Question {
        freq_mhz: 7.1,
        ..SUMMER
    });
    let evening = median_db(&Question {
        freq_mhz: 7.1,
        hour_ut: 19,
        ..SUMMER
    });
    assert!(evening > noon + 5.0, "{noon} {evening}");
    assert!((19.0..=30.0).contains(&evening), "{evening}");
}

#[test]
fn twenty_metres_is_closed_at_150_km() {
    // Common practice: far above the critical frequency there is nothing at short range but the ground wave.
    let mut open = 0;
    for month in 1..=12 {
        for hour_ut in (0..24).step_by(2) {
            let question = Question {
                distance_km: 150.0,
                freq_mhz: 14.1,
                month,
                hour_ut,
                ..SUMMER
            };
            if snr(&question).probability_at_least(3.0) > 0.2 {
                open += 1;
            }
        }
    }
    assert!(open <= 7, "open in {open} of 144 hours");
}

#[test]
fn eighty_metres_carries_600_km_at_night() {
    // The independent integration gives +27 dB out to 600 km when foF2 allows.
    for distance_km in [200.0, 400.0, 600.0] {
        let db = median_db(&Question {
            distance_km,
            hour_ut: 1,
            ..SUMMER
        });
        assert!((22.0..=32.0).contains(&db), "{distance_km} km: {db}");
    }
}

#[test]
fn a_band_can_look_dead_all_day_and_open_before_sunset() {
    // Common practice: 80 m over 500 km in summer is dead through the day and opens in the evening.
    let by_hour: Vec<f64> = (9..=20)
        .map(|hour_ut| snr(&Question { hour_ut, ..SUMMER }).probability_at_least(3.0))
        .collect();
    assert!(by_hour[..6].iter().all(|p| *p < 0.35), "{by_hour:?}");
    assert!(by_hour[10] > 0.8, "{by_hour:?}");
}

#[test]
fn at_solar_minimum_60_metres_may_carry_where_40_metres_does_not() {
    // The independent integration found 7.1 MHz above the MUF on 400 km all day, while 5.35 MHz carried.
    let winter = Question {
        lat_deg: 52.0,
        distance_km: 400.0,
        month: 6,
        flux_sfu: 68.0,
        ..SUMMER
    };
    let best = |freq_mhz| {
        (6..=20)
            .map(|hour_ut| {
                median_db(&Question {
                    freq_mhz,
                    hour_ut,
                    ..winter
                })
            })
            .fold(f64::MIN, f64::max)
    };
    let (sixty, forty) = (best(5.35), best(7.1));
    assert!(sixty > forty, "{sixty} {forty}");
}

#[test]
fn the_ground_wave_carries_a_short_path_when_the_sky_does_not() {
    // Common practice: 14 MHz at 20 km is ground wave or nothing, and it hardly changes from day to day.
    let field = IgrfEpoch::at(2026.5).unwrap();
    let conditions = SkyConditions::quiet(Activity::from_flux(100.0).unwrap());
    let sky = Ionosphere::embedded().sky(&field, &conditions);
    let from = Place::new(50.0, 0.0).unwrap();
    let circuit = Circuit::new(from, destination(from, 90.0, 20.0));
    let path = SkyPath::new(&sky, &circuit, UtcTime::from_civil(2026, 7, 15, 12, 0, 0).unwrap());
    let gain = |_: f64, _: f64| 0.0;
    let end = LinkEnd {
        gain_dbi: &gain,
        horizon: Horizon::FLAT,
    };
    let loss_db = circuit.ground_wave_loss_db(14.1).unwrap();
    let setup = LinkSetup {
        power_dbw: 6.989_7,
        from: end,
        to: end,
        ground_wave_loss_db: Some(loss_db),
    };
    let mixture = Signal::new(&path, &path.modes(14.1), &setup).mixture();
    for component in &mixture.components {
        assert!(
            (component.power_dbw.median_db - (6.989_7 - loss_db)).abs() < 0.1,
            "{component:?}"
        );
        assert!(component.power_dbw.sd_low_db < 2.5, "{component:?}");
    }
}

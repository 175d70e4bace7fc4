//! Nights on which the frequency is above what the layers carry: a chance must not exceed the share of days on which
//! something carries it.
//!
//! The judge is the distribution of foF2 and foEs itself ([`farhop_ionosphere::Layers`]): what no layer turns back is not heard,
//! but for the ground wave and a weak scattered remainder (common practice: a band above the critical frequency is dead at short
//! range).

use crate::common::five_watts;
use farhop_earth::{IgrfEpoch, Place, UtcTime, destination};
use farhop_ionosphere::{Activity, Ionosphere, Observation, SkyConditions};
use farhop_propagation::noise::{NoiseClass, NoiseInputs, Receiver, total_noise};
use farhop_propagation::{Circuit, Shares, Signal, SkyPath, SnrMixture, Support, noise_in_band};

/// Latitude and bearing in degrees, distance in km, frequency in MHz, month, UT hour and minute, R12.
type Night = (f64, f64, f64, f64, i8, (i8, i8), f64);

const NIGHTS: [Night; 10] = [
    (60.6, 90.0, 172.0, 3.594, 1, (17, 30), 8.0),
    (60.6, 0.0, 100.0, 3.594, 1, (18, 30), 8.0),
    (60.0, 90.0, 80.0, 3.65, 1, (20, 0), 5.0),
    (58.0, 180.0, 250.0, 3.8, 12, (19, 0), 10.0),
    (55.0, 90.0, 300.0, 5.36, 12, (22, 0), 8.0),
    (52.0, 45.0, 150.0, 5.36, 1, (19, 0), 5.0),
    (50.0, 90.0, 200.0, 5.36, 1, (3, 0), 10.0),
    (65.0, 270.0, 200.0, 3.55, 12, (17, 0), 15.0),
    (62.0, 90.0, 120.0, 4.6, 1, (1, 0), 8.0),
    (53.0, 0.0, 80.0, 4.6, 12, (2, 0), 12.0),
];

/// Needed signal-to-noise ratios in 500 Hz, dB: from 8 dB under the slowest step of the embedded ladders (-6 dB in 3 kHz) to comfort.
const NEEDED_DB: [f64; 5] = [-6.0, 0.0, 6.0, 12.0, 18.0];

struct Found {
    support: Support,
    median_db: f64,
    chances: [f64; NEEDED_DB.len()],
    carried: [Shares; NEEDED_DB.len()],
}

fn found(night: &Night, observed_mhz: Option<f64>) -> Found {
    let (lat_deg, bearing_deg, distance_km, freq_mhz, month, (hour, minute), r12) = *night;
    let field = IgrfEpoch::at(2026.0).unwrap();
    let mut conditions = SkyConditions::quiet(Activity::from_ssn(r12).unwrap());
    let from = Place::new(lat_deg, 10.0).unwrap();
    let circuit = Circuit::new(from, destination(from, bearing_deg, distance_km));
    let time = UtcTime::from_civil(2026, month, 15, hour, minute, 0).unwrap();
    conditions.observed = observed_mhz
        .map(|mhz| Observation::new(circuit.arc.midpoint(), time, mhz).unwrap())
        .into_iter()
        .collect();
    let sky = Ionosphere::embedded().sky(&field, &conditions);
    let path = SkyPath::new(&sky, &circuit, time);
    let setup = five_watts();
    let modes = path.modes(freq_mhz);
    let signal = Signal::new(&path, &modes, &setup);
    let noise = total_noise(&NoiseInputs {
        freq_mhz,
        place: from,
        time,
        class: NoiseClass::QuietRural,
        fof2_mhz: path.midpoint_layers().fof2_mhz,
        receiver: Receiver::new(12.0, 1.0, 0.0).unwrap(),
        measured: None,
    });
    let noise = noise_in_band(&noise.total(), 500.0);
    let snr = SnrMixture::new(&signal.mixture(), &noise);
    Found {
        support: signal.support(),
        median_db: snr.quantile_db(0.5),
        chances: NEEDED_DB.map(|db| snr.probability_at_least(db)),
        carried: NEEDED_DB.map(|db| signal.carried(&noise, db)),
    }
}

#[test]
fn a_chance_is_at_most_the_share_of_days_that_carry() {
    let mut wrong = Vec::new();
    for night in &NIGHTS {
        for observed_mhz in [None, Some(1.8)] {
            let f = found(night, observed_mhz);
            println!(
                "{night:?} {observed_mhz:?}: F2 {:.3} Es {:.3} E {:.3}, any {:.3}; median {:.1} dB, chances {:.3?}",
                f.support.f2, f.support.sporadic_e, f.support.e, f.support.any, f.median_db, f.chances
            );
            if f.chances.iter().any(|chance| *chance > f.support.any + 0.05) {
                wrong.push((night, observed_mhz));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:?}");
}

#[test]
fn the_shares_of_what_carries_add_up_to_the_chance() {
    for night in &NIGHTS {
        let f = found(night, None);
        for (shares, chance) in f.carried.iter().zip(f.chances) {
            assert!((shares.sum() - chance).abs() < 0.01, "{night:?}: {shares:?} {chance}");
            // What a layer brings, it must support; half a day in a hundred is the finest cut.
            assert!(
                shares.f2 <= f.support.f2 + 0.006,
                "{night:?}: {shares:?} {:?}",
                f.support
            );
            assert!(
                shares.sporadic_e <= f.support.sporadic_e + 0.006,
                "{night:?}: {shares:?} {:?}",
                f.support
            );
        }
    }
}

//! One circuit, anywhere and at any time: figures stay figures, and what must hold holds.

use farhop_earth::{IgrfEpoch, Place, UtcTime};
use farhop_ionosphere::{Activity, SkyConditions};
use farhop_plan::single::{CircuitAnswer, CircuitQuestion, circuit};
use farhop_propagation::noise::NoiseClass;
use proptest::prelude::*;

fn place() -> impl Strategy<Value = Place> {
    let lat = prop_oneof![4 => -90.0..=90.0, 1 => Just(90.0), 1 => Just(-90.0), 1 => Just(0.0)];
    let lon = prop_oneof![4 => -180.0..=180.0, 1 => Just(180.0), 1 => Just(0.0)];
    (lat, lon).prop_map(|(lat, lon)| Place::new(lat, lon).unwrap())
}

fn question(from: Place, to: Place, time: UtcTime, freq_mhz: f64, ssn: f64) -> CircuitQuestion {
    CircuitQuestion {
        from,
        to,
        time,
        freq_mhz,
        power_w: 5.0,
        bandwidth_hz: 500.0,
        noise: NoiseClass::Rural,
        conditions: SkyConditions::quiet(Activity::from_ssn(ssn).unwrap()),
        events: farhop_propagation::Events::default(),
    }
}

fn answer(question: &CircuitQuestion) -> CircuitAnswer {
    let field = IgrfEpoch::at(question.time.decimal_year()).unwrap();
    circuit(question, &field).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(250))]

    #[test]
    fn figures_stay_figures(
        from in place(), to in place(),
        // 1900 to 2029, every second.
        unix_s in -2_208_988_800i64..1_893_455_999,
        freq_mhz in 1.6f64..30.0, ssn in 0.0f64..250.0,
    ) {
        let time = UtcTime::from_unix_s(unix_s).unwrap();
        let mut asked = question(from, to, time, freq_mhz, ssn);
        let answer = answer(&asked);
        let [p10, p50, p90] = answer.snr_p10_p50_p90_db;
        prop_assert!(p10.is_finite() && p50.is_finite() && p90.is_finite());
        prop_assert!(p10 <= p50 + 1e-6 && p50 <= p90 + 1e-6, "{p10} {p50} {p90}");
        for received in &answer.modes {
            let mode = &received.mode;
            prop_assert!(mode.losses.total_db().is_finite() && mode.losses.total_db() > 0.0);
            prop_assert!((0.0..=1.0).contains(&mode.support));
            prop_assert!((0.0..=90.0).contains(&mode.elevation_deg));
        }
        asked.power_w = 50.0;
        let louder = self::answer(&asked).snr_p10_p50_p90_db[1];
        // No signal at all stays no signal; else ten times the power is 10 dB, to the step of the search.
        prop_assert!((louder - p50 - 10.0).abs() < 0.05 || p50 < -200.0, "{p50} {louder}");
    }

    #[test]
    fn a_path_is_as_long_and_as_open_in_both_directions(
        from in place(), to in place(), unix_s in 1_700_000_000i64..1_890_000_000, freq_mhz in 2.0f64..28.0,
    ) {
        let time = UtcTime::from_unix_s(unix_s).unwrap();
        let there = answer(&question(from, to, time, freq_mhz, 80.0));
        let back = answer(&question(to, from, time, freq_mhz, 80.0));
        let (a, b) = (there.path.circuit(), back.path.circuit());
        prop_assert!((a.distance_km - b.distance_km).abs() < 1e-3);
        // Near antipodes the shortest way is not unique.
        if a.distance_km < 19_000.0 {
            let (a, b) = (there.path.muf_f2_ordinary_mhz(), back.path.muf_f2_ordinary_mhz());
            prop_assert!((a / b - 1.0).abs() < 0.01, "{a} {b}");
        }
    }
}

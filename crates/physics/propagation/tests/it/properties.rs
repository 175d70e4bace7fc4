//! What must hold anywhere, at any time, for any frequency.

use farhop_earth::{IgrfEpoch, Place, UtcTime};
use farhop_ionosphere::{Activity, Ionosphere, SkyConditions};
use farhop_propagation::{
    Circuit, Direction, Horizon, LinkEnd, LinkSetup, RangeCaution, Signal, SkyPath, SnrMixture, TwoSided,
    joint_probability,
};
use proptest::prelude::*;
use std::sync::LazyLock;

static FIELD: LazyLock<IgrfEpoch> = LazyLock::new(|| IgrfEpoch::at(2026.5).unwrap());

fn path(from: Place, to: Place, unix_s: i64, r12: f64, k: Option<f64>) -> SkyPath {
    let conditions = SkyConditions {
        k_index: k,
        ..SkyConditions::quiet(Activity::from_ssn(r12).unwrap())
    };
    let sky = Ionosphere::embedded().sky(&FIELD, &conditions);
    SkyPath::new(&sky, &Circuit::new(from, to), UtcTime::from_unix_s(unix_s).unwrap())
}

fn setup(gain: &dyn Fn(f64, f64) -> f64) -> LinkSetup<'_> {
    let end = LinkEnd {
        gain_dbi: gain,
        horizon: Horizon {
            elevation_deg: 8.0,
            distance_km: 2.0,
        },
    };
    LinkSetup {
        power_dbw: 7.0,
        from: end,
        to: end,
        ground_wave_loss_db: None,
    }
}

const NOISE: TwoSided = TwoSided {
    median_db: -130.0,
    sd_low_db: 4.0,
    sd_high_db: 6.0,
};

fn check(path: &SkyPath, freq_mhz: f64) {
    assert!(path.muf_mhz().is_finite() && path.muf_f2_ordinary_mhz() <= path.muf_f2_mhz());
    assert!(path.optimum_working_mhz().is_finite() && path.operational_muf_mhz().is_finite());
    assert!(path.skip_km(freq_mhz).is_none_or(|d| (0.0..6_000.0).contains(&d)));
    let modes = path.modes(freq_mhz);
    for mode in &modes {
        let losses = &mode.losses;
        let terms = [
            losses.spreading_db,
            losses.absorption_db,
            losses.above_muf_db,
            losses.ground_reflection_db,
            losses.auroral_db,
            losses.polarisation_db,
            losses.screening_db,
            losses.residual_db,
            losses.horizon_db,
        ];
        assert!(terms.iter().all(|t| t.is_finite() && *t >= 0.0), "{mode:?}");
        assert!((-0.5..=90.0).contains(&mode.elevation_deg), "{mode:?}");
        assert!((0.0..=1.0).contains(&mode.support), "{mode:?}");
        assert!(
            mode.path_km.is_finite() && mode.path_km >= 0.99 * path.circuit().arc_km(),
            "{mode:?}"
        );
        assert!(mode.mirror_height_km > 50.0, "{mode:?}");
    }
    let gain = |elevation_deg: f64, _: f64| elevation_deg / 45.0 - 1.0;
    let signal = Signal::new(path, &modes, &setup(&gain));
    let mixture = signal.mixture();
    let weight: f64 = mixture.components.iter().map(|c| c.weight).sum();
    assert!((weight - 1.0).abs() < 1e-9);
    for component in &mixture.components {
        let given = signal.component_given(component.fof2_factor, component.foes_mhz, component.absorption_factor);
        assert!((given.power_dbw.median_db - component.power_dbw.median_db).abs() < 1e-6);
        assert!((given.power_dbw.sd_low_db - component.power_dbw.sd_low_db).abs() < 1e-6);
    }
    let snr = SnrMixture::new(&mixture, &NOISE);
    let [p10, p50, p90] = snr.p10_p50_p90_db();
    assert!(p10 <= p50 && p50 <= p90 && p10.is_finite() && p90.is_finite());
    let direction = Direction {
        power_offset_db: 0.0,
        noise_dbw: NOISE,
        required_snr_db: 3.0,
    };
    let both = joint_probability(&mixture, &direction, &direction);
    assert!((0.0..=1.0 + 1e-9).contains(&both));
    assert!(both <= snr.probability_at_least(3.0) + 0.01);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(200) })]

    #[test]
    fn anywhere_any_time(
        lat_a in -90.0..=90.0f64, lon_a in -180.0..180.0f64, lat_b in -90.0..=90.0f64, lon_b in -180.0..180.0f64,
        unix_s in 1_577_836_800i64..1_893_456_000, freq_mhz in 1.6..30.0f64, r12 in 0.0..200.0f64, k in proptest::option::of(0.0..9.0f64),
    ) {
        check(&path(Place::new(lat_a, lon_a).unwrap(), Place::new(lat_b, lon_b).unwrap(), unix_s, r12, k), freq_mhz);
    }

    #[test]
    fn at_operating_range(
        lat in -75.0..75.0f64, lon in -180.0..180.0f64, bearing_deg in 0.0..360.0f64, distance_km in 0.0..3_000.0f64,
        unix_s in 1_577_836_800i64..1_893_456_000, freq_mhz in 1.6..30.0f64, r12 in 0.0..200.0f64,
    ) {
        let from = Place::new(lat, lon).unwrap();
        check(&path(from, farhop_earth::destination(from, bearing_deg, distance_km), unix_s, r12, None), freq_mhz);
    }

    #[test]
    fn a_stronger_layer_never_hurts_a_mode_above_its_muf(fof2_factor in 0.5..1.5f64, more in 1.0..1.5f64) {
        let path = path(Place::new(50.0, 0.0).unwrap(), Place::new(51.0, 5.0).unwrap(), 1_783_000_000, 60.0, None);
        for mode in path.modes(9.0) {
            prop_assert!(mode.above_muf_db(fof2_factor * more) <= mode.above_muf_db(fof2_factor));
        }
    }
}

#[test]
fn corners() {
    let places = [
        (90.0, 0.0),
        (-90.0, 0.0),
        (0.0, 0.0),
        (0.0, 180.0),
        (51.5, 0.0),
        (-51.5, 180.0),
    ];
    for (lat_a, lon_a) in places {
        for (lat_b, lon_b) in places {
            let (a, b) = (Place::new(lat_a, lon_a).unwrap(), Place::new(lat_b, lon_b).unwrap());
            for freq_mhz in [1.8, 3.6, 7.1, 14.1, 28.0] {
                check(&path(a, b, 1_790_000_000, 100.0, Some(9.0)), freq_mhz);
            }
        }
    }
}

#[test]
fn nonsense_frequencies_have_no_modes() {
    let path = path(
        Place::new(50.0, 0.0).unwrap(),
        Place::new(51.0, 5.0).unwrap(),
        1_783_000_000,
        60.0,
        None,
    );
    for freq_mhz in [f64::NAN, 0.0, -7.0, f64::INFINITY, 1e9] {
        assert!(path.modes(freq_mhz).is_empty());
    }
}

#[test]
fn antipodes_are_outside_and_say_so() {
    let path = path(
        Place::new(50.0, 0.0).unwrap(),
        Place::new(-50.0, 180.0).unwrap(),
        1_783_000_000,
        60.0,
        None,
    );
    assert_eq!(path.circuit().caution(), RangeCaution::Outside);
    assert!(path.modes(14.1).is_empty());
}

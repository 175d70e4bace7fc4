//! The edges of the signal: nothing to receive, a ground wave alone, kinds of days that are put together, far quantiles. Judges: what
//! must be so by the definition of a mixture, and the symmetry of the laws.

use farhop_propagation::{
    Direction, Horizon, Layer, LinkEnd, LinkSetup, Mode, Signal, SignalComponent, SignalMixture, SnrMixture, TwoSided,
    joint_probability, noise_in_band,
};

use crate::budget_cases::{Case, cases};

fn plain(case: &Case, modes: &[Mode], ground_wave_loss_db: Option<f64>) -> Signal {
    let gain = |_: f64, _: f64| 0.0;
    let end = LinkEnd {
        gain_dbi: &gain,
        horizon: Horizon::FLAT,
    };
    let setup = LinkSetup {
        power_dbw: 7.0,
        from: end,
        to: end,
        ground_wave_loss_db,
    };
    Signal::new(&case.path, modes, &setup)
}

fn case(name: &str) -> Case {
    cases().into_iter().find(|c| c.name() == name).unwrap()
}

#[test]
fn without_mode_or_ground_wave_there_is_next_to_nothing() {
    let one_hop = case("one-hop");
    for loss_db in [None, Some(f64::INFINITY), Some(f64::NAN)] {
        let signal = plain(&one_hop, &[], loss_db);
        assert_eq!(signal.ground_wave_dbw, None, "{loss_db:?}");
        let mixture = signal.mixture();
        assert_eq!(mixture.components.len(), 1, "nothing differs between days");
        assert!((mixture.components[0].power_dbw.median_db + 400.0).abs() < 1e-6);
        assert!((mixture.components[0].weight - 1.0).abs() < 1e-9);
    }
}

#[test]
fn the_ground_wave_alone_has_its_own_spread() {
    let one_hop = case("one-hop");
    let signal = plain(&one_hop, &[], Some(120.0));
    assert_eq!(signal.ground_wave_dbw, Some(-113.0));
    let mixture = signal.mixture();
    let power = &mixture.components[0].power_dbw;
    assert_eq!(mixture.components.len(), 1);
    assert!((power.median_db + 113.0).abs() < 1e-6 && (power.sd_low_db - 2.0).abs() < 1e-6);
    assert!((power.sd_high_db - 2.0).abs() < 1e-6);
    // A loss beyond all bounds is held where nothing is.
    assert_eq!(plain(&one_hop, &[], Some(9_000.0)).ground_wave_dbw, Some(-400.0));
}

#[test]
fn kinds_of_days_are_what_they_say_and_differ_from_their_neighbours() {
    let mut most = 0;
    for case in cases() {
        let signal = case.signal();
        let mixture = signal.mixture();
        most = most.max(mixture.components.len());
        for c in &mixture.components {
            let one_day = signal.component_given(c.fof2_factor, c.foes_mhz, c.absorption_factor);
            let (a, b) = (c.power_dbw, one_day.power_dbw);
            assert!(
                (a.median_db - b.median_db).abs() < 1e-6,
                "{} {c:?} {one_day:?}",
                case.name()
            );
            assert!((a.sd_low_db - b.sd_low_db).abs() < 1e-6 && (a.sd_high_db - b.sd_high_db).abs() < 1e-6);
            assert!(c.absorption_factor == 1.0 && one_day.weight == 1.0);
            assert_eq!((one_day.fof2_factor, one_day.foes_mhz), (c.fof2_factor, c.foes_mhz));
        }
        for pair in mixture.components.windows(2) {
            let (a, b) = (pair[0].power_dbw, pair[1].power_dbw);
            let largest = [
                a.median_db - b.median_db,
                a.sd_low_db - b.sd_low_db,
                a.sd_high_db - b.sd_high_db,
            ]
            .into_iter()
            .fold(0.0, |most: f64, off| most.max(off.abs()));
            assert!(largest >= 0.1, "{}: {pair:?} should be one", case.name());
        }
    }
    assert!(
        most >= 20,
        "where foF2 and sporadic E both matter, hardly any two kinds of days are one: {most}"
    );
}

/// With sporadic E alone its kinds of days are the twelve of `docs/methods/signal.md`, and two more where
/// the mode appears. Days on which all or nothing comes back are one, so each edge shows in some circuit only.
#[test]
fn sporadic_e_has_the_cells_that_are_written_down() {
    let mut edges: Vec<f64> = Vec::new();
    for link in cases() {
        let mut modes = link.path.modes(link.freq_mhz());
        modes.retain(|mode| mode.layer == Layer::SporadicE && mode.hops == 1);
        let mixture = plain(&link, &modes, None).mixture();
        assert!(mixture.components.len() <= 14, "{mixture:?}");
        // Weaker days come first.
        let mut reached = 0.0;
        for component in &mixture.components {
            reached += component.weight;
            edges.push(reached);
        }
    }
    for edge in [0.25, 0.45, 0.58, 0.68, 0.76, 0.83, 0.88, 0.92, 0.95, 0.975, 0.99, 1.0] {
        assert!(
            edges.iter().any(|e| (e - edge).abs() < 1e-6),
            "{edge} is not in {edges:?}"
        );
    }
}

/// What lost more than 10 dB beyond the edge of its layer is scattered and has 6 dB more (root of squares). At 20 dB a percent that
/// is 0.5 % past the edge; foE moves by the 0.35th power of foF2 (`docs/methods/signal.md`).
#[test]
fn past_ten_decibels_a_mode_is_scattered() {
    let link = case("one-hop");
    let modes = link.path.modes(link.freq_mhz());
    for (layer, power) in [(Layer::F2, 1.0), (Layer::E, 0.35), (Layer::SporadicE, 0.0)] {
        let mode = modes.iter().find(|m| m.layer == layer && m.hops == 1).unwrap();
        let signal = plain(&link, &[*mode], None);
        let sds_db = |ratio: f64| {
            let day = if layer == Layer::SporadicE {
                signal.component_given(1.0, mode.freq_mhz / mode.secant_110 / ratio, 1.0)
            } else {
                signal.component_given((mode.freq_mhz / mode.muf_mhz / ratio).powf(1.0 / power), 1.0, 1.0)
            };
            [day.power_dbw.sd_low_db, day.power_dbw.sd_high_db]
        };
        // Deciles of 8 and 6 dB over 1.281 552.
        let ([low, high], [low_beyond, high_beyond]) = (sds_db(1.0049), sds_db(1.0051));
        assert!(
            (low - 6.242_4).abs() < 1e-3 && (high - 4.681_8).abs() < 1e-3,
            "{layer:?}"
        );
        assert!(
            (low_beyond - 6.242_4_f64.hypot(6.0)).abs() < 1e-3,
            "{layer:?} {low_beyond}"
        );
        assert!(
            (high_beyond - 4.681_8_f64.hypot(6.0)).abs() < 1e-3,
            "{layer:?} {high_beyond}"
        );
    }
}

#[test]
fn a_grid_runs_the_last_factor_fastest() {
    let signal = case("aurora-winter").signal();
    let (fof2, foes_mhz, absorption) = ([0.8, 1.0, 1.1], [1.0, 4.0], [0.5, 1.0, 3.0]);
    let grid = signal.grid(&fof2, &foes_mhz, &absorption);
    let mut all = grid.iter();
    for f in fof2 {
        for es in foes_mhz {
            for a in absorption {
                let expected = signal.component_given(f, es, a).power_dbw;
                let found = all.next().unwrap();
                assert!((found.median_db - expected.median_db).abs() < 1e-6, "{f} {es} {a}");
                assert!((found.sd_low_db - expected.sd_low_db).abs() < 1e-6, "{f} {es} {a}");
            }
        }
    }
    assert!(all.next().is_none());
}

#[test]
fn quantiles_and_probabilities_are_inverse() {
    for case in cases() {
        let snr = SnrMixture::new(&case.signal().mixture(), &noise_in_band(&case.noise(), 500.0));
        for p in [0.002, 0.05, 0.3, 0.5, 0.8, 0.97, 0.998] {
            let quantile_db = snr.quantile_db(p);
            // The search stops at 0.01 dB: the value lies where the probability crosses.
            assert!(
                snr.probability_at_least(quantile_db - 0.011) >= 1.0 - p,
                "{} {p}",
                case.name()
            );
            assert!(
                snr.probability_at_least(quantile_db + 0.011) <= 1.0 - p,
                "{} {p}",
                case.name()
            );
        }
        assert!((snr.quantile_db(0.0) - snr.quantile_db(1e-4)).abs() < 1e-9);
        assert!((snr.quantile_db(1.0) - snr.quantile_db(1.0 - 1e-4)).abs() < 1e-9);
        let three = snr.p10_p50_p90_db();
        assert_eq!(three, [0.1, 0.5, 0.9].map(|p| snr.quantile_db(p)));
    }
}

#[test]
fn quantiles_far_out_are_found() {
    // One quantity, very narrow above and wide below: the 1e-4 quantile lies 3.719 widths from the median (tables of the normal
    // distribution).
    let power_dbw = TwoSided {
        median_db: 10.0,
        sd_low_db: 8.0,
        sd_high_db: 1.0,
    };
    let snr = SnrMixture {
        components: vec![(1.0, power_dbw)],
    };
    assert!((snr.quantile_db(1e-4) - (10.0 - 8.0 * 3.719)).abs() < 0.02);
    assert!((snr.quantile_db(1.0 - 1e-4) - 13.719).abs() < 0.02);
}

#[test]
fn a_link_that_just_suffices_carries_every_second_time() {
    // Signal and noise symmetric about their medians, the medians just as far apart as is needed, the way back certain: one half, by
    // symmetry, whatever the widths.
    let even = |median_db: f64, sd_db: f64| TwoSided {
        median_db,
        sd_low_db: sd_db,
        sd_high_db: sd_db,
    };
    let forward = Direction {
        power_offset_db: 0.0,
        noise_dbw: even(-130.0, 1.0),
        required_snr_db: 12.0,
    };
    let certain = Direction {
        power_offset_db: 500.0,
        ..forward
    };
    for sd_db in [0.5, 4.0, 9.0] {
        let component = SignalComponent {
            weight: 1.0,
            fof2_factor: 1.0,
            foes_mhz: 1.0,
            absorption_factor: 1.0,
            power_dbw: even(-118.0, sd_db),
        };
        let signal = SignalMixture {
            components: vec![component],
        };
        // The distribution function is good to 1e-7.
        assert!((joint_probability(&signal, &forward, &certain) - 0.5).abs() < 1e-6);
    }
}

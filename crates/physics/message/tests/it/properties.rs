//! What must hold whatever the numbers: more power, more SNR or more time never hurts.

use farhop_message::attempts::Attempts;
use farhop_message::delivery::Ask;
use farhop_message::{
    Component, Fading, FrameCurve, FrameKind, Gateway, Ladder, Link, LinkTable, MinuteVariation, Rung, SnrMixture,
};
use proptest::prelude::*;
use std::sync::LazyLock;

fn kind(seconds_s: f64, mid_db: f64) -> FrameKind {
    FrameKind {
        seconds_s,
        pep_over_mean_db: 0.0,
        curve: FrameCurve::new(mid_db, 1.6, 0.0).unwrap(),
    }
}

static TABLE: LazyLock<LinkTable> = LazyLock::new(|| {
    let rung = |net_bps, mid_db| Rung {
        name: format!("{net_bps}"),
        net_bps,
        frame: kind(4.0, mid_db),
    };
    let link = Link::with_defaults(Ladder {
        mode: "any".into(),
        bandwidth_hz: 500.0,
        fading: Fading::Moderate,
        rungs: vec![rung(45.0, -4.0), rung(340.0, 9.0)],
        ack: kind(0.8, -4.0),
        call: kind(1.5, -6.0),
    });
    LinkTable::new(&link, &[1500.0], MinuteVariation::default(), 180.0).unwrap()
});

/// The tail cut at 4 standard deviations and the edge of the grid leave this much.
const CUT: f64 = 2e-4;

prop_compose! {
    fn any_mixture()(forward in -30.0..40.0_f64, reverse in -30.0..40.0_f64, signal in 0.0..12.0_f64,
                     noise in 2.5..12.0_f64, ratio in 0.3..3.0_f64) -> SnrMixture {
        SnrMixture { bandwidth_hz: 500.0, components: vec![Component {
            weight: 1.0, median_snr_forward_db: forward, median_snr_reverse_db: reverse, sd_signal_db: signal,
            sd_noise_forward_db: noise, sd_noise_reverse_db: (noise * ratio).max(2.5) }] }
    }
}

fn ask(deadline_min: f64) -> Ask {
    let attempts = Attempts {
        count: 2,
        spacing_min: 20.0,
    };
    Ask {
        deadline_min,
        attempts,
        gateway: Gateway {
            busy_prob: 0.1,
            off_prob: 0.05,
            scan: None,
        },
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn more_power_never_hurts(mixture in any_mixture(), up_db in 0.0..15.0_f64) {
        let before = TABLE.deliver(&mixture, &ask(60.0)).unwrap();
        let after = TABLE.deliver(&mixture.shifted(up_db, 0.0), &ask(60.0)).unwrap();
        prop_assert!(after.chance >= before.chance - CUT, "{} {}", before.chance, after.chance);
    }

    #[test]
    fn a_quieter_site_never_hurts(mixture in any_mixture(), up_db in 0.0..15.0_f64) {
        let before = TABLE.deliver(&mixture, &ask(60.0)).unwrap();
        let after = TABLE.deliver(&mixture.shifted(0.0, up_db), &ask(60.0)).unwrap();
        prop_assert!(after.chance >= before.chance - CUT, "{} {}", before.chance, after.chance);
    }

    #[test]
    fn more_time_never_hurts(mixture in any_mixture(), minutes in 0.0..120.0_f64, more_min in 0.0..60.0_f64) {
        let before = TABLE.deliver(&mixture, &ask(minutes)).unwrap();
        let after = TABLE.deliver(&mixture, &ask(minutes + more_min)).unwrap();
        prop_assert!(after.chance >= before.chance - 1e-9, "{} {}", before.chance, after.chance);
    }

    #[test]
    fn everything_stays_in_its_range(mixture in any_mixture(), minutes in 0.0..180.0_f64) {
        let got = TABLE.deliver(&mixture, &ask(minutes)).unwrap();
        prop_assert!((0.0..=1.0).contains(&got.chance));
        prop_assert!((0.0..=1.0).contains(&got.duty));
        prop_assert!(got.air_min >= 0.0 && got.transmit_s <= 60.0 * got.air_min + 1e-9);
        prop_assert!(got.moved_bytes >= 0.0 && got.moved_bytes <= 1500.0 + 1e-6);
        prop_assert!(got.losses.chance_hearing_perfectly >= got.chance - CUT);
        prop_assert!(got.losses.chance_heard_perfectly >= got.chance - CUT);
        prop_assert!(got.losses.chance_gateway_free >= got.chance - 1e-9);
    }
}

#[test]
fn bad_numbers_are_refused_with_a_reason() {
    let mut mixture = SnrMixture::constant(500.0, f64::NAN, 0.0);
    assert!(TABLE.deliver(&mixture, &ask(10.0)).is_err());
    mixture.components.clear();
    let message = TABLE.deliver(&mixture, &ask(10.0)).unwrap_err().to_string();
    assert!(message.contains("at least one"), "{message}");
    assert!(
        TABLE
            .deliver(&SnrMixture::constant(500.0, 0.0, 0.0), &ask(f64::NAN))
            .is_err()
    );
    assert!(LinkTable::new(TABLE.link(), &[0.0], MinuteVariation::NONE, 60.0).is_err());
}

#[test]
fn no_power_delivers_nothing() {
    let silent = SnrMixture::constant(500.0, f64::NEG_INFINITY, 20.0);
    let got = TABLE.deliver(&silent, &ask(60.0)).unwrap();
    assert!(got.chance < 1e-3, "{}", got.chance);
    assert!(got.air_min > 0.5, "the calls still cost time: {}", got.air_min);
}

//! Constant SNR and the two-state link against closed forms.

use farhop_message::attempts::Attempts;
use farhop_message::delivery::Ask;
use farhop_message::{
    Fading, FrameCurve, FrameKind, Gateway, Ladder, Link, LinkTable, MinuteVariation, Rung, SnrMixture,
};
use statrs::distribution::{DiscreteCDF, NegativeBinomial};

fn kind(seconds_s: f64, mid_db: f64, scale_db: f64) -> FrameKind {
    FrameKind {
        seconds_s,
        pep_over_mean_db: 0.0,
        curve: FrameCurve::new(mid_db, scale_db, 0.0).unwrap(),
    }
}

/// One rung of 100 bytes a 4 s frame; acknowledgement and call always get through above -20 dB.
fn one_rung(scale_db: f64) -> Link {
    let mut link = Link::with_defaults(Ladder {
        mode: "one".into(),
        bandwidth_hz: 500.0,
        fading: Fading::Awgn,
        rungs: vec![Rung {
            name: "only".into(),
            net_bps: 200.0,
            frame: kind(4.0, 0.0, scale_db),
        }],
        ack: kind(1.0, -60.0, 0.5),
        call: kind(1.0, -60.0, 0.5),
    });
    link.adaptation_loss_db = 0.0;
    link.compression_ratio = 1.0;
    link.handshake_bytes = 0.0;
    link
}

fn ask(deadline_min: f64) -> Ask {
    Ask {
        deadline_min,
        attempts: Attempts::default(),
        gateway: Gateway::IDEAL,
    }
}

#[test]
fn constant_snr_is_a_negative_binomial() {
    // 10 frames, each through with p = 0.6; links are not lost (K = 1000).
    let mut link = one_rung(1.0);
    link.patience.failed_cycles_max = 1000;
    let snr_db = (0.6_f64 / 0.4).ln();
    let table = LinkTable::new(&link, &[1000.0], MinuteVariation::NONE, 30.0).unwrap();
    let failures = NegativeBinomial::new(10.0, 0.6).unwrap();
    // Cycles at which the clock has a time; steps are two cycles from the 17th on, linear in between.
    for cycles in [10_u64, 12, 15, 16, 18, 20, 24] {
        let deadline_min = (link.call_cycle_s() + cycles as f64 * link.cycle_s() + 1e-6) / 60.0;
        let delivery = table
            .deliver(&SnrMixture::constant(500.0, snr_db, 0.0), &ask(deadline_min))
            .unwrap();
        let exact = failures.cdf(cycles - 10);
        assert!(
            (delivery.chance - exact).abs() < 1e-6,
            "{cycles} cycles: {} {exact}",
            delivery.chance
        );
    }
    let all = table
        .deliver(&SnrMixture::constant(500.0, snr_db, 0.0), &ask(30.0))
        .unwrap();
    // Wald: 10 / 0.6 cycles after one call.
    let mean_min = (link.call_cycle_s() + 10.0 / 0.6 * link.cycle_s()) / 60.0;
    assert!(
        (all.air_min - mean_min).abs() < 0.01 * mean_min,
        "{} {mean_min}",
        all.air_min
    );
    let transmit_s = link.timing.call_s + 10.0 / 0.6 * 4.0;
    assert!(
        (all.transmit_s - transmit_s).abs() < 0.01 * transmit_s,
        "{} {transmit_s}",
        all.transmit_s
    );
    assert!((all.moved_bytes - 1000.0).abs() < 1.0);
}

#[test]
fn a_series_of_calls_is_geometric() {
    // Calls succeed with p = 0.1, at most 10; data is certain (one frame).
    let mut link = one_rung(0.5);
    link.call_heard_prob = 0.1;
    let table = LinkTable::new(&link, &[50.0], MinuteVariation::NONE, 60.0).unwrap();
    let got = table
        .deliver(&SnrMixture::constant(500.0, 60.0, 60.0), &ask(60.0))
        .unwrap();
    let answered = 1.0 - 0.9_f64.powi(10);
    assert!((got.chance - answered).abs() < 1e-3, "{} {answered}", got.chance);
}

#[test]
fn a_two_state_link_is_the_weighted_sum() {
    // Up 70 % of the days (every frame gets through), down otherwise (nothing does).
    let link = one_rung(0.5);
    let table = LinkTable::new(&link, &[1000.0], MinuteVariation::NONE, 60.0).unwrap();
    let mut mixture = SnrMixture::constant(500.0, 40.0, 40.0);
    mixture.components[0].weight = 0.7;
    let mut down = mixture.components[0];
    (down.weight, down.median_snr_forward_db, down.median_snr_reverse_db) = (0.3, f64::NEG_INFINITY, f64::NEG_INFINITY);
    mixture.components.push(down);
    let got = table.deliver(&mixture, &ask(30.0)).unwrap();
    assert!((got.chance - 0.7).abs() < 1e-4, "{}", got.chance);
    let up_s = link.call_cycle_s() + 10.0 * link.cycle_s();
    let down_s = link.call_cycle_s() * 10.0;
    let mean_min = (0.7 * up_s + 0.3 * down_s) / 60.0;
    assert!(
        (got.air_min - mean_min).abs() < 0.02 * mean_min,
        "{} {mean_min}",
        got.air_min
    );
    // A second attempt on the same day cannot help: the state is the same.
    let twice = Ask {
        attempts: Attempts {
            count: 3,
            spacing_min: 5.0,
        },
        ..ask(30.0)
    };
    let again = table.deliver(&mixture, &twice).unwrap();
    assert!((again.chance - 0.7).abs() < 1e-4, "{}", again.chance);
}

#[test]
fn busy_and_off_gateways_follow_their_closed_form() {
    // (1 - off) (1 - busy^n) when the link itself never fails.
    let link = one_rung(0.5);
    let table = LinkTable::new(&link, &[500.0], MinuteVariation::NONE, 120.0).unwrap();
    let gateway = Gateway {
        busy_prob: 0.3,
        off_prob: 0.1,
        ..Gateway::IDEAL
    };
    for count in 1..=4 {
        let ask = Ask {
            deadline_min: 120.0,
            attempts: Attempts {
                count,
                spacing_min: 20.0,
            },
            gateway,
        };
        let got = table.deliver(&SnrMixture::constant(500.0, 40.0, 40.0), &ask).unwrap();
        let exact = 0.9 * (1.0 - 0.3_f64.powi(count as i32));
        assert!((got.chance - exact).abs() < 1e-4, "{count}: {} {exact}", got.chance);
    }
}

#[test]
fn a_deaf_gateway_and_a_noisy_site_show_as_what_they_are() {
    let mut link = one_rung(1.0);
    link.ladder.ack = kind(1.0, -5.0, 1.0);
    link.ladder.call = kind(1.0, -5.0, 1.0);
    let table = LinkTable::new(&link, &[500.0], MinuteVariation::default(), 60.0).unwrap();
    let mut mixture = SnrMixture::constant(500.0, 15.0, -10.0);
    mixture.components[0].sd_signal_db = 3.0;
    mixture.components[0].sd_noise_reverse_db = 3.0;
    let noisy_site = table.deliver(&mixture, &ask(60.0)).unwrap();
    assert!(
        noisy_site.chance < 0.3 && noisy_site.losses.chance_hearing_perfectly > 0.95,
        "{noisy_site:?}"
    );
    assert!(noisy_site.losses.chance_heard_perfectly < 0.3);
    let mirrored = &mut mixture.components[0];
    (mirrored.median_snr_forward_db, mirrored.median_snr_reverse_db) = (-10.0, 15.0);
    let deaf_gateway = table.deliver(&mixture, &ask(60.0)).unwrap();
    assert!(
        deaf_gateway.chance < 0.3 && deaf_gateway.losses.chance_heard_perfectly > 0.95,
        "{deaf_gateway:?}"
    );
}

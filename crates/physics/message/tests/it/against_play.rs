//! The fast path against the played protocol, within one point.

use farhop_lots::played::{Scene, play};
use farhop_message::attempts::Attempts;
use farhop_message::delivery::Ask;
use farhop_message::ladder_file::shipped;
use farhop_message::{
    Component, Fading, FrameCurve, FrameKind, Gateway, Ladder, Link, LinkTable, MinuteVariation, Resume, Rung,
    SnrMixture,
};

fn kind(seconds_s: f64, mid_db: f64, scale_db: f64) -> FrameKind {
    FrameKind {
        seconds_s,
        pep_over_mean_db: 0.0,
        curve: FrameCurve::new(mid_db, scale_db, 0.0).unwrap(),
    }
}

fn link() -> Link {
    let rung = |net_bps, mid_db| Rung {
        name: format!("{net_bps}"),
        net_bps,
        frame: kind(4.0, mid_db, 1.6),
    };
    Link::with_defaults(Ladder {
        mode: "play".into(),
        bandwidth_hz: 500.0,
        fading: Fading::Moderate,
        rungs: vec![rung(45.0, -4.0), rung(170.0, 4.0), rung(340.0, 9.0), rung(510.0, 15.0)],
        ack: kind(0.8, -4.0, 2.0),
        call: kind(1.5, -6.0, 2.0),
    })
}

fn mixture(medians_db: &[[f64; 2]]) -> SnrMixture {
    let component = |m: &[f64; 2]| Component {
        weight: 1.0,
        median_snr_forward_db: m[0],
        median_snr_reverse_db: m[1],
        sd_signal_db: 6.0,
        sd_noise_forward_db: 5.0,
        sd_noise_reverse_db: 7.0,
    };
    SnrMixture {
        bandwidth_hz: 500.0,
        components: medians_db.iter().map(component).collect(),
    }
}

/// Three standard errors of the played chance are below 0.8 points at 40 000 windows.
const WINDOWS: u32 = 40_000;

fn compare(link: &Link, sizes: &[f64], variation: MinuteVariation, mixture: &SnrMixture, ask: &Ask) -> (f64, f64) {
    let table = LinkTable::new(link, sizes, variation, 120.0).unwrap();
    let fast = table.deliver(mixture, ask).unwrap();
    let scene = Scene {
        link,
        plain_bytes: sizes,
        variation,
        mixture,
        ask,
    };
    let played = play(&scene, WINDOWS, 20_261_125).unwrap();
    let off = fast.chance - played.chance;
    println!(
        "chance {:.4} {:.4} ({:+.4}, 1 se {:.4})  air {:.3} {:.3} min  tx {:.1} {:.1} s  moved {:.0} {:.0}",
        fast.chance,
        played.chance,
        off,
        played.chance_error,
        fast.air_min,
        played.air_min,
        fast.transmit_s,
        played.transmit_s,
        fast.moved_bytes,
        played.moved_bytes
    );
    (off, fast.air_min / played.air_min)
}

#[test]
fn chances_agree_within_a_point() {
    let one = |deadline_min| Ask {
        deadline_min,
        attempts: Attempts::default(),
        gateway: Gateway::IDEAL,
    };
    let shared = Gateway {
        busy_prob: 0.2,
        off_prob: 0.05,
        scan: None,
    };
    let tries = Ask {
        deadline_min: 90.0,
        attempts: Attempts {
            count: 3,
            spacing_min: 30.0,
        },
        gateway: shared,
    };
    let both = mixture(&[[-3.0, 2.0], [6.0, 8.0], [15.0, 12.0]]);
    let quick = MinuteVariation {
        sd_db: 4.0,
        correlation_min: 3.0,
    };
    let from_start = Link {
        resume: Resume::FromStart,
        ..link()
    };
    let wide = Link::with_defaults(shipped("wide-2400", Fading::Moderate).unwrap());
    let cases: Vec<(Link, Vec<f64>, MinuteVariation, SnrMixture, Ask)> = vec![
        (link(), vec![200.0], MinuteVariation::default(), both.clone(), one(60.0)),
        (
            link(),
            vec![1200.0],
            MinuteVariation::default(),
            both.clone(),
            one(60.0),
        ),
        (link(), vec![1200.0], MinuteVariation::default(), both.clone(), one(5.0)),
        (
            link(),
            vec![12_000.0],
            MinuteVariation::default(),
            both.clone(),
            one(30.0),
        ),
        (
            wide,
            vec![12_000.0],
            MinuteVariation::default(),
            both.clone(),
            one(30.0),
        ),
        (link(), vec![1200.0], MinuteVariation::NONE, both.clone(), one(10.0)),
        (link(), vec![3000.0], quick, both.clone(), one(20.0)),
        (
            from_start,
            vec![800.0, 3000.0],
            MinuteVariation {
                sd_db: 5.0,
                correlation_min: 4.0,
            },
            both.clone(),
            one(60.0),
        ),
        (
            link(),
            vec![1200.0],
            MinuteVariation::default(),
            mixture(&[[4.0, -6.0]]),
            one(60.0),
        ),
        (link(), vec![1200.0], MinuteVariation::default(), both.clone(), tries),
        (
            link(),
            vec![1200.0],
            MinuteVariation::default(),
            SnrMixture::constant(500.0, 1.0, 3.0),
            one(20.0),
        ),
    ];
    for (link, sizes, variation, mixture, ask) in &cases {
        let (off, air_ratio) = compare(link, sizes, *variation, mixture, ask);
        assert!(off.abs() < 0.01, "off by {off}");
        assert!((air_ratio - 1.0).abs() < 0.03, "air time ratio {air_ratio}");
    }
}

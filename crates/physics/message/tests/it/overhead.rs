//! Steps of a session: against the played protocol, and that every airtime means the same.

use farhop_lots::played::{Scene, play};
use farhop_message::attempts::Attempts;
use farhop_message::delivery::Ask;
use farhop_message::ladder_file::shipped;
use farhop_message::{Component, Fading, Gateway, Link, LinkTable, MinuteVariation, SessionOverhead, SnrMixture};

fn link(mode: &str) -> Link {
    Link {
        overhead: SessionOverhead::USUAL,
        ..Link::with_defaults(shipped(mode, Fading::Moderate).unwrap())
    }
}

fn mixture(forward_db: f64, reverse_db: f64) -> SnrMixture {
    SnrMixture {
        bandwidth_hz: 500.0,
        components: vec![Component {
            weight: 1.0,
            median_snr_forward_db: forward_db,
            median_snr_reverse_db: reverse_db,
            sd_signal_db: 6.0,
            sd_noise_forward_db: 4.0,
            sd_noise_reverse_db: 5.0,
        }],
    }
}

fn ask(deadline_min: f64) -> Ask {
    Ask {
        deadline_min,
        attempts: Attempts::default(),
        gateway: Gateway::IDEAL,
    }
}

/// Chances within a point and airtimes within five per cent, as without the steps (`against_play`): that bar was set before.
#[test]
fn steps_agree_with_the_played_protocol() {
    for (mode, bytes, median_db, deadline_min) in [
        ("narrow-500", 300.0, 10.0, 60.0),
        ("narrow-500", 300.0, 2.0, 10.0),
        ("narrow-500", 1_200.0, 4.0, 8.0),
        ("slow-500", 300.0, -4.0, 30.0),
    ] {
        let (link, mixture, ask) = (link(mode), mixture(median_db, median_db + 3.0), ask(deadline_min));
        let table = LinkTable::new(&link, &[bytes], MinuteVariation::default(), 120.0).unwrap();
        let fast = table.deliver(&mixture, &ask).unwrap();
        let scene = Scene {
            link: &link,
            plain_bytes: &[bytes],
            variation: MinuteVariation::default(),
            mixture: &mixture,
            ask: &ask,
        };
        let played = play(&scene, 20_000, 7).unwrap();
        println!(
            "{mode} {bytes} {median_db}: chance {:.4} {:.4} (1 se {:.4})  air {:.3} {:.3} min  tx {:.1} {:.1} s",
            fast.chance,
            played.chance,
            played.chance_error,
            fast.air_min,
            played.air_min,
            fast.transmit_s,
            played.transmit_s
        );
        assert!((fast.chance - played.chance).abs() < 0.01 + 3.0 * played.chance_error);
        assert!((fast.air_min / played.air_min - 1.0).abs() < 0.05);
    }
}

/// A short message over a good link: one and a half to four minutes from the first call to the sign-off (common practice, no source).
#[test]
fn a_usual_session_takes_as_long_as_in_practice() {
    for mode in ["narrow-500", "slow-500"] {
        for bytes in [200.0, 300.0] {
            let table = LinkTable::new(&link(mode), &[bytes], MinuteVariation::default(), 60.0).unwrap();
            let got = table.deliver(&mixture(18.0, 20.0), &ask(60.0)).unwrap();
            let minutes = got.air_if_delivered_min.unwrap();
            println!("{mode} {bytes}: {minutes:.2} min");
            assert!((1.5..=4.0).contains(&minutes), "{mode} {bytes}: {minutes}");
        }
    }
}

/// Mean and 90 % time speak of the same sessions, from the first call to the sign-off.
#[test]
fn nine_of_ten_sessions_take_at_least_the_mean() {
    let (mut looked, mut below) = (0, 0);
    for mode in ["narrow-500", "slow-500", "wide-2400"] {
        for bytes in [200.0, 1_200.0, 5_000.0] {
            let table = LinkTable::new(&link(mode), &[bytes], MinuteVariation::default(), 60.0).unwrap();
            for step in 0..14 {
                let median_db = -15.0 + 3.0 * f64::from(step);
                let got = table.deliver(&mixture(median_db, median_db + 3.0), &ask(60.0)).unwrap();
                looked += 1;
                // Where nearly all sessions take the same time, the hundredth that loses its link and comes back can pull the mean
                // just past the 90 % time: no theorem forbids it, so that it is held to where it happens and by how much.
                let mean_min = got.air_first_min;
                let least_min = if got.chance > 0.98 { 0.95 * mean_min } else { mean_min };
                println!(
                    "{mode} {bytes} {median_db}: {:.3} 90 % {:.3} mean {mean_min:.3}",
                    got.chance, got.air_p90_min
                );
                assert!(got.air_p90_min >= least_min, "{mode} {bytes} {median_db}");
                below += usize::from(got.air_p90_min < mean_min);
            }
        }
    }
    assert_eq!(looked, 126);
    assert!(below <= 3, "{below} of {looked}");
}

/// Steps cost time, never chance for free: with them nothing is through earlier, and without them nothing changes.
#[test]
fn steps_only_delay() {
    let bare = Link {
        overhead: SessionOverhead::NONE,
        ..link("narrow-500")
    };
    let of = |link: &Link| {
        let table = LinkTable::new(link, &[300.0], MinuteVariation::default(), 60.0).unwrap();
        table.deliver(&mixture(4.0, 6.0), &ask(12.0)).unwrap()
    };
    let (without, with) = (of(&bare), of(&link("narrow-500")));
    assert!(with.chance < without.chance && with.air_min > without.air_min + 0.5);
    let settled = Link {
        overhead: SessionOverhead {
            settle_s: 600.0,
            listen_s: 600.0,
            ..SessionOverhead::NONE
        },
        ..bare
    };
    // What comes before the first call is not on the air.
    assert_eq!(of(&settled), without);
}

//! The shipped ladders: readable, below the Shannon capacity, and made by the simulator that stands here.

use farhop_message::db::shannon_capacity_bps;
use farhop_message::ladder_file::{SERIAL_TONE, SIMULATED, STATED_FER, ladder, parse, shipped};
use farhop_message::sim::sweep::{Effort, sweep_one};
use farhop_message::sim::{channel::ChannelShape, modes, modes::Role};
use farhop_message::{Fading, MessageError};

#[test]
fn no_rung_carries_more_than_the_capacity_at_any_snr() {
    for row in parse(SIMULATED).unwrap().iter().chain(&parse(SERIAL_TONE).unwrap()) {
        for tenth_db in -300..=500 {
            let snr_db = f64::from(tenth_db) / 10.0;
            let goodput_bps = row.net_bps * row.kind.curve.success(snr_db);
            let capacity_bps = shannon_capacity_bps(row.bandwidth_hz, snr_db);
            assert!(goodput_bps < capacity_bps, "{} {} {snr_db} dB", row.mode, row.frame);
        }
    }
}

#[test]
fn every_mode_has_a_ladder_on_every_channel_it_claims() {
    for fading in Fading::ALL {
        for mode in ["slow-500", "narrow-500", "wide-2400"] {
            let ladder = shipped(mode, fading).unwrap();
            let required = ladder
                .rungs
                .iter()
                .map(|rung| rung.frame.curve.mid_db + rung.frame.pep_over_mean_db);
            assert!(
                required.is_sorted(),
                "{mode} {}: a faster rung asks for less",
                fading.name()
            );
        }
    }
    assert!(shipped("serial-tone-3k", Fading::Awgn).is_ok() && shipped("serial-tone-3k", Fading::Disturbed).is_ok());
    assert!(matches!(
        shipped("serial-tone-3k", Fading::Quiet),
        Err(MessageError::NoSuchLadder { .. })
    ));
}

#[test]
fn the_simulator_still_gives_the_committed_rows() {
    // Three cheap rows, remade with the committed effort and seed and compared as printed.
    let rows = parse(SIMULATED).unwrap();
    for (mode, frame, fading) in [
        ("narrow-500", "fsk8-ack", Fading::Moderate),
        ("narrow-500", "dpsk4-r12", Fading::Awgn),
        ("slow-500", "fsk8-call", Fading::NearVertical),
    ] {
        let design = modes::all().into_iter().find(|m| m.name == mode).unwrap();
        let index = design.frames.iter().position(|f| f.name == frame).unwrap();
        let seed = farhop_message::sim::sweep::row_seed(Effort::default().seed, &design, index, fading);
        let again = sweep_one(
            &design,
            &design.frames[index],
            fading,
            Effort {
                seed,
                ..Effort::default()
            },
        );
        let row = rows
            .iter()
            .find(|r| r.mode == mode && r.frame == frame && r.fading == fading)
            .unwrap();
        assert!(
            (again.curve.mid_db - row.kind.curve.mid_db).abs() < 0.006,
            "{mode} {frame} {:?}",
            again.curve
        );
        assert!(
            (again.curve.scale_db - row.kind.curve.scale_db).abs() < 0.006,
            "{mode} {frame} {:?}",
            again.curve
        );
    }
}

#[test]
fn a_delay_within_the_guard_does_not_break_the_frame() {
    // Near-vertical (7 ms) against disturbed (2 ms) at the same Doppler spread: within a decibel on every narrow rung.
    let (near, two) = (
        shipped("narrow-500", Fading::NearVertical).unwrap(),
        shipped("narrow-500", Fading::Disturbed).unwrap(),
    );
    for (a, b) in near.rungs.iter().zip(&two.rungs) {
        let required = |rung: &farhop_message::Rung| rung.frame.curve.required_snr_db(STATED_FER).unwrap();
        assert!((required(a) - required(b)).abs() < 1.0, "{}", a.name);
    }
    for design in modes::all()
        .iter()
        .flat_map(|mode| &mode.frames)
        .filter(|frame| frame.role == Role::Data)
    {
        let guard_ms = 1e3 * (design.symbol_s() - design.used_s());
        assert!(guard_ms >= ChannelShape::of(Fading::NearVertical).delay_ms);
    }
}

#[test]
fn a_bad_line_is_named() {
    let text =
        "# remark\nnarrow-500,500,data,x,moderate,100,4,0,3,1.5,0,,\nnarrow-500,500,data,x,stormy,100,4,0,3,1.5,0,,\n";
    let error = parse(text).unwrap_err();
    assert!(
        error.to_string().contains("line 3") && error.to_string().contains("stormy"),
        "{error}"
    );
    assert!(
        parse("narrow-500,500,data,x,moderate,abc,4,0,3,1.5,0,,")
            .unwrap_err()
            .to_string()
            .contains("abc")
    );
    assert!(ladder(&[], "narrow-500", Fading::Quiet).is_err());
}

//! How much signal over noise a link needs to hold at all.

use farhop_message::db::snr_in_bandwidth_db;
use farhop_message::{Ladder, MessageError};

/// The signal-to-noise ratio in dB, in a bandwidth of `bandwidth_hz`, from which a link over this ladder holds: every second
/// call is heard, and every second frame of the slowest rung gets through. Stated for the rated peak power of the transmitter.
///
/// # Errors
/// A ladder without rungs.
pub fn required_snr_db(ladder: &Ladder, bandwidth_hz: f64) -> Result<f64, MessageError> {
    let half = |kind: &farhop_message::FrameKind| kind.curve.mid_db + kind.pep_over_mean_db;
    let slowest = ladder.rungs.iter().map(|rung| half(&rung.frame)).min_by(f64::total_cmp);
    let slowest_db = slowest.ok_or(MessageError::Empty { what: "list of rungs" })?;
    let needed_db = slowest_db.max(half(&ladder.call));
    Ok(snr_in_bandwidth_db(needed_db, ladder.bandwidth_hz, bandwidth_hz))
}

#[cfg(test)]
mod tests {
    use super::*;
    use farhop_message::Fading;
    use farhop_message::ladder_file::shipped;

    #[test]
    fn the_same_link_needs_less_in_a_wider_band() {
        // Noise grows with bandwidth: 10 log10(2500 / 500) = 6.99 dB.
        let ladder = shipped("narrow-500", Fading::Moderate).unwrap();
        let narrow = required_snr_db(&ladder, 500.0).unwrap();
        let wide = required_snr_db(&ladder, 2_500.0).unwrap();
        assert!((narrow - wide - 6.99).abs() < 0.01, "{narrow} {wide}");
    }

    #[test]
    fn the_link_holds_from_where_half_of_the_slowest_frames_and_calls_get_through() {
        // The slowest rung at 2 dB with a peak of 3 dB, another at 9 dB; the call at 1 dB with a peak of 2.5 dB. At the rated peak
        // power frames need 5 dB and the call 3.5 dB: the frames decide. With a call at 4 dB the call does, 6.5 dB.
        let mut ladder = shipped("narrow-500", Fading::Moderate).unwrap();
        ladder.rungs.truncate(2);
        let curve = |mid_db| farhop_message::FrameCurve::new(mid_db, 1.0, 0.0).unwrap();
        for (rung, mid_db) in ladder.rungs.iter_mut().zip([9.0, 2.0]) {
            (rung.frame.curve, rung.frame.pep_over_mean_db) = (curve(mid_db), 3.0);
        }
        for (call_db, wanted_db) in [(1.0, 5.0), (4.0, 6.5)] {
            (ladder.call.curve, ladder.call.pep_over_mean_db) = (curve(call_db), 2.5);
            let found_db = required_snr_db(&ladder, ladder.bandwidth_hz).unwrap();
            assert!((found_db - wanted_db).abs() < 1e-9, "{found_db} {wanted_db}");
        }
        ladder.rungs.clear();
        assert!(required_snr_db(&ladder, 500.0).is_err());
    }
}

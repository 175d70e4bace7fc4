//! The share of the time with the key down, from the timing of the data link.

use farhop_message::Link;
use farhop_outing::{Channel, Outing, Station};

use crate::delivery::{gateway_of, usual_ladder};

/// Share of the time with the key down (dimensionless, 0 to 1) while calling or sending on a channel: the larger of data frames
/// with their acknowledgements and of calls with their listening. Turnarounds are not counted, and a ladder that is not known
/// counts whole, so that the share is on the safe side.
#[must_use]
pub fn key_share(outing: &Outing, station: &Station, channel: &Channel) -> f64 {
    // Times of frames do not depend on the path; any path will do.
    let Ok(ladder) = usual_ladder(outing, channel, 500.0, 0.0) else {
        return 1.0;
    };
    let link = gateway_of(station).adapt(&Link::with_defaults(ladder));
    let (frame_s, ack_s) = (link.ladder.frame_s(), link.ladder.ack.seconds_s);
    let sending = frame_s / (frame_s + ack_s);
    let calling = link.timing.call_s / link.call_cycle_s();
    let share = sending.max(calling);
    if share.is_finite() { share.clamp(0.0, 1.0) } else { 1.0 }
}

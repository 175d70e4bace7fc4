//! When there is room for a call beside those that are planned.

use farhop_earth::UtcTime;

use crate::schedule::board::{Board, PAUSE_MIN};
use crate::schedule::offers::StayOffers;
use crate::schedule::scene::Offer;

/// Minutes before the same station is called again on the same channel: whoever was busy is then likely done.
const AGAIN_MIN: f64 = 10.0;

/// The first instant at which an offer has `need_min` free minutes: no other call, no antenna to be changed, not the same station
/// again at once.
pub(super) fn first_free(board: &Board<'_, '_>, stays: &[StayOffers], offer: &Offer, need_min: f64) -> Option<UtcTime> {
    let scene = board.scene();
    let antenna = scene.responses[offer.response].route.antenna;
    let setup_s = |antenna: usize| {
        let of = scene.outing.kit.antennas.get(antenna);
        of.map_or(0, |a| (60.0 * a.setup_min) as i64)
    };
    let stay = scene.stays.get(offer.stay)?;
    let hung = (offer.stay == 0).then_some(scene.hanging).flatten();
    // The first antenna is hung on arrival; whoever had nothing else to do has hung another one since.
    let arrived = if offer.stay == 0 {
        stay.from.max(scene.busy_until)
    } else {
        stay.from
    };
    let ready = match hung {
        Some(up) if up == antenna => arrived,
        Some(_) => arrived.add_s(setup_s(antenna)),
        None => {
            let first = stays[offer.stay].antenna.unwrap_or(antenna);
            let change_s = if first == antenna { 0 } else { setup_s(antenna) };
            arrived.add_s(setup_s(first) + change_s)
        }
    };
    let mut start = offer.opens.max(ready);
    let need_s = (60.0 * need_min) as i64;
    for _ in 0..=2 * board.blocks.len() + 1 {
        if start >= offer.closes {
            return None;
        }
        let Some(pushed) = pushed_by(board, offer, antenna, (start, need_s), &setup_s) else {
            return Some(start);
        };
        start = pushed;
    }
    None
}

/// The instant to which the first call that is in the way pushes this one; none if nothing is.
fn pushed_by(
    board: &Board<'_, '_>,
    offer: &Offer,
    antenna: usize,
    (start, need_s): (UtcTime, i64),
    setup_s: &dyn Fn(usize) -> i64,
) -> Option<UtcTime> {
    let scene = board.scene();
    let route = scene.responses[offer.response].route;
    let pause_s = (60.0 * PAUSE_MIN) as i64;
    board.blocks.iter().find_map(|b| {
        let other = scene.responses[b.offer.response].route;
        let same_stay = b.offer.stay == offer.stay;
        let (gap_before_s, gap_after_s) = if same_stay && other.antenna != antenna {
            (setup_s(antenna), setup_s(other.antenna))
        } else {
            (0, 0)
        };
        let again_s = if other.station == route.station && other.channel == route.channel {
            (60.0 * AGAIN_MIN) as i64 - pause_s
        } else {
            0
        };
        let clear_after = b.end.add_s(gap_before_s.max(again_s));
        let clear_before = b.start.add_s(-(gap_after_s.max(again_s)));
        let clash = start < clear_after && start.add_s(need_s) > clear_before;
        clash.then_some(clear_after)
    })
}

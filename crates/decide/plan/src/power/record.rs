//! The plan of record: each message called in its best window, the most urgent first.

use farhop_outing::Outing;

use crate::chance::Chance;
use crate::plan::Plan;
use crate::power::habits::{ASLEEP_FROM_H, ASLEEP_UNTIL_H, LISTEN_MIN, MOVE_S, tune_s};

/// Shortest call that is counted, s.
const LEAST_AIR_S: f64 = 6.0;

/// A message's call: when, from where, how long. All times in s after the start of the outing.
#[derive(Clone, Debug, PartialEq)]
pub struct Call {
    /// Index of the message in the outing.
    pub message: usize,
    /// Index of the site.
    pub site: usize,
    /// Index of the window in [`Plan::ranked`], or of the send in a schedule.
    pub window: usize,
    /// Chance that the window delivers the message.
    pub chance: Chance,
    /// Listening and writing begin, s.
    pub listen_s: f64,
    /// Tuning begins, s.
    pub tune_s: f64,
    /// Calling and sending begin, s.
    pub send_s: f64,
    /// All is done, s.
    pub end_s: f64,
    /// Share of the time from `send_s` to `end_s` with the key down (dimensionless).
    pub duty: f64,
    /// Whether no free time was left in the window, so that it lies over another call.
    pub clashes: bool,
}

/// Where a call may lie. Times in s after the start of the outing.
#[derive(Clone, Copy, Debug)]
struct Wish {
    site: usize,
    latest_s: f64,
    preferred_s: f64,
    before_s: f64,
    air_s: f64,
}

/// The calls of a plan in order of time. Expected air time and duty over all attempts are those of the delivery; the call lies in
/// the waking hour nearest to the best one of its window, and after a more urgent one where they would meet.
#[must_use]
pub fn calls_of(outing: &Outing, plan: &Plan) -> Vec<Call> {
    let mut order: Vec<usize> = (0..outing.messages.len()).collect();
    order.sort_by_key(|&i| outing.messages.get(i).map(|m| (m.priority, m.deadline)));
    let mut calls: Vec<Call> = Vec::new();
    for message in order {
        if let Some(call) = call(outing, plan, message, &calls) {
            calls.push(call);
        }
    }
    calls.sort_by(|a, b| a.send_s.total_cmp(&b.send_s).then(a.message.cmp(&b.message)));
    calls
}

fn call(outing: &Outing, plan: &Plan, message: usize, placed: &[Call]) -> Option<Call> {
    let (window, index) = plan.messages.get(message)?.windows.first().copied()?;
    let entry = plan.ranked.get(window)?;
    let delivery = entry.deliveries.get(index)?;
    let start_s = outing.header.start.unix_s();
    let after_s = |time: farhop_earth::UtcTime| (time.unix_s() - start_s) as f64;
    let air_s = (60.0 * delivery.delivery.air_min).max(LEAST_AIR_S);
    let earliest_s = after_s(delivery.from).max(0.0);
    let before_s = tune_s(outing.kit.tuner.kind);
    let earliest_s = earliest_s.max((before_s + 60.0 * LISTEN_MIN).min(after_s(delivery.until) - air_s));
    let latest_s = (after_s(delivery.until) - air_s).max(earliest_s);
    let best_s = plan
        .best_cell(&entry.window)
        .map_or(earliest_s, |cell| after_s(cell.at) - 1_800.0);
    let site = entry.window.route.site;
    let awake_s = nearest_awake_s(outing, site, (earliest_s, latest_s), best_s.clamp(earliest_s, latest_s));
    let wish = Wish {
        site,
        latest_s,
        preferred_s: awake_s,
        before_s: before_s + 60.0 * LISTEN_MIN,
        air_s,
    };
    let free = [wish.preferred_s, earliest_s]
        .into_iter()
        .find_map(|from_s| free_after(outing, &wish, placed, from_s));
    let send_s = free.unwrap_or(wish.preferred_s);
    Some(Call {
        message,
        site: wish.site,
        window,
        chance: delivery.chance,
        listen_s: (send_s - wish.before_s).max(0.0),
        tune_s: (send_s - before_s).max(0.0),
        send_s,
        end_s: send_s + air_s,
        duty: delivery.delivery.duty.clamp(0.0, 1.0),
        clashes: free.is_none(),
    })
}

/// The time nearest to `wanted_s` within a span at which the operator is awake; `wanted_s` if there is none. All in s after the start.
fn nearest_awake_s(outing: &Outing, site: usize, (from_s, to_s): (f64, f64), wanted_s: f64) -> f64 {
    let lon_deg = outing.sites.get(site).map_or(0.0, |s| s.place.lon_deg());
    let awake = |time_s: &f64| {
        let hour_h = (outing.header.start.add_s(*time_s as i64).hour() + lon_deg / 15.0).rem_euclid(24.0);
        (ASLEEP_UNTIL_H..ASLEEP_FROM_H).contains(&hour_h)
    };
    // Half a day to each side is enough to meet every hour.
    let steps = (0..=144).flat_map(|k| [wanted_s - 300.0 * f64::from(k), wanted_s + 300.0 * f64::from(k)]);
    let found = steps.filter(|t| (from_s..=to_s).contains(t)).find(awake);
    found.unwrap_or(wanted_s)
}

/// The first start at or after `from_s` at which the call meets no other.
fn free_after(outing: &Outing, wish: &Wish, placed: &[Call], from_s: f64) -> Option<f64> {
    let mut send_s = from_s;
    // Each round passes one placed call for good.
    for _ in 0..=placed.len() {
        if send_s > wish.latest_s {
            return None;
        }
        let meets = |other: &&Call| {
            let gap_s = gap_s(outing, wish.site, other.site);
            send_s - wish.before_s < other.end_s + gap_s && send_s + wish.air_s + gap_s > other.listen_s
        };
        match placed
            .iter()
            .filter(meets)
            .map(|c| c.end_s + gap_s(outing, wish.site, c.site))
            .reduce(f64::max)
        {
            Some(end_s) => send_s = end_s + wish.before_s,
            None => return Some(send_s),
        }
    }
    None
}

/// Seconds between calls from two sites.
fn gap_s(outing: &Outing, a: usize, b: usize) -> f64 {
    if a == b {
        return 0.0;
    }
    let walk_h = |site: usize| outing.sites.get(site).map_or(0.0, |s| s.walk_in_h);
    (3_600.0 * (walk_h(a) - walk_h(b)).abs()).max(MOVE_S)
}

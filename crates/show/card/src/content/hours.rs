//! Every hour of a stay in rows: hours with the same calls are one row, within one local day and one offset.

use farhop_days::STEP_S;
use farhop_earth::UtcTime;
use farhop_outing::Site;
use farhop_plan::itinerary::Stay;
use farhop_show::plan_view::{Viewer, is_night};

use super::choice::{Candidate, Choices, joint};
use super::words::{degrees, dots};
use super::{Call, Desk, HourLine, HourRow, HourTable, Spot, letter};
use crate::clock::utc_span;

/// A row goes on while its calls are this near to the best of the hour (dimensionless; a judgement): a change of three calls for less
/// is more to read than to gain.
const NEAR_ENOUGH: f64 = 0.04;

/// Hours that share their calls.
struct Stretch {
    from: UtcTime,
    until: UtcTime,
    /// With the least chance of all its hours.
    calls: Vec<Candidate>,
}

/// A place with all its rows.
pub(super) fn spot(desk: &Desk<'_>, of: char, site: usize, stays: Vec<usize>) -> Spot {
    let plan = desk.source.plan;
    let choices = Choices::new(desk, site);
    let mut stretches: Vec<(usize, Vec<Stretch>)> = Vec::new();
    for index in &stays {
        if let Some(stay) = plan.stays.get(*index) {
            let hangs = plan.antennas.get(*index).copied().flatten();
            stretches.push((*index, stretched(desk, &choices, stay, hangs)));
        }
    }
    let mut antennas: Vec<usize> = stays
        .iter()
        .filter_map(|s| plan.antennas.get(*s).copied().flatten())
        .collect();
    let called = stretches.iter().flat_map(|(_, s)| s).flat_map(|s| &s.calls);
    antennas.extend(called.map(|c| c.route.antenna));
    let mut seen = Vec::new();
    antennas.retain(|a| {
        !seen.contains(a) && {
            seen.push(*a);
            true
        }
    });
    let table = HourTable {
        dial: desk.dial(),
        lines: lines(desk, site, &stretches, &antennas),
    };
    Spot {
        letter: of,
        site,
        stays,
        antennas,
        table,
    }
}

/// The slots of a stay, the middle of the full hour of universal time beside each.
fn slots(stay: &Stay) -> Vec<(UtcTime, UtcTime, UtcTime)> {
    let mut slots: Vec<(UtcTime, UtcTime, UtcTime)> = Vec::new();
    let mut hour_s = stay.from.unix_s().div_euclid(STEP_S) * STEP_S;
    while hour_s < stay.until.unix_s() {
        let begins = stay.from.add_s((hour_s - stay.from.unix_s()).max(0));
        let ends = stay
            .from
            .add_s((hour_s + STEP_S).min(stay.until.unix_s()) - stay.from.unix_s());
        slots.push((begins, ends, stay.from.add_s(hour_s + STEP_S / 2 - stay.from.unix_s())));
        hour_s += STEP_S;
    }
    slots
}

fn stretched(desk: &Desk<'_>, choices: &Choices<'_>, stay: &Stay, hangs: Option<usize>) -> Vec<Stretch> {
    let mut rows: Vec<Stretch> = Vec::new();
    let all = slots(stay);
    for (place, (begins, ends, middle)) in all.iter().enumerate() {
        // Less than half an hour at the edge of a stay is not computed by itself: the hour beside it stands for it.
        let computed = stay.from <= *middle && *middle < stay.until;
        let beside = if place == 0 { all.get(1) } else { all.get(place - 1) };
        let middle = if computed {
            *middle
        } else {
            beside.map_or(*middle, |b| b.2)
        };
        let best = choices.three(middle, hangs);
        for (from, until) in pieces(desk, *begins, *ends) {
            match rows.last_mut() {
                Some(last) if goes_on(desk, choices, last, (from, middle), &best) => {
                    last.until = until;
                    for call in &mut last.calls {
                        let now = choices.chance(&call.route, middle);
                        if now < call.chance {
                            call.chance = now;
                        }
                    }
                }
                _ => rows.push(Stretch {
                    from,
                    until,
                    calls: best.clone(),
                }),
            }
        }
    }
    rows
}

/// A slot cut at local midnight and where the clock changes.
fn pieces(desk: &Desk<'_>, begins: UtcTime, ends: UtcTime) -> Vec<(UtcTime, UtcTime)> {
    let mut pieces = Vec::new();
    let mut from = begins;
    while from < ends {
        let until = desk.clock.next_break(from).min(ends);
        pieces.push((from, until));
        from = until;
    }
    pieces
}

fn goes_on(
    desk: &Desk<'_>,
    choices: &Choices<'_>,
    last: &Stretch,
    (from, middle): (UtcTime, UtcTime),
    best: &[Candidate],
) -> bool {
    let same_day = desk.clock.next_break(last.from) > from && last.until == from;
    let planned = choices.first_is_planned(middle);
    let first = last.calls.first();
    let as_planned = planned.is_none() || planned == first.map(|c| c.route);
    let now: Vec<Candidate> = last
        .calls
        .iter()
        .map(|c| Candidate {
            chance: choices.chance(&c.route, middle),
            ..*c
        })
        .collect();
    let told = |calls: &[Candidate]| calls.iter().map(|c| dots(c.chance)).collect::<Vec<_>>();
    same_day
        && as_planned
        && now.len() == best.len()
        && told(&now).first() == told(&last.calls).first()
        && now.iter().all(|c| c.chance.percent() > 0)
        && joint(&now) + NEAR_ENOUGH >= joint(best)
}

fn lines(desk: &Desk<'_>, site: usize, stretches: &[(usize, Vec<Stretch>)], antennas: &[usize]) -> Vec<HourLine> {
    let plan = desk.source.plan;
    let mut lines: Vec<HourLine> = Vec::new();
    let mut said: Option<(String, String)> = None;
    let mut left: Option<UtcTime> = None;
    for (index, rows) in stretches {
        let Some(stay) = plan.stays.get(*index) else { continue };
        if let Some(away) = left {
            lines.push(HourLine::Note(format!(
                "{} to {}: not here",
                desk.clock.moment(away),
                desk.clock.moment(stay.from)
            )));
            said = None;
        }
        left = Some(stay.until);
        for stretch in rows {
            let head = (desk.clock.day(stretch.from), desk.clock.zone_words(stretch.from));
            if said.as_ref() != Some(&head) {
                lines.push(HourLine::Day {
                    day: head.0.clone(),
                    zone: head.1.clone(),
                });
                said = Some(head);
            }
            if let Some(place) = desk.source.outing.sites.get(site) {
                lines.push(HourLine::Row(row(desk, place, stretch, antennas)));
            }
        }
    }
    lines
}

fn row(desk: &Desk<'_>, site: &Site, stretch: &Stretch, antennas: &[usize]) -> HourRow {
    let viewer = Viewer {
        outing: desk.source.outing,
        plan: desk.source.plan,
    };
    let call = |c: &Candidate| {
        let route = viewer.route(&c.route);
        let place = antennas.iter().position(|a| *a == c.route.antenna);
        Call {
            route: c.route,
            khz: desk.dial().khz(route.freq_mhz),
            callsign: route.callsign,
            compass: degrees(route.bearing_magnetic_deg),
            antenna: letter(place.unwrap_or(0)),
            chance: c.chance,
        }
    };
    HourRow {
        from: stretch.from,
        until: stretch.until,
        local: desk.clock.span(stretch.from, stretch.until),
        utc: utc_span(stretch.from, stretch.until),
        night: nights(site, stretch.from, stretch.until),
        calls: stretch.calls.iter().map(call).collect(),
    }
}

/// Steps by which darkness is looked for, s.
const NIGHT_STEP_S: i64 = 600;

/// Spans of darkness as shares of a span (dimensionless).
fn nights(site: &Site, from: UtcTime, until: UtcTime) -> Vec<(f64, f64)> {
    let length_s = (until.unix_s() - from.unix_s()).max(1);
    let mut spans: Vec<(f64, f64)> = Vec::new();
    let mut at_s = 0;
    while at_s < length_s {
        let end_s = (at_s + NIGHT_STEP_S).min(length_s);
        let (a, b) = (at_s as f64 / length_s as f64, end_s as f64 / length_s as f64);
        if is_night(site.place, from.add_s((at_s + end_s) / 2)) {
            match spans.last_mut() {
                Some(last) if last.1 >= a => last.1 = b,
                _ => spans.push((a, b)),
            }
        }
        at_s = end_s;
    }
    spans
}

/// By how much (dimensionless) a later call must be better to be waited for (a judgement).
const WORTH_WAITING: f64 = 0.10;

/// The best row of a place and when it begins, where it is clearly better than the first one: `Sat 12 Dec 20:00: 7053.5 Q5KOW, likely`.
pub(super) fn best_later(desk: &Desk<'_>, spot: &Spot) -> Option<String> {
    let rows: Vec<&HourRow> = spot.table.rows().collect();
    let first_chance = |r: &&HourRow| r.calls.first().map_or(0.0, |c| c.chance.probability());
    let now = rows.first().map_or(0.0, first_chance);
    let lead = desk
        .source
        .plan
        .bottom
        .and_then(|b| desk.source.outing.messages.get(b.message));
    let in_time = |r: &&&HourRow| lead.is_none_or(|m| r.from < m.deadline);
    let best = rows
        .iter()
        .skip(1)
        .filter(in_time)
        .max_by(|a, b| first_chance(a).total_cmp(&first_chance(b)))?;
    let call = best.calls.first()?;
    (first_chance(best) > now + WORTH_WAITING).then(|| {
        format!(
            "{}: {} {}, {}, the best hours here.",
            desk.clock.moment(best.from),
            call.khz,
            call.callsign,
            call.chance.word().word()
        )
    })
}

//! The messages, the most urgent first: how sure, when, on what, to whom.

use farhop_earth::UtcTime;
use farhop_outing::{Outing, Priority};
use farhop_plan::schedule::Send;
use farhop_show::plan_view::Viewer;

use super::{Body, Desk, Line, Panel, Spot, Table};

/// The heading of the list.
pub(super) const SEND: &str = "SEND";
/// The heading of the planned calls.
pub(super) const PLANNED: &str = "PLANNED CALLS";

/// Indices of the messages, the most urgent first: by priority, then by deadline.
#[must_use]
pub(super) fn by_urgency(outing: &Outing) -> Vec<usize> {
    let mut order: Vec<usize> = (0..outing.messages.len()).collect();
    order.sort_by_key(|&i| outing.messages.get(i).map(|m| (m.priority, m.deadline)));
    order
}

/// The list to send at a place, and the calls planned there; without a place, all of them.
pub(super) fn panels(desk: &Desk<'_>, spot: Option<&Spot>) -> Vec<Panel> {
    let order = by_urgency(desk.source.outing);
    let mut lines: Vec<Line> = order.into_iter().filter_map(|m| line(desk, spot, m)).collect();
    if lines.is_empty() {
        lines.push(Line::new(
            "",
            "No message is written down: the rows are for any short message.",
        ));
    }
    let rows = calls(desk, spot);
    if !rows.is_empty() {
        lines.push(Line::new(
            "",
            format!("{PLANNED} carry these by their numbers, as far as they are not through yet."),
        ));
    }
    let send = Panel {
        heading: Some(SEND),
        wide: rows.is_empty(),
        body: Body::Lines(lines),
    };
    let calls = (!rows.is_empty()).then_some(Panel {
        heading: Some(PLANNED),
        wide: false,
        body: Body::Table(Table {
            heads: vec!["from", "kHz", "call", "carries"],
            elastic: 0,
            rows,
        }),
    });
    std::iter::once(send).chain(calls).collect()
}

fn line(desk: &Desk<'_>, spot: Option<&Spot>, index: usize) -> Option<Line> {
    let message = desk.source.outing.messages.get(index)?;
    let plan = desk.source.plan.messages.get(index)?;
    let urgent = match message.priority {
        Priority::Emergency => ", EMERGENCY",
        Priority::High => ", high",
        Priority::Normal | Priority::Low => "",
    };
    let from = message.ready.filter(|r| *r > desk.source.outing.header.start);
    let from = from.map_or_else(String::new, |r| format!("from {} ", desk.clock.moment(r)));
    let lead = format!("{} {}{urgent}:", number(desk, index), message.id);
    let text = format!(
        "{from}by {}: {}.",
        desk.clock.moment(message.deadline),
        plan.chance.chance
    );
    if let Some(why) = &plan.none_because {
        return Some(Line::new(lead, format!("{text} Not sent: {why}.")));
    }
    let mut sites: Vec<usize> = Vec::new();
    for send in plan.sends.iter().filter_map(|s| desk.source.plan.sends.get(*s)) {
        if !sites.contains(&send.route.site) {
            sites.push(send.route.site);
        }
    }
    let here = spot.is_none_or(|s| sites.contains(&s.site));
    let elsewhere: Vec<String> = sites.iter().map(|s| desk.place_words(*s)).collect();
    Some(Line::new(
        lead,
        if here {
            text
        } else {
            format!("{text} Sent at {}, not here.", elsewhere.join(" and "))
        },
    ))
}

/// The calls planned at a place in order of time, the day where it is a new one.
fn calls(desk: &Desk<'_>, spot: Option<&Spot>) -> Vec<Vec<String>> {
    let mut last: Option<UtcTime> = None;
    let here = |s: &&Send| spot.is_none_or(|spot| spot.site == s.route.site);
    let mut rows = Vec::new();
    for send in desk.source.plan.sends.iter().filter(here) {
        let from = match last {
            Some(earlier) => desk.clock.moment_after(earlier, send.start),
            None => desk.clock.moment(send.start),
        };
        last = Some(send.start);
        rows.push(row(desk, send, from));
    }
    rows
}

fn row(desk: &Desk<'_>, send: &Send, from: String) -> Vec<String> {
    let viewer = Viewer {
        outing: desk.source.outing,
        plan: desk.source.plan,
    };
    let route = viewer.route(&send.route);
    let mut numbers: Vec<usize> = send.messages.iter().map(|m| number(desk, m.message)).collect();
    numbers.sort_unstable();
    let carries: Vec<String> = numbers.iter().map(ToString::to_string).collect();
    vec![from, desk.dial().khz(route.freq_mhz), route.callsign, carries.join(" ")]
}

/// The number of a message on the card: its place by urgency, from 1.
fn number(desk: &Desk<'_>, message: usize) -> usize {
    let order = by_urgency(desk.source.outing);
    order.iter().position(|m| *m == message).map_or(0, |place| place + 1)
}

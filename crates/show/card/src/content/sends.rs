//! The messages, the most urgent first: how sure, when, on what, to whom.

use farhop_outing::{Outing, Priority};
use farhop_plan::schedule::Send;
use farhop_show::plan_view::Viewer;

use super::words::khz;
use super::{Body, Desk, Line, Panel, Spot};

/// The heading of the list.
pub(super) const SEND: &str = "SEND";

/// Indices of the messages, the most urgent first: by priority, then by deadline.
#[must_use]
pub(super) fn by_urgency(outing: &Outing) -> Vec<usize> {
    let mut order: Vec<usize> = (0..outing.messages.len()).collect();
    order.sort_by_key(|&i| outing.messages.get(i).map(|m| (m.priority, m.deadline)));
    order
}

/// The list to send at a place; without a place, all of it.
pub(super) fn panel(desk: &Desk<'_>, spot: Option<&Spot>) -> Panel {
    let order = by_urgency(desk.source.outing);
    let mut lines: Vec<Line> = order.into_iter().filter_map(|m| line(desk, spot, m)).collect();
    if lines.is_empty() {
        lines.push(Line::new(
            "",
            "No message is written down: the rows are for any short message.",
        ));
    }
    Panel {
        heading: Some(SEND),
        wide: true,
        body: Body::Lines(lines),
    }
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
    let lead = format!(
        "{}{urgent}, {from}by {}: {}.",
        message.id,
        desk.clock.moment(message.deadline),
        plan.chance.chance
    );
    if let Some(why) = &plan.none_because {
        return Some(Line::new(lead, format!("Not sent: {why}.")));
    }
    let mut here: Vec<String> = Vec::new();
    let mut elsewhere: Vec<String> = Vec::new();
    for send in plan.sends.iter().filter_map(|s| desk.source.plan.sends.get(*s)) {
        match spot {
            Some(spot) if spot.site != send.route.site => {
                let place = desk.place_words(send.route.site);
                let words = format!("{} at {place}", desk.clock.moment(send.start));
                elsewhere.push(words);
            }
            _ => here.push(told(desk, send)),
        }
    }
    here.extend(elsewhere);
    Some(Line::new(lead, format!("{}.", here.join("; then "))))
}

/// `Sat 12 Dec 13:05 5356.0 Q0LAR`.
fn told(desk: &Desk<'_>, send: &Send) -> String {
    let viewer = Viewer {
        outing: desk.source.outing,
        plan: desk.source.plan,
    };
    let route = viewer.route(&send.route);
    format!(
        "{} {} {}",
        desk.clock.moment(send.start),
        khz(route.freq_mhz),
        route.callsign
    )
}

//! The order to try, message by message.

use farhop_earth::clock::{in_zone, local_hm};
use farhop_outing::Outing;

use crate::source::Source;

/// Most calls of a message that have a cell of their own.
const MOST_CHOICES: usize = 4;

/// One choice of a message.
#[derive(Clone, Debug, PartialEq)]
pub struct OrderCell {
    /// Index into the plan's schedule.
    pub window: usize,
    /// Chance of that choice alone: `81 %`.
    pub chance: String,
}

/// One message.
#[derive(Clone, Debug, PartialEq)]
pub struct MessageRow {
    /// Its id.
    pub id: String,
    /// Its size: `300 B`.
    pub size: String,
    /// From when, where that is later than the start: `Sat 12 18:00`.
    pub ready: String,
    /// By when.
    pub by: String,
    /// The first four calls that carry it, in order of time.
    pub choices: Vec<OrderCell>,
    /// Chance with all choices: `97 %`.
    pub together: String,
    /// Why there is no choice.
    pub none_because: Option<String>,
}

/// Indices of the messages, the most urgent first.
#[must_use]
pub fn by_urgency(outing: &Outing) -> Vec<usize> {
    let mut order: Vec<usize> = (0..outing.messages.len()).collect();
    order.sort_by_key(|&i| outing.messages.get(i).map(|m| (m.priority, m.deadline)));
    order
}

/// All messages with their order.
#[must_use]
pub fn rows(source: &Source<'_>) -> Vec<MessageRow> {
    let order = by_urgency(source.outing);
    order.into_iter().filter_map(|index| row(source, index)).collect()
}

fn row(source: &Source<'_>, index: usize) -> Option<MessageRow> {
    let message = source.outing.messages.get(index)?;
    let plan = source.plan.messages.get(index)?;
    let moment = |time| {
        let day = in_zone(time, &source.reader.zone).strftime("%a %-d").to_string();
        format!("{day} {}", local_hm(time, &source.reader.zone))
    };
    let choice = |send: &usize| {
        let of = source.plan.sends.get(*send)?;
        let sent = of.messages.iter().find(|m| m.message == index)?;
        Some(OrderCell {
            window: *send,
            chance: format!("{} %", sent.chance.percent()),
        })
    };
    let choices: Vec<OrderCell> = plan.sends.iter().filter_map(choice).take(MOST_CHOICES).collect();
    Some(MessageRow {
        id: message.id.to_string(),
        size: format!("{} B", message.size_bytes),
        ready: message.ready.map_or_else(|| "start".to_owned(), moment),
        by: moment(message.deadline),
        together: format!("{} %", plan.chance.chance.percent()),
        none_because: plan.none_because.clone(),
        choices,
    })
}

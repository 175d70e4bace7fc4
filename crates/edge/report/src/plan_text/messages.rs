//! Messages with their calls, and the order to try.

use std::fmt::Write as _;

use farhop_plan::analysis::MessagePlan;
use farhop_plan::schedule::{PlaceOrder, Send};

use super::{PlanText, minutes_text};
use crate::words;
use crate::wrap::paragraph;

/// Calls of a message that are written out; the others are counted.
const MOST_CALLS: usize = 2;
/// Orders that are written out, one a place.
const MOST_PLACES: usize = 2;

impl PlanText<'_> {
    pub(super) fn messages(&self, out: &mut String) {
        if self.outing.messages.is_empty() {
            return;
        }
        out.push_str("Messages: chance by the deadline, and the calls\n");
        for plan in &self.plan.messages {
            self.message(out, plan);
        }
        out.push('\n');
    }

    fn message(&self, out: &mut String, plan: &MessagePlan) {
        let Some(message) = self.outing.messages.get(plan.message) else {
            return;
        };
        let head = format!(
            "- {}, {} bytes, by {}",
            message.id,
            message.size_bytes,
            self.moment(message.deadline)
        );
        if let Some(why) = &plan.none_because {
            out.push_str(&paragraph(&format!("{head}: no call, because {why}"), "", "  "));
            return;
        }
        let chance = plan.chance.chance.to_string();
        let gap = 80usize
            .saturating_sub(head.chars().count() + chance.chars().count())
            .max(1);
        let _ = writeln!(out, "{head}{}{chance}", " ".repeat(gap));
        for (number, index) in plan.sends.iter().take(MOST_CALLS).enumerate() {
            if let Some(send) = self.plan.sends.get(*index) {
                let lead = if number == 0 { "" } else { "if it fails: " };
                let line = format!("{lead}{}", self.call(send, plan.message));
                out.push_str(&paragraph(&line, "  ", "  "));
            }
        }
        let more = plan.sends.len().saturating_sub(MOST_CALLS);
        if let Some(last) = plan
            .sends
            .last()
            .filter(|_| more > 0)
            .and_then(|i| self.plan.sends.get(*i))
        {
            let calls = if more == 1 { "call" } else { "calls" };
            let _ = writeln!(
                out,
                "  then {more} more {calls} as needed, the last at {}",
                self.moment(last.start)
            );
        }
    }

    /// A call in one line: when, on what, to whom, from where, how long, and its chance for a message (index).
    pub(super) fn call(&self, send: &Send, message: usize) -> String {
        let route = self.viewer().route(&send.route);
        let sent = send.messages.iter().find(|m| m.message == message);
        let alone = sent.map_or(String::new(), |m| format!("; alone {} %", m.chance.percent()));
        format!(
            "{} to {} on {} MHz from {}, {}, {} mode, about {} on the air{alone}",
            self.stretch(send.start, send.end),
            route.callsign,
            route.freq_mhz,
            route.site_name,
            route.antenna_name,
            send.mode,
            minutes_text(send.air_min)
        )
    }

    pub(super) fn order(&self, out: &mut String) {
        let Some(bottom) = self.plan.bottom else { return };
        let orders = self.plan.messages.get(bottom.message).map(|m| m.orders.as_slice());
        let Some(orders) = orders.filter(|o| !o.is_empty()) else {
            return;
        };
        let name = self.message_name(bottom.message);
        for order in orders.iter().take(MOST_PLACES) {
            self.order_at(out, &name, order);
        }
        out.push('\n');
    }

    fn order_at(&self, out: &mut String, name: &str, order: &PlaceOrder) {
        let site = self.outing.sites.get(order.site).map_or("", |s| s.name.as_str());
        let head = format!(
            "Order to try for \"{name}\" at {site}, {}",
            self.stretch(order.from, order.until)
        );
        out.push_str(&paragraph(&head, "", ""));
        for (place, entry) in order.entries.iter().enumerate() {
            let route = self.viewer().route(&entry.route);
            let so_far = if place == 0 {
                String::new()
            } else {
                format!("; with those before it {} %", entry.so_far.percent())
            };
            let line = format!(
                "{}: {} on {} MHz, {}, from {}: {}{so_far}",
                words::rank(place),
                route.callsign,
                route.freq_mhz,
                route.antenna_name,
                self.moment(entry.at),
                entry.chance
            );
            out.push_str(&paragraph(&line, "- ", "  "));
        }
    }
}

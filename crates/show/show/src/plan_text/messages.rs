//! Messages with their calls, and the order to try.

use farhop_plan::analysis::MessagePlan;
use farhop_plan::schedule::{PlaceOrder, Send};

use super::{PlanText, minutes_text};
use crate::document::Document;
use crate::words;

/// Messages that are written out, the most urgent first.
const MOST_MESSAGES: usize = 8;
/// Calls that are written out; the others are counted.
const MOST_CALLS: usize = 5;
/// Places whose order is written out: the one of the first call.
const MOST_PLACES: usize = 1;

impl PlanText<'_> {
    pub(super) fn messages(&self, doc: &mut Document) {
        if self.outing.messages.is_empty() {
            return;
        }
        doc.section("messages", "Messages: chance by the deadline");
        let mut order: Vec<&MessagePlan> = self.plan.messages.iter().collect();
        order.sort_by_key(|p| self.outing.messages.get(p.message).map(|m| (m.priority, m.deadline)));
        for plan in order.iter().take(MOST_MESSAGES) {
            self.message(doc, plan);
        }
        if order.len() > MOST_MESSAGES {
            doc.item(format!("and {} less urgent ones", order.len() - MOST_MESSAGES));
        }
        self.calls(doc);
    }

    fn message(&self, doc: &mut Document, plan: &MessagePlan) {
        let Some(message) = self.outing.messages.get(plan.message) else {
            return;
        };
        let head = format!(
            "{}, {} bytes, by {}",
            message.id,
            message.size_bytes,
            self.reader.moment(message.deadline)
        );
        let line = match (&plan.none_because, self.plan.first_send_of(plan.message)) {
            (Some(why), _) => format!("{head}: no call, because {why}"),
            (None, Some(_)) => format!(
                "{head}: {}; {} {}",
                plan.chance.chance,
                plan.sends.len(),
                if plan.sends.len() == 1 { "call" } else { "calls" },
            ),
            (None, None) => format!("{head}: {}", plan.chance.chance),
        };
        doc.item(line);
    }

    /// The first calls in order of time, each as far as it is needed.
    fn calls(&self, doc: &mut Document) {
        if self.plan.sends.is_empty() {
            return;
        }
        let zone = self
            .plan
            .sends
            .first()
            .map_or(String::new(), |s| self.reader.zone_word(s.start));
        doc.section(
            "calls",
            format!("Calls in order, each only if it is still needed, times in {zone}"),
        );
        let mut told = String::new();
        for send in self.plan.sends.iter().take(MOST_CALLS) {
            let site = self.outing.sites.get(send.route.site).map_or("", |s| s.name.as_str());
            let head = format!("{}, {site}", self.reader.day(send.start));
            if head != told {
                doc.say(head.clone());
                told = head;
            }
            doc.step(self.call(send));
        }
        let more = self.plan.sends.len().saturating_sub(MOST_CALLS);
        if more > 0
            && let Some(last) = self.plan.sends.last()
        {
            doc.say(format!("and {more} more, the last {}", self.reader.moment(last.start)));
        }
    }

    /// A call in one line: when, to whom, on what, with what, how long, and what it carries.
    fn call(&self, send: &Send) -> String {
        let route = self.viewer().route(&send.route);
        let one = |(place, sent): (usize, &farhop_plan::schedule::SentMessage)| {
            let name = self.message_name(sent.message);
            if place == 0 {
                format!("{name} {} %", sent.chance.percent())
            } else {
                name
            }
        };
        let carried: Vec<String> = send.messages.iter().enumerate().map(one).collect();
        format!(
            "{} {} {} MHz, {}, {}: {}",
            self.reader.hm(send.start),
            route.callsign,
            route.freq_mhz,
            route.antenna_name,
            minutes_text(send.air_min.max(1.0)),
            carried.join(", ")
        )
    }

    pub(super) fn order(&self, doc: &mut Document) {
        let Some(bottom) = self.plan.bottom else { return };
        let orders = self.plan.messages.get(bottom.message).map(|m| m.orders.as_slice());
        let Some(orders) = orders.filter(|o| !o.is_empty()) else {
            return;
        };
        let name = self.message_name(bottom.message);
        for order in orders.iter().take(MOST_PLACES) {
            self.order_at(doc, &name, order);
        }
    }

    fn order_at(&self, doc: &mut Document, name: &str, order: &PlaceOrder) {
        let site = self.outing.sites.get(order.site).map_or("", |s| s.name.as_str());
        let head = format!(
            "Order to try for \"{name}\" at {site}, {}",
            self.reader.stretch(order.from, order.until)
        );
        doc.section("order", head);
        doc.gives_way(4, "the order to try");
        for (place, entry) in order.entries.iter().enumerate() {
            let route = self.viewer().route(&entry.route);
            let so_far = if place == 0 {
                String::new()
            } else {
                format!(", in all {} %", entry.so_far.percent())
            };
            let line = format!(
                "{}: {} {} MHz, {}, {}: {} %{so_far}",
                words::rank(place),
                route.callsign,
                route.freq_mhz,
                route.antenna_name,
                self.reader.hm(entry.at),
                entry.chance.percent()
            );
            doc.item(line);
        }
    }
}

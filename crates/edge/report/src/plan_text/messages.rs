//! Messages in their best windows, and the order to try.

use std::fmt::Write as _;

use farhop_plan::delivery::{Attempted, WindowDelivery, bottleneck};

use super::{PlanText, minutes_text};
use crate::words;
use crate::wrap::paragraph;

impl PlanText<'_> {
    pub(super) fn messages(&self, out: &mut String) {
        if self.outing.messages.is_empty() {
            return;
        }
        out.push_str("Messages, each in its best window\n");
        for (index, message) in self.outing.messages.iter().enumerate() {
            let Some(plan) = self.plan.messages.get(index) else {
                continue;
            };
            let found = plan.windows.first().and_then(|(w, d)| {
                let entry = self.plan.ranked.get(*w)?;
                Some((entry, entry.deliveries.get(*d)?))
            });
            let head = format!(
                "- {}, {} bytes, by {}",
                message.id,
                message.size_bytes,
                self.moment(message.deadline)
            );
            match found {
                Some((entry, delivery)) => self.message(out, &head, entry, delivery),
                None => {
                    let why = plan.none_because.unwrap_or("no window");
                    out.push_str(&paragraph(&format!("{head}: {why}"), "", "  "));
                }
            }
        }
        out.push('\n');
    }

    fn message(&self, out: &mut String, head: &str, entry: &Attempted, d: &WindowDelivery) {
        let chance = d.chance.to_string();
        let gap = 80usize
            .saturating_sub(head.chars().count() + chance.chars().count())
            .max(1);
        let _ = writeln!(out, "{head}{}{chance}", " ".repeat(gap));
        let route = self.viewer().route(&entry.window.route);
        let air = match (d.delivery.air_if_delivered_min, d.delivery.air_p90_min) {
            (Some(mean), Some(p90)) => {
                format!(
                    "about {} on the air, nine times in ten within {}",
                    minutes_text(mean),
                    minutes_text(p90)
                )
            }
            _ => "hardly ever complete".to_owned(),
        };
        let line = format!(
            "{}, {} MHz to {} from {}, {} mode; {air}; {:.0} s of sending",
            self.stretch(d.from, d.until),
            route.freq_mhz,
            route.callsign,
            route.site_name,
            d.link.mode,
            d.delivery.transmit_s
        );
        out.push_str(&paragraph(&line, "  ", "  "));
        if let Some(worst) = bottleneck(d.delivery.chance, &d.delivery.losses) {
            out.push_str(&paragraph(
                &format!("what costs most: {}", words::bottleneck(worst)),
                "  ",
                "  ",
            ));
        }
    }

    pub(super) fn order(&self, out: &mut String) {
        let lead = self.plan.best().and_then(Attempted::lead).map(|d| d.message);
        let Some(entries) = lead.and_then(|m| self.plan.orders.get(m)).filter(|o| !o.is_empty()) else {
            return;
        };
        let name = lead.map_or_else(String::new, |m| self.message_name(m));
        let _ = writeln!(
            out,
            "In which order to try, so that the tries fail for different reasons (\"{name}\")"
        );
        for entry in entries {
            let Some(attempted) = self.plan.ranked.get(entry.window) else {
                continue;
            };
            let route = self.viewer().route(&attempted.window.route);
            let protects: Vec<&str> = entry.protects.iter().map(|p| words::protects(*p)).collect();
            let against = if protects.is_empty() {
                String::new()
            } else {
                format!("; against {}", protects.join(", "))
            };
            let line = format!(
                "{}: {}, {} MHz to {} from {}, {}{against}; with those before it {} %",
                entry.rank.word(),
                self.span(&attempted.window),
                route.freq_mhz,
                route.callsign,
                route.site_name,
                entry.chance,
                entry.so_far.percent()
            );
            out.push_str(&paragraph(&line, "- ", "  "));
        }
        out.push('\n');
    }
}

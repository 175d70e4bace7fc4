//! The next step, for people: what to do now, how sure that is, and why.

mod advice;
mod findings;
mod hang;
mod now;
mod signs;
pub mod view;

use farhop_earth::UtcTime;
use farhop_next::today::NextStep;
use farhop_next::{Action, Try};
use farhop_outing::Outing;
use farhop_plan::Chance;
use farhop_plan::schedule::Send;

use crate::document::Document;
use crate::own_fault::suspect_words;
use crate::reader::Reader;
use farhop_earth::clock::utc_hm;

pub use findings::sentences;
pub use hang::hang_words;

/// Suspicions that are named at most.
const MOST_SUSPECTS: usize = 3;

/// What the report is made from.
pub struct NextReport<'a> {
    /// The step with all that it rests on.
    pub step: &'a NextStep,
    /// Who reads.
    pub reader: Reader,
}

impl NextReport<'_> {
    fn outing(&self) -> &Outing {
        &self.step.today.outing
    }

    /// `14:30`, with the day where it is another one.
    fn time(&self, at: UtcTime) -> String {
        let (day, today) = (self.reader.day(at), self.reader.day(self.step.today.now));
        let hm = format!("{} {}", self.reader.hm(at), self.reader.zone_word(at));
        if day == today { hm } else { format!("{day} {hm}") }
    }

    /// Station, frequency and antenna of a call in words.
    fn route(&self, send: &Send) -> String {
        let route = send.route;
        let station = self.outing().stations.get(route.station);
        let antenna = self.outing().kit.antennas.get(route.antenna);
        format!(
            "{} ({}) on {} MHz with the {}, {} W",
            station.map_or_else(String::new, |s| s.callsign.to_string()),
            station.map_or("", |s| s.name.as_str()),
            self.step.freq_mhz(send),
            antenna.map_or("", |a| a.name.as_str()),
            self.outing().kit.transceiver.power_w
        )
    }

    /// Chance that a call alone brings its first message through.
    fn chance(send: &Send) -> Chance {
        send.messages.first().map_or(Chance::NONE, |m| m.chance)
    }

    /// The call and its chance.
    fn with_odds(&self, of: &Try) -> String {
        format!("{}: {}", self.route(&of.send), Self::chance(&of.send))
    }

    /// Ids of the messages that a call carries, in the order of sending.
    fn ids(&self, send: &Send) -> Vec<String> {
        let messages = send
            .messages
            .iter()
            .filter_map(|m| self.outing().messages.get(m.message));
        messages.map(|m| m.id.to_string()).collect()
    }

    /// Why, in sentences.
    #[must_use]
    pub fn reasons(&self) -> Vec<String> {
        let mut list = Vec::new();
        if let Some(best) = &self.step.step.best {
            list.push(self.odds(best));
        }
        list.extend(self.suspects());
        list.extend(sentences(self.step));
        let days = &self.step.days;
        if days.effective < 100.0 {
            list.push(format!(
                "This day is unlike what was expected: only some {:.0} of the possible days fit what you saw, so trust these odds less.",
                days.effective
            ));
        }
        list
    }

    /// What may be behind silence, in a sentence.
    fn suspects(&self) -> Option<String> {
        let one = |s: &farhop_next::Suspect| {
            let words = suspect_words(self.outing(), s);
            format!("{words} ({:.0} %)", 100.0 * s.probability.min(0.99))
        };
        let named: Vec<String> = self.step.step.suspects.iter().take(MOST_SUSPECTS).map(one).collect();
        (self.step.calls > 0 && !named.is_empty())
            .then(|| format!("What may be behind the silence: {}.", named.join("; ")))
    }

    fn odds(&self, best: &Try) -> String {
        let stands = Self::chance(&best.send);
        let (low, high) = (best.range.0.percent(), best.range.1.percent());
        let range = if high <= low + 1 {
            "much the same on nearly all possible days".to_owned()
        } else {
            format!("on four possible days in five between {low} and {high} %")
        };
        let calls = counted(self.step.calls, "call");
        match (best.forecast, self.step.calls) {
            (_, 0) => format!(
                "The call stands at {} %; {range}. No call has been logged yet.",
                stands.percent()
            ),
            (Some(before), _) => format!(
                "The forecast gave it {} %; after {calls} it stands at {} %; {range}.",
                before.percent(),
                stands.percent()
            ),
            (None, _) => format!("After {calls} it stands at {} %; {range}.", stands.percent()),
        }
    }

    /// The messages that the best call carries, in a sentence.
    #[must_use]
    pub fn carries(&self) -> Option<String> {
        let best = self.step.step.best.as_ref()?;
        Some(format!(
            "Send in this order: {}; about {:.0} min on the air once the link holds.",
            self.ids(&best.send).join(", "),
            best.send.air_min.max(1.0)
        ))
    }

    /// How the antenna of the best call hangs and which way it looks, in a sentence.
    #[must_use]
    pub fn hang(&self) -> Option<String> {
        let best = self.step.step.best.as_ref()?;
        hang_words(self.outing(), &best.send.route)
    }

    /// Whether the step is about a call: now, or after something else.
    #[must_use]
    pub fn leads_to_a_call(&self) -> bool {
        !matches!(self.step.step.action, Action::Rest(_) | Action::Move(..) | Action::Done)
    }

    /// The whole report: what to do, then why.
    #[must_use]
    pub fn document(&self) -> Document {
        let mut doc = Document::default();
        for said in self.step.today.announcements() {
            doc.lead(format!("Mind: {said}."));
        }
        for sign in self.signs() {
            doc.lead(format!("First: {sign}"));
        }
        doc.lead(self.advice());
        if self.leads_to_a_call() {
            for line in [self.carries(), self.hang()].into_iter().flatten() {
                doc.lead(line);
            }
        }
        self.because(&mut doc);
        self.others(&mut doc);
        self.left(&mut doc);
        doc
    }

    fn because(&self, doc: &mut Document) {
        let reasons = self.reasons();
        if reasons.is_empty() {
            return;
        }
        doc.section("why", "Why");
        doc.items(reasons);
    }

    fn others(&self, doc: &mut Document) {
        let step = &self.step.step;
        let next = |s: &&Send| s.start > self.step.today.now.add_s(600);
        let later: Vec<&Send> = step.sends.iter().skip(1).filter(next).take(2).collect();
        if step.alternatives.is_empty() && later.is_empty() && step.elsewhere.is_empty() {
            return;
        }
        doc.section("else", "Instead, or if that fails");
        for of in &step.alternatives {
            let line = format!("now: {}", self.with_odds(of));
            doc.item(line);
        }
        for send in later {
            let line = format!(
                "at {}: {}: {}",
                self.time(send.start),
                self.route(send),
                Self::chance(send)
            );
            doc.item(line);
        }
        for there in &step.elsewhere {
            let site = self.outing().sites.get(there.stay.site).map_or("", |s| s.name.as_str());
            let line = format!(
                "from {site}, there at about {}: {:.0} % of the messages' worth (here {:.0} %)",
                self.time(there.stay.from),
                100.0 * there.value,
                100.0 * there.here
            );
            doc.item(line);
        }
    }

    fn left(&self, doc: &mut Document) {
        let budget = &self.step.budget;
        let energy = if budget.left_wh.is_finite() {
            format!(
                " {:.0} Wh may still go into calls with the reserve kept (nine times in ten).",
                budget.left_wh
            )
        } else {
            String::new()
        };
        let assumed = if self.step.today.place_assumed() {
            ", by the plan: correct it with `farhop log at SITE`"
        } else {
            ""
        };
        let site = self.step.today.here().map_or("", |s| s.name.as_str());
        let line = format!(
            "It is {} ({} UTC) at {site}{assumed}. {} still to send{}.{energy}",
            self.time(self.step.today.now),
            utc_hm(self.step.today.now),
            counted(self.step.today.pending.len(), "message"),
            match self.step.today.overdue().len() {
                0 => String::new(),
                count => format!(", {count} of them overdue"),
            }
        );
        doc.section("left", "");
        doc.say(line);
        doc.say("Log how it ends: `farhop log call …`; every entry makes the next advice better.");
    }
}

/// `1 call`, `3 calls`.
pub(crate) fn counted(count: usize, word: &str) -> String {
    format!("{count} {word}{}", if count == 1 { "" } else { "s" })
}

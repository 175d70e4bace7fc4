//! The next step, for people: what to do now, how sure that is, and why.

mod findings;
mod hang;
mod now;
mod signs;
pub mod view;

use farhop_earth::UtcTime;
use farhop_outing::Outing;
use farhop_plan::Chance;
use farhop_plan::next::{Advice, Candidate, Weighed};
use farhop_workshop::today::NextStep;
use jiff::tz::TimeZone;

use crate::clock::{local_day, local_hm, utc_hm, zone_word};
use crate::wrap::paragraph;

pub use findings::sentences;
pub use hang::hang_words;

/// What the report is made from.
pub struct NextReport<'a> {
    /// The step with all that it rests on.
    pub step: &'a NextStep,
    /// Zone in which people read times.
    pub zone: TimeZone,
}

impl NextReport<'_> {
    fn outing(&self) -> &Outing {
        &self.step.today.outing
    }

    fn candidate(&self, w: &Weighed) -> Option<&Candidate> {
        self.step.candidates.get(w.candidate)
    }

    /// `14:30`, with the day where it is another one.
    fn time(&self, at: UtcTime) -> String {
        let (day, today) = (local_day(at, &self.zone), local_day(self.step.today.now, &self.zone));
        let hm = format!("{} {}", local_hm(at, &self.zone), zone_word(at, &self.zone));
        if day == today { hm } else { format!("{day} {hm}") }
    }

    /// Station, frequency and antenna of a try in words.
    fn route(&self, w: &Weighed) -> String {
        let Some(candidate) = self.candidate(w) else {
            return String::new();
        };
        let route = candidate.response.route;
        let station = self.outing().stations.get(route.station);
        let antenna = self.outing().kit.antennas.get(route.antenna);
        format!(
            "{} ({}) on {} MHz with the {}, {} W",
            station.map_or_else(String::new, |s| s.callsign.to_string()),
            station.map_or("", |s| s.name.as_str()),
            candidate.response.freq_mhz,
            antenna.map_or("", |a| a.name.as_str()),
            self.outing().kit.transceiver.power_w
        )
    }

    /// What to do now, in a sentence or two.
    #[must_use]
    pub fn advice(&self) -> String {
        let choice = &self.step.choice;
        let best = choice.best.as_ref();
        match (choice.advice, best) {
            (Advice::Call, Some(best)) => format!(
                "Call {}: {}. Insist for {:.0} minutes, no longer; it costs about {:.1} Wh.",
                self.route(best),
                Chance::new(best.chance),
                self.candidate(best).map_or(0.0, |c| c.insist_min.ceil()),
                best.energy_wh
            ),
            (Advice::Wait(until), Some(best)) => format!(
                "Wait until {}, set off and hands warm. Then call {}: {}.",
                self.time(until),
                self.route(best),
                Chance::new(best.chance)
            ),
            (Advice::Move(to), _) => {
                let site = self.outing().sites.get(to.site).map_or("", |s| s.name.as_str());
                format!(
                    "Move to {site}: you can be there at about {}, and {} % of the messages' worth should get through from there against {} % from here.",
                    self.time(to.arrive),
                    Chance::new(to.value.0).percent(),
                    Chance::new(to.value.1).percent()
                )
            }
            (Advice::Done, _) => "Everything is through. Switch off, pack dry, and tell them so.".to_owned(),
            _ => "Stop and save the battery: nothing that can be tried here until the end is worth its energy."
                .to_owned(),
        }
    }

    /// Why, in sentences.
    #[must_use]
    pub fn reasons(&self) -> Vec<String> {
        let mut list = Vec::new();
        if let Some(best) = &self.step.choice.best {
            list.extend(self.odds(best));
        }
        list.extend(sentences(self.step));
        if self.step.belief.effective < 100.0 {
            list.push(format!(
                "This day is unlike what was expected: only some {:.0} of {} possible days fit what you saw, so trust these odds less.",
                self.step.belief.effective, self.step.belief.drawn
            ));
        }
        list
    }

    fn odds(&self, best: &Weighed) -> Option<String> {
        let before = *self.step.forecast_chances.get(best.candidate)?;
        let (low, high) = best.chance_range;
        let (low, high) = (Chance::new(low).percent(), Chance::new(high).percent());
        let range = if high <= low + 1 {
            "much the same on nearly all possible days".to_owned()
        } else {
            format!("on four possible days in five between {low} and {high} %")
        };
        Some(if self.step.calls == 0 {
            format!(
                "The forecast alone gives it {} %; {range}. No call has been logged yet.",
                Chance::new(before).percent()
            )
        } else {
            format!(
                "The forecast gave it {} %; after {} it stands at {} %; {range}.",
                Chance::new(before).percent(),
                counted(self.step.calls, "call"),
                Chance::new(best.chance).percent()
            )
        })
    }

    /// The messages that the best try carries, in a sentence.
    #[must_use]
    pub fn carries(&self) -> Option<String> {
        let best = self.step.choice.best.as_ref()?;
        let candidate = self.candidate(best)?;
        let names: Vec<&str> = candidate
            .tries
            .iter()
            .filter_map(|t| self.step.today.pending.get(t.pending))
            .filter_map(|p| self.outing().messages.get(p.message))
            .map(|m| m.id.as_str())
            .collect();
        Some(format!(
            "Send in this order: {}; about {:.0} min on the air once the link holds.",
            names.join(", "),
            best.air_min.max(1.0)
        ))
    }

    /// How the antenna of the best try hangs and which way it looks, in a sentence.
    #[must_use]
    pub fn hang(&self) -> Option<String> {
        let best = self.step.choice.best.as_ref()?;
        let route = self.candidate(best)?.response.route;
        hang_words(self.outing(), &route)
    }

    /// The whole text.
    #[must_use]
    pub fn text(&self) -> String {
        let mut out = String::new();
        for said in self.step.today.announcements() {
            out.push_str(&paragraph(&format!("Mind: {said}."), "", ""));
        }
        for sign in self.signs() {
            out.push_str(&paragraph(&format!("First: {sign}"), "", ""));
        }
        out.push_str(&paragraph(&self.advice(), "", ""));
        let calling = matches!(self.step.choice.advice, Advice::Call | Advice::Wait(_));
        if calling {
            for line in [self.carries(), self.hang()].into_iter().flatten() {
                out.push_str(&paragraph(&line, "", ""));
            }
        }
        out.push('\n');
        self.because(&mut out);
        self.others(&mut out);
        self.left(&mut out);
        out
    }

    fn because(&self, out: &mut String) {
        let reasons = self.reasons();
        if reasons.is_empty() {
            return;
        }
        out.push_str("Why\n");
        for reason in reasons {
            out.push_str(&paragraph(&reason, "- ", "  "));
        }
        out.push('\n');
    }

    fn others(&self, out: &mut String) {
        let choice = &self.step.choice;
        let later: Vec<&Weighed> = choice
            .set
            .iter()
            .filter(|w| {
                self.candidate(w)
                    .is_some_and(|c| c.start > self.step.today.now.add_s(600))
            })
            .filter(|w| choice.best.as_ref().is_none_or(|b| b.candidate != w.candidate))
            .take(2)
            .collect();
        if choice.alternatives.is_empty() && later.is_empty() && self.step.elsewhere.is_empty() {
            return;
        }
        out.push_str("Instead, or if that fails\n");
        for w in &choice.alternatives {
            let line = format!("now: {}: {}", self.route(w), Chance::new(w.chance));
            out.push_str(&paragraph(&line, "- ", "  "));
        }
        for w in later {
            let at = self.candidate(w).map_or(self.step.today.now, |c| c.start);
            let line = format!("at {}: {}: {}", self.time(at), self.route(w), Chance::new(w.chance));
            out.push_str(&paragraph(&line, "- ", "  "));
        }
        for there in &self.step.elsewhere {
            let site = self.outing().sites.get(there.site).map_or("", |s| s.name.as_str());
            let line = format!(
                "from {site}, there at about {}: {} % of the messages' worth (here {} %)",
                self.time(there.arrive),
                Chance::new(there.value).percent(),
                Chance::new(choice.value).percent()
            );
            out.push_str(&paragraph(&line, "- ", "  "));
        }
        out.push('\n');
    }

    fn left(&self, out: &mut String) {
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
            "It is {} ({} UTC) at {site}{assumed}. {} still to send.{energy}",
            self.time(self.step.today.now),
            utc_hm(self.step.today.now),
            counted(self.step.today.pending.len(), "message")
        );
        out.push_str(&paragraph(&line, "", ""));
        out.push_str(&paragraph(
            "Log how it ends: `farhop log call …`; every entry makes the next advice better.",
            "",
            "",
        ));
    }
}

/// `1 call`, `3 calls`.
pub(crate) fn counted(count: usize, word: &str) -> String {
    format!("{count} {word}{}", if count == 1 { "" } else { "s" })
}

//! The state at a glance.

use farhop_day::{Begun, Event, Phase};
use farhop_earth::{UtcTime, sun_position};
use farhop_next::Action;

use crate::next::{NextReport, counted};
use crate::wrap::paragraph;
use farhop_earth::clock::utc_hm;

/// Entries that are shown.
const LAST_ENTRIES: usize = 3;

impl NextReport<'_> {
    /// Where the sun stands, and when it rises or sets next.
    #[must_use]
    pub fn sun(&self) -> String {
        let today = &self.step.today;
        let Some(site) = today.here() else {
            return "Sun: place not known.".to_owned();
        };
        let height = |at: UtcTime| sun_position(site.place, at).elevation_deg();
        let now_deg = height(today.now);
        let up = now_deg > 0.0;
        let change = (1..=24 * 12)
            .map(|k| today.now.add_s(300 * k))
            .find(|at| (height(*at) > 0.0) != up);
        let then = change.map_or_else(
            || "no change in the next 24 hours".to_owned(),
            |at| format!("{} at {}", if up { "sets" } else { "rises" }, self.reader.hm(at)),
        );
        format!(
            "Sun {}, {:.0}° {} the level horizon; {then}.",
            if up { "up" } else { "down" },
            now_deg.abs(),
            if up { "above" } else { "below" }
        )
    }

    /// Everything at a glance, as text.
    #[must_use]
    pub fn now_text(&self) -> String {
        let today = &self.step.today;
        let mut out = String::new();
        let site = today.here().map_or("no known site", |s| s.name.as_str());
        let line = format!(
            "{} {} ({} UTC), {site}.",
            self.reader.hm(today.now),
            self.reader.zone_word(today.now),
            utc_hm(today.now)
        );
        out.push_str(&paragraph(&line, "", ""));
        out.push_str(&paragraph(&self.window(), "", ""));
        out.push_str(&paragraph(&self.sun(), "", ""));
        out.push_str(&paragraph(&self.charge(), "", ""));
        out.push_str(&paragraph(&self.messages(), "", ""));
        for sign in self.signs() {
            out.push_str(&paragraph(&format!("Mind: {sign}"), "", ""));
        }
        self.mind(&mut out);
        out.push('\n');
        out.push_str("Last entries\n");
        for line in self.last_entries() {
            out.push_str(&paragraph(&line, "- ", "  "));
        }
        out
    }

    /// What is announced about entries that count for nothing, thunder, tasks and faults.
    fn mind(&self, out: &mut String) {
        let today = &self.step.today;
        let mut lines = today.announcements();
        if let Some(until) = today.thunder_until() {
            let until = self.time(until);
            lines.push(format!("thunder was heard: leave the antenna alone until {until}"));
        }
        if let Some(task) = &today.task {
            let what = Event::Begun(Begun {
                task: task.task.clone(),
                minutes: None,
            });
            let end = task.end.map(|end| format!(", done by about {}", self.time(end)));
            let what = crate::entries::sentence(&what, &today.outing);
            lines.push(format!(
                "{what} at {}{}",
                self.time(task.since),
                end.unwrap_or_default()
            ));
        }
        for fault in today.open_faults() {
            let at = self.time(fault.found.at);
            lines.push(format!("fault not mended yet: {} (found at {at})", fault.what));
        }
        for line in lines {
            out.push_str(&paragraph(&format!("Mind: {line}."), "", ""));
        }
    }

    /// Whether a window is open, or when the next one opens.
    #[must_use]
    pub fn window(&self) -> String {
        let step = &self.step.step;
        match (step.action, step.best.as_ref()) {
            (Action::Call, Some(best)) => format!("Open now: {}.", self.with_odds(best)),
            (Action::Wait(until) | Action::Hang(_, until), Some(best)) => {
                format!("Opens at {}: {}.", self.time(until), self.with_odds(best))
            }
            _ => self.advice(),
        }
    }

    /// Charge, and what may still go into calls.
    #[must_use]
    pub fn charge(&self) -> String {
        let budget = &self.step.budget;
        let Some((low, middle)) = budget.share_now else {
            return format!(
                "Charge: not known ({}).",
                budget.why_not.as_deref().unwrap_or("no energy forecast")
            );
        };
        let reserve = budget
            .forecast
            .as_ref()
            .and_then(|f| f.below_reserve_s.map(|s| f.at(s)));
        let until = reserve.map_or_else(
            || "the reserve holds to the end without further calls".to_owned(),
            |at| format!("without the sun's help the reserve is reached at {}", self.time(at)),
        );
        let by = budget.measured.map(|m| {
            let at = self.time(m.at);
            format!(", by {} V read at {at} (entry {})", m.voltage_v, m.entry)
        });
        let by = by.unwrap_or_default();
        format!(
            "Charge about {:.0} % (nine times in ten above {:.0} %){by}, {:.1} Wh of calls so far; {until}; {:.0} Wh may still go into calls.",
            100.0 * middle,
            100.0 * low,
            budget.spent_wh,
            budget.left_wh
        )
    }

    fn messages(&self) -> String {
        let today = &self.step.today;
        if today.left().is_empty() {
            return "Messages: none left.".to_owned();
        }
        let one = |id: &str| {
            let state = today.message(id)?;
            let by = self.time(state.message.deadline);
            Some(match &state.phase {
                Phase::Overdue => format!("{id} (overdue since {by}, still to be sent)"),
                Phase::SentInPart => format!("{id} ({}, the rest by {by})", state.words()),
                Phase::NotReady { ready } => format!("{id} (from {} to {by})", self.time(*ready)),
                _ => format!("{id} (by {by})"),
            })
        };
        let names: Vec<String> = today.left().into_iter().filter_map(one).collect();
        format!("{} left: {}.", counted(names.len(), "message"), names.join(", "))
    }

    /// The newest entries, the newest first.
    #[must_use]
    pub fn last_entries(&self) -> Vec<String> {
        let today = &self.step.today;
        if today.entries.is_empty() {
            return vec!["none yet".to_owned()];
        }
        let newest = today.entries.iter().rev().take(LAST_ENTRIES);
        newest
            .map(|e| crate::entries::told(&e.account, &today.outing))
            .collect()
    }
}

//! What to do now, in a sentence or two.

use farhop_day::{Begun, Event};
use farhop_days::FaultClass;
use farhop_earth::UtcTime;
use farhop_next::{Action, Rest, Try};

use crate::next::{NextReport, counted};
use crate::own_fault::{class_words, look_at, suspect_words, typed_as};

/// Less than this, Wh, pays no call (judgement: two minutes of sending with 5 W).
const LEAST_CALL_WH: f64 = 0.5;

/// From this chance (dimensionless) of an own fault on, a wait or a rest is time for a check (judgement).
const WORTH_THE_TIME: f64 = 0.3;

impl NextReport<'_> {
    /// One word for what to do: `call`, `listen`, `wait`, `check`, `hang`, `move`, `rest` or `done`.
    #[must_use]
    pub(crate) fn action_word(&self) -> &'static str {
        match self.step.step.action {
            Action::Call => "call",
            Action::Listen => "listen",
            Action::Wait(_) => "wait",
            Action::Check(_) => "check",
            Action::Hang(..) => "hang",
            Action::Move(..) => "move",
            Action::Rest(_) => "rest",
            Action::Done => "done",
        }
    }

    /// Until when: the end of a wait, of a task, of a walk, of a rest.
    #[must_use]
    pub fn until(&self) -> Option<UtcTime> {
        match self.step.step.action {
            Action::Wait(until) | Action::Hang(_, until) | Action::Move(_, until) => Some(until),
            Action::Rest(rest) => rest.until,
            Action::Call | Action::Listen | Action::Check(_) | Action::Done => None,
        }
    }

    /// What to do now, in a sentence or two.
    #[must_use]
    pub fn advice(&self) -> String {
        let best = self.step.step.best.as_ref();
        match (self.step.step.action, best) {
            (Action::Call, Some(best)) => format!(
                "Call {}. Insist for {:.0} minutes, no longer; it costs about {:.1} Wh.",
                self.with_odds(best),
                self.step.insist_min(&best.send).ceil(),
                best.send.energy_wh
            ),
            (Action::Listen, Some(best)) => self.listen(best),
            (Action::Wait(until), best) => self.wait(until, best),
            (Action::Check(class), best) => self.check(class, best),
            (Action::Hang(antenna, until), best) => self.hang_up(antenna, until, best),
            (Action::Move(site, there), _) => self.go(site, there),
            (Action::Done, _) => self.done(),
            (Action::Rest(rest), _) => self.rest(rest),
            (Action::Call | Action::Listen, None) => "Listen, and log what you hear.".to_owned(),
        }
    }

    fn listen(&self, best: &Try) -> String {
        let route = best.send.route;
        let station = self.outing().stations.get(route.station);
        let suspect = self.step.step.suspects.first();
        let why = suspect.map_or_else(String::new, |s| {
            format!(
                " Whether it is heard tells more than another call: the likeliest reason for the silence is {}.",
                suspect_words(self.outing(), s)
            )
        });
        format!(
            "Listen ten minutes on {} MHz for {} ({}) before the next call, and log whether it was heard.{why}",
            self.step.freq_mhz(&best.send),
            station.map_or("", |s| s.name.as_str()),
            station.map_or_else(String::new, |s| s.callsign.to_string()),
        )
    }

    fn wait(&self, until: UtcTime, best: Option<&Try>) -> String {
        let today = &self.step.today;
        let then = best.map_or_else(String::new, |b| format!(" Then call {}.", self.with_odds(b)));
        if today.thunder_until().is_some_and(|t| t >= until) {
            return format!(
                "Wait until {}, hands off the antenna: thunder was heard.{then}",
                self.time(until)
            );
        }
        if let Some(task) = &today.task {
            let begun = Event::Begun(Begun {
                task: task.task.clone(),
                minutes: None,
            });
            let what = crate::entries::sentence(&begun, &today.outing);
            return format!("Wait until {}: {what}. Finish that first.{then}", self.time(until));
        }
        format!(
            "Wait until {}: radio off, hands warm.{}{then}",
            self.time(until),
            self.use_the_time()
        )
    }

    /// While nothing is called: what may be wrong with the own station, where that is likely.
    fn use_the_time(&self) -> String {
        let chances = FaultClass::ALL
            .into_iter()
            .zip(self.step.days.fault_chances(self.step.today.now));
        let likeliest = chances.max_by(|a, b| a.1.total_cmp(&b.1));
        let Some((class, chance)) = likeliest.filter(|c| c.1 >= WORTH_THE_TIME) else {
            return String::new();
        };
        format!(
            " Use the time for your own station: {} ({:.0} %). Look at {}.",
            class_words(class),
            100.0 * chance.min(0.99),
            look_at(class)
        )
    }

    fn check(&self, class: FaultClass, best: Option<&Try>) -> String {
        let today = &self.step.today;
        let now_s = today.now.unix_s();
        let known = self.step.days.days.known_faults.iter();
        let open = |f: &&farhop_days::KnownFault| f.class == class && f.from_s <= now_s && now_s < f.until_s;
        if known.clone().any(|f| open(&f)) {
            let what = today
                .open_faults()
                .map(|f| f.what.as_str())
                .next()
                .unwrap_or("the fault");
            return format!(
                "Check and mend first: {what} ({}). Nothing gets through before; log `mended` when it works again.",
                class_words(class)
            );
        }
        let chance: f64 = self.step.days.fault_chances(today.now).iter().sum();
        let then = best.map_or_else(String::new, |b| format!(" If it is sound, call {}.", self.with_odds(b)));
        format!(
            "Check your own station before the next call: {}. That something of it does not work ({} most of all) is {:.0} % likely by now. Log `check {}`, and `fault …` if you find one.{then}",
            look_at(class),
            class_words(class),
            100.0 * chance.min(0.99),
            typed_as(class),
        )
    }

    fn hang_up(&self, antenna: usize, until: UtcTime, best: Option<&Try>) -> String {
        let name = self
            .outing()
            .kit
            .antennas
            .get(antenna)
            .map_or("antenna", |a| a.name.as_str());
        let then = best.map_or_else(String::new, |b| format!(" Then call {}.", self.with_odds(b)));
        format!("Hang the {name}, done by about {}.{then}", self.time(until))
    }

    fn go(&self, site: usize, there: UtcTime) -> String {
        let name = self.outing().sites.get(site).map_or("", |s| s.name.as_str());
        let looked = self.step.step.elsewhere.iter().find(|p| p.stay.site == site);
        let worth = looked.map_or_else(String::new, |p| {
            format!(
                ", and {:.0} % of the messages' worth should get through from there against {:.0} % from here",
                100.0 * p.value,
                100.0 * p.here
            )
        });
        format!("Move to {name}: you can be there at about {}{worth}.", self.time(there))
    }

    fn rest(&self, rest: Rest) -> String {
        let left = counted(self.step.today.pending.len(), "message");
        let spent = self.step.budget.left_wh < LEAST_CALL_WH && rest.until.is_some();
        match rest.until {
            Some(at) if spent => format!(
                "Rest, radio off: by your log the calls have taken what the battery may give above its reserve. Read its voltage and log it (`farhop log volt 12.9`): if more is left, calls go on. {left} still to send; the best call would be {} at {}.",
                farhop_plan::Chance::new(rest.best_left),
                self.time(at)
            ),
            None => format!(
                "Rest: no call is possible before the end. {left} still to send: take {} home, or ask again where and when a station listens.",
                if self.step.today.pending.len() == 1 {
                    "it"
                } else {
                    "them"
                }
            ),
            Some(at) => format!(
                "Rest, radio off and dry: no call until the end is worth its energy. {left} still to send; the best that is left is {} at {}.{} Ask again then.",
                farhop_plan::Chance::new(rest.best_left),
                self.time(at),
                self.use_the_time()
            ),
        }
    }

    fn done(&self) -> String {
        match self.step.today.delivered().len() {
            0 => "No message is waiting to be sent.".to_owned(),
            count => format!(
                "Everything is through: {}, by what you logged. Switch off, pack dry, and tell them so.",
                counted(count, "message")
            ),
        }
    }
}

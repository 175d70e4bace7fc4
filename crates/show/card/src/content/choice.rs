//! Which three calls to try in an hour. Every chance is the plan's own; here they are only put in order.

use std::collections::HashMap;

use farhop_days::{Route, STEP_S};
use farhop_earth::UtcTime;
use farhop_plan::Chance;
use farhop_plan::schedule::Send;

use super::Desk;

/// Calls in a row.
pub(super) const CALLS: usize = 3;
/// Another antenna than the one that hangs must be better by this (dimensionless): changing it costs time and light (a judgement).
const WORTH_ANOTHER: f64 = 0.10;
/// What a further channel of a station already called is worth of its chance (dimensionless; a judgement): a station that is off is off
/// on all of them.
const SAME_STATION: f64 = 0.5;

/// A call that can be made in an hour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Candidate {
    pub(super) route: Route,
    pub(super) chance: Chance,
}

/// What can be called from one site, hour by hour.
pub(super) struct Choices<'a> {
    desk: &'a Desk<'a>,
    site: usize,
    /// Chances of each message by route and middle of the hour; the last one is that of a link, for hours without a message.
    of_message: HashMap<Option<usize>, HashMap<(Route, i64), Chance>>,
}

impl<'a> Choices<'a> {
    pub(super) fn new(desk: &'a Desk<'a>, site: usize) -> Self {
        let (outing, plan) = (desk.source.outing, desk.source.plan);
        let here = |r: &Route| r.site == site;
        let mut of_message = HashMap::new();
        let links = plan.hours.iter().filter(|h| here(&h.route));
        of_message.insert(None, links.map(|h| ((h.route, h.at.unix_s()), h.link)).collect());
        for message in 0..outing.messages.len() {
            let mut all = plan.hours_of(outing, message);
            all.retain(|(route, _), _| here(route));
            of_message.insert(Some(message), all);
        }
        Self { desk, site, of_message }
    }

    /// The message that waits in an hour: the most urgent one that is ready and not overdue.
    fn waiting(&self, middle: UtcTime) -> Option<usize> {
        let outing = self.desk.source.outing;
        let open = |m: &usize| {
            outing
                .messages
                .get(*m)
                .is_some_and(|of| of.ready.is_none_or(|ready| ready <= middle) && middle < of.deadline)
        };
        super::sends::by_urgency(outing).into_iter().find(open)
    }

    /// Chance of a route in an hour, for the message that waits then; for the one that the plan sends there where the station does not
    /// take that.
    pub(super) fn chance(&self, route: &Route, middle: UtcTime) -> Chance {
        let with = |message: Option<usize>| {
            let found = self
                .of_message
                .get(&message)
                .and_then(|t| t.get(&(*route, middle.unix_s())));
            found.copied().unwrap_or(Chance::NONE)
        };
        let waiting = with(self.waiting(middle));
        if waiting.percent() > 0 {
            return waiting;
        }
        let sent = self.sends(middle).find(|s| s.route == *route);
        let sent = sent.and_then(|s| s.messages.first());
        sent.map_or(waiting, |first| with(Some(first.message)))
    }

    /// Every call of an hour: one line a station and channel, with the antenna that hangs unless another is clearly better.
    pub(super) fn candidates(&self, middle: UtcTime, hangs: Option<usize>) -> Vec<Candidate> {
        let Some(table) = self.of_message.get(&self.waiting(middle)) else {
            return Vec::new();
        };
        let mut lines: Vec<Candidate> = Vec::new();
        for ((route, at_s), chance) in table {
            if *at_s != middle.unix_s() || chance.percent() == 0 {
                continue;
            }
            let this = Candidate {
                route: *route,
                chance: *chance,
            };
            let worth = |c: &Candidate| {
                let bonus = if Some(c.route.antenna) == hangs {
                    WORTH_ANOTHER
                } else {
                    0.0
                };
                (c.chance.probability() + bonus, std::cmp::Reverse(c.route.antenna))
            };
            let same = |c: &Candidate| (c.route.station, c.route.channel) == (route.station, route.channel);
            match lines.iter_mut().find(|c| same(c)) {
                Some(known) if worth(&this) > worth(known) => *known = this,
                Some(_) => {}
                None => lines.push(this),
            }
        }
        lines
    }

    /// Calls of the schedule that begin in an hour, from here.
    fn sends(&self, middle: UtcTime) -> impl Iterator<Item = &Send> {
        let from_s = middle.unix_s() - STEP_S / 2;
        let in_hour = move |at: UtcTime| (from_s..from_s + STEP_S).contains(&at.unix_s());
        let sends = self.desk.source.plan.sends.iter();
        sends.filter(move |s| s.route.site == self.site && in_hour(s.start))
    }

    /// Their routes.
    fn planned(&self, middle: UtcTime) -> Vec<Route> {
        self.sends(middle).map(|s| s.route).collect()
    }

    /// The calls of the plan's own order to try, where it holds in an hour.
    fn ordered(&self, middle: UtcTime) -> Vec<Route> {
        let message = self.waiting(middle).and_then(|m| self.desk.source.plan.messages.get(m));
        let holds = message
            .into_iter()
            .flat_map(|m| &m.orders)
            .find(|o| o.site == self.site && o.from.add_s(-STEP_S / 2) <= middle && middle < o.until);
        holds.map_or_else(Vec::new, |o| o.entries.iter().map(|e| e.route).collect())
    }

    /// At most three calls: first what the schedule sends then, then the plan's order where it holds, then other stations by chance.
    pub(super) fn three(&self, middle: UtcTime, hangs: Option<usize>) -> Vec<Candidate> {
        let mut open = self.candidates(middle, hangs);
        let mut chosen: Vec<Candidate> = Vec::new();
        let first = self.planned(middle).into_iter().chain(self.ordered(middle));
        for route in first {
            let same = |c: &Candidate| (c.route.station, c.route.channel) == (route.station, route.channel);
            if chosen.len() < CALLS && !chosen.iter().any(same) {
                open.retain(|c| !same(c));
                let chance = self.chance(&route, middle);
                if chance.percent() > 0 {
                    chosen.push(Candidate { route, chance });
                }
            }
        }
        while chosen.len() < CALLS {
            let worth = |c: &Candidate| {
                let known = chosen.iter().any(|k| k.route.station == c.route.station);
                let share = if known { SAME_STATION } else { 1.0 };
                let key = (c.route.station, c.route.channel);
                (share * c.chance.probability(), std::cmp::Reverse(key))
            };
            let order = |a: &usize, b: &usize| {
                let (a, b) = (worth(&open[*a]), worth(&open[*b]));
                a.0.total_cmp(&b.0).then(a.1.cmp(&b.1))
            };
            let Some(best) = (0..open.len()).max_by(order) else {
                break;
            };
            chosen.push(open.remove(best));
        }
        chosen
    }

    /// Whether the schedule sends from here in an hour, and with what.
    pub(super) fn first_is_planned(&self, middle: UtcTime) -> Option<Route> {
        self.planned(middle).first().copied()
    }
}

/// Chance (dimensionless) that one of the calls works, a further channel of a station counting in part.
pub(super) fn joint(calls: &[Candidate]) -> f64 {
    let mut missed = 1.0;
    for (k, call) in calls.iter().enumerate() {
        let known = calls[..k].iter().any(|c| c.route.station == call.route.station);
        let share = if known { SAME_STATION } else { 1.0 };
        missed *= 1.0 - share * call.chance.probability();
    }
    1.0 - missed
}

//! The next step: the plan's days weighed by the journal, and the schedule from now.

use std::collections::HashSet;

use crate::{Action, Ask, Step, look_elsewhere, step};
use farhop_day::{Event, Outcome, Task};
use farhop_days::{Axes, DrawAsk, Evidence, Response, WeighAsk, WeighedDays};
use farhop_earth::UtcTime;
use farhop_plan::analysis::SEED;
use farhop_plan::itinerary::Stay;
use farhop_plan::schedule::{EnergyLimit, Send};
use farhop_plan::tables::LinkTables;

use crate::today::NextError;
use crate::today::places::{ahead, elsewhere, until};
use crate::today::seen::{Read, read, wanted};
use crate::today::signs::{OwnFault, own_faults, signs};
use crate::today::{Budget, Remembered, Sign, Today, own};
use farhop_plan::Kept;
use farhop_plan::routes::RouteCache;

/// Hours that are looked ahead at first; the rest of the outing only when nothing in them is worth a call.
const AHEAD_H: i64 = 24;
/// Days with which the next step is worked out.
const DAYS: usize = 512;
/// Days on which the forecast's own chance is worked out.
const UNSEEN_DAYS: usize = 256;
/// Shortest time to insist on calling, minutes, as in the schedule.
const LEAST_INSIST_MIN: f64 = farhop_plan::schedule::board::LEAST_INSIST_MIN;

/// What is asked.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct NextAsk {
    /// Minutes that are left for calling; none means to the end of the outing.
    pub minutes: Option<f64>,
}

/// The advice with all that it rests on.
pub struct NextStep {
    /// The day.
    pub today: Today,
    /// What to do, and why.
    pub step: Step,
    /// The days, weighed by what was seen.
    pub days: WeighedDays,
    /// The links.
    pub tables: LinkTables,
    /// Where one is from now on.
    pub stays: Vec<Stay>,
    /// Readings far from their forecast.
    pub signs: Vec<Sign>,
    /// What readings say about faults of the own station, by class.
    pub own_faults: Vec<OwnFault>,
    /// Energy for calls.
    pub budget: Budget,
    /// Calls that the days were weighed by.
    pub calls: usize,
}

impl NextStep {
    /// Minutes to insist on calling before giving up.
    #[must_use]
    pub fn insist_min(&self, send: &Send) -> f64 {
        let route = send.route;
        let mut links = self.tables.of(route.site, route.station, route.channel);
        let of_mode = links.find(|(_, table)| table.mode == send.mode);
        of_mode.map_or(LEAST_INSIST_MIN, |(_, table)| table.insist_min().max(LEAST_INSIST_MIN))
    }

    /// Frequency of a planned call, MHz.
    #[must_use]
    pub fn freq_mhz(&self, send: &Send) -> f64 {
        let station = self.today.outing.stations.get(send.route.station);
        let channel = station.and_then(|s| s.channels.get(send.route.channel));
        channel.map_or(0.0, |c| c.freq_mhz)
    }
}

/// What was seen, and everything else that the journal says about the days.
pub(crate) struct Weighing {
    pub evidence: Evidence,
    pub known: Vec<farhop_days::KnownFault>,
}

impl Weighing {
    pub(crate) fn of(today: &Today, read: &[Read], own_faults: &[OwnFault]) -> Self {
        let mut seen: Vec<_> = read.iter().map(|r| r.seen.clone()).collect();
        seen.extend(own::readings(today, own_faults));
        seen.extend(own::found_nothing(today));
        Self {
            evidence: Evidence { seen },
            known: own::known(today),
        }
    }
}

/// What to do now.
///
/// # Errors
/// In words: the outing cannot be forecast, or one stands at no site of it.
pub fn next_step(today: Today, store: &dyn Kept, ask: NextAsk) -> Result<NextStep, NextError> {
    next_step_after(&Remembered::default(), today, store, ask)
}

/// The same, sooner where the step before was worked out with the same memory.
///
/// # Errors
/// As [`next_step`].
pub fn next_step_after(last: &Remembered, today: Today, store: &dyn Kept, ask: NextAsk) -> Result<NextStep, NextError> {
    let all = ahead(&today).ok_or(NextError::Nowhere)?;
    let asked_end = ask.minutes.map(|m| today.now.add_s((60.0 * m) as i64));
    let all = asked_end.map_or(all.clone(), |end| until(&all, end));
    let near = until(&all, today.now.add_s(3_600 * AHEAD_H));
    let mut hours = wanted(&today);
    near.iter()
        .for_each(|s| hours.stay(s, today.now, today.outing.stations.len()));
    let routes = last.routes(&today.outing, store, &hours)?;
    let made = Making::new(&routes, &today, ask, last);
    let found = made.found(near.clone());
    let found = if matches!(found.step.action, Action::Rest(_)) && near != all {
        let mut hours = wanted(&today);
        all.iter()
            .for_each(|s| hours.stay(s, today.now, today.outing.stations.len()));
        let routes = last.routes(&today.outing, store, &hours)?;
        Making::new(&routes, &today, ask, last).found(all)
    } else {
        found
    };
    let Making {
        tables,
        signs,
        own_faults,
        budget,
        weighing,
        ..
    } = made;
    let calls = weighing.evidence.calls();
    drop(routes);
    Ok(NextStep {
        step: found.step,
        days: found.days,
        stays: found.stays,
        tables,
        signs,
        own_faults,
        budget,
        calls,
        today,
    })
}

struct Found {
    step: Step,
    days: WeighedDays,
    stays: Vec<Stay>,
}

/// All that does not change with how far one looks.
struct Making<'a> {
    routes: &'a RouteCache<'a>,
    today: &'a Today,
    last: &'a Remembered,
    minutes: Option<f64>,
    tables: LinkTables,
    signs: Vec<Sign>,
    own_faults: Vec<OwnFault>,
    budget: Budget,
    weighing: Weighing,
}

impl<'a> Making<'a> {
    fn new(routes: &'a RouteCache<'a>, today: &'a Today, ask: NextAsk, last: &'a Remembered) -> Self {
        let budget = Budget::after(last, today);
        let read = read(routes, today);
        let signs = signs(routes, today, &read, &budget);
        let own_faults = own_faults(routes, today, &budget);
        Self {
            tables: routes.tables(),
            weighing: Weighing::of(today, &read, &own_faults),
            minutes: ask.minutes,
            routes,
            today,
            last,
            signs,
            own_faults,
            budget,
        }
    }

    fn found(&self, stays: Vec<Stay>) -> Found {
        let (today, axes) = (self.today, &self.routes.axes);
        let end = stays.last().map_or(today.now, |s| s.until);
        let hours: Vec<usize> = (axes.hour(today.now)..=axes.hour(end)).collect();
        let ask = WeighAsk {
            count: DAYS,
            seed: SEED,
            hours: Some(&hours),
            known: &self.weighing.known,
        };
        let draw = |axes: &Axes, ask: &DrawAsk<'_>| self.last.drawn(axes, ask);
        let days = WeighedDays::after_by(axes, &self.weighing.evidence, &ask, &draw);
        let unseen = DrawAsk {
            hours: Some(&hours),
            ..DrawAsk::of(UNSEEN_DAYS, SEED)
        };
        let unseen = WeighedDays::prior(draw(axes, &unseen));
        let idle_since = self.idle_since(&stays);
        let sites: Vec<usize> = stays.iter().map(|s| s.site).collect();
        let mut responses = self.responses(self.routes, &sites);
        let mut asked = self.ask(&days, &responses, &stays, idle_since);
        asked.unseen = Some(&unseen);
        let mut step = step(&asked);
        let site = stays.first().map_or(0, |s| s.site);
        let others = elsewhere(today, site, idle_since);
        let others = until(&others, end);
        if step.leaves_room() && !others.is_empty() && self.minutes.is_none() {
            let more = self.responses_elsewhere(&others, &responses);
            responses.extend(more);
            let mut asked = self.ask(&days, &responses, &stays, idle_since);
            asked.elsewhere = &others;
            look_elsewhere(&asked, &mut step);
        }
        Found { step, days, stays }
    }

    fn ask<'b>(
        &'b self,
        days: &'b WeighedDays,
        responses: &'b [Response],
        stays: &'b [Stay],
        idle_since: UtcTime,
    ) -> Ask<'b> {
        let today = self.today;
        Ask {
            outing: &today.outing,
            days,
            unseen: None,
            tables: &self.tables,
            responses,
            stays,
            elsewhere: &[],
            now: today.now,
            pending: &today.pending,
            energy: self.energy(),
            hanging: self.hanging(),
            task_until: task_until(today),
            thunder_until: today.thunder_until(),
            checked: checked(today),
            silent_calls: silent_calls(today),
            listened: listened(today),
            last_entry: today.entries.iter().map(|e| e.account.at).max(),
            idle_since,
        }
    }

    fn energy(&self) -> EnergyLimit {
        if self.budget.forecast.is_none() {
            return EnergyLimit::NONE;
        }
        EnergyLimit {
            calls_wh: self.budget.left_wh,
            emergency_wh: self.budget.left_now_wh,
        }
    }

    /// The antenna that hangs, or is being put up.
    fn hanging(&self) -> Option<usize> {
        let being_hung = self.today.task.as_ref().and_then(|t| match &t.task {
            Task::Hang { antenna } => Some(antenna.as_str()),
            _ => None,
        });
        let id = being_hung.or(self.today.antenna())?;
        let antennas = &self.today.outing.kit.antennas;
        antennas.iter().position(|a| a.id.as_str() == id)
    }

    /// Since when nothing was entered: there was time for whatever takes time.
    fn idle_since(&self, stays: &[Stay]) -> UtcTime {
        let arrived = stays.first().map_or(self.today.now, |s| s.from);
        let last = self.today.entries.iter().map(|e| e.account.at).max();
        last.map_or(arrived, |last| last.max(arrived))
    }

    /// Routes from now on; a station that is known to be off for the day listens no more on it.
    fn responses(&self, routes: &RouteCache<'_>, sites: &[usize]) -> Vec<Response> {
        let (today, axes) = (self.today, &routes.axes);
        let mut list = routes.ahead(sites, today.now);
        for response in &mut list {
            let state = today.stations.get(response.route.station);
            let off = state.and_then(|s| s.off.as_ref());
            if off.is_some_and(|o| axes.calendar_day(o.at) == axes.calendar_day(response.at)) {
                response.served = false;
            }
        }
        list
    }

    /// Routes from other places, in the hours that are not known yet: a place where one will be later is known for its later hours only.
    fn responses_elsewhere(&self, others: &[Stay], known: &[Response]) -> Vec<Response> {
        let mut hours = farhop_plan::routes::WantedHours::default();
        let stations = self.today.outing.stations.len();
        others.iter().for_each(|s| hours.stay(s, self.today.now, stations));
        let Ok(routes) = self.last.routes(&self.today.outing, self.routes.store(), &hours) else {
            return Vec::new();
        };
        let sites: Vec<usize> = others.iter().map(|s| s.site).collect();
        let key = |r: &Response| (r.route.site, r.at);
        let known: HashSet<(usize, UtcTime)> = known.iter().map(key).collect();
        let mut list = self.responses(&routes, &sites);
        list.retain(|r| !known.contains(&key(r)));
        list
    }
}

/// Until when a task that was begun goes on; a check has an end too.
fn task_until(today: &Today) -> Option<UtcTime> {
    let task = today.task.as_ref()?;
    let check = matches!(task.task, Task::Check { .. });
    task.end
        .or_else(|| check.then(|| task.since.add_s(60 * own::CHECK_MIN)))
}

/// When the own station was last checked: found sound, or begun and over without a word.
fn checked(today: &Today) -> Option<UtcTime> {
    let begun = today
        .task
        .as_ref()
        .filter(|t| matches!(t.task, Task::Check { .. }))
        .and_then(|_| task_until(today));
    own::checks(today).into_iter().chain(begun).max()
}

/// Calls without a link since the last link or the last check.
fn silent_calls(today: &Today) -> usize {
    let since = own::checks(today).into_iter().max();
    let later = today.entries.iter().filter(|e| since.is_none_or(|s| e.account.at >= s));
    later.fold(0, |count, e| match &e.account.event {
        Event::Called(call) if matches!(call.outcome, Outcome::NoAnswer | Outcome::HeardButFailed) => count + 1,
        Event::Called(call) if call.outcome.linked() => 0,
        _ => count,
    })
}

/// Whether somebody listened since the last call.
fn listened(today: &Today) -> bool {
    let last = today.entries.iter().rev().find_map(|e| match &e.account.event {
        Event::Called(_) => Some(false),
        Event::Heard(_) | Event::Silent(_) | Event::BandDead(_) => Some(true),
        _ => None,
    });
    last.unwrap_or(false)
}

//! What to do now.

use farhop_days::{FaultClass, Route, WeighedDays};
use farhop_earth::UtcTime;
use farhop_plan::Chance;
use farhop_plan::itinerary::Stay;
use farhop_plan::schedule::bottom::MessageChance;
use farhop_plan::schedule::bottom::message_chance;
use farhop_plan::schedule::sends::sends_of;
use farhop_plan::schedule::{Block, Board, EnergyLimit, Pending, Scene, SceneParts, Send, search};
use farhop_plan::tables::LinkTables;

use crate::places::{Place, look_elsewhere};
use crate::rest::rest;
use crate::suspects::{Suspect, What, own_fault, suspects};

/// A call that begins within this is made now, s.
const NOW_S: i64 = 900;
/// A check comes after the third or fourth call without an answer; one that is not entered is advised again only after so many more.
const CALLS_BETWEEN_CHECKS: usize = 4;
/// From this chance (dimensionless) of an own fault the own station is checked before another call is made (judgement): a check takes
/// minutes and settles it, a fault that nobody looks for takes every call that follows. Odds of one in seven and a half: a fifth of the
/// even odds and less that stood here while parts were taken to fail five times as often, so that the same evidence leads to a check.
const CHECK_FROM: f64 = 0.12;
/// From this chance (dimensionless) of an own fault or a fade-out on, listening for a station that should be loud is worth its minutes:
/// it tells a dead receiver and a dead sky from a dead transmitter (judgement).
const LISTEN_FROM: f64 = 0.2;
/// A check of the own station is not advised again within this, s.
const CHECKED_S: i64 = 2 * 3_600;
/// Advice to check or to listen that nobody entered anything about for this long, s, was declined: it does not come back before the
/// next entry, so that nobody is told the same all day.
const FRESH_S: i64 = 1_800;

/// What to do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Action {
    /// Call now.
    Call,
    /// Listen first, for the station of the best try.
    Listen,
    /// Wait until then: for a task that was begun, for thunder to pass, for a better hour.
    Wait(UtcTime),
    /// Check the own station, for this first; mend what is known to be broken.
    Check(FaultClass),
    /// Hang another antenna (index into the kit), done by then.
    Hang(usize, UtcTime),
    /// Go to another site (index), there by then.
    Move(usize, UtcTime),
    /// Rest: see [`Rest`].
    Rest(Rest),
    /// Every message has arrived.
    Done,
}

/// Why one rests, and until when.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rest {
    /// The next time at which a call is possible at all; none if there is none before the end.
    pub until: Option<UtcTime>,
    /// The chance (dimensionless) of the best call that is left.
    pub best_left: f64,
}

/// A call that could be made.
#[derive(Clone, Debug, PartialEq)]
pub struct Try {
    /// The call as planned.
    pub send: Send,
    /// Chance of its first message in this call alone on the 10 % worst and the 10 % best of the days.
    pub range: (Chance, Chance),
    /// The same chance before anything was seen, where that was asked for.
    pub forecast: Option<Chance>,
}

/// What is asked.
pub struct Ask<'a> {
    /// The outing as the journal has changed it.
    pub outing: &'a farhop_outing::Outing,
    /// The days, weighed by the journal.
    pub days: &'a WeighedDays,
    /// The days as they were before anything was seen, if the forecast's chance is to stand beside the one from now.
    pub unseen: Option<&'a WeighedDays>,
    /// The links.
    pub tables: &'a LinkTables,
    /// Every route in every hour from now on, from all places that are looked at.
    pub responses: &'a [farhop_days::Response],
    /// Where one is and will be, from now on; the first is the present place.
    pub stays: &'a [Stay],
    /// Other places: a stay each, beginning when one could be there. Empty where nobody looks at them yet.
    pub elsewhere: &'a [Stay],
    /// The instant.
    pub now: UtcTime,
    /// What has to get through, most urgent first, overdue messages among them.
    pub pending: &'a [Pending],
    /// What calls may take from the battery.
    pub energy: EnergyLimit,
    /// The antenna that hangs, as an index into the kit.
    pub hanging: Option<usize>,
    /// Until when a task that was begun goes on.
    pub task_until: Option<UtcTime>,
    /// Until when thunder keeps hands off the antenna.
    pub thunder_until: Option<UtcTime>,
    /// When the own station was last checked, and found sound.
    pub checked: Option<UtcTime>,
    /// Calls without a link since the last link or check.
    pub silent_calls: usize,
    /// Somebody listened since the last call, and entered what was heard or not.
    pub listened: bool,
    /// When something was entered last.
    pub last_entry: Option<UtcTime>,
    /// When something was entered last, or one arrived: since then there was time to hang another antenna. Advice that takes time counts
    /// from here, so that asking again does not begin it anew.
    pub idle_since: UtcTime,
}

/// The step with all that it rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What to do.
    pub action: Action,
    /// The try that it is about.
    pub best: Option<Try>,
    /// Up to two other stations that could be called at once.
    pub alternatives: Vec<Try>,
    /// The schedule from now on.
    pub sends: Vec<Send>,
    /// Each pending message: its index in the outing, its chance from now on, and what costs it.
    pub messages: Vec<(usize, MessageChance)>,
    /// What may be behind silence.
    pub suspects: Vec<Suspect>,
    /// Other places, as far as they were looked at.
    pub elsewhere: Vec<Place>,
    /// Expected share of the messages' worth (dimensionless).
    pub value: f64,
}

/// What to do now.
#[must_use]
pub fn step(ask: &Ask<'_>) -> Step {
    let suspects = suspects(ask.days, ask.now);
    let scene = scene(ask, ask.stays);
    let found = search(&scene);
    let board = Board::with(&scene, found.blocks.clone());
    let sends = sends_of(&scene, &board);
    let value = board.value();
    let messages = (0..ask.pending.len())
        .map(|p| (ask.pending[p].message, message_chance(&scene, &board, p)))
        .collect();
    let tries: Vec<Try> = sends
        .iter()
        .enumerate()
        .map(|(place, send)| tried(&scene, &board, place, send))
        .collect();
    let mut best = tries.first().cloned();
    if let (Some(best), Some(block)) = (&mut best, board.blocks.first()) {
        best.forecast = ask.unseen.and_then(|unseen| forecast(ask, unseen, block));
    }
    let action = action(ask, best.as_ref(), &suspects);
    let mut step = Step {
        action,
        alternatives: alternatives(&tries, ask.now),
        best,
        sends,
        messages,
        suspects,
        elsewhere: Vec::new(),
        value,
    };
    if !ask.elsewhere.is_empty() {
        look_elsewhere(ask, &mut step);
    }
    step
}

/// The chance of the first message of a call before anything was seen.
fn forecast(ask: &Ask<'_>, unseen: &WeighedDays, block: &Block) -> Option<Chance> {
    let parts = SceneParts {
        days: unseen,
        ..parts(ask, ask.stays)
    };
    let scene = Scene::new(parts);
    let added = Board::new(&scene).look(&block.offer, block.start)?;
    Some(Chance::new(added.lead_chance))
}

pub(crate) fn scene<'a>(ask: &'a Ask<'a>, stays: &'a [Stay]) -> Scene<'a> {
    Scene::new(parts(ask, stays))
}

pub(crate) fn parts<'a>(ask: &'a Ask<'a>, stays: &'a [Stay]) -> SceneParts<'a> {
    let task = [ask.task_until, ask.thunder_until].into_iter().flatten().max();
    SceneParts {
        outing: ask.outing,
        days: ask.days,
        tables: ask.tables,
        responses: ask.responses,
        stays,
        now: ask.now,
        pending: ask.pending,
        energy: ask.energy,
        hanging: ask.hanging,
        busy_until: task.map_or(ask.idle_since, |t| t.max(ask.idle_since)),
    }
}

/// The rules, the first that holds.
fn action(ask: &Ask<'_>, best: Option<&Try>, suspects: &[Suspect]) -> Action {
    if ask.pending.is_empty() {
        return Action::Done;
    }
    let waits = [ask.thunder_until, ask.task_until];
    if let Some(until) = waits.into_iter().flatten().filter(|u| *u > ask.now).max() {
        return Action::Wait(until);
    }
    if let Some(class) = broken(ask) {
        return Action::Check(class);
    }
    let sound = ask.checked.is_some_and(|c| ask.now.unix_s() - c.unix_s() < CHECKED_S);
    let fresh = ask
        .last_entry
        .is_some_and(|at| ask.now.unix_s() - at.unix_s() <= FRESH_S);
    let fault = own_fault(ask.days, ask.now);
    // With nothing to call now a check costs no time at all.
    let idle = best.is_none_or(|b| b.send.start > ask.now.add_s(NOW_S));
    if fault >= CHECK_FROM
        && !sound
        && fresh
        && (time_to_check(ask.silent_calls) || idle)
        && let Some(class) = leading_class(ask)
    {
        return Action::Check(class);
    }
    let Some(best) = best else {
        return Action::Rest(rest(ask));
    };
    let later = best.send.start > ask.now.add_s(NOW_S);
    if later || (best.send.start > ask.now && ask.hanging != Some(best.send.route.antenna)) {
        return wait_or_hang(ask, best);
    }
    let doubt = fault + ask.days.fade_chance(ask.now);
    let own_first = suspects.first().is_some_and(|s| !matches!(s.what, What::Off(_)));
    if doubt >= LISTEN_FROM && own_first && !sound && fresh && !ask.listened && ask.silent_calls % 3 == 2 {
        return Action::Listen;
    }
    Action::Call
}

/// Whoever does not check, or does not say so, is not told so after every call.
fn time_to_check(silent_calls: usize) -> bool {
    silent_calls == CALLS_BETWEEN_CHECKS - 1 || (silent_calls > 0 && silent_calls.is_multiple_of(CALLS_BETWEEN_CHECKS))
}

/// A fault that is known and not mended, with which nothing gets through.
fn broken(ask: &Ask<'_>) -> Option<FaultClass> {
    let now_s = ask.now.unix_s();
    let known = ask.days.days.known_faults.iter();
    let open = known.filter(|f| f.from_s <= now_s && now_s < f.until_s);
    open.map(|f| f.class).find(|class| *class != FaultClass::WeakOut)
}

/// The fault to look for first.
fn leading_class(ask: &Ask<'_>) -> Option<FaultClass> {
    let chances = FaultClass::ALL.into_iter().zip(ask.days.fault_chances(ask.now));
    chances.max_by(|a, b| a.1.total_cmp(&b.1)).map(|(class, _)| class)
}

/// A call that begins later: another antenna has to be hung for it, or its hour is not there yet.
fn wait_or_hang(ask: &Ask<'_>, best: &Try) -> Action {
    let antenna = best.send.route.antenna;
    let first = ask.stays.first();
    let here = first.is_some_and(|s| s.site == best.send.route.site && s.from <= ask.now);
    if !here || ask.hanging == Some(antenna) {
        return Action::Wait(best.send.start);
    }
    let of = ask.outing.kit.antennas.get(antenna);
    let begin = best.send.start.add_s(-of.map_or(0, |a| (60.0 * a.setup_min) as i64));
    if begin <= ask.now.add_s(NOW_S) {
        return Action::Hang(antenna, best.send.start);
    }
    Action::Wait(begin)
}

fn tried(scene: &Scene<'_>, board: &Board<'_, '_>, place: usize, send: &Send) -> Try {
    let rank = &scene.days.days.power_rank;
    let block = &board.blocks[place];
    let lead = block.carried.first().and_then(|c| block.through(c.pending, rank));
    let summary = lead.map(|column| scene.days.summary(&column));
    Try {
        send: send.clone(),
        range: summary.map_or((Chance::NONE, Chance::NONE), |s| {
            (Chance::new(s.p10_own_unit), Chance::new(s.p90_own_unit))
        }),
        forecast: None,
    }
}

/// The next calls of the schedule that could be made at once, each over another route.
fn alternatives(tries: &[Try], now: UtcTime) -> Vec<Try> {
    let mut routes: Vec<Route> = tries.first().map(|t| t.send.route).into_iter().collect();
    let mut chosen = Vec::new();
    for of in tries.iter().skip(1) {
        let same = |r: &Route| r.station == of.send.route.station && r.channel == of.send.route.channel;
        if of.send.start <= now.add_s(3_600) && !routes.iter().any(same) {
            routes.push(of.send.route);
            chosen.push(of.clone());
        }
        if chosen.len() == 2 {
            break;
        }
    }
    chosen
}

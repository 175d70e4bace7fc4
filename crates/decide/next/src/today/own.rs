//! What the day says about the own station itself: readings, faults that were found, checks that found nothing.

use farhop_day::{DayState, Event, FaultClass as Told, FaultFound, Task};
use farhop_days::{FaultClass, KnownFault, Seen};
use farhop_earth::UtcTime;

use crate::today::signs::OwnFault;

/// Share of the faults that a check in the field misses (dimensionless; judgement).
const MISSED: f64 = 0.2;
/// A reading weighs no fault by more than this, either way (dimensionless; judgement): the models of readings are not that sure.
const MOST_RATIO: f64 = 50.0;
/// Minutes that a check of the own station takes where nothing says it (judgement).
pub const CHECK_MIN: i64 = 20;

/// The class of a fault in the words of the drawn days; none for a fault of another kind, which no day holds.
#[must_use]
pub(crate) fn class_of(told: Told) -> Option<FaultClass> {
    match told {
        Told::NoPower => Some(FaultClass::NoPower),
        Told::NothingOut => Some(FaultClass::NothingOut),
        Told::WeakOut => Some(FaultClass::WeakOut),
        Told::NothingIn => Some(FaultClass::NothingIn),
        Told::NoModem => Some(FaultClass::NoModem),
        Told::Other => None,
    }
}

/// A class of the drawn days in the words of the journal.
#[must_use]
pub fn told_as(class: FaultClass) -> Told {
    match class {
        FaultClass::NoPower => Told::NoPower,
        FaultClass::NothingOut => Told::NothingOut,
        FaultClass::WeakOut => Told::WeakOut,
        FaultClass::NothingIn => Told::NothingIn,
        FaultClass::NoModem => Told::NoModem,
    }
}

/// Readings as evidence: each entry with what it says about the classes that it speaks of.
#[must_use]
pub fn readings(day: &DayState, faults: &[OwnFault]) -> Vec<Seen> {
    let mut entries: Vec<u64> = faults.iter().map(|f| f.entry).collect();
    entries.sort_unstable();
    entries.dedup();
    let one = |entry: u64| {
        let at = day.entries.iter().find(|e| e.number == entry)?.account.at;
        let mut ratio = [1.0f64; 5];
        for fault in faults.iter().filter(|f| f.entry == entry) {
            if let Some(class) = class_of(fault.class) {
                ratio[class.index()] *= fault.likelihood_ratio;
            }
        }
        let held = ratio.map(|r| {
            if r.is_nan() {
                1.0
            } else {
                r.clamp(1.0 / MOST_RATIO, MOST_RATIO)
            }
        });
        // A likelihood is at most one: only the proportions count.
        let top = held.iter().copied().fold(1.0, f64::max);
        Some(Seen::Own {
            at,
            ratio: held.map(|r| r / top),
            sound: 1.0 / top,
        })
    };
    entries.into_iter().filter_map(one).collect()
}

/// Faults that were found, each from when on it was there: since the last link before it, for nobody notices a broken plug at once.
#[must_use]
pub fn known(day: &DayState) -> Vec<KnownFault> {
    let linked = |before: UtcTime| {
        let calls = day.entries.iter().filter(|e| e.account.at < before);
        let links = calls.filter(|e| matches!(&e.account.event, Event::Called(c) if c.outcome.linked()));
        links.map(|e| e.account.at.unix_s()).max()
    };
    let one = |fault: &farhop_day::Fault| {
        Some(KnownFault {
            class: class_of(fault.class)?,
            from_s: linked(fault.found.at).map_or(i64::MIN, |s| s + 1),
            until_s: fault.mended.as_ref().map_or(i64::MAX, |m| m.at.unix_s()),
        })
    };
    day.faults.iter().filter_map(one).collect()
}

/// Checks of the own station that found nothing: begun, and the day went on without a fault; or said to be in order with nothing to mend.
/// When each was over.
#[must_use]
pub fn checks(day: &DayState) -> Vec<UtcTime> {
    let begun = |event: &Event| matches!(event, Event::Begun(b) if matches!(b.task, Task::Check { .. }));
    let mut found = Vec::new();
    for (index, entry) in day.entries.iter().enumerate() {
        let mends = |f: &farhop_day::Fault| f.mended.as_ref().is_some_and(|m| m.entry == entry.number);
        if matches!(entry.account.event, Event::Mended(_)) && !day.faults.iter().any(mends) {
            found.push(entry.account.at);
        }
        if !begun(&entry.account.event) {
            continue;
        }
        // The next entry that has to do with the station says how it ended.
        let next = day.entries[index + 1..].iter().find(|e| ends_a_check(&e.account.event));
        let fault = next.is_some_and(|e| matches!(&e.account.event, Event::Fault(FaultFound { .. })));
        if let Some(next) = next.filter(|_| !fault) {
            found.push(next.account.at);
        }
    }
    found.sort_unstable();
    found.dedup();
    found
}

fn ends_a_check(event: &Event) -> bool {
    matches!(
        event,
        Event::Called(_) | Event::Fault(_) | Event::Mended(_) | Event::Begun(_) | Event::Silent(_) | Event::Heard(_)
    )
}

/// Checks that found nothing, as evidence: most faults would have shown.
#[must_use]
pub(crate) fn found_nothing(day: &DayState) -> Vec<Seen> {
    let one = |at: UtcTime| Seen::Own {
        // Just before what came after it, which may be a call that weighs anew.
        at: at.add_s(-1),
        ratio: [MISSED; 5],
        sound: 1.0,
    };
    checks(day).into_iter().map(one).collect()
}

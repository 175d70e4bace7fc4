//! What the day has shown of the own station, in the words of a search for a fault: who enters one from the hill does not say it again.

use farhop_day::{DayState, Event, FaultClass, Noted, Outcome};
use farhop_earth::UtcTime;
use farhop_kit::fault::Symptom;

/// A symptom that the entries of the day show, and what showed it.
#[derive(Clone, Debug, PartialEq)]
pub struct Noticed {
    /// Which.
    pub symptom: Symptom,
    /// What showed it.
    pub evidence: Evidence,
    /// When.
    pub at: UtcTime,
}

/// What shows a symptom.
#[derive(Clone, Debug, PartialEq)]
pub enum Evidence {
    /// A reading of the SWR (dimensionless) at which the set no longer gives full power.
    Swr {
        /// Frequency in MHz.
        freq_mhz: f64,
        /// The reading.
        swr: f64,
    },
    /// The tuner found no match on a frequency in MHz.
    NoMatch(f64),
    /// A fault that was entered and is not mended, in words.
    Fault(String),
    /// Stations were heard, and so many calls led to no link.
    NotAnswered(usize),
    /// Nothing was heard on a frequency in MHz.
    DeadBand(f64),
}

/// What the entries show since the last link: a link says that everything worked. Each symptom once, by the newest evidence.
#[must_use]
pub fn noticed(day: &DayState) -> Vec<Noticed> {
    let linked = day.entries.iter().rev().find(|e| match &e.account.event {
        Event::Called(call) => call.outcome.linked(),
        _ => false,
    });
    let since = linked.map(|e| e.account.at);
    let counts = |at: UtcTime| since.is_none_or(|since| at > since);
    let mut found: Vec<Noticed> = Vec::new();
    let mut note = |symptom: Symptom, evidence: Evidence, at: UtcTime| {
        if counts(at) {
            found.push(Noticed { symptom, evidence, at });
        }
    };
    for fault in day.open_faults() {
        if let Some(symptom) = shown_by(fault.class) {
            note(symptom, Evidence::Fault(fault.what.clone()), fault.found.at);
        }
    }
    let bears = day.outing.kit.transceiver.full_power_swr;
    for Noted { value, at, .. } in day.readings.swr.iter().filter(|n| n.value.swr > bears) {
        let (freq_mhz, swr) = (value.freq_mhz, value.swr);
        note(Symptom::HighSwr, Evidence::Swr { freq_mhz, swr }, *at);
    }
    for refused in &day.readings.tuner_refused {
        note(Symptom::HighSwr, Evidence::NoMatch(refused.value.freq_mhz), refused.at);
    }
    let (failed, heard) = calls(day, counts);
    match (failed.last(), heard) {
        (Some(at), Some(_)) => note(Symptom::NotHeard, Evidence::NotAnswered(failed.len()), *at),
        (_, None) => {
            for dead in &day.readings.dead_bands {
                note(Symptom::HearsNothing, Evidence::DeadBand(dead.value), dead.at);
            }
        }
        _ => {}
    }
    found.sort_by_key(|n| std::cmp::Reverse(n.at));
    let mut once: Vec<Noticed> = Vec::new();
    for noticed in found {
        if once.iter().all(|n| n.symptom != noticed.symptom) {
            once.push(noticed);
        }
    }
    once
}

/// The symptom by which a fault that was entered shows itself; none for one of another kind.
fn shown_by(class: FaultClass) -> Option<Symptom> {
    match class {
        FaultClass::NoPower => Some(Symptom::RadioDead),
        FaultClass::NothingOut | FaultClass::WeakOut => Some(Symptom::NotHeard),
        FaultClass::NothingIn => Some(Symptom::HearsNothing),
        FaultClass::NoModem => Some(Symptom::ModemSilent),
        FaultClass::Other => None,
    }
}

/// When calls failed, and when a station was heard last, among the entries that count.
fn calls(day: &DayState, counts: impl Fn(UtcTime) -> bool) -> (Vec<UtcTime>, Option<UtcTime>) {
    let mut failed = Vec::new();
    let mut heard = None;
    for entry in day.entries.iter().filter(|e| counts(e.account.at)) {
        let at = entry.account.at;
        match &entry.account.event {
            Event::Called(call) => match call.outcome {
                Outcome::NoAnswer => failed.push(at),
                Outcome::HeardButFailed => {
                    failed.push(at);
                    heard = Some(at);
                }
                _ => {}
            },
            Event::Heard(_) => heard = Some(at),
            _ => {}
        }
    }
    (failed, heard)
}

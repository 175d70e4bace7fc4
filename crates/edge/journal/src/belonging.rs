//! Whether a journal belongs to the outing it lies beside, in words.

use std::collections::BTreeMap;

use farhop_earth::UtcTime;
use farhop_outing::Outing;

use crate::fingerprint::{Fingerprint, Kinship};
use crate::told::{counted, entries_told};
use farhop_day::{Body, Entry};
use farhop_outing::clock;

/// A clock that stands behind the last entry by less is no reason for a word.
const BACK_S: i64 = 120;

/// What has to be said where the journal, or a part of it, was kept for another outing than the one of now; none where it
/// belongs to it. `name` is the journal's for people, `all` everything in it, `outings` those for which it was kept.
#[must_use]
pub fn announcement(
    name: &str,
    outings: &BTreeMap<u64, Fingerprint>,
    all: &[Entry],
    outing: &Outing,
) -> Option<String> {
    let since = belongs_since(outings, all, outing);
    let old: Vec<&Entry> = all.iter().filter(|e| since.is_none_or(|s| e.number < s)).collect();
    if old.is_empty() {
        return None;
    }
    let zone = clock::zone(outing);
    let now = Fingerprint::of(outing);
    let kept = outings.values().find(|f| !f.kinship(&now).is_one_outing());
    let was = match kept {
        Some(kept) if kept.kinship(&now) == Kinship::Other && kept.days(&zone) == now.days(&zone) => {
            "another outing of the same days".to_owned()
        }
        Some(kept) if kept.kinship(&now) == Kinship::Other => format!("another outing, {}", kept.days(&zone)),
        Some(kept) => kept.days(&zone),
        None => spanned(&old, &zone),
    };
    let which = if old.len() == all.len() {
        format!("Its {} count", counted(all.len()).replacen("1 entry", "one entry", 1))
    } else {
        let numbers: Vec<u64> = old.iter().map(|e| e.number).collect();
        format!("Its {} count", entries_told(&numbers))
    };
    let which = if old.len() == 1 { format!("{which}s") } else { which };
    Some(format!(
        "{name}: this journal was kept for {was}; the outing now says {}. {which} for nothing. `farhop log --set-aside` puts the old \
         journal aside.",
        now.days(&zone)
    ))
}

/// The first number from which on entries belong to the outing of now: 0 when all do, none when none does.
#[must_use]
pub fn belongs_since(outings: &BTreeMap<u64, Fingerprint>, all: &[Entry], outing: &Outing) -> Option<u64> {
    let now = Fingerprint::of(outing);
    let first = outings.first_key_value();
    let Some((first, _)) = first else {
        // An old journal that does not know its outing: its dates tell.
        let near = all.iter().any(|e| is_near(e, outing));
        return (near || all.is_empty()).then_some(0);
    };
    let strange = outings.iter().rev().find(|(_, f)| !f.kinship(&now).is_one_outing());
    match strange {
        // What was written before the first fingerprint goes with it, unless its dates say otherwise.
        None => {
            let mut before = all.iter().filter(|e| e.number < *first).peekable();
            let far = before.peek().is_some() && !before.any(|e| is_near(e, outing));
            Some(if far { *first } else { 0 })
        }
        Some((since, _)) => outings.range(since + 1..).next().map(|(n, _)| *n).filter(|n| n > first),
    }
}

fn is_near(entry: &Entry, outing: &Outing) -> bool {
    outing.header.counts(time_of(entry))
}

fn time_of(entry: &Entry) -> UtcTime {
    match &entry.body {
        Body::Account(account) => account.at,
        Body::Correction(_) => entry.entered_at,
    }
}

fn spanned(entries: &[&Entry], zone: &jiff::tz::TimeZone) -> String {
    let day = |at: UtcTime| {
        farhop_earth::clock::in_zone(at, zone)
            .strftime("%a %-d %b %Y")
            .to_string()
    };
    let times = || entries.iter().map(|e| time_of(e));
    let (first, last) = (times().min(), times().max());
    match (first, last) {
        (Some(first), Some(last)) if day(first) != day(last) => format!("{} to {}", day(first), day(last)),
        (Some(first), _) => day(first),
        _ => "nothing yet".to_owned(),
    }
}

/// What has to be said where the clock stands before the last entry that was made: it has gone back, or it had been ahead.
#[must_use]
pub fn clock_caution(entries: &[Entry], now: UtcTime, outing: &Outing) -> Option<String> {
    let last = entries.iter().max_by_key(|e| e.entered_at)?;
    let behind_s = last.entered_at.unix_s() - now.unix_s();
    (behind_s > BACK_S).then(|| {
        let zone = clock::zone(outing);
        let told = |at: UtcTime| {
            farhop_earth::clock::in_zone(at, &zone)
                .strftime("%a %-d %b %Y %H:%M")
                .to_string()
        };
        format!(
            "the clock says {}, but entry {} was made at {}: one of the two is wrong. `--at` gives the right time",
            told(now),
            last.number,
            told(last.entered_at)
        )
    })
}

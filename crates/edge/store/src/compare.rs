//! A sound database held against its twin.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use crate::Entry;
use crate::condition::{Condition, gaps};
use crate::twin::{TwinContent, twin_of};
use farhop_journal::Fingerprint;
use farhop_journal::told::entries_told;

/// What the twin lacks of what stands in the database.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Lack {
    Nothing,
    /// Lines, which are simply added.
    Lines,
    /// It is another journal's.
    Everything,
}

/// Holds the twin against the database and says where they differ.
pub(crate) fn compare(
    file: &Path,
    own: &BTreeMap<u64, Entry>,
    outings: &BTreeMap<u64, Fingerprint>,
    twin: &TwinContent,
    upgraded: bool,
    condition: &mut Condition,
) -> Lack {
    let twin_file = twin_of(file);
    let differing: Vec<u64> = own
        .iter()
        .filter(|(n, e)| twin.entries.get(n).is_some_and(|t| t != *e))
        .map(|(n, _)| *n)
        .collect();
    if !differing.is_empty() {
        condition.lines.push(format!(
            "{}: {} read otherwise in the twin; the journal's own are used.",
            twin_file.display(),
            entries_told(&differing)
        ));
    }
    let lacking: Vec<u64> = own.keys().filter(|n| !twin.entries.contains_key(n)).copied().collect();
    let outing_lacking = outings.iter().any(|(n, f)| twin.outings.get(n) != Some(f));
    if own.is_empty() || (lacking.is_empty() && !outing_lacking && twin.id.is_some()) {
        return Lack::Nothing;
    }
    // One line too few at the end is what a sudden end leaves behind: it is added without a word.
    let cut_off =
        lacking.len() == 1 && lacking.last() == own.keys().last() && twin.torn == 0 && twin.bad_lines.is_empty();
    let only_begun = own.len() == 1;
    let harmless = upgraded || cut_off || only_begun || (lacking.is_empty() && twin.bad_lines.is_empty());
    if !harmless {
        let lines: Vec<String> = twin.bad_lines.iter().map(ToString::to_string).collect();
        let why = match (twin.entries.is_empty() && twin.bad_lines.is_empty(), lines.is_empty()) {
            (true, _) => "is gone or empty and is written anew".to_owned(),
            (false, false) => format!("is damaged in line {}; what it lacks is added", lines.join(", ")),
            (false, true) => format!("lacks {}, which are added", entries_told(&lacking)),
        };
        condition.lines.push(format!(
            "{}: this twin of the journal {why}. The journal itself is sound.",
            twin_file.display()
        ));
    }
    Lack::Lines
}

/// Entries that only the twin has: an older copy of the journal was put in its place, or the twin went on alone for a while.
pub(crate) fn only_in_twin(
    file: &Path,
    own: &BTreeMap<u64, Entry>,
    twin: BTreeMap<u64, Entry>,
    condition: &mut Condition,
) -> BTreeMap<u64, Entry> {
    let keys: BTreeSet<_> = own.values().map(|e| &e.key).collect();
    let lacking = |(n, e): &(u64, Entry)| !own.contains_key(n) && !keys.contains(&e.key);
    let others: BTreeMap<u64, Entry> = twin.into_iter().filter(lacking).collect();
    if others.is_empty() {
        return others;
    }
    let numbers: Vec<u64> = others.keys().copied().collect();
    condition.entries += others.len();
    condition.lines.push(format!(
        "{}: the journal lacks {}, which its twin has; they are used. `farhop log --rescue` puts them back.",
        file.display(),
        entries_told(&numbers)
    ));
    // Numbers that a sound database passes over were lost before a rescue, and said then.
    let last = own.keys().last().copied().unwrap_or(0);
    let all: BTreeMap<u64, Entry> = own.iter().chain(&others).map(|(n, e)| (*n, e.clone())).collect();
    condition.missing = gaps(&all, &BTreeSet::new()).into_iter().filter(|n| *n > last).collect();
    if !condition.missing.is_empty() {
        let told = entries_told(&condition.missing);
        condition.lines.push(format!("{}: missing: {told}.", file.display()));
    }
    others
}

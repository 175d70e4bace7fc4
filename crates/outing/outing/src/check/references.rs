//! Checks of names: unique among their kind, and known where they are used.

use std::collections::HashMap;

use super::Check;
use crate::id::Id;
use crate::limits::MOST_ITEMS;
use farhop_gear::Need;

/// Each name may appear once.
pub(super) fn unique<'a>(check: &mut Check, list: &str, key: &str, names: impl Iterator<Item = &'a str>) {
    let mut seen: HashMap<&str, usize> = HashMap::new();
    for (i, name) in names.enumerate() {
        if let Some(first) = seen.get(name) {
            let place = format!("{list}[{i}].{key}");
            let cause = format!("the {key} \"{name}\" is already that of {} {}", spoken(list), first + 1);
            check.error(&place, cause, format!("Give each {} its own {key}.", spoken(list)));
        } else {
            seen.insert(name, i);
        }
    }
}

fn spoken(list: &str) -> &str {
    list.rsplit('.').next().unwrap_or(list)
}

/// Each name in a list must be one of the known ones.
pub(super) fn known<'a>(check: &mut Check, key: &str, used: &[Id], among: impl Iterator<Item = &'a str>, kind: &str) {
    let among: Vec<&str> = among.collect();
    for (i, id) in used.iter().enumerate() {
        if !among.contains(&id.as_str()) {
            missing(check, &format!("{key}[{i}]"), id, &among, kind);
        }
    }
}

/// A single name, if there is one, must be one of the known ones.
pub(super) fn known_one<'a>(
    check: &mut Check,
    key: &str,
    used: Option<&Id>,
    among: impl Iterator<Item = &'a str>,
    kind: &str,
) {
    let among: Vec<&str> = among.collect();
    if let Some(id) = used.filter(|id| !among.contains(&id.as_str())) {
        missing(check, key, id, &among, kind);
    }
}

/// Each need must have a choice, and each choice must be known.
pub(super) fn needs(check: &mut Check, needs: &[Need], among: &[&str]) {
    for (i, need) in needs.iter().enumerate() {
        if need.any_of.is_empty() {
            check.error(
                &format!("needs[{i}]"),
                "a need without any part",
                "Name at least one part, or remove it.",
            );
        }
        for id in need.any_of.iter().filter(|id| !among.contains(&id.as_str())) {
            missing(check, &format!("needs[{i}]"), id, among, "part");
        }
    }
}

fn missing(check: &mut Check, key: &str, id: &Id, among: &[&str], kind: &str) {
    let hint = match among.len() {
        0 => format!("There is no {kind} in the file at all."),
        1..=12 => format!("Known: {}.", among.join(", ")),
        many => format!("There are {many} of them; check the spelling."),
    };
    check.error(key, format!("there is no {kind} \"{id}\""), hint);
}

/// A list has a sensible length.
pub(super) fn few(check: &mut Check, list: &str, length: usize) {
    if length > MOST_ITEMS {
        let cause = format!("{length} entries of [[{list}]]");
        check.error(
            list,
            cause,
            format!("At most {MOST_ITEMS} are worked with: leave some out."),
        );
    }
}

//! Puts proposed conditions into an outing file, leaving everything else as it stands.

use farhop_earth::UtcTime;
use farhop_earth::clock::rfc3339;
use toml_edit::{Array, DocumentMut, InlineTable, Item, Table, TableLike, Value, value};

use super::Proposal;

/// Why a file cannot be edited.
#[derive(Debug, thiserror::Error)]
pub enum EditError {
    /// Not readable as TOML.
    #[error("the outing is not readable as TOML: {0}")]
    Toml(#[from] toml_edit::TomlError),
    /// `conditions` is something else than a section.
    #[error("`conditions` in the outing is not a section; mend that first")]
    NotASection,
    /// A key is something else than a list.
    #[error("`conditions.{0}` in the outing is not a list; mend that first")]
    NotAList(&'static str),
}

/// The text with the proposed values in `[conditions]`. Comments, order and everything else stay; the other one of `ssn` and
/// `flux_sfu` goes, because they say the same thing twice.
///
/// # Errors
/// The text is not TOML, or `conditions` is not a section.
pub fn edited(outing_text: &str, proposal: &Proposal) -> Result<String, EditError> {
    let (mark, text) = match outing_text.strip_prefix('\u{feff}') {
        Some(rest) => ("\u{feff}", rest),
        None => ("", outing_text),
    };
    let mut document: DocumentMut = text.parse()?;
    let in_lines = !document.get("conditions").is_some_and(Item::is_inline_table);
    let section = document
        .entry("conditions")
        .or_insert_with(|| Item::Table(Table::new()))
        .as_table_like_mut()
        .ok_or(EditError::NotASection)?;
    for (key, number, from) in &proposal.values {
        // Between braces a remark would swallow what follows.
        let source = if in_lines && !from.is_empty() {
            format!("{from}; {}", proposal.source).trim_end_matches("; ").to_owned()
        } else {
            String::new()
        };
        set(section, key, *number, &source);
        for (_, other) in OTHER_WAYS.iter().filter(|(k, _)| k == key) {
            section.remove(other);
        }
    }
    for reading in &proposal.fof2 {
        let own = [
            ("mhz", reading.fof2_mhz.into()),
            ("place", reading.place.to_string().into()),
        ];
        add(section, "fof2", &own, &[("at", Some(reading.at))])?;
    }
    for flare in &proposal.flares {
        let times = [("at", Some(flare.at)), ("until", flare.until)];
        add(section, "flare", &[("class", flare.class.into())], &times)?;
    }
    for protons in &proposal.polar_cap {
        let times = [("from", Some(protons.from)), ("until", protons.until)];
        add(
            section,
            "polar_cap",
            &[("flux", protons.flux_per_cm2_s_sr.into())],
            &times,
        )?;
    }
    let out = document.to_string();
    // The editor writes plain line ends; a file that had the other kind keeps it.
    let out = if text.contains("\r\n") {
        out.replace("\r\n", "\n").replace('\n', "\r\n")
    } else {
        out
    };
    Ok(format!("{mark}{out}"))
}

/// Keys that say the same thing: where the first is written, the second goes.
const OTHER_WAYS: [(&str, &str); 4] = [
    ("ssn", "flux_sfu"),
    ("flux_sfu", "ssn"),
    ("k", "k_by_day"),
    ("k", "k_by_three_hours"),
];

/// How our own remarks begin; what a person wrote stands after them.
const OWN_REMARK: &str = "read: ";
/// Between our own remark and that of a person.
const THEN: &str = " | ";

fn set(section: &mut dyn TableLike, key: &str, number: f64, source: &str) {
    // Whole numbers are written as such, as a person would.
    let mut fresh = if number.fract() == 0.0 && number.abs() < 1e9 {
        Value::from(number as i64)
    } else {
        Value::from(number)
    };
    match section.get_mut(key).and_then(Item::as_value_mut) {
        Some(old) => {
            let was = old.clone().decorated("", "").to_string();
            let changed = was != fresh.clone().decorated("", "").to_string();
            *fresh.decor_mut() = old.decor().clone();
            let suffix = old
                .decor()
                .suffix()
                .and_then(toml_edit::RawString::as_str)
                .unwrap_or_default();
            fresh
                .decor_mut()
                .set_suffix(remark(suffix, source, changed.then_some(was.as_str())));
            *old = fresh;
        }
        None => {
            fresh.decor_mut().set_suffix(remark("", source, None));
            section.insert(key, Item::Value(fresh));
        }
    }
}

/// What stands behind a value: where it comes from, then what a person wrote there, which was about the old value if it changed.
fn remark(suffix: &str, source: &str, was: Option<&str>) -> String {
    let (space, words) = suffix.split_once('#').unwrap_or((suffix, ""));
    let words = words.trim();
    let theirs = match words.strip_prefix(OWN_REMARK) {
        Some(own) => own.split_once(THEN).map_or("", |(_, theirs)| theirs),
        None => words,
    };
    let theirs = match was {
        Some(was) if !theirs.is_empty() => dated(theirs, was),
        _ => theirs.to_owned(),
    };
    let ours = if source.is_empty() {
        String::new()
    } else {
        format!("{OWN_REMARK}{source}")
    };
    match (ours.is_empty(), theirs.is_empty()) {
        (true, true) => space.to_owned(),
        (true, false) => format!("{space}# {theirs}"),
        (false, _) => {
            let space = if space.is_empty() { "  " } else { space };
            let then = if theirs.is_empty() { "" } else { THEN };
            format!("{space}# {ours}{then}{theirs}")
        }
    }
}

/// A remark beside a value that is no longer there says so: it was about the old one.
fn dated(words: &str, was: &str) -> String {
    // Not one "was" before the other when it is written again and again.
    let first = words.strip_prefix("was ").and_then(|rest| rest.split_once(": "));
    let words = first.map_or(words, |(_, rest)| rest);
    format!("was {was}: {words}")
}

/// Adds a table to a list of the section, unless one with the same first time and the same values is there.
fn add(
    section: &mut dyn TableLike,
    key: &'static str,
    own: &[(&str, Value)],
    times: &[(&str, Option<UtcTime>)],
) -> Result<(), EditError> {
    let mut keys: Vec<(&str, Value)> = own.to_vec();
    for (name, time) in times {
        if let Some(time) = time {
            let at: toml_edit::Datetime = rfc3339(*time).parse().map_err(|_| EditError::NotAList(key))?;
            keys.push((name, at.into()));
        }
    }
    let bare = |value: &Value| value.clone().decorated("", "").to_string();
    let same = |table: &dyn TableLike| {
        keys.iter().all(|(name, value)| {
            let there = table.get(name).and_then(Item::as_value);
            there.is_some_and(|there| bare(there) == bare(value))
        })
    };
    let list = section.entry(key).or_insert_with(|| value(Array::new()));
    if let Some(tables) = list.as_array_of_tables_mut() {
        if !tables.iter().any(|table| same(table)) {
            let mut table = Table::new();
            for (name, value) in keys {
                table.insert(name, Item::Value(value));
            }
            tables.push(table);
        }
        return Ok(());
    }
    let array = list.as_array_mut().ok_or(EditError::NotAList(key))?;
    if !array.iter().filter_map(Value::as_inline_table).any(|table| same(table)) {
        let mut table = InlineTable::new();
        for (name, value) in keys {
            table.insert(name, value);
        }
        array.push(table);
    }
    Ok(())
}

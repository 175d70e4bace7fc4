//! Puts proposed conditions into an outing file, leaving everything else as it stands.

use farhop_earth::clock::rfc3339;
use toml_edit::{Array, DocumentMut, InlineTable, Item, Table, TableLike, Value, value};

use super::{Proposal, Sounded};

/// Why a file cannot be edited.
#[derive(Debug, thiserror::Error)]
pub enum EditError {
    /// Not readable as TOML.
    #[error("the outing is not readable as TOML: {0}")]
    Toml(#[from] toml_edit::TomlError),
    /// `conditions` is something else than a section.
    #[error("`conditions` in the outing is not a section; mend that first")]
    NotASection,
    /// `fof2` is something else than a list.
    #[error("`conditions.fof2` in the outing is not a list; mend that first")]
    NotAList,
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
    let section = document
        .entry("conditions")
        .or_insert_with(|| Item::Table(Table::new()))
        .as_table_like_mut()
        .ok_or(EditError::NotASection)?;
    for (key, number, _) in &proposal.values {
        set(section, key, *number);
        if let Some(other) = [("ssn", "flux_sfu"), ("flux_sfu", "ssn")]
            .iter()
            .find(|(k, _)| k == key)
        {
            section.remove(other.1);
        }
    }
    for reading in &proposal.fof2 {
        add_reading(section, reading)?;
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

fn set(section: &mut dyn TableLike, key: &str, number: f64) {
    // Whole numbers are written as such, as a person would.
    let mut fresh = if number.fract() == 0.0 && number.abs() < 1e9 {
        Value::from(number as i64)
    } else {
        Value::from(number)
    };
    match section.get_mut(key).and_then(Item::as_value_mut) {
        Some(old) => {
            let was = old.clone().decorated("", "").to_string();
            *fresh.decor_mut() = old.decor().clone();
            let remark = old.decor().suffix().and_then(toml_edit::RawString::as_str);
            if let Some(remark) = remark.filter(|_| was != fresh.clone().decorated("", "").to_string()) {
                fresh.decor_mut().set_suffix(dated(remark, &was));
            }
            *old = fresh;
        }
        None => {
            section.insert(key, Item::Value(fresh));
        }
    }
}

/// A remark beside a value that is no longer there says so: it was about the old one.
fn dated(remark: &str, was: &str) -> String {
    let Some((space, words)) = remark.split_once('#') else {
        return remark.to_owned();
    };
    let words = words.trim_start();
    // Not one "was" before the other when it is written again and again.
    let first = words.strip_prefix("was ").and_then(|rest| rest.split_once(": "));
    let words = first.map_or(words, |(_, rest)| rest);
    format!("{space}# was {was}: {words}")
}

fn add_reading(section: &mut dyn TableLike, reading: &Sounded) -> Result<(), EditError> {
    let at: toml_edit::Datetime = rfc3339(reading.at).parse().map_err(|_| EditError::NotAList)?;
    let place = reading.place.to_string();
    let list = section.entry("fof2").or_insert_with(|| value(Array::new()));
    if let Some(tables) = list.as_array_of_tables_mut() {
        let mut table = Table::new();
        table.insert("mhz", value(reading.fof2_mhz));
        table.insert("at", value(at));
        table.insert("place", value(place));
        tables.push(table);
        return Ok(());
    }
    let array = list.as_array_mut().ok_or(EditError::NotAList)?;
    let mut table = InlineTable::new();
    table.insert("mhz", reading.fof2_mhz.into());
    table.insert("at", at.into());
    table.insert("place", place.into());
    array.push(table);
    Ok(())
}

//! One value of the outing's text: found, shown, changed. Everything else in the text stays as it is.

use farhop_outing::rows::{About, Shape};
use farhop_outing_file::Problem;
use toml_edit::{Document, DocumentMut, Item, TableLike, Value};

/// The text with the places of its values.
pub type Placed = Document<String>;

/// Reads a text, keeping where everything stands; none where it is no TOML.
#[must_use]
pub fn placed(text: &str) -> Option<Placed> {
    Document::parse(text.to_owned()).ok()
}

/// A table by its path: `outing`, `site.0`, `station.2.channels.1`, `kit.transceiver`.
#[must_use]
pub fn table<'a>(document: &'a Placed, path: &str) -> Option<&'a dyn TableLike> {
    let mut here: &dyn TableLike = document.as_table();
    let mut steps = path.split('.').peekable();
    while let Some(name) = steps.next() {
        let item = here.get(name)?;
        here = match steps.next_if(|s| s.parse::<usize>().is_ok()) {
            Some(index) => element(item, index.parse().ok()?)?,
            None => item.as_table_like()?,
        };
    }
    Some(here)
}

fn element(item: &Item, index: usize) -> Option<&dyn TableLike> {
    match item {
        Item::ArrayOfTables(tables) => tables.get(index).map(|t| t as &dyn TableLike),
        Item::Value(Value::Array(list)) => Some(list.get(index)?.as_inline_table()?),
        _ => None,
    }
}

/// Number of tables in a list by its path.
#[must_use]
pub fn count(document: &Placed, table_path: &str, key: &str) -> usize {
    let found = if table_path.is_empty() {
        document.as_table().get(key)
    } else {
        table(document, table_path).and_then(|t| t.get(key))
    };
    match found {
        Some(Item::ArrayOfTables(tables)) => tables.len(),
        Some(Item::Value(Value::Array(list))) => list.iter().filter(|v| v.is_inline_table()).count(),
        _ => 0,
    }
}

/// A value as a person writes it: text without quotes, nothing of the remarks around it.
#[must_use]
pub fn shown(item: &Item) -> String {
    match item.as_value() {
        Some(Value::String(text)) => text.value().clone(),
        Some(other) => {
            let mut bare = other.clone();
            bare.decor_mut().clear();
            bare.to_string().trim().to_owned()
        }
        None => String::new(),
    }
}

/// Where a problem stands in the text, in bytes.
#[must_use]
pub fn place_of(text: &str, problem: &Problem) -> Option<std::ops::Range<usize>> {
    let before = text.split_inclusive('\n').take(problem.line.checked_sub(1)?);
    let line_start: usize = before.map(str::len).sum();
    let line = text.get(line_start..)?.lines().next().unwrap_or_default();
    let at = |chars: usize| line.char_indices().nth(chars).map_or(line.len(), |(byte, _)| byte);
    let first = problem.column.saturating_sub(1);
    Some(line_start + at(first)..line_start + at(first + problem.length.max(1)))
}

/// The tables of the text with the lines of their headings, counted from 1: `outing`, `site.0`, `kit.antenna.1`.
#[must_use]
pub fn headings(text: &str) -> Vec<(usize, String)> {
    let mut counts: std::collections::BTreeMap<&str, usize> = std::collections::BTreeMap::new();
    let mut found = Vec::new();
    for (index, line) in text.lines().enumerate() {
        let line = line.split('#').next().unwrap_or_default().trim_end();
        let listed = line.strip_prefix("[[").and_then(|l| l.strip_suffix("]]"));
        let named = listed.or_else(|| line.strip_prefix('[').and_then(|l| l.strip_suffix(']')));
        let Some(name) = named.filter(|n| n.chars().all(|c| c.is_ascii_alphanumeric() || "_-.".contains(c))) else {
            continue;
        };
        if listed.is_some() {
            let count = counts.entry(name).or_default();
            found.push((index + 1, format!("{name}.{count}")));
            *count += 1;
        } else {
            found.push((index + 1, name.to_owned()));
        }
    }
    found
}

/// A text in which some values are changed: names are paths with a key at the end. What has not changed is not touched; an empty
/// value takes its key out. None where the text is no TOML.
#[must_use]
pub(crate) fn with_values<'a>(text: &str, values: impl Iterator<Item = (&'a str, &'a str)>) -> Option<String> {
    let mut document: DocumentMut = text.parse().ok()?;
    for (name, value) in values {
        if let Some((path, key)) = name.rsplit_once('.')
            && let Some(table) = table_mut(&mut document, path)
        {
            set(table, key, value.trim(), is_list(path, key));
        }
    }
    Some(document.to_string())
}

pub(crate) fn table_mut<'a>(document: &'a mut DocumentMut, path: &str) -> Option<&'a mut dyn TableLike> {
    let mut here: &mut dyn TableLike = document.as_table_mut();
    let mut steps = path.split('.').peekable();
    while let Some(name) = steps.next() {
        let item = here.get_mut(name)?;
        here = match steps.next_if(|s| s.parse::<usize>().is_ok()) {
            Some(index) => element_mut(item, index.parse().ok()?)?,
            None => item.as_table_like_mut()?,
        };
    }
    Some(here)
}

pub(crate) fn element_mut(item: &mut Item, index: usize) -> Option<&mut dyn TableLike> {
    match item {
        Item::ArrayOfTables(tables) => tables.get_mut(index).map(|t| t as &mut dyn TableLike),
        Item::Value(Value::Array(list)) => Some(list.get_mut(index)?.as_inline_table_mut()?),
        _ => None,
    }
}

/// Whether a key holds a list of numbers.
fn is_list(path: &str, key: &str) -> bool {
    key == "mhz" && path.starts_with("kit.antenna.")
        || super::groups::all_keys()
            .iter()
            .any(|about| about.key == key && matches!((about.shape)(), Shape::Numbers))
}

fn set(table: &mut dyn TableLike, key: &str, value: &str, is_list: bool) {
    let old = table.get(key);
    if old.map(shown).unwrap_or_default() == value {
        return;
    }
    if value.is_empty() {
        table.remove(key);
        return;
    }
    // What the rows know of a key decides; of other keys, what stood there.
    let known = super::groups::all_keys()
        .into_iter()
        .find(|about: &&About| about.key == key);
    let was_text = || old.and_then(Item::as_value).is_some_and(Value::is_str);
    let is_text = known.map_or_else(was_text, About::is_text);
    let listed = format!("[{value}]");
    let written = if is_list && !value.starts_with('[') {
        &listed
    } else {
        value
    };
    let plain = written.parse::<Value>().ok().filter(|_| !is_text);
    let mut fresh = plain.unwrap_or_else(|| Value::from(value));
    if let Some(old) = table.get(key).and_then(Item::as_value) {
        *fresh.decor_mut() = old.decor().clone();
    }
    table.insert(key, Item::Value(fresh));
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "# head\n[outing]\nname = \"A\"   # its name\nreserve = 0.2 # share\n\n[[station]]\nid = \"x\"\nchannels = [\n    { mhz = 3.5, bandwidth_hz = 500 }, # eighty\n    { mhz = 7.05 },\n]\n";

    fn changed(values: &[(&str, &str)]) -> String {
        with_values(TEXT, values.iter().copied()).unwrap()
    }

    #[test]
    fn values_are_shown_without_the_remarks_around_them() {
        let document = placed(TEXT).unwrap();
        let outing = table(&document, "outing").unwrap();
        assert_eq!(shown(outing.get("reserve").unwrap()), "0.2");
        assert_eq!(shown(outing.get("name").unwrap()), "A");
        let channel = table(&document, "station.0.channels.1").unwrap();
        assert_eq!(shown(channel.get("mhz").unwrap()), "7.05");
        assert_eq!(count(&document, "station.0", "channels"), 2);
        assert_eq!(count(&document, "", "station"), 1);
        assert!(table(&document, "station.7").is_none() && table(&document, "outing.name.0").is_none());
    }

    #[test]
    fn headings_are_found_by_their_lines() {
        let text = "# [no]\n[outing] # mine\nx = [\n    [1, 2],\n]\n[[site]]\n[[site]]\n  [kit.modem]\n";
        let found = headings(text);
        let wanted = [(2, "outing"), (6, "site.0"), (7, "site.1")];
        assert_eq!(found, wanted.map(|(line, path)| (line, path.to_owned())));
    }

    #[test]
    fn lists_of_numbers_may_be_written_without_brackets() {
        let text = "[[kit.antenna]]\nid = \"a\"\n[kit.transceiver]\npower_levels_w = [5] # mine\n";
        let values = [
            ("kit.antenna.0.mhz", "7.05, 10.1"),
            ("kit.transceiver.power_levels_w", "1, 5"),
        ];
        let text = with_values(text, values.into_iter()).unwrap();
        assert!(
            text.contains("mhz = [7.05, 10.1]") && text.contains("power_levels_w = [1, 5] # mine"),
            "{text}"
        );
        let text = with_values(&text, [("kit.antenna.0.mhz", "[7]")].into_iter()).unwrap();
        assert!(text.contains("mhz = [7]\n"), "{text}");
    }

    #[test]
    fn only_what_is_changed_changes() {
        assert_eq!(changed(&[("outing.name", "A"), ("outing.reserve", "0.2")]), TEXT);
        assert_eq!(changed(&[("outing.reserve", "0.3")]), TEXT.replace("0.2", "0.3"));
        assert_eq!(
            changed(&[("station.0.channels.0.mhz", "3.6")]),
            TEXT.replace("3.5", "3.6")
        );
        assert_eq!(changed(&[("outing.name", "7")]), TEXT.replace("\"A\"", "\"7\""));
        assert!(changed(&[("outing.start", "2026-12-12T07:00")]).contains("start = 2026-12-12T07:00\n"));
        assert!(changed(&[("outing.callsign", "Q1ABC")]).contains("callsign = \"Q1ABC\""));
        assert!(!changed(&[("outing.reserve", "")]).contains("reserve"));
        // A number that stood there as text, or empty, becomes a number.
        let text = with_values("[outing]\nreserve = \"\"\n", [("outing.reserve", "0.3")].into_iter()).unwrap();
        assert_eq!(text, "[outing]\nreserve = 0.3\n");
    }

    #[test]
    fn a_value_cannot_bring_tables_of_its_own() {
        for bad in ["1\n[evil]\nx = 1", "\"a\"\nb = 2", "\u{0}", "]", "{"] {
            let text = changed(&[("outing.reserve", bad), ("outing.name", bad)]);
            let document: DocumentMut = text.parse().unwrap();
            assert!(document.get("evil").is_none(), "{text}");
            assert_eq!(document.iter().count(), 2, "{text}");
        }
    }
}

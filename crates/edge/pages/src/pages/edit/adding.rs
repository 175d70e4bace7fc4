//! Tables that are added to the outing's text and taken out of it. What must be given and is not known stays empty: the form shows it
//! as missing, and the last sound version stays in use.

use farhop_outing::AntennaKind;
use farhop_outing::antenna::{Absent, Slot};
use toml_edit::{Array, ArrayOfTables, DocumentMut, InlineTable, Item, Table, TableLike, Value};

use super::common::COMMON;
use super::document::{element_mut, table_mut};

/// Lists to which a table can be added: path, and what stands in a new one. `#` stands for its number.
const LISTS: [(&str, &str); 6] = [
    ("site", "id = \"place-#\"\nname = \"Place #\"\nplace = \"\"\n"),
    ("station", "callsign = \"\"\nplace = \"\"\nchannels = []\n"),
    ("message", "id = \"message-#\"\nbytes = 300\n"),
    ("kit.battery", "id = \"battery-#\"\ncapacity_ah = \"\"\n"),
    ("kit.panel", "id = \"panel-#\"\nrated_w = \"\"\n"),
    ("kit.load", "id = \"load-#\"\non_w = \"\"\non_h_per_day = \"\"\n"),
];

/// Tables of which there is one at most: path, and what stands in a new one.
const SINGLES: [(&str, &str); 2] = [
    ("kit.transceiver", "power_levels_w = [1, 5]\npower_w = 5\n"),
    ("kit.modem", "active_w = 1.5\n"),
];

/// Tables of which there is one at most and that can be taken out whole.
const REMOVABLE: [&str; 3] = ["kit.modem", "kit.tuner", "kit.computer"];

/// A text with what was added to it.
#[derive(Debug)]
pub struct Added {
    /// The text.
    pub text: String,
    /// Path of what is new: `site.1`, `kit.modem`, `station.0.channels.2.mhz`.
    pub path: String,
}

/// The text with one more table: `site`, `station`, `message`, `kit.battery`, `kit.panel`, `kit.load`, `kit.modem`, `kit.antenna:` with a
/// kind, `common:` with a word of the list of common parts, or `station.2.channels`. None where the text is no TOML or nothing like that
/// can be added.
#[must_use]
pub fn added(text: &str, what: &str) -> Option<Added> {
    let mut document: DocumentMut = text.parse().ok()?;
    if let Some(station) = what.strip_suffix(".channels") {
        let index = channel(table_mut(&mut document, station)?)?;
        return Some(Added {
            text: document.to_string(),
            path: format!("{what}.{index}.mhz"),
        });
    }
    if let Some((path, fresh)) = SINGLES.iter().find(|(path, _)| *path == what) {
        return single(document, path, fresh);
    }
    let (path, fresh) = if let Some(kind) = what.strip_prefix("kit.antenna:") {
        ("kit.antenna", antenna(kind)?)
    } else if let Some(word) = what.strip_prefix("common:") {
        let common = COMMON.iter().find(|c| c.word == word)?;
        if !common.many {
            return single(document, common.path, common.text);
        }
        (common.path, common.text.to_owned())
    } else {
        let (path, fresh) = LISTS.iter().find(|(path, _)| *path == what)?;
        (*path, (*fresh).to_owned())
    };
    let list = list_mut(&mut document, path)?;
    let number = free_number(list, &fresh);
    let made: DocumentMut = fresh.replace('#', &number.to_string()).parse().ok()?;
    push(list, made.as_table().clone());
    let path = format!("{path}.{}", list.len() - 1);
    Some(Added {
        text: document.to_string(),
        path,
    })
}

/// The text with a table of which there is one at most; none where it is there already.
fn single(mut document: DocumentMut, path: &str, fresh: &str) -> Option<Added> {
    let (kit, key) = path.split_once('.')?;
    let made: DocumentMut = fresh.parse().ok()?;
    let table = document
        .as_table_mut()
        .entry(kit)
        .or_insert_with(implicit)
        .as_table_mut()?;
    if table.contains_key(key) {
        return None;
    }
    table.insert(key, Item::Table(fresh_table(made.as_table().clone())));
    Some(Added {
        text: document.to_string(),
        path: path.to_owned(),
    })
}

/// The text without one table of a list, by its path: `site.1`, `station.0.channels.2`; or without `kit.modem`.
#[must_use]
pub fn removed(text: &str, path: &str) -> Option<String> {
    let mut document: DocumentMut = text.parse().ok()?;
    let (list, index) = path.rsplit_once('.')?;
    if REMOVABLE.contains(&path) {
        table_mut(&mut document, list)?.remove(index)?;
        return Some(document.to_string());
    }
    let index: usize = index.parse().ok()?;
    let item = match list.rsplit_once('.') {
        Some((table, key)) => table_mut(&mut document, table)?.get_mut(key)?,
        None => document.get_mut(list)?,
    };
    element_mut(item, index)?;
    match item {
        Item::ArrayOfTables(tables) => {
            let heading = tables.get(index).map(heading_above).unwrap_or_default();
            tables.remove(index);
            if let Some(next) = tables.get_mut(index).filter(|_| !heading.is_empty()) {
                let own = next
                    .decor()
                    .prefix()
                    .and_then(|p| p.as_str())
                    .unwrap_or_default()
                    .to_owned();
                next.decor_mut().set_prefix(format!("{heading}{own}"));
            }
        }
        Item::Value(Value::Array(values)) => drop(values.remove(index)),
        _ => return None,
    }
    Some(document.to_string())
}

/// Remarks above a table that an empty line parts from it: they head what follows, and stay when the table goes.
fn heading_above(table: &Table) -> String {
    let above = table.decor().prefix().and_then(|p| p.as_str()).unwrap_or_default();
    match above.rfind("\n\n") {
        Some(end) if above[..end].contains('#') => format!("{}\n", &above[..end]),
        _ => String::new(),
    }
}

/// Puts tables of another text at the end of a list.
pub fn appended(document: &mut DocumentMut, path: &str, tables: impl Iterator<Item = Table>) -> Option<()> {
    let list = list_mut(document, path)?;
    tables.for_each(|table| push(list, table));
    Some(())
}

/// Puts a table at the end of its list.
fn push(list: &mut ArrayOfTables, table: Table) {
    list.push(fresh_table(table));
}

/// A table that stands where it is put, not where it stood in its own text, below an empty line.
fn fresh_table(mut table: Table) -> Table {
    table.set_position(None);
    table.decor_mut().set_prefix("\n");
    table
}

fn list_mut<'a>(document: &'a mut DocumentMut, path: &str) -> Option<&'a mut ArrayOfTables> {
    let mut here: &mut Table = document.as_table_mut();
    let mut steps = path.split('.').peekable();
    while let Some(step) = steps.next() {
        let last = steps.peek().is_none();
        let missing = if last {
            Item::ArrayOfTables(ArrayOfTables::new())
        } else {
            implicit()
        };
        let item = here.entry(step).or_insert(missing);
        if last {
            return item.as_array_of_tables_mut();
        }
        here = item.as_table_mut()?;
    }
    None
}

/// A table that is there only for what it holds.
fn implicit() -> Item {
    let mut table = Table::new();
    table.set_implicit(true);
    Item::Table(table)
}

/// The first number from the length of the list on with which the short name is new.
fn free_number(list: &ArrayOfTables, fresh: &str) -> usize {
    let named = |number: usize| {
        let line = fresh
            .lines()
            .next()
            .unwrap_or_default()
            .replace('#', &number.to_string());
        let id = line.split('"').nth(1).unwrap_or_default().to_owned();
        !id.is_empty()
            && list
                .iter()
                .any(|t| t.get("id").and_then(Item::as_str) == Some(id.as_str()))
    };
    (list.len() + 1..)
        .find(|number| !named(*number))
        .unwrap_or(list.len() + 1)
}

/// A channel of which nothing is known but that there is one; gives its place in the list.
fn channel(station: &mut dyn TableLike) -> Option<usize> {
    let mut fresh = InlineTable::new();
    fresh.insert("mhz", Value::from(""));
    fresh.insert("bandwidth_hz", Value::from(500));
    let list = station
        .entry("channels")
        .or_insert(Item::Value(Value::Array(Array::new())));
    let list = list.as_array_mut()?;
    list.push(fresh);
    Some(list.len() - 1)
}

/// An antenna of a kind with usual field measures, to be changed to one's own.
pub(super) fn antenna(kind: &str) -> Option<String> {
    let mut usual = AntennaKind::usual(kind)?;
    let mut text = format!("id = \"antenna-#\"\nkind = \"{kind}\"\n");
    for measure in usual.measures() {
        if !matches!(measure.absent, Absent::Needed(_)) {
            continue;
        }
        let value = match measure.slot {
            Slot::Number(value) => Value::from(*value),
            Slot::Count(value) => Value::from(i64::from(*value)),
            Slot::Lengths(lengths) => Value::Array(lengths.iter().copied().collect()),
            // No wires are usual: one level wire stands there to begin with.
            Slot::Wires(wires) if wires.is_empty() => Value::Array(
                std::iter::once(Value::Array([-10.0, 0.0, 6.0, 10.0, 0.0, 6.0].into_iter().collect())).collect(),
            ),
            Slot::Wires(wires) => Value::Array(
                wires
                    .iter()
                    .map(|wire| Value::Array(wire.iter().copied().collect()))
                    .collect(),
            ),
            Slot::Maybe(_) | Slot::Word(_) => continue,
        };
        text.push_str(&format!("{} = {}\n", measure.key, value.to_string().trim()));
    }
    Some(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "# head\n[outing]\nname = \"A\" # its name\n\n[[station]]\ncallsign = \"Q1ABC\"\nchannels = [\n    { mhz = 3.5 }, # eighty\n    { mhz = 7.05 },\n]\n\n[kit.transceiver]\npower_w = 5 # low\n";

    #[test]
    fn what_is_added_stands_at_the_end_of_its_list_and_nothing_else_changes() {
        for what in [
            "site",
            "station",
            "message",
            "kit.battery",
            "kit.panel",
            "kit.load",
            "station.0.channels",
        ] {
            let text = added(TEXT, what).expect(what).text;
            for line in TEXT.lines().filter(|l| l.contains('#')) {
                assert!(text.contains(line), "{what}: {line} is gone from\n{text}");
            }
            let twice = added(&text, what).expect(what).text;
            assert!(
                twice.len() > text.len() && twice.parse::<DocumentMut>().is_ok(),
                "{twice}"
            );
        }
        assert!(added(TEXT, "outing").is_none() && added(TEXT, "station.7.channels").is_none());
        assert!(added("no [toml", "site").is_none());
    }

    #[test]
    fn every_kind_of_antenna_can_be_added_and_is_sound() {
        let demo = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../../examples/demo.toml"));
        for kind in AntennaKind::WORDS {
            let text = added(demo, &format!("kit.antenna:{kind}")).expect(kind).text;
            let reading = farhop_outing_file::read(&text, "demo", &|_| Err(String::new()));
            let errors: Vec<_> = reading.problems.iter().filter(|p| p.is_error()).collect();
            assert!(errors.is_empty(), "{kind}: {errors:?}");
        }
    }

    #[test]
    fn every_common_part_can_be_added_and_is_sound() {
        let demo = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../../examples/demo.toml"));
        // What there is once only is taken out before.
        let mut text = demo.to_owned();
        for path in ["kit.tuner", "kit.computer", "kit.modem"] {
            text = removed(&text, path).expect(path);
        }
        text = added(&text, "kit.modem").expect("a modem").text;
        for common in &COMMON {
            let Some(with) = added(&text, &format!("common:{}", common.word)) else {
                assert!(!common.many, "{}", common.word);
                continue;
            };
            text = with.text;
        }
        let reading = farhop_outing_file::read(&text, "demo", &|_| Err(String::new()));
        let errors: Vec<_> = reading.problems.iter().filter(|p| p.is_error()).collect();
        assert!(errors.is_empty(), "{errors:?}");
        assert!(added(&text, "kit.modem").is_none(), "two modems");
    }

    #[test]
    fn a_heading_stays_when_the_first_below_it_is_removed() {
        let text = "a = 1\n\n# --- Who listens ---\n\n[[station]] # the first\ncallsign = \"Q1ABC\"\n\n# of the second\n[[station]]\ncallsign = \"Q2DEF\"\n";
        let rest = removed(text, "station.0").expect("a station");
        assert!(
            rest.contains("# --- Who listens ---") && rest.contains("# of the second") && !rest.contains("Q1ABC"),
            "{rest}"
        );
        let last = removed(&rest, "station.0").expect("a station");
        assert!(!last.contains("Q2DEF"), "{last}");
    }

    #[test]
    fn short_names_of_new_tables_are_new() {
        let mut text = TEXT.to_owned();
        for _ in 0..3 {
            text = added(&text, "site").expect("a site").text;
        }
        text = removed(&text, "site.0").expect("the first");
        text = added(&text, "site").expect("a site").text;
        let document: DocumentMut = text.parse().expect("sound");
        let ids: Vec<_> = document["site"]
            .as_array_of_tables()
            .expect("sites")
            .iter()
            .map(|t| t["id"].to_string())
            .collect();
        let mut known = ids.clone();
        known.sort();
        known.dedup();
        assert_eq!(known.len(), ids.len(), "{ids:?}");
    }

    #[test]
    fn what_is_removed_is_gone_and_the_rest_stays() {
        let text = removed(TEXT, "station.0.channels.0").expect("a channel");
        assert!(!text.contains("3.5") && text.contains("7.05") && text.contains("# its name"));
        assert!(!removed(TEXT, "station.0").expect("a station").contains("Q1ABC"));
        assert!(removed(TEXT, "station.9").is_none() && removed(TEXT, "outing").is_none());
    }
}

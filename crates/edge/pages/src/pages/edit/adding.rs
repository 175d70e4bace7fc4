//! Tables that are added to the outing's text and taken out of it. What must be given and is not known stays empty: the form shows it
//! as missing, and the last sound version stays in use.

use farhop_outing::AntennaKind;
use farhop_outing::antenna::{Absent, Slot};
use toml_edit::{Array, ArrayOfTables, DocumentMut, InlineTable, Item, Table, TableLike, Value};

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

/// The text with one more table: `site`, `station`, `message`, `kit.battery`, `kit.panel`, `kit.load`, `kit.antenna:` with a kind, or
/// `station.2.channels`. None where the text is no TOML or nothing like that can be added.
#[must_use]
pub fn added(text: &str, what: &str) -> Option<String> {
    let mut document: DocumentMut = text.parse().ok()?;
    if let Some(station) = what.strip_suffix(".channels") {
        channel(table_mut(&mut document, station)?)?;
        return Some(document.to_string());
    }
    let (path, fresh) = match what.strip_prefix("kit.antenna:") {
        Some(kind) => ("kit.antenna", antenna(kind)?),
        None => {
            let (path, fresh) = LISTS.iter().find(|(path, _)| *path == what)?;
            (*path, (*fresh).to_owned())
        }
    };
    let list = list_mut(&mut document, path)?;
    let number = free_number(list, &fresh);
    let made: DocumentMut = fresh.replace('#', &number.to_string()).parse().ok()?;
    list.push(made.as_table().clone());
    Some(document.to_string())
}

/// The text without one table of a list, by its path: `site.1`, `station.0.channels.2`.
#[must_use]
pub fn removed(text: &str, path: &str) -> Option<String> {
    let mut document: DocumentMut = text.parse().ok()?;
    let (list, index) = path.rsplit_once('.')?;
    let index: usize = index.parse().ok()?;
    let item = match list.rsplit_once('.') {
        Some((table, key)) => table_mut(&mut document, table)?.get_mut(key)?,
        None => document.get_mut(list)?,
    };
    element_mut(item, index)?;
    match item {
        Item::ArrayOfTables(tables) => drop(tables.remove(index)),
        Item::Value(Value::Array(values)) => drop(values.remove(index)),
        _ => return None,
    }
    Some(document.to_string())
}

/// Puts tables of another text at the end of a list.
pub fn appended(document: &mut DocumentMut, path: &str, tables: impl Iterator<Item = Table>) -> Option<()> {
    let list = list_mut(document, path)?;
    tables.for_each(|table| list.push(table));
    Some(())
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

/// A channel of which nothing is known but that there is one.
fn channel(station: &mut dyn TableLike) -> Option<()> {
    let mut fresh = InlineTable::new();
    fresh.insert("mhz", Value::from(""));
    fresh.insert("bandwidth_hz", Value::from(500));
    let list = station
        .entry("channels")
        .or_insert(Item::Value(Value::Array(Array::new())));
    list.as_array_mut()?.push(fresh);
    Some(())
}

/// An antenna of a kind with usual field measures, to be changed to one's own.
fn antenna(kind: &str) -> Option<String> {
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
            let text = added(TEXT, what).expect(what);
            for line in TEXT.lines().filter(|l| l.contains('#')) {
                assert!(text.contains(line), "{what}: {line} is gone from\n{text}");
            }
            let twice = added(&text, what).expect(what);
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
            let text = added(demo, &format!("kit.antenna:{kind}")).expect(kind);
            let reading = farhop_outing_file::read(&text, "demo", &|_| Err(String::new()));
            let errors: Vec<_> = reading.problems.iter().filter(|p| p.is_error()).collect();
            assert!(errors.is_empty(), "{kind}: {errors:?}");
        }
    }

    #[test]
    fn short_names_of_new_tables_are_new() {
        let mut text = TEXT.to_owned();
        for _ in 0..3 {
            text = added(&text, "site").expect("a site");
        }
        text = removed(&text, "site.0").expect("the first");
        text = added(&text, "site").expect("a site");
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

//! The schema of antennas: the keys that all have, and the measures of each kind.

use farhop_outing::AntennaKind;
use farhop_outing::WireMetal;
use farhop_outing::antenna::{Absent, Measure, Slot};
use farhop_outing::limits;
use serde_json::{Value, json};

use super::schema::{Table, count, group, list_of, number, text};

/// One of the kit: its measures hang on its kind.
pub(super) fn of_the_kit() -> Value {
    let kinds: Vec<Value> = AntennaKind::WORDS.into_iter().filter_map(one_kind).collect();
    json!({ "oneOf": kinds })
}

fn one_kind(word: &'static str) -> Option<Value> {
    let mut kind = AntennaKind::usual(word)?;
    let mut table = Table::default();
    table.key("kind", json!({ "const": word }), true);
    common(&mut table, kind.conductor_mm().is_none());
    for measure in kind.measures() {
        add(&mut table, &measure, matches!(measure.absent, Absent::Needed(_)));
    }
    Some(table.done())
}

/// One as it hangs at a site: it has the kind of the kit's, so any measure may stand there.
pub(super) fn of_a_site() -> Value {
    let mut table = Table::default();
    common(&mut table, true);
    for mut kind in AntennaKind::WORDS.into_iter().filter_map(AntennaKind::usual) {
        for measure in kind.measures() {
            // A word is another list for each kind.
            match measure.slot {
                _ if table.has(measure.key) => {}
                Slot::Word(_) => table.key(measure.key, text(), false),
                _ => add(&mut table, &measure, false),
            }
        }
    }
    table.done()
}

fn common(table: &mut Table, of_wire: bool) {
    let metals: Vec<&str> = WireMetal::WORDS.iter().map(|w| w.0).collect();
    table.key("id", text(), true);
    table.key("name", text(), false);
    table.key("wire", json!({ "enum": metals, "default": "copper" }), false);
    if of_wire {
        table.measure("wire_diameter_mm", Some(limits::CONDUCTOR_MM), false, &number);
    }
    table.key("azimuth_deg", number(Some(limits::BEARING_DEG)), false);
    table.key("mhz", list_of(number(Some(limits::FREQ_MHZ))), false);
    table.key("feedline", text(), false);
    let mut transformer = Table::default();
    transformer.key("ratio", number(Some(limits::RATIO)), true);
    transformer.key("loss_db", number(Some(limits::LOSS_DB)), false);
    table.key("transformer", transformer.done(), false);
    table.key("setup_min", number(Some(limits::TASK_MIN)), false);
    table.key("notes", text(), false);
}

fn add(table: &mut Table, measure: &Measure<'_>, must: bool) {
    let limit = Some(measure.limit);
    match &measure.slot {
        Slot::Number(_) | Slot::Maybe(_) => table.measure(measure.key, limit, must, &number),
        Slot::Lengths(_) => table.measure(measure.key, limit, must, &|limit| list_of(number(limit))),
        Slot::Count(_) => table.key(measure.key, count(limit), must),
        Slot::Word(choice) => table.key(measure.key, json!({ "enum": choice.words() }), must),
        Slot::Wires(_) => table.key(measure.key, json!({ "type": "array", "items": group(6, limit) }), must),
    }
}

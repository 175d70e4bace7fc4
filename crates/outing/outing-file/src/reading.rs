//! From text to a checked outing.

use farhop_outing::{Conditions, Outing, OutingParts};
use toml::de::{DeTable, DeValue};

use crate::defaults::DefaultUsed;
use crate::fields::Fields;
use crate::problem::Problem;
use crate::session::{Session, Spot};
use crate::{allocations, conditions, csv_stations, header, kit, ladder, learned, message, site, station, syntax};

/// Loads a file that the outing names (a path as written there); the error is a text for people.
pub type Loader<'a> = dyn Fn(&str) -> Result<String, String> + 'a;

/// What came of a text.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The checked outing; none when there is any error.
    pub outing: Option<Outing>,
    /// All problems, in the order of the files.
    pub problems: Vec<Problem>,
    /// All defaults that were used.
    pub defaults: Vec<DefaultUsed>,
}

/// Reads an outing. `file_name` is only for messages; `load` brings files that the outing names.
///
/// Every problem is reported at once; `outing` is there exactly when none of them is an error.
#[must_use]
pub fn read(text: &str, file_name: &str, load: &Loader<'_>) -> Reading {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut s = Session::new(file_name, text);
    let (table, errors) = DeTable::parse_recoverable(text);
    let syntax_lines = syntax::report(&mut s, 0, &errors, text.len());
    let root = Fields::new(table.get_ref(), String::new(), 0..0, 0);
    let outing = parts(&mut s, root, load).and_then(|parts| {
        let by_rules = allocations::flaws(&parts);
        let outing = match Outing::new(parts) {
            Ok(outing) => {
                s.add_flaws(outing.cautions().to_vec());
                Some(outing)
            }
            Err(flaws) => {
                s.add_flaws(flaws);
                None
            }
        };
        s.add_flaws(by_rules);
        outing
    });
    let (problems, defaults) = s.finish(&syntax_lines);
    let sound = syntax_lines.is_empty() && !problems.iter().any(Problem::is_error);
    Reading {
        outing: outing.filter(|_| sound),
        problems,
        defaults,
    }
}

fn parts(s: &mut Session, mut f: Fields<'_>, load: &Loader<'_>) -> Option<OutingParts> {
    let nothing = DeTable::new();
    if !f.has("outing") {
        f.known("outing");
        f.missing(s, "outing", "Begin with [outing] and its `start` and `end`.");
    }
    let mut head = f
        .inner(s, "outing")
        .unwrap_or_else(|| Fields::new(&nothing, "outing".to_owned(), 0..0, 0).over(&nothing));
    let header = header::read(s, &mut head)?;
    head.finish(s);
    let hung = kit_antennas(f.table());
    let sites = f
        .tables(s, "site")
        .into_iter()
        .enumerate()
        .filter_map(|(i, own)| site::read(s, own, i, &hung))
        .collect();
    let stations = f.tables(s, "station");
    let mut stations: Vec<_> = stations
        .into_iter()
        .enumerate()
        .filter_map(|(i, own)| station::read(s, own, i))
        .collect();
    if let Some(list) = f.inner(s, "stations_csv") {
        stations.extend(csv_stations::read(s, list, load, stations.len()));
    }
    let own_kit = f.inner(s, "kit");
    let kit = kit::read(s, own_kit);
    let messages = f.tables(s, "message");
    let messages = messages
        .into_iter()
        .enumerate()
        .filter_map(|(i, own)| message::read(s, own, i, &header))
        .collect();
    let known = f.inner(s, "conditions");
    let conditions = conditions::read(s, known);
    let learned = f.inner(s, "learned").and_then(|own| learned::read(s, own, load));
    let conditions = Conditions { learned, ..conditions };
    let ladders = f
        .tables(s, "ladder")
        .into_iter()
        .enumerate()
        .map(|(i, own)| ladder::read(s, own, i))
        .collect();
    s.mark(String::new(), Spot { source: 0, span: 0..0 });
    f.finish(s);
    Some(OutingParts {
        header,
        sites,
        stations,
        kit,
        messages,
        conditions,
        ladders,
    })
}

/// The antennas of the kit as tables, for sites that hang them differently.
fn kit_antennas<'t>(root: &'t DeTable<'t>) -> Vec<&'t DeTable<'t>> {
    let kit = root.get("kit").map(toml::Spanned::get_ref);
    let Some(DeValue::Table(kit)) = kit else {
        return Vec::new();
    };
    let antennas = kit.get("antenna").map(toml::Spanned::get_ref);
    let Some(DeValue::Array(antennas)) = antennas else {
        return Vec::new();
    };
    antennas.iter().filter_map(|a| a.get_ref().as_table()).collect()
}

//! From text to a checked outing.

use farhop_earth::UtcTime;
use farhop_outing::rows::{TableReader, fill, section};
use farhop_outing::{Conditions, Header, Kit, Outing, OutingParts};
use toml::de::{DeTable, DeValue};

use crate::defaults::DefaultUsed;
use crate::fields::Fields;
use crate::problem::Problem;
use crate::reader::{Reader, Whole};
use crate::session::Session;
use crate::{allocations, csv_stations, learned, syntax, zone};

const DAY_S: i64 = 86_400;

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
    let parts = parts(&mut s, root, load);
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
    // A file with errors is mended first; what is odd about it may go with them.
    if let Some(outing) = outing.as_ref().filter(|_| syntax_lines.is_empty() && !s.has_errors()) {
        s.add_questions(farhop_plausible::ask(outing, &s));
    }
    let (problems, defaults) = s.finish(&syntax_lines);
    let sound = syntax_lines.is_empty() && !problems.iter().any(Problem::is_error);
    Reading {
        outing: outing.filter(|_| sound),
        problems,
        defaults,
    }
}

fn parts(s: &mut Session, mut f: Fields<'_>, load: &Loader<'_>) -> OutingParts {
    let kit_antennas = kit_antennas(f.table());
    let mut whole = Whole {
        kit_antennas: &kit_antennas,
        end: UtcTime::default(),
    };
    let header = header(s, &mut f, whole);
    whole.end = header.end;
    let mut r = Reader::new(s, f, whole);
    let (mut sites, mut stations, mut messages, mut ladders) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    r.tables("site", None, &mut |inner| sites.push(section(inner)));
    r.tables("station", None, &mut |inner| stations.push(section(inner)));
    r.by_hand("stations_csv", |s, list| {
        stations.extend(csv_stations::read(s, list, load, stations.len()));
    });
    let (mut kit, mut conditions) = (Kit::default(), Conditions::default());
    r.table_or_empty("kit", &mut |inner| kit = section(inner));
    r.tables("message", None, &mut |inner| messages.push(section(inner)));
    r.table_or_empty("conditions", &mut |inner| conditions = section(inner));
    r.by_hand("learned", |s, own| {
        conditions.learned = learned::read(s, own, whole, load)
    });
    r.tables("ladder", None, &mut |inner| ladders.push(section(inner)));
    r.mark_whole();
    r.finish();
    OutingParts {
        header,
        sites,
        stations,
        kit,
        messages,
        conditions,
        ladders,
    }
}

/// Reads `[outing]` and sets the zone of the session. Broken dates get placeholders one day apart, so that everything else can
/// still be checked.
fn header(s: &mut Session, f: &mut Fields<'_>, whole: Whole<'_>) -> Header {
    let nothing = DeTable::new();
    if !f.has("outing") {
        f.known("outing");
        f.missing(s, "outing", "Begin with [outing] and its `start` and `end`.");
    }
    let mut header = Header::default();
    match f.inner(s, "outing") {
        Some(mut own) => {
            zone::set(s, &mut own);
            let mut r = Reader::new(s, own, whole);
            fill(&mut header, &mut r);
            r.finish();
        }
        None => {
            let own = Fields::new(&nothing, "outing".to_owned(), 0..0, 0).over(&nothing);
            fill(&mut header, &mut Reader::new(s, own, whole));
        }
    }
    header.time_zone = header.time_zone.trim().to_owned();
    let broken = ["outing.start", "outing.end"].map(|path| s.is_broken(path));
    s.dates_broken = broken.contains(&true);
    match broken {
        [_, true] => header.end = header.start.add_s(DAY_S),
        [true, false] => header.start = header.end.add_s(-DAY_S),
        [false, false] => {}
    }
    header
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

//! Files of others, and words that stand for places, times and names.

use std::collections::BTreeSet;
use std::sync::OnceLock;

use farhop_earth::{Place, UtcTime, clock, locator, parse_place};
use farhop_exchange::{bundle as bundles, conditions as outside, gpx, sites};
use farhop_outing::{Callsign, Id, MinuteSpan, Outing};
use farhop_outing_file::{Problem, read, render_all};
use farhop_show::antenna::wire_list;

/// The outing into which other files are read.
pub(crate) const DEMO: &str = include_str!("../../../../examples/demo.toml");

/// The same, read.
pub(crate) fn demo() -> &'static Outing {
    static READ: OnceLock<Outing> = OnceLock::new();
    READ.get_or_init(|| {
        let reading = read(DEMO, "demo", &|_| Err("no other file".to_owned()));
        reading.outing.expect("the demo is sound")
    })
}

/// Bytes as a file of text is read: who writes others is refused before any reader sees them.
fn text(bytes: &[u8]) -> Option<&str> {
    std::str::from_utf8(bytes).ok()
}

/// An outing file; what stands behind a NUL is the text of every file that it names.
pub fn outing(bytes: &[u8]) {
    let Some(whole) = text(bytes) else { return };
    let (file, beside) = whole.split_once('\0').unwrap_or((whole, ""));
    let load = |_: &str| Ok(beside.to_owned());
    let reading = read(file, "outing.toml", &load);
    let lines = file.lines().count().max(beside.lines().count()) + 1;
    for problem in &reading.problems {
        assert!(!problem.cause.trim().is_empty(), "a problem without a cause");
        assert!((1..=lines).contains(&problem.line), "line {} of {lines}", problem.line);
    }
    let _ = render_all(&reading.problems);
    assert_eq!(
        reading.outing.is_some(),
        !reading.problems.iter().any(Problem::is_error)
    );
    assert_eq!(
        read(file, "outing.toml", &load),
        reading,
        "read twice, and not the same"
    );
    if let Some(outing) = reading.outing {
        assert!(outing.header.start < outing.header.end);
        // What was checked once is sound for good, and its own text forms can be shown.
        assert_eq!(Outing::new(outing.clone().into_parts()).as_ref(), Ok(&outing));
        let _ = farhop_journal::short::help(&outing);
        let _ = farhop_day::state(&[], &outing, outing.header.start);
    }
}

/// A table of stations that an outing names.
pub fn stations(bytes: &[u8]) {
    let mut file = DEMO.replace("[[station]]", "[[unused]]");
    file.push_str("\n[stations_csv]\nfile = \"stations.csv\"\n\0");
    let mut whole = file.into_bytes();
    whole.extend_from_slice(bytes);
    outing(&whole);
}

/// A list of wires. It is not solved: how long that may take has a limit and a test of its own.
pub fn wires(bytes: &[u8]) {
    let Some(text) = text(bytes) else { return };
    if let Ok(parsed) = wire_list::parse(text) {
        let antenna = parsed.list.antenna();
        assert_eq!(antenna.wires.len(), parsed.list.wires.len());
        assert!(antenna.sources.iter().all(|s| s.wire < antenna.wires.len()));
        // A hundred wires of a metre are quick; others may be refused, but never break off.
        if parsed.list.wires.len() <= 2 && parsed.list.wires.iter().all(|w| w.segments.is_none_or(|n| n <= 20)) {
            let short = |w: &wire_list::Parsed| {
                w.list
                    .wires
                    .iter()
                    .flat_map(|w| [w.p1_m, w.p2_m])
                    .flatten()
                    .all(|m| m.abs() <= 5.0)
            };
            if short(&parsed) {
                let _ = wire_list::solve(&parsed, 7.1);
            }
        }
    }
}

/// Conditions as somebody published them.
pub fn conditions(bytes: &[u8]) {
    let Some(text) = text(bytes) else { return };
    let Ok(said) = outside::understand(text) else { return };
    let _ = said.not_from_the_future(demo().header.start);
    let proposal = outside::propose(&said, demo().header.start, demo().header.end);
    let _ = proposal.text();
    if let Ok(edited) = outside::edited(DEMO, &proposal) {
        // What was understood makes no sound file unsound.
        let reading = read(&edited, "demo", &|_| Err(String::new()));
        assert!(reading.outing.is_some(), "{}", render_all(&reading.problems));
    }
}

/// Waypoints, as they become places of an outing.
pub fn waypoints(bytes: &[u8]) {
    let Some(text) = text(bytes) else { return };
    let Ok(found) = gpx::waypoints(text) else { return };
    for waypoint in &found {
        assert!(Place::new(waypoint.place.lat_deg(), waypoint.place.lon_deg()).is_ok());
    }
    let taken: BTreeSet<String> = demo().sites.iter().map(|s| s.id.as_str().to_owned()).collect();
    let blocks = sites::site_blocks(&found, &taken);
    assert!(blocks.ids.iter().all(|id| !taken.contains(id)));
    let whole = sites::appended(DEMO, &blocks.text);
    let table: toml::Table = whole.parse().expect("blocks are TOML");
    let count = table.get("site").and_then(toml::Value::as_array).map_or(0, Vec::len);
    assert_eq!(
        count,
        demo().sites.len() + blocks.ids.len(),
        "a name has become more than a name"
    );
}

/// One file for a partner.
pub fn bundle(bytes: &[u8]) {
    let Ok(bundle) = bundles::check(bytes) else { return };
    assert!(bundle.outing().is_some());
    for content in &bundle.contents {
        assert!(bundles::check_name(&content.name).is_ok(), "{}", content.name);
    }
    let again = bundles::pack(&bundle.contents, demo().header.start).expect("what was checked can be packed");
    let again = bundles::check(&again).expect("what was packed is sound");
    assert_eq!(again.contents, bundle.contents);
}

/// Places, locators, times, hours, names and zones.
pub fn words(bytes: &[u8]) {
    let Some(text) = text(bytes) else { return };
    if let Ok(place) = parse_place(text) {
        assert!(Place::new(place.lat_deg(), place.lon_deg()) == Ok(place));
        let _ = locator::format(place, 3);
    }
    if let Ok(place) = locator::parse(text) {
        // The middle of the square that was named lies in the square of that name.
        let pairs = text.trim().len() / 2;
        let again = locator::format(place, pairs);
        assert!(again.eq_ignore_ascii_case(text.trim()), "{text} became {again}");
    }
    if let Ok(time) = UtcTime::parse(text) {
        assert_eq!(UtcTime::parse(&clock::rfc3339(time)), Ok(time));
    }
    let _ = MinuteSpan::parse(text);
    let _ = clock::zone(text);
    if let Ok(id) = Id::new(text) {
        assert_eq!(id.as_str(), text);
    }
    let _ = Callsign::new(text);
}

//! Waypoints as `[[site]]` blocks of an outing file.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use farhop_outing::limits::SITE_HEIGHT_M;

use super::read::Waypoint;

/// Longest id that an outing file takes, in characters.
const LONGEST_ID: usize = 40;

/// Blocks to put into an outing file, with what was odd about the waypoints.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SiteBlocks {
    /// The blocks as they stand in the file.
    pub text: String,
    /// Their ids, in order.
    pub ids: Vec<String>,
    /// What could not be taken over.
    pub cautions: Vec<String>,
}

/// Waypoints as blocks. `taken` are the ids that the file has already; new ones differ from them and from each other.
#[must_use]
pub fn site_blocks(waypoints: &[Waypoint], taken: &BTreeSet<String>) -> SiteBlocks {
    let mut taken = taken.clone();
    let mut blocks = SiteBlocks::default();
    for (index, waypoint) in waypoints.iter().enumerate() {
        let id = free_id(&waypoint.name, index + 1, &taken);
        taken.insert(id.clone());
        if !blocks.text.is_empty() {
            blocks.text.push('\n');
        }
        block(&mut blocks, waypoint, &id);
        blocks.ids.push(id);
    }
    blocks
}

fn block(blocks: &mut SiteBlocks, waypoint: &Waypoint, id: &str) {
    let place = waypoint.place;
    let mut line = |key: &str, value: String| {
        let _ = writeln!(blocks.text, "{key} = {value}");
    };
    line_head(&mut line, id, waypoint);
    line(
        "place",
        quoted(&format!("{:.6},{:.6}", place.lat_deg(), place.lon_deg())),
    );
    match waypoint.elevation_m {
        Some(height_m) if SITE_HEIGHT_M.allows(height_m) => line("elevation_m", number(height_m)),
        Some(height_m) => blocks.cautions.push(format!(
            "{id}: the height of {height_m} m is left out; it must be {SITE_HEIGHT_M}"
        )),
        None => blocks.cautions.push(format!("{id}: no height; write elevation_m")),
    }
    if !waypoint.notes.is_empty() {
        let _ = writeln!(blocks.text, "notes = {}", quoted(&waypoint.notes));
    }
}

fn line_head(line: &mut impl FnMut(&str, String), id: &str, waypoint: &Waypoint) {
    line("[[site]]\nid", quoted(id));
    if !waypoint.name.is_empty() {
        line("name", quoted(&waypoint.name));
    }
}

/// A height with a decimal at most, as a person would write it.
fn number(value: f64) -> String {
    let rounded = (value * 10.0).round() / 10.0;
    format!("{rounded}")
}

/// A basic string of TOML.
fn quoted(text: &str) -> String {
    toml_edit::Value::from(text).to_string()
}

/// An id from a name: its letters and digits in small, joined by hyphens; with a number where that is taken.
fn free_id(name: &str, number: usize, taken: &BTreeSet<String>) -> String {
    let lower = name.to_lowercase();
    let words = lower.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty());
    let joined = words.collect::<Vec<_>>().join("-");
    let base = if joined.is_empty() {
        format!("waypoint-{number}")
    } else {
        joined
    };
    let short = |room: usize| -> String {
        let cut: String = base.chars().take(room).collect();
        cut.trim_end_matches('-').to_owned()
    };
    let whole = short(LONGEST_ID);
    if !taken.contains(&whole) {
        return whole;
    }
    let mut count = 2usize;
    loop {
        let tail = format!("-{count}");
        let id = format!("{}{tail}", short(LONGEST_ID - tail.len()));
        if !taken.contains(&id) {
            return id;
        }
        count += 1;
    }
}

/// An outing file with blocks added at its end; everything that stands in it stays as it is, to the byte.
#[must_use]
pub fn appended(outing_text: &str, blocks: &str) -> String {
    let gap = match outing_text {
        "" => "",
        text if text.ends_with("\n\n") => "",
        text if text.ends_with('\n') => "\n",
        _ => "\n\n",
    };
    format!("{outing_text}{gap}{blocks}")
}

/// The starter outing with these blocks in the place of its own site.
///
/// None if the starter has no block of a site, which a test rules out.
#[must_use]
pub fn starter_with(starter: &str, blocks: &str) -> Option<String> {
    let begin = starter.find("\n[[site]]")? + 1;
    let end = begin + starter.get(begin..)?.find("\n[stations_csv]")? + 1;
    Some(format!("{}{blocks}\n{}", &starter[..begin], &starter[end..]))
}

#[cfg(test)]
mod tests {
    use crate::{STARTER_FILES, read};
    use farhop_earth::Place;
    use proptest::prelude::*;

    use super::*;

    fn waypoint(name: &str, height_m: Option<f64>, notes: &str) -> Waypoint {
        Waypoint {
            place: Place::new(46.571_234_5, 8.415).unwrap(),
            elevation_m: height_m,
            name: name.to_owned(),
            notes: notes.to_owned(),
        }
    }

    /// The sites that the outing file's own reader finds in the starter with these waypoints.
    fn read_back(waypoints: &[Waypoint]) -> Vec<farhop_outing::Site> {
        let blocks = site_blocks(waypoints, &BTreeSet::new());
        let text = starter_with(STARTER_FILES[0].text, &blocks.text).unwrap();
        let list = STARTER_FILES[1].text.to_owned();
        let reading = read(&text, "outing.toml", &|_| Ok(list.clone()));
        let outing = reading
            .outing
            .unwrap_or_else(|| panic!("{:#?}\n{text}", reading.problems));
        outing.into_parts().sites
    }

    #[test]
    fn a_waypoint_is_a_site_of_the_starter() {
        let sites = read_back(&[waypoint("Kea \"ridge\" \\ 2", Some(1720.04), "Windy.")]);
        assert_eq!(sites.len(), 1);
        assert_eq!(sites[0].id.as_str(), "kea-ridge-2");
        assert_eq!(sites[0].name, "Kea \"ridge\" \\ 2");
        assert_eq!((sites[0].elevation_m, sites[0].notes.as_str()), (1720.0, "Windy."));
        assert!((sites[0].place.lat_deg() - 46.571_234_5).abs() < 1e-6);
    }

    #[test]
    fn names_that_clash_or_are_missing_get_ids_of_their_own() {
        let names = [
            "",
            "Hut",
            "hut!",
            "",
            &"long name ".repeat(9),
            &"long name ".repeat(9),
            "ÖBERALP",
            "山小屋",
        ];
        let mut list: Vec<Waypoint> = names.iter().map(|n| waypoint(n, None, "")).collect();
        for (index, waypoint) in list.iter_mut().enumerate() {
            waypoint.place = Place::new(40.0 + index as f64, 8.0).unwrap();
        }
        let sites = read_back(&list);
        let ids: Vec<&str> = sites.iter().map(|s| s.id.as_str()).collect();
        assert_eq!(ids[..4], ["waypoint-1", "hut", "hut-2", "waypoint-4"]);
        assert!(
            ids[4..6].iter().all(|id| id.chars().count() <= LONGEST_ID) && ids[4] != ids[5],
            "{ids:?}"
        );
        assert_eq!(ids[6..], ["öberalp", "山小屋"]);
    }

    #[test]
    fn heights_beyond_the_mountains_are_left_out_and_said() {
        let blocks = site_blocks(
            &[waypoint("a", Some(40_000.0), ""), waypoint("b", None, "")],
            &BTreeSet::new(),
        );
        assert_eq!(blocks.cautions.len(), 2, "{:?}", blocks.cautions);
        assert!(!blocks.text.contains("elevation_m"));
    }

    #[test]
    fn what_stands_in_the_file_stays_to_the_byte() {
        for text in ["a = 1", "a = 1\n", "# remark\r\na = 1\r\n\r\n", ""] {
            let added = appended(text, "[[site]]\nid = \"x\"\n");
            assert!(added.starts_with(text) && added.ends_with("[[site]]\nid = \"x\"\n"));
            assert!(added.parse::<toml_edit::DocumentMut>().is_ok(), "{added}");
        }
    }

    proptest! {
        #[test]
        fn any_name_makes_a_file_that_reads(names in proptest::collection::vec("\\PC{0,60}", 1..5), notes in "\\PC{0,60}") {
            let list: Vec<Waypoint> = names.iter().map(|n| waypoint(n, Some(1.0), &notes)).collect();
            let blocks = site_blocks(&list, &BTreeSet::new());
            let parsed: Result<toml_edit::DocumentMut, _> = blocks.text.parse();
            prop_assert!(parsed.is_ok(), "{}", blocks.text);
            let distinct: BTreeSet<&String> = blocks.ids.iter().collect();
            prop_assert_eq!(distinct.len(), names.len());
            for id in &blocks.ids {
                prop_assert!(farhop_outing::Id::new(id).is_ok(), "{}", id);
            }
        }
    }
}

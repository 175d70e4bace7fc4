//! `[[kit.antenna]]`, and antennas as they hang at a site.

use farhop_outing::antenna::{Absent, DeclaredAntenna, DeclaredShape, Slot};
use farhop_outing::{Antenna, AntennaKind, Id, Transformer, Wire, WireMetal};
use toml::de::{DeTable, DeValue};

use crate::fields::Fields;
use crate::session::Session;
use crate::suggest;

/// Reads one antenna.
pub(crate) fn read(s: &mut Session, mut f: Fields<'_>, number: usize) -> Option<Antenna> {
    let id = f.need_id(s, number)?;
    let name = f.text(s, "name").unwrap_or_else(|| id.to_string());
    let kind = kind(s, &mut f);
    let wire = wire(s, &mut f, kind.as_ref());
    let azimuth_deg = f.number(s, "azimuth_deg");
    let usable_mhz = f.numbers(s, "mhz").unwrap_or_default();
    let feedline = f.id(s, "feedline");
    let transformer = f.inner(s, "transformer").map(|mut inner| {
        let ratio = inner.need_number(s, "ratio", "Impedance ratio: 1 for a choke, 4, 9 or 49.");
        let loss_db = inner.number_or(s, "loss_db", 0.5, "a usual ferrite transformer (common practice)");
        inner.finish(s);
        Transformer { ratio, loss_db }
    });
    let setup_min = f.number_or(s, "setup_min", 20.0, "time to hang a wire with two people");
    let notes = f.notes(s, "notes");
    if kind.is_some() {
        f.finish(s);
    }
    // Without a kind its keys cannot be judged; anything stands in, the kind is already reported.
    let kind = kind.unwrap_or(STAND_IN_KIND);
    Some(Antenna {
        id,
        name,
        kind,
        wire,
        azimuth_deg,
        usable_mhz,
        feedline,
        transformer,
        setup_min,
        notes,
    })
}

/// Reads an antenna of a site: numbers of the site over those of the kit.
pub(crate) fn hung(s: &mut Session, mut f: Fields<'_>, kit: &[&DeTable<'_>]) -> Option<Antenna> {
    let id = f.need_id(s, 0)?;
    let same = |table: &&&DeTable<'_>| {
        table
            .get("id")
            .is_some_and(|v| matches!(v.get_ref(), DeValue::String(t) if t.as_ref() == id.as_str()))
    };
    let Some(base) = kit.iter().find(same) else {
        let path = f.path_of("id");
        let spot = f.get(s, "id").map_or_else(|| f.own_spot(), |v| f.spot_of(v));
        let hint = "A site can only change antennas that the kit has: see [[kit.antenna]].";
        s.error(spot, &path, format!("there is no antenna \"{id}\" in the kit"), hint);
        return stand_in(id);
    };
    if let Some(kind) = f.table().get("kind") {
        let (spot, path) = (f.spot_of(kind), f.path_of("kind"));
        s.error(
            spot,
            &path,
            "a site cannot change the kind of an antenna",
            "Make it a second [[kit.antenna]].",
        );
        return stand_in(id);
    }
    read(s, f.over(base), 0)
}

/// Stands in for an antenna after a report, so that the others keep their numbers.
fn stand_in(id: Id) -> Option<Antenna> {
    Some(Antenna {
        name: id.to_string(),
        id,
        kind: STAND_IN_KIND,
        wire: Wire {
            metal: WireMetal::Copper,
            diameter_mm: 1.0,
        },
        azimuth_deg: None,
        usable_mhz: Vec::new(),
        feedline: None,
        transformer: None,
        setup_min: 0.0,
        notes: String::new(),
    })
}

const STAND_IN_KIND: AntennaKind = AntennaKind::Declared(DeclaredAntenna {
    shape: DeclaredShape::Dipole,
    height_m: 5.0,
    efficiency: 0.5,
});

fn wire(s: &mut Session, f: &mut Fields<'_>, kind: Option<&AntennaKind>) -> Wire {
    const USUAL_MM: f64 = 1.0;
    let copper = ("copper", WireMetal::Copper);
    let metal = f.word_or(s, "wire", &WireMetal::WORDS, copper, "the usual metal of field wires");
    let diameter_mm = match kind {
        Some(kind) if kind.is_declared() => f.number(s, "wire_diameter_mm").unwrap_or(USUAL_MM),
        kind => kind
            .and_then(|k| k.conductor_mm())
            .unwrap_or_else(|| f.number_or(s, "wire_diameter_mm", USUAL_MM, "the usual thickness of field wires")),
    };
    Wire { metal, diameter_mm }
}

fn kind(s: &mut Session, f: &mut Fields<'_>) -> Option<AntennaKind> {
    let known = AntennaKind::WORDS;
    if !f.has("kind") {
        f.known("kind");
        f.missing(s, "kind", &format!("One of: {}.", known.join(", ")));
        return None;
    }
    let path = f.path_of("kind");
    let word = f.text(s, "kind")?;
    let Some(mut kind) = AntennaKind::usual(&word) else {
        let spot = f.get(s, "kind").map_or_else(|| f.own_spot(), |v| f.spot_of(v));
        s.error(
            spot,
            &path,
            format!("there is no kind of antenna \"{word}\""),
            kind_hint(&word, &known),
        );
        return None;
    };
    measures(s, f, &mut kind);
    Some(kind)
}

/// What is often called otherwise, with the kinds that are meant.
const OFTEN_CALLED: [(&str, &[&str]); 7] = [
    ("dipole", &["flat-dipole", "inverted-v", "linked-dipole"]),
    ("doublet", &["flat-dipole", "inverted-v"]),
    ("long-wire", &["end-fed"]),
    ("random-wire", &["end-fed"]),
    ("ground-plane", &["vertical"]),
    ("loop", &["small-loop", "horizontal-loop", "delta-loop"]),
    ("magnetic-loop", &["small-loop"]),
];

fn kind_hint(word: &str, known: &[&str]) -> String {
    let plain = word.trim().to_lowercase().replace(['_', ' '], "-");
    match OFTEN_CALLED.iter().find(|c| c.0 == plain) {
        Some((_, kinds)) => {
            let quoted: Vec<String> = kinds.iter().map(|k| format!("\"{k}\"")).collect();
            format!("Did you mean {}?", quoted.join(" or "))
        }
        None => suggest::hint(word, known),
    }
}

/// Reads every measure of a kind into its place.
fn measures(s: &mut Session, f: &mut Fields<'_>, kind: &mut AntennaKind) {
    let mut numbers: Vec<(&str, f64)> = Vec::new();
    for measure in kind.measures() {
        let (key, absent) = (measure.key, measure.absent);
        match measure.slot {
            Slot::Number(slot) => {
                *slot = number(s, f, key, absent, &numbers);
                numbers.push((key, *slot));
            }
            Slot::Maybe(slot) => *slot = f.number(s, key),
            Slot::Count(slot) => {
                if let Absent::Usual(usual, why) = absent {
                    *slot = f.count_or(s, key, usual as u32, why);
                }
            }
            Slot::Word(slot) => {
                let words: Vec<(&str, usize)> = slot.words().into_iter().zip(0..).collect();
                if let (Absent::Usual(_, why), Some(first)) = (absent, words.first()) {
                    slot.choose(f.word_or(s, key, &words, *first, why));
                }
            }
            Slot::Lengths(slot) => {
                let list = f.numbers(s, key);
                *slot = needed(s, f, key, absent, list);
            }
            Slot::Wires(slot) => {
                let wanted = "six numbers in metres for each wire: [x1, y1, z1, x2, y2, z2]";
                let list = f.groups::<6>(s, key, wanted);
                *slot = needed(s, f, key, absent, list);
            }
        }
    }
}

/// A number of the file, or what holds where nothing is said; `before` has the numbers read so far.
fn number(s: &mut Session, f: &mut Fields<'_>, key: &str, absent: Absent, before: &[(&str, f64)]) -> f64 {
    let of = |other: &str| before.iter().find(|b| b.0 == other).map_or(f64::NAN, |b| b.1);
    match absent {
        Absent::Needed(hint) => f.need_number(s, key, hint),
        Absent::Usual(usual, why) => f.number_or(s, key, usual, why),
        Absent::Silent(value) => f.number(s, key).unwrap_or(value),
        Absent::Follows(other) => f.number(s, key).unwrap_or_else(|| of(other)),
        Absent::Like(other, said, why) => f.number(s, key).unwrap_or_else(|| {
            f.default(s, key, said, why);
            of(other)
        }),
    }
}

/// A list that must be there.
fn needed<T>(s: &mut Session, f: &Fields<'_>, key: &str, absent: Absent, list: Option<Vec<T>>) -> Vec<T> {
    if let (None, Absent::Needed(hint)) = (&list, absent) {
        f.missing(s, key, hint);
    }
    list.unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_often_called_otherwise_leads_to_kinds_that_there_are() {
        for (word, kinds) in OFTEN_CALLED {
            assert!(AntennaKind::usual(word).is_none(), "{word} is a kind itself");
            assert!(kinds.iter().all(|k| AntennaKind::WORDS.contains(k)), "{word}");
        }
        let hint = kind_hint("Dipole", &AntennaKind::WORDS);
        assert!(hint.contains("\"flat-dipole\" or \"inverted-v\""), "{hint}");
        assert_eq!(
            kind_hint("inverted-w", &AntennaKind::WORDS),
            "Did you mean \"inverted-v\"?"
        );
    }
}

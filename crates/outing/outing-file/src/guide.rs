//! The guide names every key that the reader knows: found by reading files that together touch every section and kind.

use std::collections::BTreeSet;
use std::sync::Mutex;

use farhop_outing::AntennaKind;

use crate::read;

/// Every `section.key` that a reading has asked for.
static KEYS: Mutex<BTreeSet<String>> = Mutex::new(BTreeSet::new());

pub(crate) fn note_keys(section: &str, keys: &BTreeSet<String>) {
    if let Ok(mut all) = KEYS.lock() {
        all.extend(keys.iter().map(|k| format!("{section}.{k}")));
    }
}

const GUIDE: &str = include_str!("../../../../docs/guide/outing-file.md");

/// The text of the guide below the heading of a section, or of the section around it.
fn chapter(section: &str) -> &'static str {
    // An antenna of a site has the keys of the kit's.
    let section = section.replace("site.antenna", "kit.antenna");
    let mut name = section.as_str();
    loop {
        let found = GUIDE.split("\n## ").find(|part| {
            let heading = part.lines().next().unwrap_or_default();
            [format!("`[{name}]`"), format!("`[[{name}]]`")]
                .iter()
                .any(|h| heading.contains(h.as_str()))
        });
        match (found, name.rfind('.')) {
            (Some(text), _) => return text,
            (None, Some(cut)) => name = &name[..cut],
            (None, None) => return GUIDE,
        }
    }
}

/// A file that opens every section and every kind; it need not be sound.
fn everything() -> String {
    let mut text = String::from(
        "[outing]\n[[site]]\nid = \"a\"\nground = {}\n[[site.antenna]]\nid = \"k0\"\n[[station]]\nchannels = [{}]\n\
         antenna = { kind = \"gain\" }\n[[station]]\nantenna = { kind = \"dipole\" }\n[[station]]\n\
         antenna = { kind = \"vertical\" }\n[stations_csv]\nfile = \"x\"\ncolumns = {}\n[[message]]\n[learned]\n\
         noise = [{}]\n[[ladder]]\n[conditions]\nfof2 = [{}]\nfoes = [{}]\nflare = [{}]\npolar_cap = [{}]\nnoise = [{}]\n[kit.transceiver]\n[kit.tuner]\n\
         kind = \"automatic\"\n[kit.modem]\n[kit.computer]\n[[kit.feedline]]\nline = \"own\"\n[[kit.battery]]\n\
         protection = {}\n[[kit.panel]]\nturn_every_h = 1\ntilt_deg = 1\n[[kit.converter]]\n[[kit.load]]\n[[kit.part]]\n\
         [[kit.function]]\n",
    );
    for (i, kind) in AntennaKind::WORDS.iter().enumerate() {
        text += &format!("[[kit.antenna]]\nid = \"k{i}\"\nkind = \"{kind}\"\ntransformer = {{}}\n");
    }
    text
}

#[test]
fn the_guide_names_every_key() {
    let _ = read(&everything(), "everything.toml", &|_| {
        Ok("callsign,place,mhz\n".to_owned())
    });
    let keys = KEYS.lock().expect("not poisoned").clone();
    assert!(keys.len() > 150, "only {} keys were asked for", keys.len());
    let missing: Vec<&String> = keys
        .iter()
        .filter(|path| {
            let (section, key) = path.rsplit_once('.').unwrap_or(("", path.as_str()));
            let imperial = ["_ft", "_mi", "_lb", "_in", "_f"].iter().any(|e| key.ends_with(e));
            !imperial && !chapter(section).contains(&format!("`{key}`"))
        })
        .collect();
    assert!(missing.is_empty(), "not in docs/guide/outing-file.md: {missing:?}");
}

#[test]
fn the_guide_names_every_word() {
    use farhop_outing::*;
    fn words<T>(list: &[(&'static str, T)]) -> Vec<&'static str> {
        list.iter().map(|w| w.0).collect()
    }
    let all = [
        words(&NoiseClass::WORDS),
        words(&WireMetal::WORDS),
        words(&EndFedShape::WORDS),
        words(&Loading::WORDS),
        words(&DeclaredShape::WORDS),
        words(&LineType::WORDS),
        words(&TunerKind::WORDS),
        words(&Chemistry::WORDS),
        words(&Release::WORDS),
        words(&PartClass::WORDS),
        words(&WeakTo::WORDS),
        words(&Priority::WORDS),
        words(&Units::WORDS),
        words(&GroundClass::WORDS),
        AntennaKind::WORDS.to_vec(),
        BUILT_IN_MODES.to_vec(),
    ]
    .concat();
    let missing: Vec<&str> = all.into_iter().filter(|w| !GUIDE.contains(&format!("`{w}`"))).collect();
    assert!(missing.is_empty(), "not in the guide: {missing:?}");
}

#[test]
fn the_guide_quotes_the_limits_of_antennas_in_force() {
    use farhop_outing::limits::{self, Limit};
    let quoted: [(&str, Limit); 4] = [
        ("mhz", limits::FREQ_MHZ),
        ("height_m", limits::WIRE_HEIGHT_M),
        ("length_m of a wire", limits::WIRE_LENGTH_M),
        ("azimuth_deg", limits::BEARING_DEG),
    ];
    let lines: Vec<String> = quoted
        .iter()
        .map(|(name, limit)| format!("| {name} | {limit} |"))
        .collect();
    let missing: Vec<&String> = lines.iter().filter(|l| !GUIDE.contains(l.as_str())).collect();
    assert!(
        missing.is_empty(),
        "the table of limits in the guide should hold: {missing:#?}"
    );
}

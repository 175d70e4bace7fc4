//! Antennas of the text as drawings with their measures.

use std::sync::OnceLock;

use farhop_earth::units::Units;
use farhop_outing::{Antenna, AntennaKind};
use farhop_outing_file::read;
use farhop_plan::engine::built_at;
use farhop_show::antenna::drawing::from_side;
use toml_edit::{DocumentMut, Item, TableLike, Value};

use super::adding::antenna;

/// What stands around an antenna so that it can be read by itself. Nothing of it is kept.
const AROUND: &str = "[outing]\nstart = 2026-01-01\nend = 2026-01-02\n[[site]]\nid = \"a\"\nplace = \"0,0\"\n[[station]]\ncallsign = \"Q1ABC\"\nplace = \"1,1\"\nchannels = [7.05]\n[[kit.antenna]]\n";
/// Keys that name things elsewhere in the text.
const ELSEWHERE: [&str; 2] = ["feedline", "mhz"];
/// The frequency for which an antenna is drawn that names none, MHz.
const USUAL_MHZ: f64 = 7.05;

/// The drawing of an antenna's table, as SVG; none where its measures make none yet.
pub fn drawn(table: &dyn TableLike, units: Units) -> Option<String> {
    let (antenna, freq_mhz) = read_alone(table)?;
    // Over average ground: the drawing does not show it.
    let ground = farhop_earth::GroundClass::Average.constants();
    let built = built_at(&antenna, ground, freq_mhz).ok()?;
    Some(from_side(&antenna.name, &built, units))
}

fn read_alone(table: &dyn TableLike) -> Option<(Antenna, f64)> {
    let mut text = AROUND.to_owned();
    for (key, item) in table.iter().filter(|(key, _)| !ELSEWHERE.contains(key)) {
        if let Some(value) = item.as_value() {
            let mut bare = value.clone();
            bare.decor_mut().clear();
            text.push_str(&format!("{key} = {bare}\n"));
        }
    }
    let outing = read(&text, "antenna", &|_| Err(String::new())).outing?;
    let antenna = outing.kit.antennas.first()?.clone();
    let first = |list: &Value| {
        let value = list.as_array()?.get(0)?;
        value.as_float().or(value.as_integer().map(|whole| whole as f64))
    };
    let freq_mhz = table.get("mhz").and_then(Item::as_value).and_then(first);
    Some((antenna, freq_mhz.unwrap_or(USUAL_MHZ)))
}

/// A kind that can be chosen.
pub struct Offered {
    /// Its word.
    pub word: &'static str,
    /// Its drawing with usual measures; none where it has none.
    pub drawing: Option<String>,
    /// How it hangs, in words.
    pub told: String,
}

/// All kinds, drawn once.
pub fn offered() -> &'static [Offered] {
    static ALL: OnceLock<Vec<Offered>> = OnceLock::new();
    ALL.get_or_init(|| {
        let drawing = |word: &str| {
            let document: DocumentMut = antenna(word)?.replace('#', "1").parse().ok()?;
            drawn(document.as_table(), Units::Metric)
        };
        let told = |word: &str| AntennaKind::usual(word).map(|kind| kind.told(&|m| format!("{m} m")));
        AntennaKind::WORDS
            .iter()
            .map(|word| Offered {
                word,
                drawing: drawing(word),
                told: told(word).unwrap_or_default(),
            })
            .collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_with_wires_has_a_drawing() {
        for kind in offered() {
            assert_eq!(kind.drawing.is_some(), kind.word != "declared", "{}", kind.word);
        }
    }

    #[test]
    fn measures_that_make_no_antenna_make_no_drawing() {
        let table = |text: &str| text.parse::<DocumentMut>().expect("sound");
        let sound = "id = \"a\"\nkind = \"inverted-v\"\nlength_m = 20\napex_height_m = 6\nend_height_m = 2\nfeedline = \"none such\"\n";
        let svg = drawn(table(sound).as_table(), Units::Metric).expect("a drawing");
        assert!(svg.contains("6 m") || svg.contains("6.0 m"), "{svg}");
        assert!(
            drawn(
                table(&sound.replace("length_m = 20", "length_m = 2")).as_table(),
                Units::Metric
            )
            .is_none()
        );
        assert!(drawn(table("id = \"a\"\n").as_table(), Units::Metric).is_none());
    }
}

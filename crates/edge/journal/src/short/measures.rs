//! `apex 5 m, ends 1 m`: the measures of an antenna in words.

use farhop_day::{AntennaDown, AntennaHung, Event, Measures, hang_as};
use farhop_earth::units::M_PER_FT;
use farhop_outing::Units;

use crate::short::words::number;
use crate::short::{Reading, Scene, Wrong};

/// Words for each measure.
#[derive(Clone, Copy, PartialEq, Eq)]
enum What {
    Apex,
    End,
    Height,
    Feed,
    Far,
    Corner,
    Base,
    Length,
    Azimuth,
}

const WORDS: [(&str, What); 19] = [
    ("apex", What::Apex),
    ("middle", What::Apex),
    ("top", What::Apex),
    ("end", What::End),
    ("ends", What::End),
    ("height", What::Height),
    ("high", What::Height),
    ("feed", What::Feed),
    ("far", What::Far),
    ("corner", What::Corner),
    ("base", What::Base),
    ("foot", What::Base),
    ("mast", What::Base),
    ("length", What::Length),
    ("long", What::Length),
    ("wire", What::Length),
    ("azimuth", What::Azimuth),
    ("direction", What::Azimuth),
    ("turned", What::Azimuth),
];
/// Words that may stand between a measure and its number.
const BETWEEN: [&str; 7] = ["at", "is", "to", "of", "about", "end", "now"];

/// `antenna ANTENNA [up, apex 5 m, ends 1 m]`, `antenna ANTENNA down`.
pub(super) fn antenna(rest: &str, scene: &Scene<'_>) -> Result<Reading, Wrong> {
    let (name, how) = rest.split_once(char::is_whitespace).unwrap_or((rest, ""));
    let name = name.trim_end_matches([',', ':']);
    if name.is_empty() {
        return Err("which antenna?".into());
    }
    let (id, how) = (scene.antenna(name)?, how.trim());
    if how.trim_end_matches('.').eq_ignore_ascii_case("down") {
        return Ok(Reading::plain(Event::Down(AntennaDown { antenna: id })));
    }
    let bare = how.strip_prefix("up").filter(|r| !r.starts_with(char::is_alphanumeric));
    let how = bare.map_or(how, |r| r.trim_start_matches([',', ':', ' ']));
    let measures = read(how, scene.outing.header.units)?;
    let mut reading = Reading::plain(Event::Antenna(AntennaHung {
        antenna: id.clone(),
        how: how.to_owned(),
        measures,
    }));
    let shown = scene.outing.antenna_name(&id);
    if !measures.is_empty() {
        let (_, hung) = hang_as(&scene.state.outing, scene.state.site(), &id, &measures)
            .map_err(|why| format!("{shown} cannot hang so: {why}"))?;
        let foreign = measures.foreign_to(&hung.kind);
        if !foreign.is_empty() {
            let kind = hung.kind.word();
            reading.cautions.push(format!(
                "an antenna of the kind {kind} has no {}: kept in words only, nothing is computed from it",
                foreign.join(", no ")
            ));
        }
    }
    let left_out = scene
        .state
        .here()
        .filter(|s| s.without.iter().any(|w| w.as_str() == id));
    if let Some(site) = left_out {
        reading
            .cautions
            .push(format!("the outing says that {shown} cannot be used at {}", site.name));
    }
    Ok(reading)
}

/// The measures in a text; words that are none stay words.
fn read(text: &str, units: Units) -> Result<Measures, Wrong> {
    let mut measures = Measures::default();
    let words: Vec<String> = text
        .split(|c: char| c.is_whitespace() || c == ';')
        .map(|w| w.trim_end_matches([',', '.']).to_lowercase())
        .filter(|w| !w.is_empty())
        .collect();
    let mut at = 0;
    while at < words.len() {
        let what = WORDS.iter().find(|(word, _)| words[at] == *word).map(|w| w.1);
        at += 1;
        let Some(what) = what else { continue };
        let after = words[at..].iter().take_while(|w| BETWEEN.contains(&w.as_str())).count();
        let Some((value_m, used)) = length_m(&words[at + after..], what, units)? else {
            continue;
        };
        at += after + used;
        let place = slot(&mut measures, what);
        if place.replace(value_m).is_some() {
            return Err(format!(
                "\"{}\" is given twice",
                WORDS.iter().find(|w| w.1 == what).map_or("", |w| w.0)
            )
            .into());
        }
    }
    Ok(measures)
}

fn slot(measures: &mut Measures, what: What) -> &mut Option<f64> {
    match what {
        What::Apex => &mut measures.apex_height_m,
        What::End => &mut measures.end_height_m,
        What::Height => &mut measures.height_m,
        What::Feed => &mut measures.feed_height_m,
        What::Far => &mut measures.far_height_m,
        What::Corner => &mut measures.corner_height_m,
        What::Base => &mut measures.base_height_m,
        What::Length => &mut measures.length_m,
        What::Azimuth => &mut measures.azimuth_deg,
    }
}

/// The number that words begin with, in metres or degrees, and how many words it took.
fn length_m(words: &[String], what: What, units: Units) -> Result<Option<(f64, usize)>, Wrong> {
    let Some(first) = words.first() else { return Ok(None) };
    let split = first
        .find(|c: char| c.is_alphabetic() || c == '°' || c == '\'')
        .unwrap_or(first.len());
    let (digits, glued) = first.split_at(split);
    let Some(value) = number(digits) else { return Ok(None) };
    let apart = words.get(1).map(String::as_str).filter(|_| glued.is_empty());
    let unit = if glued.is_empty() { apart.unwrap_or("") } else { glued };
    let (factor, is_unit) = match unit {
        "m" | "metre" | "metres" | "meter" | "meters" => (1.0, true),
        "ft" | "feet" | "foot" | "'" => (M_PER_FT, true),
        "cm" => (0.01, true),
        "°" | "deg" | "degrees" => (1.0, true),
        other if !glued.is_empty() || ["yd", "yard", "yards", "inch", "inches"].contains(&other) => {
            return Err(format!("\"{other}\" is no unit of a measure: m, ft, or degrees for a direction").into());
        }
        _ if what != What::Azimuth && units == Units::Imperial => (M_PER_FT, false),
        _ => (1.0, false),
    };
    let used = 1 + usize::from(is_unit && glued.is_empty());
    // A foot is a whole number of tenths of a millimetre; more digits say nothing.
    let value_m = (value * factor * 1e4).round() / 1e4;
    Ok(Some((value_m, used)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn means(text: &str) -> Measures {
        read(text, Units::Metric).unwrap()
    }

    #[test]
    fn measures_are_read_with_their_units_and_words_stay_words() {
        let both = Measures {
            apex_height_m: Some(5.0),
            end_height_m: Some(1.0),
            ..Measures::default()
        };
        for text in [
            "apex 5 m, ends 1 m",
            "apex at 5m; ends at 1 m",
            "apex 5, ends 1",
            "Apex 500cm ends 1.0 m.",
        ] {
            assert_eq!(means(text), both, "{text}");
        }
        // A foot is 0.3048 m (international yard and pound agreement, 1959).
        assert_eq!(means("apex 10 ft").apex_height_m, Some(3.048));
        assert_eq!(read("apex 10", Units::Imperial).unwrap().apex_height_m, Some(3.048));
        assert_eq!(means("turned to 60 degrees").azimuth_deg, Some(60.0));
        assert_eq!(means("far end 7 m, feed 0.6 m").far_height_m, Some(7.0));
        assert!(means("over the big rock, a little lower").is_empty());
        assert!(read("apex 5 m, apex 6 m", Units::Metric).is_err());
        assert!(read("apex 5 yards", Units::Metric).is_err());
        assert!(read("apex 5yd", Units::Metric).is_err());
    }
}

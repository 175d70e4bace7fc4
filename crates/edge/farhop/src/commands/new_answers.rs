//! What a new outing is made from, and the file that comes of it.

use farhop_earth::clock::zone;
use farhop_earth::{Place, parse_place};
use farhop_outing::AntennaKind;
use farhop_outing::antenna::{Absent, Slot};
use farhop_outing_file::{STARTER_FILES, allocations};
use farhop_store::open::read_text;
use jiff::civil::{Date, DateTime};

use super::new_gateways::invented_around;
use crate::exit::Failure;
use crate::new_args::NewArgs;

/// The answers, each as it goes into the file.
#[derive(Clone, Debug, PartialEq)]
pub struct Answers {
    /// Where.
    pub place: String,
    /// First time, local.
    pub from: String,
    /// Last time, local.
    pub to: String,
    /// Zone of both.
    pub time_zone: String,
    /// Table of allocations.
    pub region: String,
    /// The table of gateways as text; none for the invented one of the starter.
    pub stations: Option<String>,
    /// Kind of antenna.
    pub antenna: String,
    /// Power, W.
    pub watts: f64,
    /// Capacity, Ah.
    pub battery_ah: f64,
    /// The message itself.
    pub message: String,
}

impl Answers {
    /// The usual ones: tomorrow by day, at the place of the starter.
    pub fn usual(today: Date) -> Self {
        let day = today.tomorrow().unwrap_or(today);
        let place = "46.80,8.10".to_owned();
        Self {
            from: format!("{day}T08:00"),
            to: format!("{day}T20:00"),
            time_zone: own_zone(),
            region: parse_place(&place).map_or_else(|_| String::new(), likely_region),
            place,
            stations: None,
            antenna: "inverted-v".to_owned(),
            watts: 5.0,
            battery_ah: 6.0,
            message: "Arrived, all well.".to_owned(),
        }
    }

    /// What the options say, over the usual answers.
    pub fn said(args: &NewArgs, today: Date) -> Result<Self, Failure> {
        let mut own = Self::usual(today);
        let named = |option: &'static str| move |error: String| Failure::input(format!("{option}: {error}"));
        if let Some(text) = &args.place {
            own.set_place(text).map_err(named("--place"))?;
        }
        if let Some(text) = &args.from {
            own.set_from(text).map_err(named("--from"))?;
        }
        if let Some(text) = &args.to {
            own.to = time(text).map_err(named("--to"))?;
        }
        if let Some(zone) = &args.time_zone {
            own.time_zone.clone_from(zone);
        }
        if let Some(text) = &args.region {
            own.region = region(text).map_err(named("--region"))?;
        }
        if let Some(file) = &args.stations {
            own.stations = Some(read_text(file).map_err(named("--stations"))?);
        }
        if let Some(text) = &args.antenna {
            own.antenna = antenna(text).map_err(named("--antenna"))?;
        }
        own.watts = args.watts.unwrap_or(own.watts);
        own.battery_ah = args.battery_ah.unwrap_or(own.battery_ah);
        if let Some(text) = &args.message {
            own.message.clone_from(text);
        }
        Ok(own)
    }

    /// The place, with the region in which it most likely lies.
    pub fn set_place(&mut self, text: &str) -> Result<(), String> {
        let place = parse_place(text).map_err(|e| e.to_string())?;
        text.trim().clone_into(&mut self.place);
        self.region = likely_region(place);
        Ok(())
    }

    /// The first time; the last one is then the evening of that day, or the whole day.
    pub fn set_from(&mut self, text: &str) -> Result<(), String> {
        self.from = time(text)?;
        self.to = match self.from.split_once('T') {
            Some((day, clock)) if clock < "20:00" => format!("{day}T20:00"),
            Some((day, _)) => day.to_owned(),
            None => self.from.clone(),
        };
        Ok(())
    }

    /// The outing file: what was answered and nothing else.
    pub fn file(&self) -> String {
        let mut lines = vec![
            "# Made by `farhop new` from a few answers. All else has a default: `farhop check --defaults` shows each."
                .to_owned(),
            "[outing]".to_owned(),
            format!("start = {}", self.from),
            format!("end = {}", self.to),
            format!("time_zone = {}", quoted(&self.time_zone)),
            format!("allocation = {}", quoted(&self.region)),
            "\n[[site]]\nid = \"here\"".to_owned(),
            format!("place = {}", quoted(&self.place)),
            format!("\n[stations_csv]\nfile = {}", quoted(STARTER_FILES[1].name)),
            "\n[[message]]\nid = \"first\"".to_owned(),
            format!("text = {}", quoted(&self.message)),
            format!("\n[kit.transceiver]\npower_levels_w = [{}]", self.watts),
            // Named, so that nobody is asked where the modem is; its draw is a default that `check --defaults` shows.
            "\n[kit.modem]\nmodes = [\"narrow\", \"wide\", \"slow\"]".to_owned(),
            format!("\n[[kit.antenna]]\nid = \"antenna\"\nkind = {}", quoted(&self.antenna)),
        ];
        lines.extend(measures(&self.antenna));
        lines.push(format!(
            "\n[[kit.battery]]\nid = \"battery\"\ncapacity_ah = {}\n",
            self.battery_ah
        ));
        lines.join("\n")
    }

    /// The table of gateways.
    pub fn stations(&self) -> String {
        let invented = || parse_place(&self.place).map_or_else(|_| STARTER_FILES[1].text.to_owned(), invented_around);
        self.stations.clone().unwrap_or_else(invented)
    }
}

/// A local time, with or without its time of day.
pub fn time(text: &str) -> Result<String, String> {
    let text = text.trim();
    let sound = if text.contains(['T', ' ']) {
        text.parse::<DateTime>().is_ok()
    } else {
        text.parse::<Date>().is_ok()
    };
    let with_minutes = text.split_once(['T', ' ']).is_none_or(|(_, clock)| clock.len() >= 5);
    if sound && with_minutes {
        Ok(text.replace(' ', "T"))
    } else {
        Err(format!(
            "{text}: not a time; write it like 2026-12-12 or 2026-12-12T08:00"
        ))
    }
}

/// The name of a table of allocations, from its name or the number of a region.
pub fn region(text: &str) -> Result<String, String> {
    let text = text.trim().to_lowercase();
    let name = match text.as_str() {
        "1" | "2" | "3" => format!("iaru-region-{text}"),
        _ => text,
    };
    match allocations::named(&name) {
        Some(_) => Ok(name),
        None => {
            let known: Vec<&str> = allocations::all().iter().map(|a| a.name.as_str()).collect();
            Err(format!(
                "{name}: no such table of bands; there are {}",
                known.join(", ")
            ))
        }
    }
}

/// A kind of antenna that has usual measures.
pub fn antenna(text: &str) -> Result<String, String> {
    let word = text.trim().to_lowercase();
    let with_measures = |word: &str| AntennaKind::usual(word).is_some_and(|kind| kind.usual_said().is_some());
    if with_measures(&word) {
        return Ok(word);
    }
    let known: Vec<&str> = AntennaKind::WORDS.into_iter().filter(|w| with_measures(w)).collect();
    Err(format!(
        "{word}: no kind of antenna with usual measures; there are {}",
        known.join(", ")
    ))
}

/// The measures of a kind that the file must give, at their usual values: what a tape measure corrects.
fn measures(word: &str) -> Vec<String> {
    let Some(mut kind) = AntennaKind::usual(word) else {
        return Vec::new();
    };
    let needed = kind
        .measures()
        .into_iter()
        .filter(|m| matches!(m.absent, Absent::Needed(_)));
    let line = |key: &str, slot: Slot<'_>| match slot {
        Slot::Number(value) => Some(format!("{key} = {value}")),
        Slot::Count(value) => Some(format!("{key} = {value}")),
        Slot::Maybe(value) => value.map(|value| format!("{key} = {value}")),
        Slot::Lengths(list) => Some(format!("{key} = {list:?}")),
        Slot::Word(_) | Slot::Wires(_) => None,
    };
    needed.filter_map(|m| line(m.key, m.slot)).collect()
}

/// The region of the ITU in which a place most likely lies (Radio Regulations 5.2 to 5.9, in whole degrees and from memory: near an
/// edge it may be another).
fn likely_region(place: Place) -> String {
    let (lat_deg, lon_deg) = (place.lat_deg(), place.lon_deg());
    let number = if (-170.0..-30.0).contains(&lon_deg) {
        2
    } else if (-30.0..60.0).contains(&lon_deg) || (lon_deg >= 60.0 && lat_deg > 50.0) {
        1
    } else {
        3
    };
    format!("iaru-region-{number}")
}

/// The zone of this machine, as the variable TZ or the link `/etc/localtime` names it; else universal time.
pub fn own_zone() -> String {
    let by_variable = std::env::var("TZ")
        .ok()
        .map(|name| name.trim_start_matches(':').to_owned());
    let by_link = || {
        let target = std::fs::canonicalize("/etc/localtime").ok()?;
        let target = target.to_string_lossy().into_owned();
        target.split_once("zoneinfo/").map(|(_, name)| name.to_owned())
    };
    let known = |name: &String| zone(name).is_ok();
    by_variable
        .filter(known)
        .or_else(|| by_link().filter(known))
        .unwrap_or_else(|| "UTC".to_owned())
}

/// A basic string of TOML.
fn quoted(text: &str) -> String {
    toml_edit::Value::from(text).to_string()
}

#[cfg(test)]
mod tests {
    use farhop_outing_file::read;

    use super::*;

    fn today() -> Date {
        Date::constant(2026, 11, 29)
    }

    #[test]
    fn every_kind_with_usual_measures_makes_a_sound_file() {
        for word in AntennaKind::WORDS {
            let Ok(word) = antenna(word) else { continue };
            let own = Answers {
                antenna: word,
                ..Answers::usual(today())
            };
            let reading = read(&own.file(), "outing.toml", &|_| Ok(own.stations()));
            assert!(reading.outing.is_some(), "{:#?}\n{}", reading.problems, own.file());
        }
    }

    #[test]
    fn a_message_of_any_signs_stays_as_it_is() {
        let message = "Quote \" and \\ and\nline, \u{1f43f}".to_owned();
        let own = Answers {
            message: message.clone(),
            ..Answers::usual(today())
        };
        let reading = read(&own.file(), "outing.toml", &|_| Ok(own.stations()));
        let outing = reading.outing.unwrap();
        assert_eq!(outing.messages[0].size_bytes, message.len() as u64);
    }

    #[test]
    fn regions_of_known_places() {
        // Members of the regions by the list of the ITU's member states: Zurich, Cape Town and Novosibirsk 1, Denver, Lima and
        // Honolulu 2, Auckland, Delhi and Tokyo 3.
        for (place, wanted) in [
            ("47.4,8.5", 1),
            ("-33.9,18.4", 1),
            ("55.0,82.9", 1),
            ("39.7,-105.0", 2),
            ("-12.0,-77.0", 2),
            ("21.3,-157.9", 2),
            ("-36.8,174.8", 3),
            ("28.6,77.2", 3),
            ("35.7,139.7", 3),
        ] {
            assert_eq!(
                likely_region(parse_place(place).unwrap()),
                format!("iaru-region-{wanted}"),
                "{place}"
            );
        }
    }

    #[test]
    fn times_and_words_are_judged() {
        assert_eq!(time("2026-12-12 08:00").unwrap(), "2026-12-12T08:00");
        for wrong in ["12.12.2026", "2026-13-01", "2026-12-12T8", "soon", ""] {
            assert!(time(wrong).is_err(), "{wrong}");
        }
        assert_eq!(region("3").unwrap(), "iaru-region-3");
        assert!(region("4").unwrap_err().contains("iaru-region-1"));
        assert!(antenna("wet string").unwrap_err().contains("inverted-v"));
        let mut own = Answers::usual(today());
        own.set_from("2026-12-12T21:30").unwrap();
        assert_eq!(own.to, "2026-12-12", "a bare date lasts until midnight");
    }
}

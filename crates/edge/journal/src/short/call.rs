//! `call STATION MHZ no|failed|linked|ok …`.

use farhop_outing::Station;

use crate::sentence::antenna_name;
use crate::short::channel::channel_mhz;
use crate::short::names::{Named, Pick, must_pick, pick};
use crate::short::words::{joined, mhz, number, with_unit};
use crate::short::{Reading, Scene};
use farhop_day::{Call, Event, Outcome};
use farhop_day::{Known, Source};

/// How a call may end, in words.
#[derive(Clone, Copy, PartialEq, Eq)]
enum End {
    No,
    Failed,
    Linked,
    Ok,
}

const ENDS: [(&str, End); 10] = [
    ("no", End::No),
    ("none", End::No),
    ("nothing", End::No),
    ("failed", End::Failed),
    ("heard", End::Failed),
    ("linked", End::Linked),
    ("ok", End::Ok),
    ("sent", End::Ok),
    ("delivered", End::Ok),
    ("through", End::Ok),
];

/// What was typed, sorted by what it is.
#[derive(Default)]
struct Typed {
    freq: Option<(String, f64)>,
    exact: bool,
    end: Option<(String, End)>,
    antenna: Option<String>,
    power_w: Option<f64>,
    bytes: Option<f64>,
    minutes: Option<f64>,
    snr_db: Option<f64>,
    message: Option<String>,
    bare: Vec<f64>,
}

pub(super) fn read(rest: &str, scene: &Scene<'_>) -> Result<Reading, String> {
    let words = joined(rest);
    let (first, details) = words.split_first().ok_or("which station was called?")?;
    let station = scene.station(first)?;
    let typed = sort(details, scene)?;
    let mut reading = Reading::plain(Event::Note(farhop_day::Note { words: String::new() }));
    let freq_mhz = typed_freq(&typed, station, &mut reading)?;
    let (_, end) = typed.end.clone().ok_or("how did it end? no, failed, linked or ok")?;
    let antenna = antenna(typed.antenna.as_deref(), freq_mhz, scene, &mut reading);
    let power_w = typed.power_w.unwrap_or_else(|| {
        let known = &scene.state.power_w;
        let why = match known.source {
            Source::Entry(n) => format!("{} W as in entry {n}", known.value),
            Source::Outing | Source::Guess => format!("{} W, the usual setting", known.value),
        };
        reading.taken.push(why);
        known.value
    });
    let (outcome, minutes, snr_db) = ending(end, typed, station, scene, &mut reading)?;
    reading.began_min_ago = minutes.unwrap_or(0.0);
    reading.event = Event::Called(Call {
        station: station.id.to_string(),
        freq_mhz,
        antenna,
        power_w: Some(power_w),
        minutes,
        snr_db,
        outcome,
    });
    Ok(reading)
}

fn sort(words: &[String], scene: &Scene<'_>) -> Result<Typed, String> {
    let mut typed = Typed::default();
    let mut words = words.iter();
    while let Some(word) = words.next() {
        let lower = word.to_lowercase();
        match lower.as_str() {
            "exact" => typed.exact = true,
            "on" | "with" => {
                let name = words.next().ok_or("which antenna? It comes after `on`")?;
                once("antenna", &mut typed.antenna, scene.antenna(name)?)?;
            }
            _ => one_word(word, &mut typed, scene)?,
        }
    }
    Ok(typed)
}

fn once<T>(what: &str, place: &mut Option<T>, value: T) -> Result<(), String> {
    match place.replace(value) {
        None => Ok(()),
        Some(_) => Err(format!("{what} is given twice")),
    }
}

fn one_word(word: &str, typed: &mut Typed, scene: &Scene<'_>) -> Result<(), String> {
    if let Some(power_w) = with_unit(word, &["watts", "watt", "w"]) {
        return once("power", &mut typed.power_w, power_w);
    }
    if let Some(bytes) = with_unit(word, &["bytes", "byte", "b"]).filter(|_| !word.to_lowercase().ends_with("db")) {
        return once("length", &mut typed.bytes, bytes);
    }
    if let Some(minutes) = with_unit(word, &["minutes", "mins", "min", "m"]) {
        return once("time on the air", &mut typed.minutes, minutes);
    }
    if let Some(snr_db) = with_unit(word, &["db"]) {
        return once("SNR", &mut typed.snr_db, snr_db);
    }
    if typed.freq.is_none()
        && typed.end.is_none()
        && let Some(freq_mhz) = mhz(word)
    {
        typed.freq = Some((word.to_owned(), freq_mhz));
        return Ok(());
    }
    if let Some(value) = number(word) {
        typed.bare.push(value);
        return Ok(());
    }
    name(word, typed, scene)
}

/// A word without a number: how it ended, else a message, else an antenna.
fn name(word: &str, typed: &mut Typed, scene: &Scene<'_>) -> Result<(), String> {
    let ends: Vec<Named<'_, (String, End)>> = ENDS
        .iter()
        .map(|(name, end)| Named {
            names: vec![*name],
            value: ((*name).to_owned(), *end),
        })
        .collect();
    let found = match pick(word, &ends) {
        // Several words for one and the same end are no question.
        Pick::Many(names) => {
            let mut means = ENDS.iter().filter(|(n, _)| names.iter().any(|m| m == n)).map(|e| e.1);
            let first = means.next();
            first
                .filter(|f| means.all(|m| m == *f))
                .map(|end| (word.to_owned(), end))
        }
        Pick::One(end) => Some(end),
        Pick::None(_) => None,
    };
    match (&typed.end, found) {
        (None, Some(end)) => {
            typed.end = Some(end);
            Ok(())
        }
        (None, None) => Err(format!(
            "\"{word}\" is no way for a call to end: no, failed, linked or ok"
        )),
        (Some((_, End::Ok)), _) => match scene.message(word) {
            Ok((id, _)) => once("message", &mut typed.message, id),
            Err(problem) => match scene.antenna(word) {
                Ok(id) => once("antenna", &mut typed.antenna, id),
                Err(_) => Err(problem),
            },
        },
        (Some(_), _) => once("antenna", &mut typed.antenna, scene.antenna(word)?),
    }
}

fn typed_freq(typed: &Typed, station: &Station, reading: &mut Reading) -> Result<f64, String> {
    match (&typed.freq, station.channels.as_slice()) {
        (Some((text, _)), _) => scene_freq(station, text, typed.exact, reading),
        (None, [only]) => {
            reading
                .taken
                .push(format!("{} MHz, the only channel of {}", only.freq_mhz, station.name));
            Ok(only.freq_mhz)
        }
        (None, channels) => {
            let known: Vec<String> = channels.iter().map(|c| c.freq_mhz.to_string()).collect();
            Err(format!(
                "on which frequency? {} has {} MHz",
                station.id,
                known.join(", ")
            ))
        }
    }
}

/// The frequency that is meant at a station, told when it is not the one that was typed.
pub(super) fn scene_freq(station: &Station, text: &str, exact: bool, reading: &mut Reading) -> Result<f64, String> {
    let freq_mhz = mhz(text).ok_or_else(|| format!("\"{text}\" is no frequency in MHz"))?;
    if exact {
        return Ok(freq_mhz);
    }
    let channel_mhz = channel_mhz(station, text, freq_mhz)?;
    if (channel_mhz - freq_mhz).abs() > 1e-9 {
        reading
            .taken
            .push(format!("{text} as {channel_mhz} MHz, the channel of {}", station.name));
    }
    Ok(channel_mhz)
}

/// The antenna that was said, or that hung; told, and cautioned where it is not meant for the frequency.
pub(super) fn antenna(typed: Option<&str>, freq_mhz: f64, scene: &Scene<'_>, reading: &mut Reading) -> Option<String> {
    let known = match typed {
        Some(id) => Some(Known {
            value: id.to_owned(),
            source: Source::Outing,
        }),
        None => scene.state.antenna_for(freq_mhz),
    };
    let Some(known) = known else {
        reading
            .cautions
            .push("which antenna? None is known; `on ANTENNA` says it".to_owned());
        return None;
    };
    let name = antenna_name(scene.outing, &known.value);
    match (typed, known.source) {
        (Some(_), _) => {}
        (None, Source::Entry(n)) => reading.taken.push(format!("{name} as in entry {n}")),
        (None, Source::Outing | Source::Guess) => reading.taken.push(format!("{name}, the first for this frequency")),
    }
    if scene
        .outing
        .kit
        .antenna(&known.value)
        .is_some_and(|a| !a.serves(freq_mhz))
    {
        let caution = format!("{name} is not meant for {freq_mhz} MHz; if another hangs, say `on ANTENNA`");
        reading.cautions.push(caution);
    }
    Some(known.value)
}

type Ending = (Outcome, Option<f64>, Option<f64>);

fn ending(
    end: End,
    mut typed: Typed,
    station: &Station,
    scene: &Scene<'_>,
    reading: &mut Reading,
) -> Result<Ending, String> {
    let mut bare = std::mem::take(&mut typed.bare);
    // A message that is named brings its length: a single number behind it is the minutes.
    let length_wanted = end == End::Ok && typed.bytes.is_none() && (typed.message.is_none() || bare.len() > 1);
    if length_wanted && !bare.is_empty() {
        typed.bytes = Some(bare.remove(0));
    }
    for place in [&mut typed.minutes, &mut typed.snr_db] {
        if place.is_none() && !bare.is_empty() {
            *place = Some(bare.remove(0));
        }
    }
    if let Some(left) = bare.first() {
        return Err(format!("one number too many: {left}"));
    }
    let (minutes, snr_db) = (typed.minutes, typed.snr_db);
    let outcome = match end {
        End::No => Outcome::NoAnswer,
        End::Failed => Outcome::HeardButFailed,
        End::Linked => Outcome::Linked,
        End::Ok => delivered(&typed, station, scene, reading)?,
    };
    if !matches!(outcome, Outcome::Delivered { .. }) && typed.bytes.is_some() {
        return Err("bytes go with ok only".to_owned());
    }
    Ok((outcome, minutes, snr_db))
}

fn delivered(typed: &Typed, station: &Station, scene: &Scene<'_>, reading: &mut Reading) -> Result<Outcome, String> {
    let whole = |value: f64| {
        let fits = value >= 1.0 && value.fract() == 0.0 && value < 1e9;
        if fits {
            Ok(value as u64)
        } else {
            Err(format!("{value} is no number of bytes"))
        }
    };
    match (&typed.message, typed.bytes) {
        (Some(id), Some(bytes)) => Ok(Outcome::Delivered {
            message: Some(id.clone()),
            bytes: whole(bytes)?,
        }),
        (Some(id), None) => {
            let (_, bytes) = scene.message(id)?;
            reading.taken.push(format!("{bytes} bytes, the length of {id}"));
            Ok(Outcome::Delivered {
                message: Some(id.clone()),
                bytes,
            })
        }
        (None, Some(bytes)) => {
            let bytes = whole(bytes)?;
            let message = scene.only_message_of(bytes, station);
            if let Some(id) = &message {
                reading
                    .taken
                    .push(format!("message {id}, the only one left of {bytes} bytes"));
            }
            Ok(Outcome::Delivered { message, bytes })
        }
        (None, None) => Err("what was delivered? Its bytes or the id of the message come after ok".to_owned()),
    }
}

impl Scene<'_> {
    /// The station that a short name means.
    pub(super) fn station(&self, typed: &str) -> Result<&Station, String> {
        must_pick("station", typed, &self.stations())
    }

    pub(super) fn stations(&self) -> Vec<Named<'_, &Station>> {
        let named = |s| {
            let station: &Station = s;
            Named {
                names: vec![station.id.as_str(), station.callsign.as_str(), station.name.as_str()],
                value: station,
            }
        };
        self.outing.stations.iter().map(named).collect()
    }

    /// Id of the antenna of the kit that a short name means.
    pub(super) fn antenna(&self, typed: &str) -> Result<String, String> {
        let antennas: Vec<Named<'_, String>> = self
            .outing
            .kit
            .antennas
            .iter()
            .map(|a| Named {
                names: vec![a.id.as_str(), a.name.as_str()],
                value: a.id.to_string(),
            })
            .collect();
        must_pick("antenna", typed, &antennas)
    }
}

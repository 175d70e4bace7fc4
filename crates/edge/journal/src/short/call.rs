//! `call STATION MHZ no|busy|failed|linked|ok …`.

use farhop_day::{BusyWhat, Call, Event, Known, Outcome, Received, Source};
use farhop_outing::Station;

use crate::short::channel::channel_mhz;
use crate::short::names::{Named, Pick, must_pick, pick};
use crate::short::passed::{self, Part, Passed};
use crate::short::words::{joined, mhz, number, with_unit};
use crate::short::{Reading, Scene, Wrong};

/// How a call may end, in words.
#[derive(Clone, Copy, PartialEq, Eq)]
enum End {
    No,
    Busy,
    Occupied,
    Failed,
    Linked,
    Ok,
}

const ENDS: [(&str, End); 12] = [
    ("no", End::No),
    ("none", End::No),
    ("nothing", End::No),
    ("busy", End::Busy),
    ("occupied", End::Occupied),
    ("failed", End::Failed),
    ("heard", End::Failed),
    ("linked", End::Linked),
    ("ok", End::Ok),
    ("sent", End::Ok),
    ("delivered", End::Ok),
    ("through", End::Ok),
];

/// How a call can end, for messages.
const HOW: &str = "no, busy, failed, linked or ok";

/// What was typed, sorted by what it is.
#[derive(Default)]
struct Typed {
    freq: Option<(String, f64)>,
    exact: bool,
    end: Option<End>,
    busy: Option<BusyWhat>,
    antenna: Option<String>,
    power_w: Option<f64>,
    minutes: Option<f64>,
    snr_db: Option<f64>,
    bare: Vec<f64>,
    passed: Passed,
}

pub(super) fn read(rest: &str, scene: &Scene<'_>) -> Result<Reading, Wrong> {
    let words = joined(rest);
    let (first, details) = words.split_first().ok_or("which station was called?")?;
    let station = scene.station(first)?;
    let mut typed = Typed::default();
    sort(details, &mut typed, scene)?;
    let mut reading = Reading::empty();
    let freq_mhz = typed_freq(&typed, station, &mut reading)?;
    finish(typed, station, freq_mhz, scene, reading)
}

/// `sent …` alone: to the station of the last call.
pub(super) fn sent(rest: &str, scene: &Scene<'_>) -> Result<Reading, Wrong> {
    let last = scene.last_call();
    let (entry, call) =
        last.ok_or("by way of which station? No call is in the journal yet: call STATION MHZ ok MESSAGE")?;
    let station = scene.station(&call.station)?;
    let mut typed = Typed {
        end: Some(End::Ok),
        ..Typed::default()
    };
    sort(&joined(rest), &mut typed, scene)?;
    let mut reading = Reading::empty();
    reading
        .taken
        .push(format!("{} on {} MHz as in entry {entry}", station.name, call.freq_mhz));
    if call.outcome == Outcome::Linked {
        reading.cautions.push(format!(
            "if this was the link of entry {entry}, write `fix {entry} call {} {} sent {rest}` and strike this one",
            call.station, call.freq_mhz
        ));
    }
    finish(typed, station, call.freq_mhz, scene, reading)
}

fn finish(
    typed: Typed,
    station: &Station,
    freq_mhz: f64,
    scene: &Scene<'_>,
    mut reading: Reading,
) -> Result<Reading, Wrong> {
    let end = typed.end.ok_or_else(|| format!("how did it end? {HOW}"))?;
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
    let (outcome, minutes, snr_db) = ending(end, typed, (station, freq_mhz), scene, &mut reading)?;
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

fn sort(words: &[String], typed: &mut Typed, scene: &Scene<'_>) -> Result<(), Wrong> {
    let mut words = words.iter();
    while let Some(word) = words.next() {
        let lower = word.to_lowercase();
        match lower.as_str() {
            "exact" => typed.exact = true,
            "and" => {}
            "on" | "with" => {
                let name = words.next().ok_or("which antenna? It comes after `on`")?;
                once("antenna", &mut typed.antenna, scene.antenna(name)?)?;
            }
            "half" | "part" => {
                let part = if lower == "half" { Part::Half } else { Part::Some };
                once("part", &mut typed.passed.part, part)?;
                typed.end = typed.end.or(Some(End::Ok));
            }
            "got" | "received" => {
                let rest: Vec<String> = words.by_ref().cloned().collect();
                typed.passed.received.push(passed::got(&rest, scene)?);
                typed.end = typed.end.or(Some(End::Linked));
            }
            _ => one_word(word, typed, scene)?,
        }
    }
    Ok(())
}

fn once<T>(what: &str, place: &mut Option<T>, value: T) -> Result<(), String> {
    match place.replace(value) {
        None => Ok(()),
        Some(_) => Err(format!("{what} is given twice")),
    }
}

fn one_word(word: &str, typed: &mut Typed, scene: &Scene<'_>) -> Result<(), Wrong> {
    if let Some(power_w) = with_unit(word, &["watts", "watt", "w"]) {
        return Ok(once("power", &mut typed.power_w, power_w)?);
    }
    if let Some(bytes) = with_unit(word, &["bytes", "byte", "b"]).filter(|_| !word.to_lowercase().ends_with("db")) {
        return Ok(once("length", &mut typed.passed.bytes, bytes)?);
    }
    if let Some(minutes) = with_unit(word, &["minutes", "mins", "min", "m"]) {
        return Ok(once("time on the air", &mut typed.minutes, minutes)?);
    }
    if let Some(snr_db) = with_unit(word, &["db"]) {
        return Ok(once("SNR", &mut typed.snr_db, snr_db)?);
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

/// How it ended, if the word says that. Several words for one and the same end are no question.
fn end_of(word: &str) -> Option<End> {
    let ends = ENDS.map(|(name, end)| Named {
        names: vec![name],
        value: end,
    });
    match pick(word, &ends) {
        Pick::One(end) => Some(end),
        Pick::Many(names) => {
            let mut means = ENDS.iter().filter(|(n, _)| names.iter().any(|m| m == n)).map(|e| e.1);
            let first = means.next();
            first.filter(|f| means.all(|m| m == *f))
        }
        Pick::None(_) => None,
    }
}

/// A word without a number: how it ended, else a message, else an antenna.
fn name(word: &str, typed: &mut Typed, scene: &Scene<'_>) -> Result<(), Wrong> {
    match typed.end {
        None => {
            let end = end_of(word).ok_or_else(|| format!("\"{word}\" is no way for a call to end: {HOW}"))?;
            if end == End::Occupied {
                typed.busy = Some(BusyWhat::Channel);
            }
            typed.end = Some(end);
            Ok(())
        }
        Some(End::Ok) => match scene.message_to_send(word) {
            Ok(id) => {
                // A number before the name may be bytes or minutes; behind it, it is the minutes.
                if let (1, true) = (typed.bare.len(), typed.passed.messages.is_empty()) {
                    passed::number_before(&mut typed.bare, &mut typed.passed, &id, scene)?;
                }
                typed.passed.add(id)
            }
            Err(problem) => match scene.antenna(word) {
                Ok(id) => Ok(once("antenna", &mut typed.antenna, id)?),
                Err(_) => Err(problem),
            },
        },
        Some(End::Busy | End::Occupied) if busy_of(word).is_some() => {
            typed.busy = busy_of(word);
            Ok(())
        }
        Some(_) => Ok(once("antenna", &mut typed.antenna, scene.antenna(word)?)?),
    }
}

/// What was busy, if the word says that.
pub(super) fn busy_of(word: &str) -> Option<BusyWhat> {
    match word.to_lowercase().as_str() {
        "gateway" | "station" => Some(BusyWhat::Gateway),
        "channel" | "occupied" | "frequency" => Some(BusyWhat::Channel),
        _ => None,
    }
}

fn typed_freq(typed: &Typed, station: &Station, reading: &mut Reading) -> Result<f64, String> {
    match &typed.freq {
        Some((text, _)) => scene_freq(station, text, typed.exact, reading),
        None => only_freq(station, reading),
    }
}

/// The only channel of a station, told; a question where there are several.
pub(super) fn only_freq(station: &Station, reading: &mut Reading) -> Result<f64, String> {
    match station.channels.as_slice() {
        [only] => {
            reading
                .taken
                .push(format!("{} MHz, the only channel of {}", only.freq_mhz, station.name));
            Ok(only.freq_mhz)
        }
        channels => {
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
    let name = scene.outing.antenna_name(&known.value);
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
    to: (&Station, f64),
    scene: &Scene<'_>,
    reading: &mut Reading,
) -> Result<Ending, Wrong> {
    let mut bare = std::mem::take(&mut typed.bare);
    let passed = &mut typed.passed;
    // A message that is named brings its length: a single number behind it is the minutes.
    let unnamed = passed.messages.is_empty() && passed.part.is_none();
    let length_wanted = end == End::Ok && passed.bytes.is_none() && (unnamed || bare.len() > 1);
    if length_wanted && !bare.is_empty() && passed.messages.len() < 2 {
        passed.bytes = Some(bare.remove(0));
    }
    for place in [&mut typed.minutes, &mut typed.snr_db] {
        if place.is_none() && !bare.is_empty() {
            *place = Some(bare.remove(0));
        }
    }
    if let Some(left) = bare.first() {
        return Err(format!("one number too many: {left}").into());
    }
    if end != End::Ok && passed.bytes.is_some() {
        return Err("bytes go with ok only".into());
    }
    let received: Vec<Received> = passed.received.clone();
    let outcome = match end {
        End::No => Outcome::NoAnswer,
        End::Busy | End::Occupied => Outcome::Busy { what: typed.busy },
        End::Failed => Outcome::HeardButFailed,
        End::Linked if received.is_empty() => Outcome::Linked,
        End::Linked | End::Ok => passed::outcome(typed.passed, end == End::Ok, to, scene, reading)?,
    };
    if !received.is_empty() && !outcome.linked() {
        return Err("nothing can be received without a link: linked or ok".into());
    }
    Ok((outcome, typed.minutes, typed.snr_db))
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

    /// The last call, with the number of its entry.
    pub(super) fn last_call(&self) -> Option<(u64, &Call)> {
        self.state.entries.iter().rev().find_map(|e| match &e.account.event {
            Event::Called(call) => Some((e.number, call)),
            _ => None,
        })
    }
}

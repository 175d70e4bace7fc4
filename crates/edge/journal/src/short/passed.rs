//! What passed over a link: messages sent whole or in part, messages received. Never a guess: what fits two is a question.

use farhop_day::{Event, MessageState, Outcome, Phase, Received, SentPart, Session};
use farhop_outing::Station;

use crate::short::names::{Named, Pick, pick};
use crate::short::words::{joined, with_unit};
use crate::short::{Reading, Scene, Wrong};

/// How much of a message went.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    /// About one half.
    Half,
    /// A part; nobody knows how much.
    Some,
}

/// What was typed about what passed.
#[derive(Default)]
pub(super) struct Passed {
    pub messages: Vec<String>,
    pub bytes: Option<f64>,
    pub part: Option<Part>,
    pub received: Vec<Received>,
}

impl Passed {
    pub(super) fn add(&mut self, id: String) -> Result<(), Wrong> {
        if self.messages.contains(&id) {
            return Err(format!("message {id} is given twice").into());
        }
        self.messages.push(id);
        Ok(())
    }
}

/// A single number before the name of a message: its bytes when they are just those, else a question.
pub(super) fn number_before(
    bare: &mut Vec<f64>,
    passed: &mut Passed,
    id: &str,
    scene: &Scene<'_>,
) -> Result<(), Wrong> {
    let Some(value) = bare.first().copied().filter(|_| passed.bytes.is_none()) else {
        return Ok(());
    };
    let state = scene.state.message(id);
    if state.is_some_and(|m| m.left_bytes() as f64 == value || m.message.size_bytes as f64 == value) {
        passed.bytes = Some(bare.remove(0));
        return Ok(());
    }
    Err(format!("{value}: bytes or minutes? Write {value}b or {value}min").into())
}

/// How the call ended by what passed. `sent` says that something of ours went, even where it is not named.
pub(super) fn outcome(
    passed: Passed,
    sent: bool,
    to: (&Station, f64),
    scene: &Scene<'_>,
    reading: &mut Reading,
) -> Result<Outcome, Wrong> {
    let parts = if sent {
        parts(&passed, to, scene, reading)?
    } else {
        Vec::new()
    };
    Ok(Outcome::Session(Session {
        sent: parts,
        received: passed.received,
    }))
}

fn parts(
    passed: &Passed,
    to: (&Station, f64),
    scene: &Scene<'_>,
    reading: &mut Reading,
) -> Result<Vec<SentPart>, Wrong> {
    let bytes = passed.bytes.map(whole_bytes).transpose()?;
    let ids = match passed.messages.as_slice() {
        [] => vec![unnamed(passed, bytes, to, scene, reading)?],
        named => named.to_vec(),
    };
    if ids.len() > 1 && (bytes.is_some() || passed.part.is_some()) {
        return Err("of which message? A number of bytes, half or part goes with one message".into());
    }
    ids.iter()
        .map(|id| Ok(one(id, bytes, passed.part, scene, reading)))
        .collect()
}

fn whole_bytes(value: f64) -> Result<u64, Wrong> {
    let fits = value >= 1.0 && value.fract() == 0.0 && value < 1e9;
    if fits {
        Ok(value as u64)
    } else {
        Err(format!("{value} is no number of bytes").into())
    }
}

/// A message, or the part of it that went.
fn one(id: &str, bytes: Option<u64>, part: Option<Part>, scene: &Scene<'_>, reading: &mut Reading) -> SentPart {
    let state = scene.state.message(id);
    let left = state.map_or(0, |m| if m.left() { m.left_bytes() } else { m.message.size_bytes });
    if let Some(Phase::Delivered { entry, .. }) = state.map(|m| &m.phase) {
        reading
            .cautions
            .push(format!("{id} was through before, by entry {entry}"));
    }
    if let Some(Phase::Withdrawn { entry }) = state.map(|m| &m.phase) {
        reading.cautions.push(format!("{id} was withdrawn by entry {entry}"));
    }
    let (bytes, whole) = match (bytes, part) {
        (Some(bytes), None) => (bytes, bytes >= left),
        (Some(bytes), Some(_)) => (bytes, false),
        (None, Some(Part::Half)) => (state.map_or(0, |m| m.message.size_bytes / 2), false),
        (None, Some(Part::Some)) => (0, false),
        (None, None) => {
            reading.taken.push(format!("{left} bytes, the length of {id}"));
            (left, true)
        }
    };
    if !whole && part.is_none() {
        reading.cautions.push(format!(
            "{} bytes of {id} are left; if it is through, write `ok {id}`",
            left.saturating_sub(bytes)
        ));
    }
    SentPart {
        message: id.to_owned(),
        bytes,
        whole,
    }
}

/// The message that is meant where none is named: the only open one that fits. Otherwise a question.
fn unnamed(
    passed: &Passed,
    bytes: Option<u64>,
    to: (&Station, f64),
    scene: &Scene<'_>,
    reading: &mut Reading,
) -> Result<String, Wrong> {
    let (station, freq_mhz) = to;
    let open: Vec<&MessageState> = scene.state.open_for(station.id.as_str()).collect();
    let fitting: Vec<&MessageState> = match bytes {
        Some(bytes) if passed.part.is_none() => open.iter().copied().filter(|m| m.left_bytes() == bytes).collect(),
        _ => open.clone(),
    };
    if let [only] = fitting.as_slice() {
        let why = match bytes {
            Some(bytes) if passed.part.is_none() => format!("the only one left of {bytes} bytes"),
            _ => format!("the only one left for {}", station.name),
        };
        reading.taken.push(format!("message {}, {why}", only.id()));
        return Ok(only.id().to_owned());
    }
    let form = |m: &MessageState| {
        let part = match (passed.part, bytes) {
            (Some(Part::Half), _) => " half".to_owned(),
            (Some(Part::Some), Some(bytes)) => format!(" part {bytes}b"),
            (Some(Part::Some), None) => " part".to_owned(),
            (None, Some(bytes)) if m.left_bytes() != bytes => format!(" {bytes}b"),
            (None, _) => String::new(),
        };
        format!("call {} {freq_mhz} ok{part} {}", station.id, m.id())
    };
    if open.is_empty() {
        return Err(format!(
            "no message is left that {} may take; a new one: write MESSAGE BYTES",
            station.id
        )
        .into());
    }
    let asked = if fitting.is_empty() { open } else { fitting };
    let names: Vec<&str> = asked.iter().map(|m| m.id()).collect();
    Err(Wrong {
        problem: format!("Which one? {}", names.join(" or ")),
        choices: asked.iter().map(|m| form(m)).collect(),
    })
}

/// `received WORDS [180b] [from STATION]` alone.
pub(super) fn received(rest: &str, scene: &Scene<'_>) -> Result<Reading, Wrong> {
    Ok(Reading::plain(Event::Received(got(&joined(rest), scene)?)))
}

/// A message that came in, in words.
pub(super) fn got(words: &[String], scene: &Scene<'_>) -> Result<Received, Wrong> {
    let mut message = Received::default();
    let mut said: Vec<&str> = Vec::new();
    let mut words = words.iter().peekable();
    while let Some(word) = words.next() {
        let bytes = with_unit(word, &["bytes", "byte", "b"]);
        let station = words.peek().and_then(|name| scene.station(name).ok());
        match (bytes, word.to_lowercase().as_str(), station) {
            (Some(bytes), _, _) if message.bytes.is_none() => message.bytes = Some(whole_bytes(bytes)?),
            (_, "by" | "via", Some(station)) => {
                message.station = Some(station.id.to_string());
                words.next();
            }
            _ => said.push(word),
        }
    }
    message.words = said.join(" ");
    if message.words.is_empty() && message.bytes.is_none() {
        return Err("received what, or from whom?".into());
    }
    Ok(message)
}

impl Scene<'_> {
    /// Id of the message that went, by a short name: of those that are left, else of all. What fits two is a question.
    pub(super) fn message_to_send(&self, typed: &str) -> Result<String, Wrong> {
        let candidates = |open: bool| -> Vec<Named<'_, String>> {
            let states = self.state.messages.iter().filter(|m| !open || m.left());
            states
                .map(|m| Named {
                    names: vec![m.id()],
                    value: m.id().to_owned(),
                })
                .collect()
        };
        match pick(typed, &candidates(true)) {
            Pick::One(id) => Ok(id),
            Pick::Many(names) => Err(format!("Which one? {}", names.join(" or ")).into()),
            Pick::None(_) => Ok(crate::short::names::must_pick("message", typed, &candidates(false))?),
        }
    }
}

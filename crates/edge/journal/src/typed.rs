//! Typed events, as programs and pages send them: no words to be understood, only ids that must be known.

use farhop_day::{Account, DayState, EntryKey, Event, HeardWho, Known, Outcome, Source, Spot, Task, questions};
use farhop_earth::UtcTime;
use farhop_outing::Outing;
use serde::Deserialize;

/// Most events in one list.
pub(crate) const MOST_EVENTS: usize = 1_000;

/// An event with what its sender knows of its circumstances.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Typed {
    /// Its own key: sent twice, it is kept once. None lets the journal make one.
    #[serde(default)]
    pub key: Option<EntryKey>,
    /// When it happened, as RFC 3339; none means now.
    #[serde(default)]
    pub at: Option<String>,
    /// Where, if that is known better than by the journal.
    #[serde(default)]
    pub place: Option<Spot>,
    /// Who operates, if several do.
    #[serde(default)]
    pub who: Option<String>,
    /// What happened.
    pub event: Event,
}

/// One event, bare or with its circumstances, or a list of them.
#[derive(Deserialize)]
#[serde(untagged)]
enum Sent {
    List(Vec<serde_json::Value>),
    One(serde_json::Value),
}

/// The events of a text: `{"called": {…}}`, `{"at": "…", "event": {…}}`, or a list of either.
///
/// # Errors
/// In words, with the place in the list: no JSON, no such event, a field too much or too few.
pub fn typed(text: &str) -> Result<Vec<Typed>, String> {
    let sent: Sent = serde_json::from_str(text).map_err(|e| format!("this is no JSON: {e}"))?;
    let (values, many) = match sent {
        Sent::List(list) => (list, true),
        Sent::One(one) => (vec![one], false),
    };
    if values.is_empty() || values.len() > MOST_EVENTS {
        return Err(format!(
            "a list holds 1 to {MOST_EVENTS} events, this one {}",
            values.len()
        ));
    }
    let numbered = values.into_iter().enumerate();
    numbered
        .map(|(index, value)| {
            one(value).map_err(|why| {
                if many {
                    format!("event {} of the list: {why}", index + 1)
                } else {
                    why
                }
            })
        })
        .collect()
}

fn one(value: serde_json::Value) -> Result<Typed, String> {
    let wanted = "; wanted is for example {\"called\": {\"station\": \"…\", \"freq_mhz\": 7.05, \"outcome\": \"no-answer\"}}, or \
                  {\"at\": \"2026-12-12T01:35:00Z\", \"event\": {…}}";
    let whole = value.get("event").is_some();
    let read = if whole {
        serde_json::from_value(value)
    } else {
        serde_json::from_value(value).map(|event| Typed {
            key: None,
            at: None,
            place: None,
            who: None,
            event,
        })
    };
    read.map_err(|e| format!("{e}{wanted}"))
}

/// The event with its circumstances, and what was not said and taken: the place, the antenna that hangs, the power that is set.
/// `day` is the state at `at`.
#[must_use]
pub fn complete(typed: Typed, day: &DayState, at: UtcTime) -> (Account, Vec<String>) {
    let mut taken = Vec::new();
    let mut event = typed.event;
    if let Event::Called(call) = &mut event {
        if call.antenna.is_none() {
            let hung = day.antenna_for(call.freq_mhz);
            taken.extend(hung.as_ref().map(|known| antenna_words(&day.outing, known)));
            call.antenna = hung.map(|known| known.value);
        }
        if call.power_w.is_none() {
            taken.push(power_words(&day.power_w));
            call.power_w = Some(day.power_w.value);
        }
    }
    let stay = day.stay.as_ref().filter(|stay| stay.source != Source::Guess);
    let place = match &event {
        Event::Moved(spot) => Some(spot.clone()),
        _ => typed.place.or_else(|| stay.map(|stay| stay.spot.clone())),
    };
    let account = Account {
        at,
        place,
        who: typed.who,
        event,
    };
    (account, taken)
}

fn antenna_words(outing: &Outing, known: &Known<String>) -> String {
    let name = outing.antenna_name(&known.value);
    match known.source {
        Source::Entry(number) => format!("{name} as in entry {number}"),
        Source::Outing | Source::Guess => format!("{name}, the first for this frequency"),
    }
}

fn power_words(known: &Known<f64>) -> String {
    match known.source {
        Source::Entry(number) => format!("{} W as in entry {number}", known.value),
        Source::Outing | Source::Guess => format!("{} W, the usual setting", known.value),
    }
}

/// What the day does not know of an event.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Strange {
    /// In a few words: `the outing has no station oak; there are larch, beech`.
    pub words: String,
    /// The entry, or its part, would count for nothing; else it only deserves a second look.
    pub in_vain: bool,
}

/// What the day does not know of an event: station, channel, site, antenna, message; bytes without a message. Then what is odd about it.
#[must_use]
pub fn strangers(event: &Event, day: &DayState) -> Vec<Strange> {
    let mut found = Vec::new();
    let outing = &day.outing;
    match event {
        Event::Called(call) => {
            station(&call.station, Some(call.freq_mhz), outing, &mut found);
            messages(&call.outcome, day, &mut found);
            known_antenna(call.antenna.as_deref(), outing, &mut found);
        }
        Event::Heard(heard) => {
            if let HeardWho::Station(id) = &heard.who {
                station(id, Some(heard.freq_mhz), outing, &mut found);
            }
        }
        Event::Busy(busy) => station(&busy.station, Some(busy.freq_mhz), outing, &mut found),
        Event::Silent(silent) => station(&silent.station, Some(silent.freq_mhz), outing, &mut found),
        Event::StationOff(off) => station(&off.station, None, outing, &mut found),
        Event::Received(message) => {
            if let Some(id) = &message.station {
                station(id, None, outing, &mut found);
            }
        }
        Event::Moved(Spot::Site(id)) => site(id, outing, &mut found),
        Event::Withdrawn(gone) => message(&gone.message, day, &mut found),
        Event::Antenna(hung) => known_antenna(Some(&hung.antenna), outing, &mut found),
        Event::Down(down) => known_antenna(Some(&down.antenna), outing, &mut found),
        Event::Swr(swr) => known_antenna(swr.antenna.as_deref(), outing, &mut found),
        Event::PowerOut(power) => known_antenna(power.antenna.as_deref(), outing, &mut found),
        Event::TunerRefused(refused) => known_antenna(refused.antenna.as_deref(), outing, &mut found),
        Event::Begun(begun) => match &begun.task {
            Task::Hang { antenna } => known_antenna(Some(antenna), outing, &mut found),
            Task::Walk { site: id } => site(id, outing, &mut found),
            Task::Check { .. } => {}
        },
        _ => {}
    }
    found.extend(questions(event, day).iter().map(|odd| Strange {
        words: odd.to_string(),
        in_vain: false,
    }));
    found
}

fn vain(words: String) -> Strange {
    Strange { words, in_vain: true }
}

fn station(id: &str, freq_mhz: Option<f64>, outing: &Outing, found: &mut Vec<Strange>) {
    match (outing.station(id), freq_mhz) {
        (None, _) => {
            let known: Vec<&str> = outing.stations.iter().map(|s| s.id.as_str()).collect();
            found.push(vain(format!(
                "the outing has no station {id}; there are {}",
                known.join(", ")
            )));
        }
        (Some(station), Some(freq_mhz)) if station.channel_on(freq_mhz).is_none() => {
            found.push(Strange {
                words: format!("{freq_mhz} MHz is no channel of {}", station.name),
                in_vain: false,
            });
        }
        _ => {}
    }
}

fn site(id: &str, outing: &Outing, found: &mut Vec<Strange>) {
    if outing.site(id).is_none() {
        found.push(vain(format!("the outing has no site {id}")));
    }
}

fn known_antenna(id: Option<&str>, outing: &Outing, found: &mut Vec<Strange>) {
    if let Some(id) = id.filter(|id| outing.kit.antenna(id).is_none()) {
        found.push(vain(format!("the kit has no antenna {id}")));
    }
}

fn message(id: &str, day: &DayState, found: &mut Vec<Strange>) {
    if day.message(id).is_none() {
        let known: Vec<&str> = day.messages.iter().map(|m| m.id()).collect();
        found.push(vain(format!(
            "the day has no message {id}; there are {}",
            known.join(", ")
        )));
    }
}

fn messages(outcome: &Outcome, day: &DayState, found: &mut Vec<Strange>) {
    match outcome {
        Outcome::Session(session) => session.sent.iter().for_each(|part| message(&part.message, day, found)),
        Outcome::Delivered { message: Some(id), .. } => message(id, day, found),
        Outcome::Delivered { message: None, bytes } => {
            found.push(vain(format!(
                "{bytes} bytes without a message credit nothing; name the message in a session"
            )));
        }
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_event_or_a_list_bare_or_with_its_circumstances() {
        let bare = r#"{"called": {"station": "larch", "freq_mhz": 7.0495, "outcome": {"session": {"sent": [{"message": "arrived", "bytes": 300, "whole": true}]}}}}"#;
        assert_eq!(typed(bare).unwrap().len(), 1);
        let list = format!(r#"[{bare}, {{"key": "a-1", "at": "2026-12-12T01:35:00Z", "event": {{"thunder": {{}}}}}}]"#);
        let found = typed(&list).unwrap();
        assert_eq!(found[1].key.as_ref().map(EntryKey::as_str), Some("a-1"));
        assert_eq!(found[0], typed(bare).unwrap()[0]);
        for (text, why) in [
            ("", "no JSON"),
            ("[]", "1 to 1000"),
            ("{}", "wanted is for example"),
            (r#"{"danced": {}}"#, "danced"),
            (r#"[{"thunder": {}}, {"voltage": {"volts": 3}}]"#, "event 2 of the list"),
            (r#"{"event": {"thunder": {}}, "time": 3}"#, "time"),
        ] {
            let error = typed(text).unwrap_err();
            assert!(error.contains(why), "{text}: {error}");
        }
    }
}

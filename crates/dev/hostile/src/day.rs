//! Any sequence of events: the one state of the day holds, whatever was entered, corrected and taken back, and in which order.

use farhop_day::{
    Body, Change, Correction, DayState, Entry, EntryKey, Event, NewEntry, Standing, last_to_undo, standing, state,
};
use farhop_journal::{can_be_true, from_lines, to_line};
use serde_json::{Value, json};

use crate::journal::{kept, now};
use crate::readers::demo;

/// Numbers at the edges of what a meter shows, and usual ones.
const NUMBERS: [f64; 16] = [
    0.0,
    1.0,
    2.0,
    5.0,
    7.1,
    12.4,
    14.0,
    60.0,
    300.0,
    1e-9,
    0.5,
    100.0,
    1e6,
    -3.0,
    -121.0,
    9_007_199_254_740_993.0,
];

/// Bytes as choices; zeros when there are no more.
struct Choices<'a>(&'a [u8]);

impl Choices<'_> {
    fn byte(&mut self) -> usize {
        let (first, rest) = self.0.split_first().unwrap_or((&0, &[]));
        self.0 = rest;
        usize::from(*first)
    }

    fn of<'t, T>(&mut self, list: &'t [T]) -> &'t T {
        &list[self.byte() % list.len()]
    }

    fn number(&mut self) -> f64 {
        *self.of(&NUMBERS)
    }

    fn maybe(&mut self) -> Option<f64> {
        self.byte().is_multiple_of(2).then(|| self.number())
    }

    /// An id of the outing's, or one that it does not have.
    fn id(&mut self, of: impl Iterator<Item = String>) -> String {
        let mut all: Vec<String> = of.collect();
        all.push("nobody".to_owned());
        self.of(&all).clone()
    }

    fn station(&mut self) -> String {
        self.id(demo().stations.iter().map(|s| s.id.as_str().to_owned()))
    }

    fn message(&mut self) -> String {
        let written = ["new-one".to_owned()].into_iter();
        self.id(demo().messages.iter().map(|m| m.id.as_str().to_owned()).chain(written))
    }

    fn antenna(&mut self) -> String {
        self.id(demo().kit.antennas.iter().map(|a| a.id.as_str().to_owned()))
    }

    fn site(&mut self) -> String {
        self.id(demo().sites.iter().map(|s| s.id.as_str().to_owned()))
    }

    /// A frequency of a channel, or any number.
    fn freq_mhz(&mut self) -> f64 {
        let channels = demo().stations.iter().flat_map(|s| &s.channels).map(|c| c.freq_mhz);
        let mut all: Vec<f64> = channels.collect();
        all.extend(NUMBERS);
        *self.of(&all)
    }

    fn outcome(&mut self) -> Value {
        match self.byte() % 6 {
            0 => json!("no-answer"),
            1 => json!("heard-but-failed"),
            2 => json!("linked"),
            3 => json!({"busy": {"what": self.of(&["gateway", "channel"])}}),
            4 => json!({"delivered": {"message": self.message(), "bytes": self.byte() * 16}}),
            _ => {
                let parts = 1 + self.byte() % 3;
                let sent: Vec<Value> = (0..parts)
                    .map(
                        |_| json!({"message": self.message(), "bytes": self.byte() * 8, "whole": self.byte().is_multiple_of(2)}),
                    )
                    .collect();
                json!({"session": {"sent": sent, "received": [{"words": "weather"}]}})
            }
        }
    }

    fn event(&mut self) -> Value {
        let class = ["no-power", "nothing-out", "weak-out", "nothing-in", "no-modem", "other"];
        match self.byte() % 21 {
            0..4 => {
                json!({"called": {"station": self.station(), "freq_mhz": self.freq_mhz(), "antenna": self.antenna(),
                "power_w": self.maybe(), "minutes": self.maybe(), "snr_db": self.maybe(), "outcome": self.outcome()}})
            }
            4 => json!({"heard": {"who": {"station": self.station()}, "freq_mhz": self.freq_mhz()}}),
            5 => json!({"silent": {"station": self.station(), "freq_mhz": self.freq_mhz(), "minutes": self.number()}}),
            6 => json!({"band-dead": {"freq_mhz": self.freq_mhz()}}),
            7 => json!({"voltage": {"voltage_v": self.number()}}),
            8 => json!({"panel-current": {"current_a": self.number()}}),
            9 => json!({"moved": {"site": self.site()}}),
            10 => json!({"moved": {"point": {"lat_deg": self.number(), "lon_deg": self.number()}}}),
            11 => {
                json!({"antenna": {"antenna": self.antenna(), "how": "higher", "measures": {"apex_height_m": self.maybe(), "height_m": self.maybe()}}})
            }
            12 => json!({"down": {"antenna": self.antenna()}}),
            13 => json!({"begun": {"task": match self.byte() % 3 {
                0 => json!({"hang": {"antenna": self.antenna()}}),
                1 => json!({"walk": {"site": self.site()}}),
                _ => json!({"check": {"what": "plug"}}),
            }, "minutes": self.maybe()}}),
            14 => json!({"fault": {"what": "no power", "class": self.of(&class)}}),
            15 => json!({"mended": {"what": "no power", "class": self.of(&class)}}),
            16 => json!({"withdrawn": {"message": self.message()}}),
            17 => json!({"conditions": {"flux_sfu": self.maybe(), "a_index": self.maybe(), "k_index": self.maybe()}}),
            18 => json!({"swr": {"freq_mhz": self.freq_mhz(), "swr": self.number()}}),
            19 => json!({"fof2": {"fof2_mhz": self.number()}}),
            _ => json!({"note": {"words": "<b9>"}}),
        }
    }
}

/// A journal as the bytes make it: what cannot be true is refused, as every journal does.
fn journal(bytes: &[u8]) -> Vec<Entry> {
    let mut choices = Choices(bytes);
    let mut entries: Vec<Entry> = Vec::new();
    while !choices.0.is_empty() && entries.len() < 60 {
        let count = entries.len();
        let what = choices.byte() % 8;
        let named = (count > 0).then(|| entries[choices.byte() % count.max(1)].key.clone());
        let at = now().add_s(60 * choices.byte() as i64 - 600);
        let mut account = || {
            let event: Event = serde_json::from_value(choices.event()).expect("events as pages send them");
            farhop_day::Account {
                at,
                place: None,
                who: None,
                event,
            }
        };
        let change = match what {
            0 => Some(Change::Undo),
            1 => Some(Change::Strike),
            2 => Some(Change::Replace(account())),
            _ => None,
        };
        let body = match (named, change) {
            (Some(of), Some(change)) => Body::Correction(Correction { of, who: None, change }),
            _ => Body::Account(account()),
        };
        if can_be_true(&body).is_err() {
            continue;
        }
        let new = NewEntry {
            key: Some(EntryKey::new(&format!("d{count}")).expect("letters and digits")),
            // Each has a second of its own, as a hand gives it.
            entered_at: now().add_s(count as i64),
            words: None,
            body,
        };
        entries.push(kept(count, new));
    }
    entries
}

/// A sequence of events.
pub fn day(bytes: &[u8]) {
    let entries = journal(bytes);
    let counts = standing(&entries);
    let now = now().add_s(3_600);
    let today = state(&counts, demo(), now);
    sound(&today);
    // The order in which entries come together is none of the day's business.
    let mut turned: Vec<Standing> = counts.clone();
    turned.reverse();
    assert_eq!(state(&turned, demo(), now), today);
    // What is still to come changes nothing before it.
    let half = now.add_s(-3_000);
    let so_far: Vec<Standing> = counts.iter().filter(|s| s.account.at <= half).cloned().collect();
    let (with, without) = (state(&counts, demo(), half), state(&so_far, demo(), half));
    assert_eq!(with.messages, without.messages);
    assert_eq!(with.hanging, without.hanging);
    assert_eq!(with.stay, without.stay);
    // Written as lines and read again it is the same day.
    let text: Vec<String> = entries.iter().map(|e| to_line(e).expect("a line")).collect();
    let read = from_lines(&text.join("\n")).expect("own lines");
    let again: Vec<Entry> = read.into_iter().enumerate().map(|(n, (_, new))| kept(n, new)).collect();
    assert_eq!(again, entries);
    undone(&entries, &counts);
}

/// What every day is, whatever was entered.
fn sound(today: &DayState) {
    assert_eq!(today.scenes.len(), today.entries.len());
    let _ = today.announcements();
    let (left, delivered) = (today.left(), today.delivered());
    assert!(
        left.iter().all(|id| !delivered.contains(id)),
        "left and delivered at once"
    );
    for message in &today.messages {
        assert_eq!(message.left(), left.contains(&message.id()), "{}", message.id());
        let _ = message.left_bytes();
    }
    let mut ids: Vec<&str> = today.messages.iter().map(farhop_day::MessageState::id).collect();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), today.messages.len(), "a message twice");
    assert!(today.power_w.value.is_finite());
}

/// Taking back the last entry gives the day without it.
fn undone(entries: &[Entry], counts: &[Standing]) {
    let Some(last) = last_to_undo(entries) else { return };
    let mut more = entries.to_vec();
    let new = NewEntry {
        key: Some(EntryKey::new("undo").expect("letters")),
        entered_at: now().add_s(10_000),
        words: None,
        body: Body::Correction(Correction {
            of: last.key.clone(),
            who: None,
            change: Change::Undo,
        }),
    };
    more.push(kept(entries.len(), new));
    let after = standing(&more);
    assert!(
        after.iter().all(|s| s.key != last.key) || matches!(last.body, Body::Correction(_)),
        "{last:?} still counts"
    );
    if matches!(last.body, Body::Account(_)) {
        let others = |list: &[Standing]| list.iter().filter(|s| s.key != last.key).cloned().collect::<Vec<_>>();
        assert_eq!(others(&after), others(counts), "another entry went with it");
    }
}

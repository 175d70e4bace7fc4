//! Whatever the order in which entries come together, the day is one; and nothing leaves what is left without an entry that names it.

use std::collections::BTreeSet;

use crate::common::{Table, at, call, demo_with_hello, sent, withdrawn, written};
use farhop_day::{
    Body, Change, DayState, Entry, Event, Outcome, SentPart, Session, Standing, Voltage, last_to_undo, standing, state,
};
use proptest::prelude::*;

const IDS: [&str; 4] = ["arrived", "hello", "stores", "thanks"];

#[derive(Clone, Debug)]
enum Deed {
    Log(i64, Event),
    Undo,
    Strike(usize),
    Fix(usize, i64, Event),
}

fn event() -> impl Strategy<Value = Event> {
    let id = || prop::sample::select(IDS.to_vec());
    let part = (id(), 1u64..2_000, any::<bool>());
    prop_oneof![
        (id(), 1u64..3_000).prop_map(|(m, b)| written(m, b)),
        id().prop_map(withdrawn),
        prop::collection::vec(part, 1..3).prop_map(|parts| {
            let mut parts = parts;
            parts.dedup_by_key(|p| p.0);
            call("larch", sent(&parts))
        }),
        (prop::option::of(id()), 1u64..400).prop_map(|(m, bytes)| {
            let message = m.map(str::to_owned);
            call("alder", Outcome::Delivered { message, bytes })
        }),
        Just(call("larch", Outcome::NoAnswer)),
        prop::sample::select(vec!["ridge", "hut"]).prop_map(|s| Event::Moved(farhop_day::Spot::Site(s.to_owned()))),
        (9.0f64..13.0).prop_map(|voltage_v| Event::Voltage(Voltage { voltage_v })),
    ]
}

fn deed() -> impl Strategy<Value = Deed> {
    prop_oneof![
        6 => (0i64..300, event()).prop_map(|(m, e)| Deed::Log(m, e)),
        1 => Just(Deed::Undo),
        1 => any::<usize>().prop_map(Deed::Strike),
        1 => (any::<usize>(), 0i64..300, event()).prop_map(|(i, m, e)| Deed::Fix(i, m, e)),
    ]
}

/// A journal as the deeds make it; each entry has a second of its own, as a hand gives it.
fn journal(deeds: &[Deed]) -> Vec<Entry> {
    let mut table = Table::default();
    for deed in deeds {
        let count = table.entries.len();
        let accounts: Vec<u64> = table
            .entries
            .iter()
            .filter(|e| matches!(e.body, Body::Account(_)))
            .map(|e| e.number)
            .collect();
        match deed {
            Deed::Log(minute, event) => {
                table.enter(*minute, event.clone());
            }
            Deed::Undo => {
                if let Some(last) = last_to_undo(&table.entries).map(|e| e.number) {
                    table.correct(0, last, Change::Undo);
                }
            }
            Deed::Strike(which) if count > 0 => {
                table.correct(0, (which % count) as u64 + 1, Change::Strike);
            }
            Deed::Fix(which, minute, event) if !accounts.is_empty() => {
                let of = accounts[which % accounts.len()];
                table.correct(0, of, Change::Replace(Table::account(*minute, event.clone())));
            }
            Deed::Strike(_) | Deed::Fix(..) => {}
        }
        if let Some(last) = table.entries.last_mut() {
            last.entered_at = at(0).add_s(i64::try_from(last.number).unwrap());
        }
    }
    table.entries
}

/// Another journal into which these entries come in another order, each twice: once known, an entry is not taken again; a correction
/// waits for what it is about, as an import does that finds nothing to correct.
fn brought_together(entries: &[Entry], order: &[usize]) -> Vec<Entry> {
    let mut ranked: Vec<(usize, &Entry)> = entries
        .iter()
        .enumerate()
        .map(|(i, e)| (order[i % order.len()], e))
        .collect();
    ranked.sort_by_key(|(rank, _)| *rank);
    let mut kept: Vec<Entry> = Vec::new();
    for _ in 0..=entries.len() {
        for (_, entry) in &ranked {
            let known = |key: &farhop_day::EntryKey| kept.iter().any(|k: &Entry| k.key == *key);
            let ready = match &entry.body {
                Body::Account(_) => true,
                Body::Correction(correction) => known(&correction.of),
            };
            if ready && !known(&entry.key) {
                let number = kept.len() as u64 + 1;
                kept.push(Entry {
                    number,
                    ..(*entry).clone()
                });
            }
        }
    }
    kept
}

/// Entry numbers belong to a journal; keys do not. Numbers are given anew from the keys.
fn by_key(mut list: Vec<Standing>, entries: &[Entry]) -> Vec<Standing> {
    let own = |number: u64| -> u64 {
        let key = &entries.iter().find(|e| e.number == number).unwrap().key;
        key.as_str()[1..].parse().unwrap()
    };
    for one in &mut list {
        one.number = own(one.number);
        one.corrected_by = one.corrected_by.map(own);
    }
    list
}

fn names(event: &Event) -> Vec<&str> {
    match event {
        Event::Withdrawn(w) => vec![&w.message],
        Event::Called(call) => match &call.outcome {
            Outcome::Session(Session { sent, .. }) => sent
                .iter()
                .filter(|p| p.whole)
                .map(|p: &SentPart| p.message.as_str())
                .collect(),
            Outcome::Delivered { message: Some(id), .. } => vec![id],
            _ => Vec::new(),
        },
        _ => Vec::new(),
    }
}

fn nothing_left_without_a_name(day: &DayState) {
    let named: BTreeSet<&str> = day.entries.iter().flat_map(|e| names(&e.account.event)).collect();
    for message in &day.messages {
        assert!(
            message.left() || named.contains(message.id()),
            "{} left without an entry: {message:?}",
            message.id()
        );
    }
    let all: BTreeSet<&str> = day.messages.iter().map(|m| m.id()).collect();
    for id in ["arrived", "hello", "stores", "repairs", "weather-request", "diary"] {
        assert!(all.contains(id), "{id} is lost");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn any_order_of_bringing_together_gives_one_day(
        deeds in prop::collection::vec(deed(), 1..25),
        order in prop::collection::vec(any::<usize>(), 1..25),
    ) {
        let outing = demo_with_hello(true);
        let first = journal(&deeds);
        let second = brought_together(&first, &order);
        prop_assert_eq!(first.len(), second.len());
        let (a, b) = (standing(&first), by_key(standing(&second), &second));
        prop_assert_eq!(&a, &b);
        let day = state(&a, &outing, at(299));
        prop_assert_eq!(&day, &state(&b, &outing, at(299)));
        // The order in which the entries are given is no part of the answer either.
        let reversed: Vec<Standing> = b.into_iter().rev().collect();
        prop_assert_eq!(&day, &state(&reversed, &outing, at(299)));
        nothing_left_without_a_name(&day);
    }
}

/// Events that count, by their volts.
fn volts(entries: &[Entry]) -> Vec<f64> {
    let read = |s: &Standing| match &s.account.event {
        Event::Voltage(v) => v.voltage_v,
        other => panic!("{other:?}"),
    };
    standing(entries).iter().map(read).collect()
}

fn reading(voltage_v: f64) -> Event {
    Event::Voltage(Voltage { voltage_v })
}

#[test]
fn what_is_taken_back_is_the_last_that_counts_and_what_takes_back_can_be_struck() {
    let mut table = Table::of(&[(1, reading(12.1)), (2, reading(12.2)), (3, reading(12.3))]);
    let last = |table: &Table| last_to_undo(&table.entries).map(|e| e.number);
    assert_eq!(last(&table), Some(3));
    table.correct(4, 3, Change::Undo);
    assert_eq!((volts(&table.entries), last(&table)), (vec![12.1, 12.2], Some(2)));
    table.correct(5, 2, Change::Undo);
    assert_eq!((volts(&table.entries), last(&table)), (vec![12.1], Some(1)));
    // A correction counts as an entry: taking back takes it back, and what it had said stands again.
    table.correct(6, 1, Change::Replace(Table::account(1, reading(12.9))));
    assert_eq!((volts(&table.entries), last(&table)), (vec![12.9], Some(6)));
    table.correct(7, 6, Change::Undo);
    assert_eq!((volts(&table.entries), last(&table)), (vec![12.1], Some(1)));
    // What was taken back stands again when the taking back is struck.
    table.correct(8, 5, Change::Strike);
    assert_eq!(volts(&table.entries), [12.1, 12.2]);
    table.correct(9, 1, Change::Strike);
    assert_eq!((volts(&table.entries), last(&table)), (vec![12.2], Some(9)));
    assert_eq!(last(&Table::default()), None);
}

#[test]
fn of_several_corrections_the_one_entered_last_wins_and_in_one_second_the_one_with_the_higher_number() {
    let anew = |voltage_v| Change::Replace(Table::account(1, reading(voltage_v)));
    let mut table = Table::of(&[(1, reading(12.0))]);
    table.correct(5, 1, anew(12.5));
    table.correct(4, 1, anew(12.4));
    assert_eq!(volts(&table.entries), [12.5]);
    table.correct(5, 1, anew(12.6));
    assert_eq!(volts(&table.entries), [12.6]);
    assert_eq!(standing(&table.entries)[0].corrected_by, Some(4));
    table.correct(6, 4, Change::Strike);
    assert_eq!(volts(&table.entries), [12.5]);
}

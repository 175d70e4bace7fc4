//! How a message stands, second by second and byte by byte, and the keys of entries.

use crate::common::{Table, at, call, demo, key, sent, withdrawn, written};
use farhop_day::{EntryKey, KeyError, LONGEST_KEY, LastSent, Outcome, Phase};
use farhop_earth::UtcTime;

fn phase(table: &Table, id: &str, now: UtcTime) -> Phase {
    let day = farhop_day::state(&farhop_day::standing(&table.entries), &demo(), now);
    day.message(id).unwrap().phase.clone()
}

#[test]
fn a_message_is_ready_and_overdue_in_the_second_that_the_outing_says() {
    let table = Table::default();
    let outing = demo();
    let repairs = outing.message("repairs").unwrap();
    let (ready, deadline) = (repairs.ready.unwrap(), repairs.deadline);
    assert_eq!(phase(&table, "repairs", ready.add_s(-1)), Phase::NotReady { ready });
    assert_eq!(phase(&table, "repairs", ready), Phase::Waiting);
    assert_eq!(phase(&table, "repairs", deadline.add_s(-1)), Phase::Waiting);
    assert_eq!(phase(&table, "repairs", deadline), Phase::Overdue);
    // A part that went before it was ready is a part that went.
    let early = Table::of(&[(0, call("wattle", sent(&[("repairs", 100, false)])))]);
    assert_eq!(phase(&early, "repairs", at(1)), Phase::SentInPart);
    assert_eq!(phase(&early, "repairs", deadline), Phase::Overdue);
}

#[test]
fn journals_of_earlier_layouts_deliver_when_the_bytes_reach_the_length() {
    // "arrived" has 300 bytes.
    let part = |bytes| {
        let message = Some("arrived".to_owned());
        call("larch", Outcome::Delivered { message, bytes })
    };
    let mut table = Table::of(&[(1, part(299))]);
    assert_eq!(phase(&table, "arrived", at(2)), Phase::SentInPart);
    table.enter(3, part(1));
    let day = table.state(&demo(), 4);
    let arrived = day.message("arrived").unwrap();
    let delivered = Phase::Delivered {
        at: at(3),
        station: "larch".to_owned(),
        entry: 2,
    };
    assert_eq!((arrived.phase.clone(), arrived.sent_bytes), (delivered.clone(), 300));
    let last = LastSent {
        at: at(3),
        station: "larch".to_owned(),
    };
    assert_eq!(arrived.last, Some(last));
    assert_eq!(
        phase(
            &Table::of(&[(3, call("beech", Outcome::Linked)), (3, part(300))]),
            "arrived",
            at(4)
        ),
        delivered
    );
    // Once through it stays through, by the entry that said so first.
    table.enter(5, call("beech", sent(&[("arrived", 300, true)])));
    table.enter(6, withdrawn("arrived"));
    assert_eq!(phase(&table, "arrived", at(7)), delivered);
    // Written anew it is another message: nothing of it went.
    table.enter(8, written("arrived", 120));
    let day = table.state(&demo(), 9);
    let arrived = day.message("arrived").unwrap();
    assert_eq!(
        (&arrived.phase, arrived.left_bytes(), &arrived.last),
        (&Phase::Waiting, 120, &None)
    );
    assert_eq!(arrived.entries, [1, 2, 3, 4, 5]);
}

#[test]
fn how_a_message_stands_is_told_in_a_few_words() {
    let words = |table: &Table, id: &str, minute: i64| table.state(&demo(), minute).message(id).unwrap().words();
    let nothing = Table::default();
    assert_eq!(words(&nothing, "arrived", 1), "waiting");
    assert_eq!(words(&nothing, "repairs", 1), "not ready yet");
    assert_eq!(words(&nothing, "arrived", 7 * 60), "overdue, still to be sent");
    let part = Table::of(&[(1, call("larch", sent(&[("arrived", 150, false)])))]);
    assert_eq!(words(&part, "arrived", 2), "sent in part, 150 of 300 bytes went");
    assert_eq!(
        words(&part, "arrived", 7 * 60),
        "overdue, still to be sent, 150 of 300 bytes went"
    );
    let some = Table::of(&[(1, call("larch", sent(&[("arrived", 0, false)])))]);
    assert_eq!(words(&some, "arrived", 2), "sent in part");
    let whole = Table::of(&[(1, call("larch", sent(&[("arrived", 300, true)])))]);
    assert_eq!(words(&whole, "arrived", 2), "delivered to larch");
    assert_eq!(whole.state(&demo(), 2).message("arrived").unwrap().left_bytes(), 0);
    let gone = Table::of(&[(1, withdrawn("arrived"))]);
    assert_eq!(words(&gone, "arrived", 2), "withdrawn");
}

#[test]
fn what_is_left_comes_by_urgency_and_a_station_takes_what_is_meant_for_it() {
    let day = Table::of(&[(1, withdrawn("stores"))]).state(&demo(), 2);
    // High before normal before low, then by deadline.
    assert_eq!(day.left(), ["arrived", "weather-request", "repairs", "diary"]);
    let open = |station: &'static str| -> Vec<String> {
        let day = Table::of(&[(1, withdrawn("diary"))]).state(&demo(), 2);
        day.open_for(station).map(|m| m.id().to_owned()).collect()
    };
    assert_eq!(open("larch"), ["arrived", "weather-request"]);
    assert_eq!(open("wattle"), ["arrived", "stores", "repairs"]);
    assert_eq!(open("alder"), ["arrived"]);
    // The index counts those that are in the outing as it is now.
    let index = |id: &str| day.message(id).unwrap().index;
    assert_eq!(
        (index("arrived"), index("stores"), index("repairs")),
        (Some(0), None, Some(1))
    );
    assert_eq!(day.outing.messages.len(), 4);
    assert!(day.overdue().is_empty());
}

#[test]
fn a_key_is_one_to_sixty_four_plain_signs_and_reads_as_it_was_written() {
    let longest = "a".repeat(LONGEST_KEY);
    for text in ["k", "A-9_z", longest.as_str()] {
        let key = EntryKey::new(text).unwrap();
        assert_eq!(
            (key.as_str(), key.to_string(), String::from(key.clone())),
            (text, text.to_owned(), text.to_owned())
        );
        assert_eq!(EntryKey::try_from(text.to_owned()).unwrap(), key);
        let json = serde_json::to_string(&key).unwrap();
        assert_eq!(json, format!("\"{text}\""));
        assert_eq!(serde_json::from_str::<EntryKey>(&json).unwrap(), key);
    }
    let too_long = "a".repeat(LONGEST_KEY + 1);
    for text in ["", "a b", "ä", "a/b", too_long.as_str()] {
        let refused: KeyError = EntryKey::new(text).unwrap_err();
        assert!(refused.to_string().contains("is not a key"), "{refused}");
    }
    // What cannot be a key is not told at any length.
    assert!(EntryKey::new(&"ü".repeat(500)).unwrap_err().to_string().chars().count() < 200);
    assert_eq!(key(7).to_string(), "k7");
}

#[test]
fn an_account_is_read_as_it_was_written_to_the_second() {
    let account = Table::account(5, written("thanks", 250));
    let json = serde_json::to_string(&account).unwrap();
    assert!(json.contains("\"2026-12-12T01:05:00Z\""), "{json}");
    assert_eq!(serde_json::from_str::<farhop_day::Account>(&json).unwrap(), account);
    assert!(serde_json::from_str::<farhop_day::Account>(&json.replace("2026-12-12T", "yesterday")).is_err());
}

#[test]
fn a_message_that_nobody_wrote_cannot_be_withdrawn() {
    let day = Table::of(&[(1, withdrawn("gone")), (2, withdrawn("arrived"))]).state(&demo(), 3);
    assert_eq!(day.aside.len(), 1);
    assert_eq!(day.aside[0].entry, 1);
    assert_eq!(
        day.aside[0].why,
        farhop_day::WhyAside::UnknownMessage("gone".to_owned())
    );
}

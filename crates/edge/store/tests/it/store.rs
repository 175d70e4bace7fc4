//! The file: what is kept, in which order, and what is refused.

use std::time::Duration;

use crate::common::{Scratch, at, correction, key, new, note_at};
use farhop_store::{Body, Change, Event, Journal, JournalError, Voltage};
use rusqlite::Connection;

fn words(journal: &Journal) -> Vec<String> {
    let entries = journal.entries().unwrap();
    let word = |e: &Event| match e {
        Event::Note(note) => note.words.clone(),
        other => format!("{other:?}"),
    };
    entries.iter().map(|s| word(&s.account.event)).collect()
}

#[test]
fn entries_come_back_in_the_order_of_time_however_late_they_were_made() {
    let scratch = Scratch::new("order");
    let mut journal = Journal::open(&scratch.file()).unwrap();
    for (k, second, text) in [("a", 300, "third"), ("b", 100, "first"), ("c", 200, "second")] {
        journal.append(new(k, note_at(second, text))).unwrap();
    }
    assert_eq!(words(&journal), ["first", "second", "third"]);
    let numbers: Vec<u64> = journal.all().unwrap().iter().map(|e| e.number).collect();
    assert_eq!(numbers, [1, 2, 3]);
    drop(journal);
    let journal = Journal::open_if_there(&scratch.file()).unwrap().unwrap();
    assert_eq!(words(&journal), ["first", "second", "third"]);
    journal.examine().unwrap();
}

#[test]
fn looking_begins_no_journal() {
    let scratch = Scratch::new("look");
    assert!(Journal::open_if_there(&scratch.file()).unwrap().is_none());
    assert!(!scratch.file().exists());
}

#[test]
fn an_entry_sent_twice_is_kept_once_and_another_under_its_key_is_refused() {
    let scratch = Scratch::new("twice");
    let mut journal = Journal::open(&scratch.file()).unwrap();
    let first = journal.append(new("k1", note_at(0, "once"))).unwrap();
    let again = journal.append(new("k1", note_at(0, "once"))).unwrap();
    assert_eq!(first, again);
    let other = journal.append(new("k1", note_at(0, "other"))).unwrap_err();
    assert!(matches!(other, JournalError::KeyTaken { number: 1, .. }), "{other}");
    // Typed words that are the same make the same entry, although the clock has gone on meanwhile.
    let typed = |second| {
        let mut entry = new("k2", note_at(second, "typed"));
        entry.words = Some("note typed".to_owned());
        entry
    };
    let first = journal.append(typed(10)).unwrap();
    assert_eq!(journal.append(typed(15)).unwrap(), first);
    assert_eq!(journal.all().unwrap().len(), 2);
    assert_eq!(journal.find(&key("k2")).unwrap(), Some(first));
    // Without a key every entry is a new one.
    let mut keyless = new("k3", note_at(20, "keyless"));
    keyless.key = None;
    let (one, two) = (
        journal.append(keyless.clone()).unwrap(),
        journal.append(keyless).unwrap(),
    );
    assert!(one.key != two.key && one.key.as_str().len() == 32);
}

#[test]
fn taking_back_goes_back_step_by_step_and_deletes_nothing() {
    let scratch = Scratch::new("undo");
    let mut journal = Journal::open(&scratch.file()).unwrap();
    journal.append(new("a", note_at(0, "one"))).unwrap();
    journal.append(new("b", note_at(1, "two"))).unwrap();
    journal
        .append(correction("c", "a", Change::Replace(note_at(5, "one, better"))))
        .unwrap();
    assert_eq!(words(&journal), ["two", "one, better"]);
    let undone = journal.undo_last(at(9), None, Some(key("u1"))).unwrap();
    assert_eq!(undone.entry.number, 3);
    assert_eq!(words(&journal), ["one", "two"]);
    // The same order sent twice is carried out once.
    assert_eq!(journal.undo_last(at(9), None, Some(key("u1"))).unwrap(), undone);
    assert_eq!(journal.undo_last(at(9), None, None).unwrap().entry.number, 2);
    assert_eq!(journal.undo_last(at(9), None, None).unwrap().entry.number, 1);
    assert!(words(&journal).is_empty());
    let error = journal.undo_last(at(9), None, None).unwrap_err();
    assert!(matches!(error, JournalError::NothingToUndo));
    assert_eq!(journal.all().unwrap().len(), 6);
}

#[test]
fn a_strike_can_be_taken_back_and_the_last_correction_wins() {
    let scratch = Scratch::new("strike");
    let mut journal = Journal::open(&scratch.file()).unwrap();
    journal.append(new("a", note_at(0, "one"))).unwrap();
    journal.append(correction("s", "a", Change::Strike)).unwrap();
    assert!(words(&journal).is_empty());
    journal.undo_last(at(1), None, None).unwrap();
    assert_eq!(words(&journal), ["one"]);
    for (k, text) in [("r1", "better"), ("r2", "best")] {
        journal
            .append(correction(k, "a", Change::Replace(note_at(0, text))))
            .unwrap();
    }
    assert_eq!(words(&journal), ["best"]);
    assert_eq!(journal.entries().unwrap()[0].corrected_by, Some(5));
}

#[test]
fn corrections_of_nothing_and_rewritten_corrections_are_refused() {
    let scratch = Scratch::new("nothing");
    let mut journal = Journal::open(&scratch.file()).unwrap();
    let error = journal.append(correction("s", "ghost", Change::Strike)).unwrap_err();
    assert!(matches!(error, JournalError::NoSuchEntry(_)), "{error}");
    journal.append(new("a", note_at(0, "one"))).unwrap();
    journal.append(correction("s", "a", Change::Strike)).unwrap();
    let rewritten = correction("r", "s", Change::Replace(note_at(0, "x")));
    let error = journal.append(rewritten).unwrap_err();
    assert!(matches!(error, JournalError::RewrittenCorrection(2)), "{error}");
    assert_eq!(journal.all().unwrap().len(), 2);
}

#[test]
fn numbers_that_cannot_be_are_refused_with_their_limits() {
    let scratch = Scratch::new("untrue");
    let mut journal = Journal::open(&scratch.file()).unwrap();
    for voltage_v in [f64::NAN, f64::INFINITY, -3.0, 5_000.0] {
        let mut account = note_at(0, "x");
        account.event = Event::Voltage(Voltage { voltage_v });
        let error = journal.append(new("v", account)).unwrap_err().to_string();
        assert!(error.contains("must be 0.5 to 100 V"), "{error}");
    }
    let error = journal.append(new("n", note_at(0, &"x".repeat(3_000)))).unwrap_err();
    assert!(error.to_string().contains("at most 2000"), "{error}");
    assert!(journal.all().unwrap().is_empty());
}

#[test]
fn other_files_are_recognised_and_left_alone() {
    let scratch = Scratch::new("others");
    let text = scratch.folder.join("letter.txt");
    std::fs::write(&text, "Dear diary, this is no database at all. ".repeat(200)).unwrap();
    let other = scratch.folder.join("other.db");
    Connection::open(&other)
        .unwrap()
        .execute_batch("CREATE TABLE t (x)")
        .unwrap();
    for file in [&text, &other] {
        let before = std::fs::read(file).unwrap();
        assert!(matches!(Journal::open(file), Err(JournalError::NotAJournal { .. })));
        assert_eq!(std::fs::read(file).unwrap(), before);
    }
    let missing = scratch.folder.join("no/such/folder.journal");
    assert!(matches!(Journal::open(&missing), Err(JournalError::CannotOpen { .. })));
    assert!(matches!(
        Journal::open(&scratch.folder),
        Err(JournalError::CannotOpen { .. })
    ));
}

#[test]
fn a_journal_of_a_newer_program_is_not_touched() {
    let scratch = Scratch::new("newer");
    drop(Journal::open(&scratch.file()).unwrap());
    let raw = Connection::open(scratch.file()).unwrap();
    raw.pragma_update(None, "user_version", 99).unwrap();
    drop(raw);
    let error = Journal::open(&scratch.file()).err().unwrap();
    assert!(
        matches!(
            error,
            JournalError::Newer {
                found: 99,
                known: 2,
                ..
            }
        ),
        "{error}"
    );
}

#[test]
fn a_held_journal_says_so_and_goes_on_afterwards() {
    let scratch = Scratch::new("held");
    let mut journal = Journal::open(&scratch.file()).unwrap();
    journal.set_patience(Duration::from_millis(30)).unwrap();
    let holder = Connection::open(scratch.file()).unwrap();
    holder.execute_batch("BEGIN EXCLUSIVE").unwrap();
    let error = journal.append(new("a", note_at(0, "x"))).unwrap_err();
    assert!(matches!(error, JournalError::Locked { .. }), "{error}");
    holder.execute_batch("ROLLBACK").unwrap();
    journal.append(new("a", note_at(0, "x"))).unwrap();
}

#[test]
fn two_writers_at_once_lose_nothing() {
    let scratch = Scratch::new("two");
    let file = scratch.file();
    let writers: Vec<_> = ["p", "q", "r"]
        .into_iter()
        .map(|name| {
            let file = file.clone();
            std::thread::spawn(move || {
                let mut journal = Journal::open(&file).unwrap();
                journal.set_patience(Duration::from_secs(60)).unwrap();
                for index in 0..20 {
                    journal
                        .append(new(&format!("{name}{index}"), note_at(index, name)))
                        .unwrap();
                }
            })
        })
        .collect();
    for writer in writers {
        writer.join().unwrap();
    }
    let journal = Journal::open(&file).unwrap();
    assert_eq!(journal.all().unwrap().len(), 60);
    journal.examine().unwrap();
}

#[test]
fn an_export_goes_into_another_journal_and_back_without_loss() {
    let scratch = Scratch::new("copy");
    let mut journal = Journal::open(&scratch.file()).unwrap();
    journal.append(new("a", note_at(0, "one\n\"two\" \u{1F3D4}"))).unwrap();
    journal.append(new("b", note_at(1, "two"))).unwrap();
    journal
        .append(correction("c", "a", Change::Replace(note_at(7, "uno"))))
        .unwrap();
    journal.undo_last(at(3), Some("Q3HUT".to_owned()), None).unwrap();
    let text = journal.export().unwrap();
    let mut copy = Journal::open(&scratch.folder.join("copy.journal")).unwrap();
    let done = copy.import(&text).unwrap();
    assert_eq!((done.added, done.known), (4, 0));
    assert_eq!(copy.all().unwrap(), journal.all().unwrap());
    assert_eq!(copy.export().unwrap(), text);
    let done = copy.import(&text).unwrap();
    assert_eq!((done.added, done.known), (0, 4));
    assert_eq!(copy.export().unwrap(), text);
}

#[test]
fn a_wrong_line_is_named_and_nothing_is_taken_over() {
    let scratch = Scratch::new("wrong");
    let mut journal = Journal::open(&scratch.file()).unwrap();
    journal.append(new("a", note_at(0, "one"))).unwrap();
    journal.append(new("b", note_at(0, "two"))).unwrap();
    let good = journal.export().unwrap();
    let mut copy = Journal::open(&scratch.folder.join("copy.journal")).unwrap();
    for (bad, expected) in [
        ("not json".to_owned(), "line 4: "),
        (
            "{\"key\":\"x\",\"entered_at\":\"2026-12-12T00:00:00Z\"}".to_owned(),
            "either an account or a correction",
        ),
        (
            good.lines().next().unwrap().replace("one", "other"),
            "already stands for entry 1",
        ),
        (good.lines().next().unwrap().replace("\"a\"", "\"a b\""), "is not a key"),
        (good.lines().next().unwrap().replace("\"note\"", "\"dream\""), "dream"),
    ] {
        let error = copy.import(&format!("{good}\n{bad}\n")).unwrap_err().to_string();
        assert!(error.starts_with("line 4: ") && error.contains(expected), "{error}");
        assert!(error.contains("Nothing was taken over"), "{error}");
        assert!(copy.all().unwrap().is_empty());
    }
}

#[test]
fn what_is_kept_is_what_was_given() {
    let scratch = Scratch::new("same");
    let mut journal = Journal::open(&scratch.file()).unwrap();
    let given = new("a", note_at(-5, "one"));
    let kept = journal.append(given.clone()).unwrap();
    let Body::Account(account) = &kept.body else { panic!() };
    assert_eq!(Some(&kept.key), given.key.as_ref());
    assert_eq!(account.at, at(-5));
    assert_eq!(kept.body, given.body);
}

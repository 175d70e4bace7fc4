//! Damage: blocks destroyed, bytes changed, files deleted. What is left comes back, what is lost is named, nothing passes unnoticed.

use std::path::{Path, PathBuf};

use crate::common::{Scratch, at, new, note_at};
use farhop_store::{Entry, Journal, JournalError, rescue, twin_of};
use rusqlite::Connection;

const BLOCK: usize = 4_096;

/// A journal with so many entries of the lengths that a day brings.
fn filled(file: &Path, count: u32) -> Vec<Entry> {
    let mut journal = Journal::open(file).unwrap();
    for index in 0..count {
        let words = "called, heard nothing, fog ".repeat((index as usize * 7) % 12);
        let mut entry = new(
            &format!("key-{index}"),
            note_at(i64::from(index), &format!("n{index} {words}")),
        );
        entry.words = Some(format!("note {words}"));
        journal.append(entry).unwrap();
    }
    journal.all().unwrap()
}

/// A copy of a journal and its twin, damaged, in a folder of its own.
struct Copy {
    file: PathBuf,
}

impl Copy {
    fn of(scratch: &Scratch, db: &[u8], twin: Option<&[u8]>) -> Self {
        let folder = scratch.folder.join("copy");
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(&folder).unwrap();
        let file = folder.join("day.journal");
        std::fs::write(&file, db).unwrap();
        if let Some(twin) = twin {
            std::fs::write(twin_of(&file), twin).unwrap();
        }
        Self { file }
    }

    fn open(&self) -> Journal {
        Journal::open_if_there(&self.file).unwrap().unwrap()
    }
}

fn spoiled(bytes: &[u8], from: usize, length: usize, with: impl Fn(usize) -> u8) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    for (offset, byte) in bytes.iter_mut().enumerate().skip(from).take(length) {
        *byte = with(offset);
    }
    bytes
}

/// Zeros, and rubbish that repeats nothing.
const RUBBISH: [fn(usize) -> u8; 2] = [|_| 0, |n| (n.wrapping_mul(2_654_435_761) >> 7) as u8];

#[test]
fn a_journal_with_any_one_block_destroyed_gives_its_entries_back() {
    for count in [3, 60, 200] {
        let scratch = Scratch::new("block");
        let all = filled(&scratch.file(), count);
        let db = std::fs::read(scratch.file()).unwrap();
        let twin = std::fs::read(twin_of(&scratch.file())).unwrap();
        for block in (0..db.len()).step_by(BLOCK) {
            for rubbish in RUBBISH {
                let copy = Copy::of(&scratch, &spoiled(&db, block, BLOCK, rubbish), Some(&twin));
                let journal = copy.open();
                assert!(
                    !journal.condition().is_sound(),
                    "{count}: block at {block} passed unnoticed"
                );
                assert_eq!(journal.all().unwrap(), all, "{count}: block at {block}");
                assert!(journal.condition().missing.is_empty());
            }
        }
        for block in (0..twin.len()).step_by(BLOCK) {
            let copy = Copy::of(&scratch, &db, Some(&spoiled(&twin, block, BLOCK, RUBBISH[0])));
            let journal = copy.open();
            assert!(
                !journal.condition().is_sound(),
                "{count}: twin's block at {block} passed unnoticed"
            );
            assert_eq!(journal.all().unwrap(), all, "{count}: twin's block at {block}");
            drop(journal);
            // The twin has been completed: nothing is left to say.
            assert!(copy.open().condition().is_sound(), "{:?}", copy.open().condition());
        }
    }
}

/// Without the twin a block of rows is lost; then its numbers are named, or it is said that the end is not known.
#[test]
fn without_its_twin_what_is_lost_is_named() {
    let scratch = Scratch::new("alone");
    let count = 400;
    let all = filled(&scratch.file(), count);
    let db = std::fs::read(scratch.file()).unwrap();
    let mut worst = all.len();
    for block in (0..db.len()).step_by(BLOCK) {
        let copy = Copy::of(&scratch, &spoiled(&db, block, BLOCK, RUBBISH[1]), None);
        let journal = copy.open();
        let back = journal.all().unwrap();
        worst = worst.min(back.len());
        assert!(
            back.iter().all(|e| all.contains(e)),
            "block at {block}: an entry was made up"
        );
        let (condition, said) = (journal.condition(), journal.condition().lines.join(" "));
        assert!(!condition.is_sound(), "block at {block} passed unnoticed");
        let lost = |e: &&Entry| !back.contains(e);
        let told = all.iter().filter(lost).all(|e| condition.missing.contains(&e.number));
        assert!(told || said.contains("later ones may be"), "block at {block}: {said}");
    }
    println!("without a twin: {worst} of {count} back after the worst block");
    assert!(worst * 100 >= all.len() * 85, "{worst}");
}

/// Every so many bytes one is changed; `FARHOP_ALL_BYTES` changes every one.
fn places(length: usize) -> impl Iterator<Item = usize> {
    let every = if std::env::var_os("FARHOP_ALL_BYTES").is_some() {
        1
    } else {
        307
    };
    (0..length).step_by(every)
}

#[test]
fn no_changed_byte_of_the_journal_passes_unnoticed_or_costs_an_entry() {
    let scratch = Scratch::new("byte");
    let all = filled(&scratch.file(), 60);
    let db = std::fs::read(scratch.file()).unwrap();
    let twin = std::fs::read(twin_of(&scratch.file())).unwrap();
    let mut tried = 0;
    for place in places(db.len()) {
        for flip in [0x01, 0xff] {
            let copy = Copy::of(&scratch, &spoiled(&db, place, 1, |n| db[n] ^ flip), Some(&twin));
            let journal = copy.open();
            assert!(
                !journal.condition().is_sound(),
                "byte {place} ^ {flip} passed unnoticed"
            );
            assert_eq!(journal.all().unwrap(), all, "byte {place} ^ {flip}");
            tried += 1;
        }
    }
    println!("{tried} changes of one byte: all noticed, all entries back");
}

#[test]
fn no_changed_byte_of_the_twin_costs_an_entry_or_stays() {
    let scratch = Scratch::new("twin-byte");
    let all = filled(&scratch.file(), 60);
    let db = std::fs::read(scratch.file()).unwrap();
    let twin = std::fs::read(twin_of(&scratch.file())).unwrap();
    let mut quiet = 0;
    for place in places(twin.len()) {
        let copy = Copy::of(&scratch, &db, Some(&spoiled(&twin, place, 1, |n| twin[n] ^ 0x21)));
        let journal = copy.open();
        quiet += u32::from(journal.condition().is_sound());
        assert_eq!(journal.all().unwrap(), all, "byte {place}");
        drop(journal);
        // The twin is whole again: the database can go.
        std::fs::remove_file(&copy.file).unwrap();
        assert_eq!(copy.open().all().unwrap(), all, "byte {place}");
    }
    println!("{quiet} changes were mended without a word");
    // Only a cut end or a first line may be mended in silence.
    assert!(quiet <= 4, "{quiet}");
}

#[test]
fn one_changed_row_hides_no_other_and_is_read_from_the_twin() {
    let scratch = Scratch::new("row");
    let all = filled(&scratch.file(), 60);
    let db = std::fs::read(scratch.file()).unwrap();
    let place = db.windows(4).position(|w| w == b"n31 ").unwrap();
    let changed = spoiled(&db, place, 2, |_| b'm');
    let copy = Copy::of(&scratch, &changed, None);
    let journal = copy.open();
    assert_eq!(journal.all().unwrap().len(), 59);
    assert_eq!(journal.condition().missing, [32]);
    assert!(
        journal.condition().lines[0].contains("missing: entry 32"),
        "{:?}",
        journal.condition()
    );
    drop(journal);
    // What is lost for good is said once, with the rescue; then the journal is sound, and counts on.
    let done = rescue(&copy.file, at(0)).unwrap().unwrap();
    assert_eq!((done.entries, done.missing), (59, vec![32]));
    let mut journal = copy.open();
    journal.examine().unwrap();
    assert_eq!(journal.append(new("next", note_at(99, "next"))).unwrap().number, 61);
    drop(journal);
    copy.open().examine().unwrap();
    let twin = std::fs::read(twin_of(&scratch.file())).unwrap();
    assert_eq!(Copy::of(&scratch, &changed, Some(&twin)).open().all().unwrap(), all);
}

#[test]
fn a_deleted_journal_is_noticed_and_its_twin_goes_on() {
    let scratch = Scratch::new("deleted");
    let all = filled(&scratch.file(), 14);
    std::fs::remove_file(scratch.file()).unwrap();
    for empty_file in [false, true] {
        if empty_file {
            std::fs::write(scratch.file(), b"").unwrap();
        }
        let journal = Journal::open(&scratch.file()).unwrap();
        let said = journal.condition().lines.join(" ");
        assert!(
            said.contains("the journal file is gone") && said.contains("14 entries") && said.contains("--rescue"),
            "{said}"
        );
        assert_eq!(journal.all().unwrap(), all);
    }
    // An entry of the hill is not refused: the twin keeps it, and the rescue brings it home.
    let mut journal = Journal::open(&scratch.file()).unwrap();
    let entry = journal.append(new("after", note_at(99, "after"))).unwrap();
    assert_eq!(entry.number, 15);
    assert_eq!(journal.append(new("after", note_at(99, "after"))).unwrap(), entry);
    drop(journal);
    let done = rescue(&scratch.file(), at(200)).unwrap().unwrap();
    assert_eq!((done.entries, done.missing.len()), (15, 0));
    let journal = Journal::open(&scratch.file()).unwrap();
    journal.examine().unwrap();
    assert_eq!(journal.all().unwrap().len(), 15);
}

#[test]
fn a_deleted_twin_is_written_anew_and_said() {
    let scratch = Scratch::new("no-twin");
    let all = filled(&scratch.file(), 14);
    std::fs::remove_file(twin_of(&scratch.file())).unwrap();
    let said = Journal::open(&scratch.file()).unwrap().condition().lines.join(" ");
    assert!(said.contains("is gone or empty and is written anew"), "{said}");
    std::fs::remove_file(scratch.file()).unwrap();
    assert_eq!(Journal::open(&scratch.file()).unwrap().all().unwrap(), all);
}

#[test]
fn a_rescue_makes_a_sound_journal_and_keeps_the_damaged_files() {
    let scratch = Scratch::new("rescue");
    let all = filled(&scratch.file(), 60);
    let id = Journal::open(&scratch.file()).unwrap().id().to_owned();
    assert_eq!(
        rescue(&scratch.file(), at(0)).unwrap(),
        None,
        "a sound journal is left alone"
    );
    let db = std::fs::read(scratch.file()).unwrap();
    let broken = spoiled(&db, 0, BLOCK, RUBBISH[1]);
    std::fs::write(scratch.file(), &broken).unwrap();
    let done = rescue(&scratch.file(), at(0)).unwrap().unwrap();
    assert_eq!((done.entries, done.missing.len(), done.aside.len()), (60, 0, 2));
    assert!(done.aside.iter().any(|f| std::fs::read(f).unwrap() == broken));
    let name = done.aside[1].file_name().unwrap().to_string_lossy().into_owned();
    // Second 1 797 000 000 is 11 December 2026, 14:40 UTC (`date -u -d @1797000000`).
    assert_eq!(name, "day.damaged-2026-12-11-1440Z.journal");
    let journal = Journal::open(&scratch.file()).unwrap();
    journal.examine().unwrap();
    assert_eq!((journal.all().unwrap(), journal.id()), (all, id.as_str()));
    // What the damaged files hold can still be looked at.
    let old = Journal::open_if_there(&done.aside[1]).unwrap().unwrap();
    assert_eq!(old.all().unwrap().len(), 60);
}

#[test]
fn an_older_copy_of_the_journal_beside_a_newer_twin_is_said_and_completed() {
    let scratch = Scratch::new("older");
    filled(&scratch.file(), 10);
    let old = std::fs::read(scratch.file()).unwrap();
    let mut journal = Journal::open(&scratch.file()).unwrap();
    for index in 0..3 {
        journal
            .append(new(&format!("late-{index}"), note_at(500 + index, "late")))
            .unwrap();
    }
    let all = journal.all().unwrap();
    drop(journal);
    std::fs::write(scratch.file(), old).unwrap();
    let mut journal = Journal::open(&scratch.file()).unwrap();
    let said = journal.condition().lines.join(" ");
    assert!(said.contains("lacks entries 11 to 13"), "{said}");
    assert_eq!(journal.all().unwrap(), all);
    assert_eq!(journal.append(new("next", note_at(600, "next"))).unwrap().number, 14);
    drop(journal);
    rescue(&scratch.file(), at(0)).unwrap().unwrap();
    assert_eq!(Journal::open(&scratch.file()).unwrap().all().unwrap().len(), 14);
    Journal::open(&scratch.file()).unwrap().examine().unwrap();
}

#[test]
fn the_twin_of_another_journal_is_kept_aside_and_not_mixed_in() {
    let scratch = Scratch::new("foreign");
    let all = filled(&scratch.file(), 10);
    let other = scratch.folder.join("other.journal");
    filled(&other, 4);
    let mut theirs = Journal::open(&other).unwrap();
    theirs.append(new("theirs", note_at(3, "theirs"))).unwrap();
    std::fs::copy(twin_of(&other), twin_of(&scratch.file())).unwrap();
    let journal = Journal::open(&scratch.file()).unwrap();
    assert!(
        journal
            .condition()
            .lines
            .join(" ")
            .contains("belongs to another journal"),
        "{:?}",
        journal.condition()
    );
    assert_eq!(journal.all().unwrap(), all);
    assert!(Journal::open(&scratch.file()).unwrap().condition().is_sound());
    let aside = scratch.folder.join("day.journal.other-1.jsonl");
    assert!(std::fs::read_to_string(aside).unwrap().contains("theirs"));
}

/// A file as the first layout made it: it opens, gets its sums and its twin, and nothing is said.
fn first_layout(file: &Path, count: i64) {
    let connection = Connection::open(file).unwrap();
    connection
        .execute_batch(
            "CREATE TABLE entry (number INTEGER PRIMARY KEY, key TEXT NOT NULL UNIQUE, entered_s INTEGER NOT NULL,
                words TEXT, body TEXT NOT NULL CHECK (json_valid(body))) STRICT;
            CREATE TRIGGER entry_stays BEFORE UPDATE ON entry
                BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
            CREATE TRIGGER entry_kept BEFORE DELETE ON entry
                BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
            PRAGMA application_id = 1179150962; PRAGMA user_version = 1;",
        )
        .unwrap();
    for index in 0..count {
        let body = format!(
            "{{\"account\":{{\"at\":\"2026-12-12T01:{:02}:00Z\",\"event\":{{\"note\":{{\"words\":\"old {index} {}\"}}}}}}}}",
            index % 60,
            "x".repeat(150)
        );
        connection
            .execute(
                "INSERT INTO entry (key, entered_s, words, body) VALUES (?1, ?2, NULL, ?3)",
                (format!("k{index}"), 1_797_000_000 + index, body),
            )
            .unwrap();
    }
}

#[test]
fn a_journal_of_the_first_layout_opens_and_gets_sums_and_twin_without_a_word() {
    let scratch = Scratch::new("first");
    first_layout(&scratch.file(), 60);
    let journal = Journal::open_if_there(&scratch.file()).unwrap().unwrap();
    assert!(journal.condition().is_sound(), "{:?}", journal.condition());
    assert_eq!(journal.all().unwrap().len(), 60);
    drop(journal);
    std::fs::remove_file(scratch.file()).unwrap();
    assert_eq!(Journal::open(&scratch.file()).unwrap().all().unwrap().len(), 60);
}

#[test]
fn a_damaged_journal_of_the_first_layout_gives_back_what_it_can() {
    let scratch = Scratch::new("first-damaged");
    first_layout(&scratch.file(), 200);
    let db = std::fs::read(scratch.file()).unwrap();
    for block in (0..db.len()).step_by(BLOCK) {
        let copy = Copy::of(&scratch, &spoiled(&db, block, BLOCK, RUBBISH[1]), None);
        let journal = copy.open();
        let back = journal.all().unwrap().len();
        assert!(back >= 180, "block at {block}: {back}");
        assert!(!journal.condition().is_sound(), "block at {block} passed unnoticed");
    }
}

#[test]
fn nothing_at_all_left_is_an_error_with_a_remedy() {
    let scratch = Scratch::new("nothing-left");
    filled(&scratch.file(), 5);
    let db = std::fs::read(scratch.file()).unwrap();
    std::fs::write(scratch.file(), vec![0x5a; db.len()]).unwrap();
    std::fs::remove_file(twin_of(&scratch.file())).unwrap();
    let error = Journal::open(&scratch.file()).err().unwrap();
    assert!(matches!(error, JournalError::NotAJournal { .. }), "{error}");
}

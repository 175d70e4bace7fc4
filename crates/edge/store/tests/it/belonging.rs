//! A journal knows its outing: last week's journal and another outing's are announced, and can be put aside.

use crate::common::{Scratch, at, correction, new, note_at};
use farhop_outing::Outing;
use farhop_store::{Change, Journal, JournalError, set_aside, twin_of};

/// The demo, with its text changed.
fn outing(changes: &[(&str, &str)]) -> Outing {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/../../../examples/demo.toml");
    let mut text = std::fs::read_to_string(file).unwrap();
    for (old, new) in changes {
        assert!(text.contains(old), "{old}");
        text = text.replace(old, new);
    }
    farhop_outing_file::read(&text, "demo", &|_| Err(String::new()))
        .outing
        .unwrap()
}

/// The same outing a week later: what everybody does.
fn next_week() -> Outing {
    outing(&[("2026-12-12", "2026-12-19"), ("2026-12-13", "2026-12-20")])
}

fn kept_for(scratch: &Scratch, outing: &Outing, keys: &[&str]) -> Journal {
    let mut journal = Journal::open(&scratch.file()).unwrap();
    journal.keep_for(outing);
    for key in keys {
        // Second 1 797 033 600 is 12 December 2026, 13:00 in the zone of the demo.
        journal.append(new(key, note_at(33_600, key))).unwrap();
    }
    journal
}

#[test]
fn last_weeks_journal_beside_this_weeks_outing_is_announced() {
    let scratch = Scratch::new("week");
    let journal = kept_for(&scratch, &outing(&[]), &["a", "b"]);
    assert_eq!(journal.announcement(&outing(&[])).unwrap(), None);
    let said = journal.announcement(&next_week()).unwrap().unwrap();
    assert_eq!(
        said,
        "day.journal: this journal was kept for Sat 12 Dec 2026 to Sun 13 Dec 2026; the outing now says Sat 19 Dec 2026 to Sun 20 Dec \
         2026. Its 2 entries count for nothing. `farhop log --set-aside` puts the old journal aside."
    );
    drop(journal);
    // It is said as long as it is so, from the twin alone too.
    std::fs::remove_file(scratch.file()).unwrap();
    assert!(
        Journal::open(&scratch.file())
            .unwrap()
            .announcement(&next_week())
            .unwrap()
            .is_some()
    );
}

#[test]
fn an_outing_that_is_only_edited_keeps_its_journal() {
    let scratch = Scratch::new("edited");
    let before = outing(&[]);
    let mut journal = kept_for(&scratch, &before, &["a"]);
    let edited = outing(&[("id = \"arrived\"", "id = \"got-there\"")]);
    assert_eq!(journal.announcement(&edited).unwrap(), None);
    journal.keep_for(&edited);
    journal.append(new("b", note_at(33_700, "b"))).unwrap();
    assert_eq!(journal.outings().keys().copied().collect::<Vec<_>>(), [1, 2]);
    assert_eq!(journal.announcement(&edited).unwrap(), None);
    let reopened = Journal::open(&scratch.file()).unwrap();
    assert_eq!(reopened.outings(), journal.outings());
    assert!(reopened.condition().is_sound());
    let error = set_aside(&scratch.file(), &edited).unwrap_err();
    assert!(matches!(error, JournalError::NothingToSetAside { .. }), "{error}");
}

#[test]
fn another_outings_journal_is_announced() {
    let scratch = Scratch::new("other");
    let journal = kept_for(&scratch, &outing(&[]), &["a"]);
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/../../../examples/north.toml");
    let text = std::fs::read_to_string(file).unwrap();
    let north = farhop_outing_file::read(&text, "north", &|_| Err(String::new()))
        .outing
        .unwrap();
    let said = journal.announcement(&north).unwrap().unwrap();
    assert!(
        said.contains("kept for another outing") && said.contains("Its one entry counts for nothing"),
        "{said}"
    );
}

#[test]
fn an_old_journal_without_a_fingerprint_is_known_by_its_dates() {
    let scratch = Scratch::new("old");
    let mut journal = Journal::open(&scratch.file()).unwrap();
    journal.append(new("a", note_at(33_600, "a"))).unwrap();
    assert_eq!(journal.announcement(&outing(&[])).unwrap(), None);
    let said = journal.announcement(&next_week()).unwrap().unwrap();
    assert!(said.contains("kept for Sat 12 Dec 2026;"), "{said}");
    // An entry of the new week does not take the old ones with it.
    journal.keep_for(&next_week());
    journal.append(new("b", note_at(640_000, "b"))).unwrap();
    let said = journal.announcement(&next_week()).unwrap().unwrap();
    assert!(said.contains("Its entry 1 counts for nothing"), "{said}");
}

#[test]
fn putting_aside_moves_the_old_journal_and_keeps_what_belongs_to_the_new_outing() {
    let scratch = Scratch::new("aside");
    let mut journal = kept_for(&scratch, &outing(&[]), &["a", "b"]);
    // Two entries of the new week were made before anybody read the announcement.
    journal.keep_for(&next_week());
    journal.append(new("c", note_at(640_000, "c"))).unwrap();
    journal.append(correction("s", "a", Change::Strike)).unwrap();
    journal
        .append(correction("t", "c", Change::Replace(note_at(640_001, "cc"))))
        .unwrap();
    let said = journal.announcement(&next_week()).unwrap().unwrap();
    assert!(said.contains("Its entries 1 to 2 count for nothing"), "{said}");
    drop(journal);
    let done = set_aside(&scratch.file(), &next_week()).unwrap();
    assert_eq!(done.to, scratch.folder.join("day.2026-12-12.journal"));
    assert_eq!((done.entries, done.carried), (5, 2));
    let new_one = Journal::open_if_there(&scratch.file()).unwrap().unwrap();
    new_one.examine().unwrap();
    let keys: Vec<String> = new_one
        .all()
        .unwrap()
        .iter()
        .map(|e| format!("{} {}", e.number, e.key))
        .collect();
    assert_eq!(keys, ["1 c", "2 t"]);
    assert_eq!(new_one.announcement(&next_week()).unwrap(), None);
    let old = Journal::open_if_there(&done.to).unwrap().unwrap();
    old.examine().unwrap();
    assert_eq!(old.all().unwrap().len(), 5);
    assert_ne!(old.id(), new_one.id());
}

#[test]
fn putting_all_of_a_journal_aside_leaves_room_for_a_new_one() {
    let scratch = Scratch::new("aside-all");
    drop(kept_for(&scratch, &outing(&[]), &["a", "b"]));
    let done = set_aside(&scratch.file(), &next_week()).unwrap();
    assert_eq!((done.entries, done.carried), (2, 0));
    assert!(!scratch.file().exists() && !twin_of(&scratch.file()).exists());
    let mut journal = kept_for(&scratch, &next_week(), &["new"]);
    assert_eq!(journal.append(new("x", note_at(640_000, "x"))).unwrap().number, 2);
    assert_eq!(at(0).unix_s(), 1_797_000_000);
    assert!(matches!(
        set_aside(&scratch.folder.join("none.journal"), &next_week()),
        Err(JournalError::CannotOpen { .. })
    ));
}

//! What only the open file itself shows.

use super::*;
use crate::Account;
use crate::{Event, Note};

fn note(words: &str) -> NewEntry {
    let at = UtcTime::from_unix_s(1_797_000_000).unwrap();
    NewEntry {
        key: None,
        entered_at: at,
        words: None,
        body: Body::Account(Account {
            at,
            place: None,
            who: None,
            event: Event::Note(Note {
                words: words.to_owned(),
            }),
        }),
    }
}

fn journal(name: &str) -> (Journal, PathBuf) {
    let file = std::env::temp_dir().join(format!("farhop-store-{name}-{}.journal", std::process::id()));
    let _ = std::fs::remove_file(&file);
    let _ = std::fs::remove_file(crate::twin_of(&file));
    (Journal::open(&file).unwrap(), file)
}

#[test]
fn a_full_disk_is_told_and_leaves_the_journal_whole() {
    let (mut journal, file) = journal("full");
    journal.append(note("before")).unwrap();
    // The database refuses to grow beyond so many pages just as it does when the disk is full.
    let pages: i64 = journal
        .connection
        .as_ref()
        .unwrap()
        .pragma_query_value(None, "page_count", |r| r.get(0))
        .unwrap();
    journal
        .connection
        .as_ref()
        .unwrap()
        .pragma_update(None, "max_page_count", pages)
        .unwrap();
    let mut kept = 1;
    let error = loop {
        match journal.append(note(&"x".repeat(1_900))) {
            Ok(_) => kept += 1,
            Err(error) => break error,
        }
    };
    assert!(matches!(error, JournalError::Full { .. }), "{error}");
    assert_eq!(journal.all().unwrap().len(), kept);
    journal
        .connection
        .as_ref()
        .unwrap()
        .pragma_update(None, "max_page_count", 1_000)
        .unwrap();
    journal.append(note("after")).unwrap();
    journal.examine().unwrap();
    std::fs::remove_file(crate::twin_of(&file)).ok();
    std::fs::remove_file(file).unwrap();
}

#[test]
fn a_journal_that_may_only_be_read_says_so() {
    let (mut journal, file) = journal("read-only");
    journal.append(note("before")).unwrap();
    journal
        .connection
        .as_ref()
        .unwrap()
        .pragma_update(None, "query_only", true)
        .unwrap();
    let error = journal.append(note("after")).unwrap_err();
    assert!(matches!(error, JournalError::ReadOnly { .. }), "{error}");
    assert_eq!(journal.entries().unwrap().len(), 1);
    std::fs::remove_file(crate::twin_of(&file)).ok();
    std::fs::remove_file(file).unwrap();
}

#[test]
fn the_file_is_written_through_to_the_disk() {
    let (journal, file) = journal("durable");
    let synchronous: i64 = journal
        .connection
        .as_ref()
        .unwrap()
        .pragma_query_value(None, "synchronous", |r| r.get(0))
        .unwrap();
    let mode: String = journal
        .connection
        .as_ref()
        .unwrap()
        .pragma_query_value(None, "journal_mode", |r| r.get(0))
        .unwrap();
    // 3 is EXTRA.
    assert_eq!((synchronous, mode.as_str()), (3, "delete"));
    std::fs::remove_file(crate::twin_of(&file)).ok();
    std::fs::remove_file(file).unwrap();
}

//! The layout of the database file, and how an older one becomes the present one.

use std::path::Path;

use rusqlite::{Connection, TransactionBehavior};

use crate::rows::read_rows;
use farhop_journal::JournalError;

/// Marks the file as ours (`PRAGMA application_id`): the letters `FHjr`.
pub(crate) const APPLICATION_ID: i64 = 0x4648_6a72;

/// One step a layout; the number of steps done stands in `PRAGMA user_version`. Steps are only ever added.
#[derive(Clone, Copy)]
pub(crate) enum Step {
    /// Statements alone.
    Statements(&'static str),
    /// Work on what stands in the file; false where that is damaged.
    Work(fn(&Connection) -> rusqlite::Result<bool>),
}

/// The steps, oldest first.
pub(crate) const STEPS: [Step; 2] = [
    // 1: entries in the order in which they came. Nothing is changed or deleted afterwards: the triggers see to it.
    Step::Statements(
        "CREATE TABLE entry (
            number    INTEGER PRIMARY KEY,
            key       TEXT NOT NULL UNIQUE,
            entered_s INTEGER NOT NULL,
            words     TEXT,
            body      TEXT NOT NULL CHECK (json_valid(body))
        ) STRICT;
        CREATE TRIGGER entry_stays BEFORE UPDATE ON entry
            BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
        CREATE TRIGGER entry_kept BEFORE DELETE ON entry
            BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;",
    ),
    // 2: facts of the journal itself, the outings it was kept for, a sum for every row.
    Step::Work(facts_and_sums),
];

/// The newest layout.
pub(crate) const LAYOUT: i64 = STEPS.len() as i64;

fn facts_and_sums(connection: &Connection) -> rusqlite::Result<bool> {
    connection.execute_batch(
        "CREATE TABLE fact (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;
        INSERT INTO fact VALUES ('journal', lower(hex(randomblob(16))));
        CREATE TABLE outing (
            since       INTEGER PRIMARY KEY,
            fingerprint TEXT NOT NULL CHECK (json_valid(fingerprint))
        ) STRICT;
        DROP TRIGGER entry_stays;
        ALTER TABLE entry ADD COLUMN sum TEXT NOT NULL DEFAULT '';",
    )?;
    let rows = read_rows(connection, 1)?;
    if rows.broken || !rows.bad.is_empty() {
        // Sums must not vouch for what is damaged already: the file stays as it is, and is read as a damaged one.
        return Ok(false);
    }
    let mut fill = connection.prepare("UPDATE entry SET sum = ?2 WHERE number = ?1")?;
    for row in rows.good {
        fill.execute((row.number, row.own_sum()))?;
    }
    connection.execute_batch(
        "CREATE TRIGGER entry_stays BEFORE UPDATE ON entry
            BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;",
    )?;
    Ok(true)
}

/// What a file is found to be.
pub(crate) enum Found {
    /// An empty file.
    Nothing,
    /// A journal of this layout.
    Layout(i64),
    /// No journal.
    SomethingElse,
}

/// Brings a file to the present layout, or says why it is none of ours.
pub(crate) fn prepare(connection: &mut Connection, file: &Path, steps: &[Step]) -> Result<(), JournalError> {
    let known = steps.len() as i64;
    let named = |e: rusqlite::Error| crate::database_error::database_error(file, &e);
    match look_once(connection).map_err(named)? {
        Found::SomethingElse => return Err(JournalError::NotAJournal { file: file.into() }),
        Found::Layout(found) if found > known => {
            return Err(JournalError::Newer {
                file: file.into(),
                found,
                known,
            });
        }
        Found::Layout(found) if found == known => return Ok(()),
        Found::Nothing | Found::Layout(_) => {}
    }
    let transaction = connection
        .transaction_with_behavior(TransactionBehavior::Immediate)
        .map_err(named)?;
    // Somebody else may have done it while we waited for the lock.
    let done = match look(&transaction).map_err(named)? {
        Found::Nothing => 0,
        Found::Layout(layout) => layout,
        Found::SomethingElse => return Err(JournalError::NotAJournal { file: file.into() }),
    };
    for step in steps.iter().skip(usize::try_from(done).unwrap_or(0)) {
        let sound = match step {
            Step::Statements(text) => transaction.execute_batch(text).map(|()| true),
            Step::Work(work) => work(&transaction),
        };
        if !sound.map_err(named)? {
            return Err(JournalError::Damaged {
                file: file.into(),
                what: "rows of the older layout cannot be read".to_owned(),
            });
        }
    }
    transaction
        .pragma_update(None, "application_id", APPLICATION_ID)
        .map_err(named)?;
    transaction
        .pragma_update(None, "user_version", known.max(done))
        .map_err(named)?;
    transaction.commit().map_err(named)
}

/// What a file is at one instant: somebody else may be beginning it between two of the questions.
pub(crate) fn look_once(connection: &mut Connection) -> rusqlite::Result<Found> {
    let instant = connection.transaction_with_behavior(TransactionBehavior::Deferred)?;
    let found = look(&instant)?;
    instant.finish()?;
    Ok(found)
}

/// What a file is.
pub(crate) fn look(connection: &Connection) -> rusqlite::Result<Found> {
    let number = |pragma: &str| connection.pragma_query_value(None, pragma, |row| row.get::<_, i64>(0));
    let (id, layout) = (number("application_id")?, number("user_version")?);
    let things: i64 = connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    Ok(match (id, layout, things) {
        (APPLICATION_ID, layout, _) => Found::Layout(layout),
        (0, 0, 0) => Found::Nothing,
        _ => Found::SomethingElse,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn memory() -> Connection {
        Connection::open_in_memory().unwrap()
    }

    const PUT: &str = "INSERT INTO entry (key, entered_s, body) VALUES ('k', 0, '{\"account\":{\"at\":\"2026-12-12T00:00:00Z\",\"event\":{\"note\":{\"words\":\"x\"}}}}')";

    #[test]
    fn an_older_layout_goes_through_the_steps_that_it_lacks() {
        let steps = [STEPS[0], Step::Statements("ALTER TABLE entry ADD COLUMN mood TEXT")];
        let mut connection = memory();
        prepare(&mut connection, Path::new("a"), &steps[..1]).unwrap();
        connection.execute(PUT, []).unwrap();
        prepare(&mut connection, Path::new("a"), &steps).unwrap();
        let kept: (String, Option<String>) = connection
            .query_row("SELECT key, mood FROM entry", [], |row| Ok((row.get(0)?, row.get(1)?)))
            .unwrap();
        assert_eq!(kept, ("k".to_owned(), None));
        let error = prepare(&mut connection, Path::new("a"), &steps[..1]).unwrap_err();
        assert!(matches!(error, JournalError::Newer { found: 2, known: 1, .. }));
    }

    #[test]
    fn old_rows_get_their_sums_when_the_file_is_brought_up_to_date() {
        let mut connection = memory();
        prepare(&mut connection, Path::new("a"), &STEPS[..1]).unwrap();
        connection.execute(PUT, []).unwrap();
        prepare(&mut connection, Path::new("a"), &STEPS).unwrap();
        let rows = read_rows(&connection, LAYOUT).unwrap();
        assert!(rows.good.len() == 1 && rows.good[0].is_proven());
        assert!(connection.execute("UPDATE entry SET key = 'other'", []).is_err());
    }

    #[test]
    fn a_step_that_fails_leaves_the_file_as_it_was() {
        let mut connection = memory();
        prepare(&mut connection, Path::new("a"), &STEPS[..1]).unwrap();
        let steps = [
            STEPS[0],
            Step::Statements("CREATE TABLE half (x); CREATE TABLE half (y)"),
        ];
        assert!(prepare(&mut connection, Path::new("a"), &steps).is_err());
        prepare(&mut connection, Path::new("a"), &STEPS).unwrap();
    }

    #[test]
    fn entries_can_neither_be_changed_nor_deleted() {
        let mut connection = memory();
        prepare(&mut connection, Path::new("a"), &STEPS).unwrap();
        connection.execute(PUT, []).unwrap();
        for bad in ["UPDATE entry SET key = 'other'", "DELETE FROM entry"] {
            assert!(connection.execute(bad, []).is_err(), "{bad}");
        }
    }
}

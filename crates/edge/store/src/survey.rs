//! Opening: the database, its twin, and what is wrong with either.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::File;
use std::path::Path;
use std::time::Duration;

use rusqlite::{Connection, OpenFlags};

use crate::Entry;
use crate::compare::{Lack, compare, only_in_twin};
use crate::condition::{Condition, damage_line, gaps, name};
use crate::rows::{Rows, digest, read_rows};
use crate::salvage::{readable_bytes, rows_in};
use crate::schema::{Found, LAYOUT, STEPS, look_once, prepare};
use crate::twin::{TwinContent, twin_of};
use farhop_journal::Fingerprint;
use farhop_journal::JournalError;
use farhop_journal::told::counted;

/// What opening found.
pub(crate) struct Survey {
    /// The database, where it can be used.
    pub connection: Option<Connection>,
    /// Its layout.
    pub layout: i64,
    /// Id of the journal, where it is known.
    pub id: Option<String>,
    /// Entries that do not stand in rows of the database.
    pub others: BTreeMap<u64, Entry>,
    /// Outings, each with the number of the first entry made for it.
    pub outings: BTreeMap<u64, Fingerprint>,
    /// What has to be said.
    pub condition: Condition,
    /// What the twin lacks.
    pub twin_lacks: Lack,
}

/// The database with its rows.
pub(crate) struct Database {
    pub(crate) connection: Connection,
    pub(crate) layout: i64,
    upgraded: bool,
}

/// Opens the database of a journal, and brings it to the present layout where it may be written.
pub(crate) fn open_database(file: &Path, create: bool, patience: Duration) -> Result<Database, JournalError> {
    let named = |e: rusqlite::Error| crate::database_error::database_error(file, &e);
    let more = if create {
        OpenFlags::SQLITE_OPEN_CREATE
    } else {
        OpenFlags::empty()
    };
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX | more;
    let mut connection = Connection::open_with_flags(file, flags).map_err(named)?;
    connection.busy_timeout(patience).map_err(named)?;
    // EXTRA: the folder is on the disk too, so that not even a power cut brings the roll-back file back to life.
    connection.pragma_update(None, "synchronous", "EXTRA").map_err(named)?;
    let before = match look_once(&mut connection).map_err(named)? {
        Found::Layout(layout) => Some(layout),
        Found::Nothing | Found::SomethingElse => None,
    };
    match (prepare(&mut connection, file, &STEPS), before) {
        (Ok(()), before) => Ok(Database {
            connection,
            layout: LAYOUT,
            upgraded: before.is_some_and(|b| b < LAYOUT),
        }),
        // An older file that may only be read is read as it is.
        (Err(JournalError::ReadOnly { .. }), Some(layout @ 1..LAYOUT)) => Ok(Database {
            connection,
            layout,
            upgraded: true,
        }),
        (Err(error), _) => Err(error),
    }
}

/// Looks at a journal; none where there is none and none is to be begun. The caller holds the twin, where there is one.
pub(crate) fn survey(
    file: &Path,
    create: bool,
    patience: Duration,
    twin: TwinContent,
) -> Result<Option<Survey>, JournalError> {
    let length = std::fs::metadata(file).map(|m| m.len()).ok();
    if length.unwrap_or(0) == 0 && !twin.entries.is_empty() {
        return Ok(Some(gone(file, twin)));
    }
    if length.is_none() && !create {
        return Ok(None);
    }
    let database = match open_database(file, create, patience) {
        Ok(database) => database,
        Err(error) => return salvage_or(file, twin, None, error).map(Some),
    };
    let layout = database.layout;
    match read_rows(&database.connection, layout) {
        Ok(rows) => judge(file, database, rows, twin).map(Some),
        Err(e) => salvage_or(file, twin, None, crate::database_error::database_error(file, &e)).map(Some),
    }
}

fn gone(file: &Path, twin: TwinContent) -> Survey {
    let mut condition = Condition {
        damaged: true,
        entries: twin.entries.len(),
        missing: gaps(&twin.entries, &BTreeSet::new()),
        lines: Vec::new(),
    };
    let what = format!(
        "the journal file is gone, its twin {} has {}",
        name(&twin_of(file)),
        counted(twin.entries.len())
    );
    condition.lines.push(damage_line(file, &what, &condition, false));
    from_twin(twin, condition)
}

fn from_twin(twin: TwinContent, condition: Condition) -> Survey {
    Survey {
        connection: None,
        layout: LAYOUT,
        id: twin.id,
        others: twin.entries,
        outings: twin.outings,
        condition,
        twin_lacks: Lack::Nothing,
    }
}

/// The database can be read: are its rows, its tree and its bytes as they were left, and does the twin say the same?
fn judge(file: &Path, mut database: Database, rows: Rows, twin: TwinContent) -> Result<Survey, JournalError> {
    if let Some((number, what)) = rows.unknown.first() {
        // Its sum is right, so nothing is damaged.
        return Err(JournalError::Database {
            file: file.into(),
            what: format!(
                "entry {number} says what this program does not know ({what}); a newer one made it: update this one"
            ),
        });
    }
    let sealed = sealed(&mut database.connection, &rows, &twin);
    if let Some(what) = damage(&database.connection, &rows, sealed) {
        let known = numbers_by_key(&database.connection);
        let error = JournalError::Damaged {
            file: file.into(),
            what,
        };
        return salvage_or(file, twin, Some((rows, known)), error);
    }
    match facts(&database.connection, database.layout) {
        Ok((id, outings)) => sound(file, database, &rows, twin, (id, outings, sealed)),
        Err(e) => {
            let error = crate::database_error::database_error(file, &e);
            salvage_or(file, twin, Some((rows, BTreeSet::new())), error)
        }
    }
}

/// Whether the file is, byte for byte, as it stood with the last entry; none where the twin does not say it.
fn sealed(connection: &mut Connection, rows: &Rows, twin: &TwinContent) -> Option<bool> {
    let last = rows.good.last().map_or(0, |r| r.number.unsigned_abs());
    let (_, sum) = twin.seal.as_ref().filter(|(number, _)| *number == last)?;
    Some(seal_of(connection).is_ok_and(|own| own == *sum))
}

/// Why the database cannot be used, if so.
fn damage(connection: &Connection, rows: &Rows, sealed: Option<bool>) -> Option<String> {
    if rows.broken {
        Some("the database stops in the middle".to_owned())
    } else if !rows.bad.is_empty() {
        Some("rows of the database do not have their sums".to_owned())
    } else if sealed == Some(true) {
        None
    } else {
        tree_damage(connection)
    }
}

/// The database is sound: what is to be said of its bytes and of its twin.
fn sound(
    file: &Path,
    database: Database,
    rows: &Rows,
    mut twin: TwinContent,
    (id, outings, sealed): (Option<String>, BTreeMap<u64, Fingerprint>, Option<bool>),
) -> Result<Survey, JournalError> {
    let damaged = |what: String| JournalError::Damaged {
        file: file.into(),
        what,
    };
    let own = rows
        .good
        .iter()
        .map(|row| row.entry().map(|e| (e.number, e)).map_err(damaged));
    let own: BTreeMap<u64, Entry> = own.collect::<Result<_, _>>()?;
    let mut condition = Condition {
        entries: own.len(),
        ..Condition::default()
    };
    if sealed == Some(false) {
        condition.lines.push(format!(
            "{}: bytes of the file were changed since the last entry, by damage or by another program. All {} are sound.",
            file.display(),
            counted(own.len())
        ));
    }
    let strange = |(n, e): (&u64, &Entry)| own.get(n) != Some(e);
    let foreign = twin.id.is_some() && id.is_some() && twin.id != id && twin.entries.iter().any(strange);
    if foreign {
        condition.lines.push(format!(
            "{}: this twin belongs to another journal and is not used; a copy of it is kept aside.",
            twin_of(file).display()
        ));
        twin = TwinContent::default();
    }
    let lack = compare(file, &own, &outings, &twin, database.upgraded, &mut condition);
    let others = only_in_twin(file, &own, twin.entries, &mut condition);
    Ok(Survey {
        connection: Some(database.connection),
        layout: database.layout,
        id,
        others,
        outings,
        condition,
        twin_lacks: if foreign { Lack::Everything } else { lack },
    })
}

/// The sum of the whole file as it stands.
pub(crate) fn seal_of(connection: &mut Connection) -> rusqlite::Result<String> {
    Ok(digest(&connection.serialize("main")?))
}

fn tree_damage(connection: &Connection) -> Option<String> {
    let found: rusqlite::Result<String> = connection.query_row("PRAGMA integrity_check(1)", [], |row| row.get(0));
    match found {
        Ok(text) if text == "ok" => None,
        Ok(text) => Some(format!(
            "the database is damaged ({})",
            text.lines().last().unwrap_or_default()
        )),
        Err(e) => Some(format!("the database is damaged ({e})")),
    }
}

fn facts(connection: &Connection, layout: i64) -> rusqlite::Result<(Option<String>, BTreeMap<u64, Fingerprint>)> {
    if layout < 2 {
        return Ok((None, BTreeMap::new()));
    }
    let id = connection.query_row("SELECT value FROM fact WHERE name = 'journal'", [], |row| row.get(0))?;
    let mut statement = connection.prepare("SELECT since, fingerprint FROM outing ORDER BY since")?;
    let rows = statement.query_map([], |row| Ok((row.get::<_, i64>(0)?, row.get::<_, String>(1)?)))?;
    let mut outings = BTreeMap::new();
    for row in rows {
        let (since, text) = row?;
        // One that cannot be read tells nothing; the entries stand by themselves.
        if let Ok(fingerprint) = serde_json::from_str(&text) {
            outings.insert(since.unsigned_abs(), fingerprint);
        }
    }
    Ok((Some(id), outings))
}

/// Numbers as the list of keys has them, which stands on other pages than the rows.
fn numbers_by_key(connection: &Connection) -> BTreeSet<u64> {
    let mut numbers = BTreeSet::new();
    let by_key = "SELECT key, number FROM entry INDEXED BY sqlite_autoindex_entry_1";
    if let Ok(mut statement) = connection.prepare(by_key)
        && let Ok(mut rows) = statement.query([])
    {
        while let Ok(Some(row)) = rows.next() {
            numbers.extend(row.get::<_, i64>(1).ok().map(i64::unsigned_abs));
        }
    }
    numbers
}

/// Takes what can be read of a database that cannot be used, and the twin; the error where that is nothing.
fn salvage_or(
    file: &Path,
    twin: TwinContent,
    read: Option<(Rows, BTreeSet<u64>)>,
    error: JournalError,
) -> Result<Survey, JournalError> {
    let what = match &error {
        JournalError::NotAJournal { .. } => "the beginning of the file is damaged".to_owned(),
        JournalError::Damaged { what, .. } | JournalError::Database { what, .. } => what.clone(),
        // A newer program would have said so in the twin too.
        JournalError::Newer { .. } if twin.layout == Some(LAYOUT) => "the beginning of the file is damaged".to_owned(),
        _ => return Err(error),
    };
    let found = File::open(file).and_then(|mut f| readable_bytes(&mut f));
    let found = found.map(|bytes| rows_in(&bytes)).unwrap_or_default();
    let unproven = found.proven.is_empty() && twin.entries.is_empty();
    let mut entries = twin.entries.clone();
    let taken = if unproven { found.likely } else { found.proven };
    entries.extend(taken.values().filter_map(|r| r.entry().ok()).map(|e| (e.number, e)));
    let (rows, known) = read.map_or((Vec::new(), BTreeSet::new()), |(rows, known)| (rows.good, known));
    entries.extend(rows.iter().filter_map(|r| r.entry().ok()).map(|e| (e.number, e)));
    if entries.is_empty() {
        return Err(error);
    }
    let mut condition = Condition {
        damaged: true,
        entries: entries.len(),
        missing: gaps(&entries, &known),
        lines: Vec::new(),
    };
    let open_end = twin.entries.is_empty();
    condition.lines.push(damage_line(file, &what, &condition, open_end));
    if unproven {
        condition.lines.push(format!(
            "{}: an older file without sums: what is back may be changed. Look through it with `farhop log --list`.",
            file.display()
        ));
    }
    Ok(from_twin(TwinContent { entries, ..twin }, condition))
}

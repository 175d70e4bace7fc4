//! The twin: a readable copy of the journal beside it, one entry a line, that is only ever added to.
//!
//! Every line ends with a sum over all that stands before it in the line. An entry's line also carries the sum of the whole journal
//! file as it stood with that entry, so that a change of any byte of it is seen. The twin is also the lock of the writers.

use std::collections::BTreeMap;
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{ErrorKind, Read as _, Seek as _, SeekFrom, Write as _};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use serde_json::{Value, json};

use crate::Entry;
use crate::rows::{SUM_LETTERS, digest};
use crate::schema::LAYOUT;
use farhop_journal::Fingerprint;
use farhop_journal::JournalError;
use farhop_journal::lines::{from_value, to_line};

/// Between two looks at a lock that somebody else holds.
const PAUSE: Duration = Duration::from_millis(3);

/// Where the twin of a journal stands.
#[must_use]
pub fn twin_of(journal: &Path) -> PathBuf {
    let mut name = journal.as_os_str().to_os_string();
    name.push(".jsonl");
    PathBuf::from(name)
}

/// What stands in a twin.
#[derive(Clone, Debug, Default)]
pub(crate) struct TwinContent {
    /// Id of the journal.
    pub id: Option<String>,
    /// Layout of the journal.
    pub layout: Option<i64>,
    /// Outings, each with the number of the first entry made for it.
    pub outings: BTreeMap<u64, Fingerprint>,
    pub entries: BTreeMap<u64, Entry>,
    /// Sum of the journal file with an entry, for the last entry that says it.
    pub seal: Option<(u64, String)>,
    /// Lines whose sum is wrong, counted from 1.
    pub bad_lines: Vec<usize>,
    /// Lines that were cut off while they were written.
    pub torn: usize,
}

/// The line that says which journal it is, with the line end.
pub(crate) fn head_line(id: &str) -> String {
    summed_object(&json!({ "journal": id, "layout": LAYOUT }))
}

/// The line that says for which outing entries are kept from a number on.
pub(crate) fn outing_line(since: u64, fingerprint: &Fingerprint) -> String {
    summed_object(&json!({ "since": since, "outing": fingerprint }))
}

/// The line of an entry, with the sum of the journal file where that is known.
pub(crate) fn entry_line(entry: &Entry, seal: Option<&str>) -> Result<String, JournalError> {
    let line = to_line(entry)?;
    let rest = line.strip_prefix('{').unwrap_or(&line);
    let rest = rest.strip_suffix('}').unwrap_or(rest);
    let seal = seal.map_or_else(String::new, |sum| format!(",\"file\":\"{sum}\""));
    Ok(with_sum(&format!("{{\"number\":{},{rest}{seal}", entry.number)))
}

fn summed_object(object: &Value) -> String {
    let text = object.to_string();
    with_sum(text.strip_suffix('}').unwrap_or(&text))
}

/// Closes an object that is still open with its sum.
fn with_sum(open: &str) -> String {
    format!("{open},\"sum\":\"{}\"}}\n", digest(open.as_bytes()))
}

/// The object of a line whose sum is right.
fn proven(line: &str) -> Option<Value> {
    let open = line.strip_suffix("\"}")?;
    let (open, sum) = open.split_at_checked(open.len().checked_sub(SUM_LETTERS)?)?;
    let open = open.strip_suffix(",\"sum\":\"")?;
    if digest(open.as_bytes()) != sum {
        return None;
    }
    serde_json::from_str(line).ok()
}

impl TwinContent {
    /// What stands in the bytes of a twin. Bytes that are no UTF-8 spoil their own line only.
    pub fn of(bytes: &[u8]) -> Self {
        let mut content = Self::default();
        for (index, line) in bytes.split(|b| *b == b'\n').enumerate() {
            if line.is_empty() {
                continue;
            }
            let object = std::str::from_utf8(line).ok().and_then(proven);
            match object.and_then(|object| content.take(object)) {
                Some(()) => {}
                None if line.ends_with(b"}") => content.bad_lines.push(index + 1),
                None => content.torn += 1,
            }
        }
        content
    }

    fn take(&mut self, mut object: Value) -> Option<()> {
        if let Some(id) = object.get("journal") {
            self.id = Some(id.as_str()?.to_owned());
            self.layout = object.get("layout").and_then(Value::as_i64);
            return Some(());
        }
        if let Some(outing) = object.get_mut("outing") {
            let fingerprint = serde_json::from_value(outing.take()).ok()?;
            self.outings.insert(object.get("since")?.as_u64()?, fingerprint);
            return Some(());
        }
        let fields = object.as_object_mut()?;
        let number = fields.shift_remove("number")?.as_u64()?;
        fields.shift_remove("sum");
        let seal = fields.shift_remove("file").and_then(|s| s.as_str().map(str::to_owned));
        let new = from_value(object).ok()?;
        let entry = Entry {
            number,
            key: new.key?,
            entered_at: new.entered_at,
            words: new.words,
            body: new.body,
        };
        if let Some(seal) = seal
            && self.seal.as_ref().is_none_or(|(last, _)| *last <= number)
        {
            self.seal = Some((number, seal));
        }
        self.entries.insert(number, entry);
        Some(())
    }
}

/// The twin held open and locked; the lock goes when this is dropped.
pub(crate) struct Held {
    file: File,
    path: PathBuf,
}

impl Held {
    /// Holds the twin against other writers, and makes it where there is none.
    pub(crate) fn to_write(journal: &Path, patience: Duration) -> Result<Self, JournalError> {
        let path = twin_of(journal);
        loop {
            let fresh = !path.exists();
            let mut options = OpenOptions::new();
            let opened = options.read(true).append(true).create(true).open(&path);
            let file = opened.map_err(|e| failed(&path, &e))?;
            wait(&path, patience, || file.try_lock())?;
            if fresh {
                settle_folder(&path);
            }
            // Whoever held it before may have put it aside; then another file has its name now.
            if same_file(&file, &path) {
                return Ok(Self { file, path });
            }
        }
    }

    /// Whether nothing stands in it yet.
    pub fn is_empty(&self) -> Result<bool, JournalError> {
        self.file
            .metadata()
            .map(|m| m.len() == 0)
            .map_err(|e| failed(&self.path, &e))
    }

    /// Takes it away again where nothing stands in it.
    pub(crate) fn leave_if_empty(&self) {
        if self.is_empty().unwrap_or(false) {
            // An empty file that stays is no harm.
            let _ = std::fs::remove_file(&self.path);
        }
    }

    /// Copies it under a name of its own and empties it.
    pub fn put_aside(&mut self) -> Result<PathBuf, JournalError> {
        let stem = self.path.with_extension("");
        let aside = free_name(|n| {
            let mut name = stem.as_os_str().to_os_string();
            name.push(format!(".other-{n}.jsonl"));
            PathBuf::from(name)
        });
        let bytes = self.bytes()?;
        write_new(&aside, &bytes)?;
        self.rewrite("")?;
        Ok(aside)
    }

    /// Holds the twin so that nobody writes meanwhile; none where there is no twin.
    pub(crate) fn to_read(journal: &Path, patience: Duration) -> Result<Option<Self>, JournalError> {
        let path = twin_of(journal);
        let file = match File::open(&path) {
            Ok(file) => file,
            Err(e) if e.kind() == ErrorKind::NotFound => return Ok(None),
            Err(e) => return Err(failed(&path, &e)),
        };
        wait(&path, patience, || file.try_lock_shared())?;
        Ok(Some(Self { file, path }))
    }

    /// Everything in it. Places that the disk cannot give back are left out.
    pub fn bytes(&mut self) -> Result<Vec<u8>, JournalError> {
        let mut bytes = Vec::new();
        let read = self
            .file
            .seek(SeekFrom::Start(0))
            .and_then(|_| self.file.read_to_end(&mut bytes));
        match read {
            Ok(_) => Ok(bytes),
            Err(_) => crate::salvage::readable_bytes(&mut self.file).map_err(|e| failed(&self.path, &e)),
        }
    }

    /// What stands in it.
    pub fn content(&mut self) -> Result<TwinContent, JournalError> {
        Ok(TwinContent::of(&self.bytes()?))
    }

    /// Adds lines at the end; they are on the disk when this returns. A line that was cut off before stays as it is.
    pub fn add(&mut self, lines: &str) -> Result<(), JournalError> {
        let mut last = [b'\n'];
        let length = self.file.seek(SeekFrom::End(0)).map_err(|e| failed(&self.path, &e))?;
        if length > 0 {
            let read = self
                .file
                .seek(SeekFrom::End(-1))
                .and_then(|_| self.file.read_exact(&mut last));
            read.map_err(|e| failed(&self.path, &e))?;
        }
        let gap = if last == [b'\n'] { "" } else { "\n" };
        let written = self.file.write_all(format!("{gap}{lines}").as_bytes());
        let done = written.and_then(|()| self.file.sync_data());
        done.map_err(|e| {
            // Half a line would only be in the way of the next.
            let _ = self.file.set_len(length);
            failed(&self.path, &e)
        })
    }

    /// Puts other lines in the place of all. Whoever waits for the lock goes on with the new ones.
    pub(crate) fn rewrite(&mut self, lines: &str) -> Result<(), JournalError> {
        let done = self
            .file
            .set_len(0)
            .and_then(|()| self.file.write_all(lines.as_bytes()));
        let done = done.and_then(|()| self.file.sync_all());
        done.map_err(|e| failed(&self.path, &e))
    }
}

fn wait(
    path: &Path,
    patience: Duration,
    mut try_lock: impl FnMut() -> Result<(), TryLockError>,
) -> Result<(), JournalError> {
    let begun = Instant::now();
    loop {
        match try_lock() {
            Ok(()) => return Ok(()),
            Err(TryLockError::WouldBlock) if begun.elapsed() < patience => std::thread::sleep(PAUSE),
            Err(TryLockError::WouldBlock) => return Err(JournalError::Locked { file: path.into() }),
            // A file system without locks: the database has its own.
            Err(TryLockError::Error(_)) => return Ok(()),
        }
    }
}

/// Whether a path still leads to an open file.
#[cfg(unix)]
fn same_file(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt as _;
    match (file.metadata(), std::fs::metadata(path)) {
        (Ok(open), Ok(named)) => open.ino() == named.ino() && open.dev() == named.dev(),
        _ => false,
    }
}

/// Elsewhere a file that is open cannot be renamed.
#[cfg(not(unix))]
fn same_file(_: &File, _: &Path) -> bool {
    true
}

/// The first name of a row that no file has.
pub(crate) fn free_name(name: impl Fn(u32) -> PathBuf) -> PathBuf {
    let mut number = 1;
    while name(number).symlink_metadata().is_ok() {
        number += 1;
    }
    name(number)
}

/// Writes a file that is not there yet, through to the disk.
pub(crate) fn write_new(path: &Path, bytes: &[u8]) -> Result<(), JournalError> {
    crate::whole::put_new(path, bytes, None).map_err(|e| failed(path, &e))?;
    settle_folder(path);
    Ok(())
}

/// A new file is only safe when its folder is on the disk too.
pub(crate) fn settle_folder(path: &Path) {
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty());
    // Where folders cannot be opened like files, the system sees to it by itself.
    let _ = File::open(folder.unwrap_or(Path::new("."))).and_then(|f| f.sync_all());
}

/// What the system says about a file, in our words.
pub(crate) fn failed(path: &Path, error: &std::io::Error) -> JournalError {
    let file = path.to_path_buf();
    match error.kind() {
        ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => JournalError::ReadOnly { file },
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded | ErrorKind::FileTooLarge => JournalError::Full { file },
        ErrorKind::NotFound | ErrorKind::NotADirectory | ErrorKind::IsADirectory => JournalError::CannotOpen { file },
        _ => JournalError::Database {
            file,
            what: error.to_string(),
        },
    }
}

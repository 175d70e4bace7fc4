//! The one reader of the reference vectors under `validation/`: comma-separated tables with a head line.
//!
//! Lines that begin with `#` are remarks; a cell in quotes may hold commas.
//!
//! ```
//! let rows = farhop_vectors::table("noise/sum.csv");
//! assert!(rows.len() >= 10 && rows[0].number(3).is_some());
//! ```

mod fingerprint;

pub use fingerprint::{fingerprint, holds};

use std::ops::Index;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use csv::StringRecord;

/// A table that cannot be read; the text names the file.
#[derive(Debug, thiserror::Error)]
#[error("{}: {problem}", path.display())]
pub struct VectorError {
    /// The file.
    path: PathBuf,
    /// What is wrong with it, with the line.
    problem: csv::Error,
}

/// An invented outing on which all goes well, for tests that need one: two days, six gateways, a large battery, an end-fed wire.
#[must_use]
pub fn kind_day() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("outings/kind-day.toml")
}

/// Holds a page that is made from the sources against the committed one, or writes it where `FARHOP_WRITE_PAGES` is `1`.
///
/// `path` is counted from the root of the repository.
///
/// # Panics
/// When the committed page is another one, or cannot be written.
#[track_caller]
pub fn page_is(path: &str, made: &str) {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../..").join(path);
    if std::env::var("FARHOP_WRITE_PAGES").is_ok_and(|v| v == "1")
        && let Err(error) = std::fs::write(&file, made)
    {
        panic!("{} cannot be written: {error}", file.display());
    }
    let there = std::fs::read_to_string(&file).unwrap_or_default();
    let differs = there.lines().zip(made.lines()).position(|(a, b)| a != b);
    let line = 1 + differs.unwrap_or(there.lines().count().min(made.lines().count()));
    assert!(
        there == made,
        "{path} is not what the sources make, from line {line} on; FARHOP_WRITE_PAGES=1 before the same test writes it anew"
    );
}

/// One row of a table, with the names of its columns.
#[derive(Clone, Debug)]
pub struct Row {
    head: Arc<StringRecord>,
    cells: StringRecord,
}

/// A column, by its place (from 0) or by its name.
pub trait Column: Copy + std::fmt::Debug {
    /// Its place in the row, if the table has it.
    fn place(self, head: &StringRecord) -> Option<usize>;
}

impl Column for usize {
    fn place(self, head: &StringRecord) -> Option<usize> {
        (self < head.len()).then_some(self)
    }
}

impl Column for &str {
    fn place(self, head: &StringRecord) -> Option<usize> {
        head.iter().position(|name| name == self)
    }
}

impl Row {
    /// The text of a column.
    ///
    /// # Panics
    /// When the table has no such column: a slip in the test that asks.
    #[must_use]
    #[track_caller]
    pub fn text(&self, column: impl Column) -> &str {
        match column.place(&self.head).and_then(|i| self.cells.get(i)) {
            Some(text) => text,
            None => panic!("no column {column:?} in {:?}", self.head),
        }
    }

    /// The number in a column; `None` where the cell is empty or holds no number.
    ///
    /// # Panics
    /// When the table has no such column.
    #[must_use]
    #[track_caller]
    pub fn number(&self, column: impl Column) -> Option<f64> {
        self.text(column).parse().ok()
    }

    /// The number in a column that has one in every row.
    ///
    /// # Panics
    /// When there is no number.
    #[must_use]
    #[track_caller]
    pub fn value(&self, column: impl Column) -> f64 {
        match self.number(column) {
            Some(number) => number,
            None => panic!("no number in column {column:?} of {:?}", self.cells),
        }
    }

    /// Whether the table has a column of this name.
    #[must_use]
    pub fn has(&self, column: &str) -> bool {
        column.place(&self.head).is_some()
    }

    /// Names and texts of all columns.
    pub fn cells(&self) -> impl Iterator<Item = (&str, &str)> {
        self.head.iter().zip(&self.cells)
    }

    /// The cells alone.
    #[must_use]
    pub fn record(&self) -> &StringRecord {
        &self.cells
    }
}

impl<C: Column> Index<C> for Row {
    type Output = str;

    #[track_caller]
    fn index(&self, column: C) -> &str {
        self.text(column)
    }
}

/// The folder `validation` of the repository.
#[must_use]
pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../../validation")
}

/// All rows of a table.
///
/// # Errors
/// The file is missing, or a row has not as many cells as the head.
pub fn read(path: &Path) -> Result<Vec<Row>, VectorError> {
    let fail = |problem: csv::Error| VectorError {
        path: path.to_owned(),
        problem,
    };
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(path)
        .map_err(fail)?;
    let head = Arc::new(reader.headers().map_err(fail)?.clone());
    let row = |cells: StringRecord| Row {
        head: Arc::clone(&head),
        cells,
    };
    reader.records().map(|r| r.map(row).map_err(fail)).collect()
}

/// All rows of a table below `validation`, for a test: there is at least one.
///
/// # Panics
/// When the table cannot be read or is empty.
#[must_use]
#[track_caller]
pub fn table(name: &str) -> Vec<Row> {
    let rows = match read(&folder().join(name)) {
        Ok(rows) => rows,
        Err(error) => panic!("{error}"),
    };
    assert!(!rows.is_empty(), "{name} has no rows: a test would hold for nothing");
    rows
}

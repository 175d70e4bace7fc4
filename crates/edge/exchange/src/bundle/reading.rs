//! Reading the outing of a bundle with nothing but the bundle.

use std::cell::RefCell;
use std::collections::BTreeSet;
use std::path::Path;

use farhop_outing_file::{Reading, read};

use super::{Bundle, Role};

/// Why the outing of a bundle is not read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ReadingError {
    /// None in it.
    #[error("it holds no outing")]
    None,
    /// Not text.
    #[error("its outing is not UTF-8 text")]
    Text,
    /// It would look elsewhere.
    #[error("refused: its outing names the file {0:?}, which is not in the bundle")]
    Outside(String),
    /// Something that nobody named.
    #[error("refused: {0:?} is in it, but its outing does not name it")]
    Unnamed(String),
    /// A file that a database would open.
    #[error("refused: {0:?} has the name of a journal")]
    Journal(String),
}

/// Reads the outing as it lies in the bundle, with nothing but the files of the bundle: one that names others would look into the
/// reader's own folders later. What is said to be named by the outing must be so.
///
/// # Errors
/// No outing, or names that do not agree.
pub fn reading_of(bundle: &Bundle) -> Result<Reading, ReadingError> {
    let outing = bundle.outing().ok_or(ReadingError::None)?;
    let text = std::str::from_utf8(&outing.bytes).map_err(|_| ReadingError::Text)?;
    let asked: RefCell<BTreeSet<String>> = RefCell::default();
    let reading = read(text, &outing.name, &|name| {
        asked.borrow_mut().insert(name.to_owned());
        let found = bundle.of(Role::Named).find(|c| c.name == name);
        let bytes = found.map(|c| c.bytes.clone()).ok_or("it is not in the bundle")?;
        String::from_utf8(bytes).map_err(|_| "it is not UTF-8 text".to_owned())
    });
    let asked = asked.into_inner();
    let there: BTreeSet<String> = bundle.of(Role::Named).map(|c| c.name.clone()).collect();
    if let Some(name) = asked.difference(&there).next() {
        return Err(ReadingError::Outside(name.clone()));
    }
    if let Some(name) = there.difference(&asked).next() {
        return Err(ReadingError::Unnamed(name.clone()));
    }
    // A journal comes as lines, never as a file that a database would open.
    let journal = |name: &&String| {
        Path::new(name)
            .extension()
            .is_some_and(|e| e.eq_ignore_ascii_case("journal"))
    };
    match there.iter().find(journal) {
        Some(name) => Err(ReadingError::Journal(name.clone())),
        None => Ok(reading),
    }
}

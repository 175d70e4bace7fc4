//! What the database says, as an error of the journal.

use std::path::Path;

use farhop_journal::JournalError;
use rusqlite::ErrorCode;

/// What the database says, in our words.
pub(crate) fn database_error(file: &Path, error: &rusqlite::Error) -> JournalError {
    let file = file.to_path_buf();
    let what = error.to_string();
    match error.sqlite_error_code() {
        Some(ErrorCode::NotADatabase) => JournalError::NotAJournal { file },
        Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => JournalError::Locked { file },
        Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied) => JournalError::ReadOnly { file },
        Some(ErrorCode::DiskFull) => JournalError::Full { file },
        Some(ErrorCode::CannotOpen) => JournalError::CannotOpen { file },
        Some(ErrorCode::DatabaseCorrupt) => JournalError::Damaged { file, what },
        Some(ErrorCode::SystemIoFailure) => JournalError::Database {
            file,
            what: format!("the disk did not do what it was told ({what}); make room, look after it and try again"),
        },
        _ => JournalError::Database { file, what },
    }
}

//! A search for a fault, kept beside the outing so that it can be taken up again after a power cut.

use std::path::{Path, PathBuf};

use farhop_journal::search::{from_text, to_text};
use farhop_plan::readiness::FaultSearch;

use crate::whole;

/// Where the search of an outing is kept: beside its file, or in the user's data folder for the demo.
#[must_use]
pub fn file_of(outing: Option<&Path>) -> PathBuf {
    outing.map_or_else(
        || crate::demo_file("demo.fault.json"),
        |path| path.with_extension("fault.json"),
    )
}

/// The search that is open, if there is one.
///
/// # Errors
/// In words: the file cannot be read or is no search.
pub fn read(file: &Path) -> Result<Option<FaultSearch>, String> {
    let text = match std::fs::read_to_string(file) {
        Ok(text) => text,
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(None),
        Err(e) => return Err(format!("{}: {e}", file.display())),
    };
    from_text(&text).map(Some).map_err(|e| {
        format!(
            "{}: {e}; this search cannot be taken up again. Begin a new one with --symptom",
            file.display()
        )
    })
}

/// Writes the search beside and renames it, on the disk before this returns: a power cut leaves the old or the new one.
///
/// # Errors
/// In words: it cannot be written.
pub fn write(file: &Path, search: &FaultSearch) -> Result<(), String> {
    let text = to_text(search)?;
    let named = |e: std::io::Error| format!("{}: {e}; the answer is not kept", file.display());
    if let Some(folder) = file.parent().filter(|_| file == file_of(None)) {
        // The demo's own folder; when it cannot be made, writing says so.
        let _ = std::fs::create_dir_all(folder);
    }
    whole::replace(file, text.as_bytes()).map_err(named)
}

#[cfg(test)]
mod tests {
    use super::*;
    use farhop_kit::fault::{Answer, CheckKind, Finding, Symptom};

    #[test]
    fn a_search_comes_back_as_it_was() {
        let file = std::env::temp_dir().join(format!("farhop-search-{}.json", std::process::id()));
        let search = FaultSearch {
            symptoms: vec![Symptom::HighSwr, Symptom::ModemSilent],
            in_use: vec!["wire".to_owned()],
            no_meter: true,
            answers: vec![
                Answer::found("fuse", Finding::Bad),
                Answer {
                    about: "power-cable".to_owned(),
                    kind: CheckKind::Output,
                    finding: Finding::Ok,
                },
            ],
        };
        write(&file, &search).unwrap();
        assert_eq!(read(&file).unwrap(), Some(search));
        std::fs::write(&file, "{\"symptoms\": [\"smoke\"]").unwrap();
        let error = read(&file).unwrap_err();
        assert!(error.contains("--symptom"), "{error}");
        std::fs::remove_file(&file).unwrap();
        assert_eq!(read(&file).unwrap(), None);
    }
}

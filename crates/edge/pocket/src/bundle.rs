//! A bundle out of the browser's store, and one into it.

use std::collections::BTreeMap;

use farhop_exchange::bundle::{Content, Role, check, pack, reading_of};
use farhop_journal::from_lines;
use farhop_pages::Storage;

use crate::storage::BrowserStorage;

/// The outing of now with the files that it names and its log. A card and solved antennas, which a computer may add, are not in it.
///
/// # Errors
/// In words: what is kept cannot stand in a bundle.
pub fn made(storage: &BrowserStorage, now: farhop_earth::UtcTime) -> Result<Vec<u8>, String> {
    let content = |name: &str, role, text: String| Content {
        name: name.to_owned(),
        role,
        bytes: text.into_bytes(),
    };
    let outing = storage.text()?.unwrap_or_default();
    let mut contents = vec![content("outing.toml", Role::Outing, outing)];
    let files = storage.record().files.into_iter();
    contents.extend(files.map(|(name, text)| content(&name, Role::Named, text)));
    let log = storage.copy().map_err(|e| e.to_string())?;
    if !log.is_empty() {
        contents.push(content("journal.jsonl", Role::Journal, log));
    }
    pack(&contents, now).map_err(|e| e.to_string())
}

/// Makes the outing of a bundle the one of now, with its log.
///
/// # Errors
/// In words: the first thing that is wrong. Nothing is changed then.
pub fn opened(bytes: &[u8], storage: &BrowserStorage) -> Result<(), String> {
    let bundle = check(bytes).map_err(|e| e.to_string())?;
    // An outing with errors is taken too, to be mended on the edit page.
    let _ = reading_of(&bundle).map_err(|e| e.to_string())?;
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).map_err(|_| "a text in it is not UTF-8".to_owned());
    let outing = bundle.outing().ok_or("it holds no outing")?;
    let outing = text(&outing.bytes)?;
    let files = bundle.of(Role::Named).map(|c| Ok((c.name.clone(), text(&c.bytes)?)));
    let files = files.collect::<Result<BTreeMap<String, String>, String>>()?;
    let logs = bundle
        .of(Role::Journal)
        .map(|c| text(&c.bytes))
        .collect::<Result<Vec<String>, String>>()?;
    for log in &logs {
        from_lines(log).map_err(|e| format!("the journal in it: {e}"))?;
    }
    storage.begin(&outing, files);
    for log in &logs {
        storage.merge(log).map_err(|e| format!("the journal in it: {e}"))?;
    }
    Ok(())
}

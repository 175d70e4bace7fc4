//! `[learned]`: what earlier outings have taught, in the file itself or in a file of its own.

use farhop_outing::Learned;
use farhop_outing::rows::section;
use toml::de::DeTable;

use crate::fields::Fields;
use crate::reader::{Reader, Whole};
use crate::reading::Loader;
use crate::session::{Session, Spot};
use crate::syntax;

/// Reads the section, or the file that it names.
pub(crate) fn read(s: &mut Session, mut f: Fields<'_>, whole: Whole<'_>, load: &Loader<'_>) -> Option<Learned> {
    let Some(name) = f.text(s, "file") else {
        return Some(keys(s, f, whole));
    };
    let spot = f.get(s, "file").map_or_else(|| f.own_spot(), |v| f.spot_of(v));
    let path = f.path_of("file");
    f.finish(s);
    let text = match load(&name) {
        Ok(text) => text,
        Err(error) => {
            s.error(
                spot,
                &path,
                format!("\"{name}\" cannot be read: {error}"),
                "The path is taken from the folder of the outing.",
            );
            return None;
        }
    };
    let source = s.add_source(&name, &text);
    let (table, errors) = DeTable::parse_recoverable(&text);
    if !errors.is_empty() {
        syntax::report(s, source, &errors, text.len());
        return None;
    }
    let f = Fields::new(table.get_ref(), "learned".to_owned(), table.span(), source);
    s.mark("learned".to_owned(), Spot { source, span: 0..0 });
    Some(keys(s, f, whole))
}

fn keys(s: &mut Session, f: Fields<'_>, whole: Whole<'_>) -> Learned {
    let mut reader = Reader::new(s, f, whole);
    let learned = section(&mut reader);
    reader.finish();
    learned
}

//! The tables of keys in the guide, one line a row.

use farhop_outing::rows::{About, Chapter, KeyLine, Shape, chapters};

use super::chapter;

const OPEN: &str = "<!-- rows:";
const SHUT: &str = " -->";
const END: &str = "<!-- end -->";

/// Why the tables cannot be put into a page.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PageError {
    /// A mark names no section.
    #[error("`{OPEN}{0}{SHUT}` names no section that has rows; the sections are: {all}", all = known())]
    NoSuchSection(String),
    /// A mark has no end.
    #[error("`{OPEN}{0}{SHUT}` has no `{END}` after its table; add that line")]
    NoEnd(String),
    /// A section has no mark.
    #[error("the page has no table of [{0}]; add the lines `{OPEN}{0}{SHUT}` and `{END}` where it belongs")]
    NoTable(&'static str),
}

/// The page with every table between its marks made anew from the rows; the text around them stays.
///
/// # Errors
/// When a mark names no section or has no end, or a section has no mark.
pub fn guide(page: &str) -> Result<String, PageError> {
    let mut pieces = page.split(OPEN);
    let mut made = pieces.next().unwrap_or_default().to_owned();
    let mut told = Vec::new();
    for piece in pieces {
        let (path, rest) = piece
            .split_once(SHUT)
            .ok_or_else(|| PageError::NoSuchSection(first_word(piece)))?;
        let section = chapter(path).ok_or_else(|| PageError::NoSuchSection(first_word(path)))?;
        let (_, after) = rest.split_once(END).ok_or_else(|| PageError::NoEnd(path.to_owned()))?;
        told.push(section.path);
        made += &format!("{OPEN}{path}{SHUT}\n{}{END}{after}", table(&section));
    }
    match chapters().into_iter().find(|c| !told.contains(&c.path)) {
        Some(untold) => Err(PageError::NoTable(untold.path)),
        None => Ok(made),
    }
}

fn first_word(text: &str) -> String {
    text.split_whitespace().next().unwrap_or_default().to_owned()
}

fn known() -> String {
    let all: Vec<&str> = chapters().iter().map(|c| c.path).collect();
    all.join(", ")
}

fn table(section: &Chapter) -> String {
    let lines: Vec<String> = section.lines.iter().map(line).collect();
    format!(
        "| key | meaning | allowed | when left out |\n|---|---|---|---|\n{}",
        lines.concat()
    )
}

fn line(key: &KeyLine) -> String {
    let cell = |text: &str| text.replace('|', "\\|");
    format!(
        "| `{}` | {} | {} | {} |\n",
        key.about.key,
        cell(key.about.means),
        cell(&allowed(key.about)),
        cell(&key.left_out)
    )
}

/// What a value may be, in words.
fn allowed(about: &About) -> String {
    let within = |what: &str| match about.limit {
        Some(limit) => format!("{what}{}", limit),
        None => what.trim_end_matches([' ', ',']).to_owned(),
    };
    match (about.shape)() {
        Shape::Number if about.limit.is_some() => within(""),
        Shape::Number => "number".to_owned(),
        Shape::Count => within("whole number, "),
        Shape::Numbers => within("list of numbers, "),
        Shape::Pairs => "list of pairs".to_owned(),
        Shape::Spread => within("value and standard deviation, "),
        Shape::Text => "text".to_owned(),
        Shape::Texts => "list of texts".to_owned(),
        Shape::Word(words) => quoted(&words),
        Shape::Words(words) => format!("list of {}", quoted(&words)),
        Shape::Truth => "`true`, `false`".to_owned(),
        Shape::Time => "time".to_owned(),
        Shape::Place => "place".to_owned(),
        Shape::Hours => "hours".to_owned(),
        Shape::Needs => "list of ids".to_owned(),
        Shape::WordOrTable(words, keys) => format!("{}; or a table of {}", quoted(&words), named(&keys)),
        Shape::Table(_) => "table".to_owned(),
        Shape::Tables(_) | Shape::Antennas => "tables".to_owned(),
    }
}

fn quoted(words: &[&str]) -> String {
    let all: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
    all.join(", ")
}

fn named(keys: &[&About]) -> String {
    let all: Vec<&str> = keys.iter().map(|about| about.key).collect();
    quoted(&all)
}

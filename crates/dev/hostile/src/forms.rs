//! The pages, fed with forms, entries and addresses: they stand in the engine of the browser, so that no server is needed.

use farhop_pocket::{Asked, Content, Engine, Record};

use crate::journal::now;
use crate::readers::DEMO;

/// What is appended to all that is sent: where it stands in a page as it is, letters have become marks.
const MARK: &str = "<b9>";

/// Which page: the first byte chooses. Each with its method and the kind of its body.
const PAGES: [(&str, &str, bool); 14] = [
    ("POST", "/edit/values", false),
    ("POST", "/edit/text", false),
    ("POST", "/edit/change", false),
    ("POST", "/edit/stations", false),
    ("POST", "/edit/undo", false),
    ("POST", "/field/entry", true),
    ("POST", "/field/log", false),
    ("POST", "/field/undo", false),
    ("POST", "/fault", false),
    ("POST", "/theme", false),
    ("GET", "/antennas", false),
    ("GET", "/hours", false),
    ("GET", "/energy", false),
    ("GET", "/", false),
];

/// A request: the first byte chooses the page, the rest is its body or its address.
pub fn forms(bytes: &[u8]) {
    let Some((first, rest)) = bytes.split_first() else {
        return;
    };
    let (method, path, json) = PAGES[usize::from(*first) % PAGES.len()];
    let body = String::from_utf8_lossy(rest);
    let engine = Engine::new(|_, _, _| {});
    let mut content = Content {
        record: Record {
            slot: "first".to_owned(),
            text: Some(DEMO.to_owned()),
            previous: Some(DEMO.to_owned()),
            ..Record::default()
        },
        ..Content::default()
    };
    // A form that was made from the text as it stands is not refused as stale.
    let hash = farhop_pocket_hash(&engine, &content);
    let body = body.replace("BASE", &hash);
    let (path, body) = match (method, json) {
        ("GET", _) => (format!("{path}{}", address(&body)), String::new()),
        (_, true) => (path.to_owned(), body),
        (_, false) => (path.to_owned(), format!("{body}%3Cb9%3E")),
    };
    let (told, page) = ask(&engine, &content, method, &path, json, body);
    assert!(
        told.status != 500 && told.status != 0,
        "{method} {path}: {}",
        told.status
    );
    plain(&told, &page);
    // What was saved is shown again, and an entry that was kept too.
    if let Some(record) = told.record {
        content.record = record;
    }
    content.lines.extend(told.added.into_iter().map(|a| a.line));
    for path in ["/edit", "/field"] {
        let (told, page) = ask(&engine, &content, "GET", path, false, String::new());
        assert_eq!(told.status, 200, "{path}");
        plain(&told, &page);
    }
}

fn ask(
    engine: &Engine,
    content: &Content,
    method: &str,
    path: &str,
    json: bool,
    body: String,
) -> (farhop_pocket::Told, String) {
    let kind = if json {
        "application/json"
    } else {
        "application/x-www-form-urlencoded"
    };
    let asked = Asked {
        method: method.to_owned(),
        path: path.to_owned(),
        headers: vec![("content-type".to_owned(), kind.to_owned())],
        now_ms: now().unix_s() * 1_000,
        fresh: "fresh".to_owned(),
        content: content.clone(),
    };
    let (told, page) = engine.handle(asked, body.into_bytes());
    (told, String::from_utf8_lossy(&page).into_owned())
}

/// The content from which the forms of the page are made.
fn farhop_pocket_hash(engine: &Engine, content: &Content) -> String {
    let (_, page) = ask(engine, content, "GET", "/edit", false, String::new());
    let after = page.split("name=\"base\" value=\"").nth(1).unwrap_or_default();
    after.split('"').next().unwrap_or_default().to_owned()
}

/// Letters as they may stand in an address; others are refused before any page sees them.
fn address(text: &str) -> String {
    let allowed = |c: &char| c.is_ascii_graphic() && !"#<>\"\\^`{}|".contains(*c);
    format!("?{}", text.chars().filter(allowed).collect::<String>())
}

/// No letters of what was sent have become marks of the page.
fn plain(told: &farhop_pocket::Told, page: &str) {
    let html = told
        .headers
        .iter()
        .any(|(name, value)| name == "content-type" && value.starts_with("text/html"));
    assert!(
        !html || !page.contains(MARK),
        "what was sent stands in the page as it is"
    );
}

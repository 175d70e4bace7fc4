//! Two at once lose nothing, and an entry sent twice stands once.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::common::{folder, serve};
use farhop_store::{Journal, file_of};

/// Entries of each of two clients.
const EACH: usize = 20;

#[test]
fn two_clients_log_at_once_and_every_entry_stands_once() {
    let outing = folder("log").join("outing.toml");
    let server = Arc::new(serve(Some(outing.clone()), false));
    assert_eq!(server.post("/edit/start", "x=1").status, 303);
    // A browser without scripts sends a reading in two fields, goes back to the page and reads there what was kept.
    let answer = server.post("/field/log", "reading=volt+%7B%7D&value=+12.4&key=a-reading");
    assert_eq!(answer.status, 303, "{}", answer.body);
    let page = server.get(answer.header("location").unwrap()).body;
    assert!(page.contains("Kept. Entry 1:") && page.contains("12.4 V"), "{page}");
    let log = |who: usize| {
        let server = Arc::clone(&server);
        std::thread::spawn(move || {
            for k in 0..EACH {
                let entry = format!(r#"{{"key": "client-{who}-{k}", "words": "note client {who} entry {k}"}}"#);
                // A telephone that got no answer sends again: the same key is the same entry.
                for _ in 0..2 {
                    let answer = server.post_json("/field/entry", &entry);
                    assert_eq!(answer.status, 200, "{}", answer.body);
                }
            }
        })
    };
    let both = [log(1), log(2)];
    for client in both {
        client.join().unwrap();
    }
    let journal = Journal::open(&file_of(Some(outing.as_path()))).unwrap();
    let entries = journal.all().unwrap();
    assert_eq!(entries.len(), 2 * EACH + 1);
    let words: BTreeSet<String> = entries.iter().filter_map(|e| e.words.clone()).collect();
    assert_eq!(words.len(), 2 * EACH + 1);
}

#[test]
fn of_two_saves_on_one_text_the_second_is_refused_and_gets_its_typing_back() {
    let outing = folder("edit").join("outing.toml");
    let server = serve(Some(outing.clone()), false);
    assert_eq!(server.post("/edit/start", "x=1").status, 303);
    let page = server.get("/edit").body;
    let base = page
        .split("name=\"base\" value=\"")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap()
        .to_owned();
    let save = |name: &str| server.post("/edit/values", &format!("base={base}&outing.name={name}"));
    assert_eq!(save("First").status, 303);
    let second = save("Second");
    assert_eq!(second.status, 409);
    assert!(second.body.contains("name = &quot;Second&quot;") || second.body.contains("name = \"Second\""));
    let text = std::fs::read_to_string(&outing).unwrap();
    assert!(text.contains("name = \"First\"") && !text.contains("Second"));
}

#[test]
fn a_draft_takes_nothing_away_and_an_empty_answer_is_refused_in_its_place() {
    let outing = folder("draft").join("outing.toml");
    let server = serve(Some(outing.clone()), false);
    assert_eq!(server.post("/edit/start", "x=1").status, 303);
    server.ready();
    // Nothing ticked: the page says so itself, and the boxes are still there.
    let answer = server.post("/fault", "act=begin");
    assert_eq!(answer.status, 422);
    assert!(
        answer.body.contains("tick what you see") && answer.body.contains("seen0"),
        "{}",
        answer.body
    );
    // A place is added, with what was typed beside it; it has no position yet, so the last sound version stays in use.
    let base = |page: &str| {
        page.split("name=\"base\" value=\"")
            .nth(1)
            .unwrap()
            .split('"')
            .next()
            .unwrap()
            .to_owned()
    };
    let page = server.get("/edit").body;
    let sent = format!("base={}&outing.name=Another+name&add=site", base(&page));
    assert_eq!(server.post("/edit/change", &sent).status, 303);
    let text = std::fs::read_to_string(&outing).unwrap();
    assert!(
        text.contains("name = \"Another name\"") && text.contains("place = \"\""),
        "{text}"
    );
    let page = server.get("/edit").body;
    assert!(
        page.contains("A draft") && page.contains("or a grid locator."),
        "{page}"
    );
    assert!(server.get("/kit").body.contains("last sound version"));
    // Taken out again, it is sound.
    let places = text.matches("[[site]]").count();
    let sent = format!("base={}&remove=site.{}", base(&page), places - 1);
    assert_eq!(server.post("/edit/change", &sent).status, 303);
    assert!(server.get("/edit").body.contains("sound"));
    server.ready();
    assert!(!server.get("/kit").body.contains("last sound version"));
}

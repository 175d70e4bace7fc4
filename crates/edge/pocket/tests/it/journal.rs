//! Entries: what is to be kept comes back with the answer, once.

use crate::Browser;

#[test]
fn an_entry_goes_out_as_one_line_and_comes_back_as_the_same_entry() {
    let mut browser = Browser::new();
    let first = browser.entry("web-1", "volt 12.4");
    assert_eq!(first.told.status, 200, "{}", first.text);
    assert_eq!(first.told.added.len(), 1);
    assert_eq!(first.told.added[0].key, "web-1");
    let journal = browser.content.record.journal.clone();
    assert!(journal.is_some());
    // The answer was lost, and the page sends again.
    let again = browser.entry("web-1", "volt 12.4");
    assert!(
        again.text.contains("\"kept\"") && again.told.added.is_empty(),
        "{}",
        again.text
    );
    let other = browser.entry("web-1", "volt 11.9");
    assert_eq!(other.told.status, 422, "{}", other.text);
    let second = browser.entry("web-2", "noise 7 S4");
    assert!(second.text.contains("\"number\":2"), "{}", second.text);
    assert_eq!(browser.content.record.journal, journal);
    assert_eq!(browser.get("/log/journal.jsonl").text.lines().count(), 2);
}

#[test]
fn what_was_not_kept_does_not_count() {
    let mut browser = Browser::new();
    browser.entry("web-1", "volt 12.4");
    let before = browser.content.clone();
    browser.entry("web-2", "volt 12.1");
    // The store of the browser was full: the line is not there the next time.
    browser.content = before;
    let third = browser.entry("web-3", "volt 12.0");
    assert!(third.text.contains("\"number\":2"), "{}", third.text);
}

#[test]
fn logs_are_merged_by_their_keys_in_any_order_and_twice_without_harm() {
    let (mut a, mut b) = (Browser::new(), Browser::new());
    for (key, words) in [("a-1", "volt 12.4"), ("a-2", "noise 7 S4")] {
        a.entry(key, words);
    }
    b.entry("b-1", "volt 12.2");
    let copy = |from: &mut Browser, to: &mut Browser| {
        let text: String = from
            .get("/log/journal.jsonl")
            .text
            .bytes()
            .map(|b| format!("%{b:02x}"))
            .collect();
        to.ask("POST", "/log", &format!("text={text}"), false)
    };
    assert!(copy(&mut a, &mut b).text.contains("2 new, 0 known already"));
    assert!(copy(&mut a, &mut b).text.contains("0 new, 2 known already"));
    assert!(copy(&mut b, &mut a).text.contains("1 new, 2 known already"));
    let keys = |browser: &Browser| {
        let mut lines = browser.content.lines.clone();
        lines.sort();
        lines
    };
    assert_eq!(keys(&a), keys(&b));
    let wrong = a.ask("POST", "/log", "text=%7B%22key%22%3A1%7D", false);
    assert_eq!((wrong.told.status, wrong.told.added.len()), (422, 0));
}

#[test]
fn another_outing_begins_with_an_empty_log_and_the_first_stays() {
    let mut browser = Browser::new();
    browser.entry("web-1", "volt 12.4");
    let begun = browser.ask("POST", "/phone/new", "", false);
    let slot = begun.told.switch.clone().unwrap();
    assert_eq!(browser.content.record.slot, slot);
    assert!(browser.content.lines.is_empty());
    let list = browser.get("/phone");
    assert!(list.text.contains("The demo"), "{}", list.text);
    let back = browser.ask("POST", "/phone/slot", "slot=first", false);
    assert_eq!(back.told.switch.as_deref(), Some("first"));
    let unknown = browser.ask("POST", "/phone/slot", "slot=other", false);
    assert_eq!(unknown.told.switch, None);
}

//! A journal text made before sessions, readings of power and tasks were known: it still opens, and comes out as it went in.

use crate::common::Scratch;
use farhop_store::{Body, Event, Journal, Outcome};

/// Exported by the program as it was before the events were extended: every kind of event, a correction, a strike, an undo.
const EARLIER: &str = include_str!("earlier-layout.jsonl");

#[test]
fn an_earlier_journal_still_opens_and_comes_out_as_it_went_in() {
    let scratch = Scratch::new("earlier");
    let mut journal = Journal::open(&scratch.file()).unwrap();
    assert_eq!(journal.import(EARLIER).unwrap().added, 24);
    assert_eq!(journal.export().unwrap(), EARLIER);
    let unnamed = journal.all().unwrap().into_iter().find_map(|e| match e.body {
        Body::Account(a) => match a.event {
            Event::Called(c) => match c.outcome {
                Outcome::Delivered { message: None, bytes } => Some(bytes),
                _ => None,
            },
            _ => None,
        },
        Body::Correction(_) => None,
    });
    assert_eq!(unnamed, Some(77));
}

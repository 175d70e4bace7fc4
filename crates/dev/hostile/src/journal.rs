//! The journal: its lines, and what hands and programs enter.

use farhop_day::{Body, Entry, EntryKey, NewEntry, standing, state};
use farhop_earth::UtcTime;
use farhop_journal::moment::{Around, Sense};
use farhop_journal::short::{self as forms, Setting};
use farhop_journal::{can_be_true, from_lines, lines as text_of, to_line, typed as events};

use crate::readers::demo;

/// An hour after the demo begins.
pub(crate) fn now() -> UtcTime {
    demo().header.start.add_s(3_600)
}

/// An entry as a journal without a file keeps it.
pub(crate) fn kept(number: usize, new: NewEntry) -> Entry {
    let made = || EntryKey::new(&format!("k{number}")).expect("letters and digits");
    Entry {
        number: number as u64 + 1,
        key: new.key.unwrap_or_else(made),
        entered_at: new.entered_at,
        words: new.words,
        body: new.body,
    }
}

/// A body comes back from its text as it went in; where it can be true it fits into a day.
fn holds(body: &Body) {
    let text = text_of::body_to_text(body).expect("a body has a text");
    assert_eq!(text_of::body_from_text(&text).as_ref(), Ok(body), "{text}");
    if can_be_true(body).is_ok() {
        let new = NewEntry {
            key: None,
            entered_at: now(),
            words: None,
            body: body.clone(),
        };
        let _ = state(&standing(&[kept(0, new)]), demo(), now()).announcements();
    }
}

/// Lines of a journal.
pub fn lines(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let Ok(read) = from_lines(text) else { return };
    for (line, new) in read {
        holds(&new.body);
        let entry = kept(line, new.clone());
        let again = to_line(&entry).expect("what was read can be written");
        assert!(!again.contains('\n'));
        let back = from_lines(&again).expect("what was written can be read");
        assert_eq!(back, [(1, new)], "{again}");
    }
}

/// A short form, with a time apart behind a NUL.
pub fn short(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let (form, at) = text
        .split_once('\0')
        .map_or((text, None), |(form, at)| (form, Some(at)));
    let setting = Setting {
        outing: demo(),
        entries: &[],
        now: now(),
        at,
        who: None,
    };
    match forms::understand(form, &setting) {
        Ok(understood) => holds(&understood.body),
        Err(error) => assert!(
            !error.problem.trim().is_empty() && !error.wanted.trim().is_empty(),
            "{error:?}"
        ),
    }
    let around = Around::outing(demo(), now(), Sense::Happened);
    if let Err(why) = around.moment(text) {
        assert!(!why.is_empty());
    }
}

/// Events of programs and pages.
pub fn typed(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let Ok(list) = events::typed(text) else { return };
    let day = state(&[], demo(), now());
    for one in list {
        let _ = events::strangers(&one.event, &day);
        let (account, _) = events::complete(one, &day, now());
        holds(&Body::Account(account));
    }
}

/// A search for a fault that is kept beside the outing.
pub fn search(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    if let Ok(found) = farhop_journal::search::from_text(text) {
        let again = farhop_journal::search::to_text(&found).expect("what was read can be written");
        assert_eq!(farhop_journal::search::from_text(&again), Ok(found), "{again}");
    }
}

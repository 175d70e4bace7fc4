//! `[[message]]`.

use farhop_outing::{Header, Message, Priority};

use crate::fields::Fields;
use crate::session::Session;
use crate::time::DateMeans;

pub(crate) fn read(s: &mut Session, mut f: Fields<'_>, number: usize, header: &Header) -> Option<Message> {
    let id = f.need_id(s, number)?;
    let to = f.ids(s, "to");
    if !f.has("bytes") {
        f.known("bytes");
        f.missing(
            s,
            "bytes",
            "Length of the message; a page of plain text has about 2000.",
        );
    }
    let size_bytes = f.count(s, "bytes").unwrap_or(0);
    let ready = f.time(s, "ready", DateMeans::Start);
    let there = f.has("deadline");
    let deadline = f.time(s, "deadline", DateMeans::End);
    if !there {
        f.default(s, "deadline", "end of the outing", "no deadline is given");
    }
    let normal = ("normal", Priority::Normal);
    let priority = f.word_or(s, "priority", &Priority::WORDS, normal, "no priority is given");
    let note = f.notes(s, "note");
    f.finish(s);
    Some(Message {
        id,
        to,
        size_bytes,
        ready,
        deadline: deadline.unwrap_or(header.end),
        priority,
        note,
    })
}

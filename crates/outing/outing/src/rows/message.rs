//! `[[message]]`.

use super::reader::TableReader;
use super::row::{About, Found};
use super::values::take;
use super::{ID_HINT, ID_MEANS};
use crate::limits::MESSAGE_BYTES;
use crate::message::{Message, Priority};

rows! { Message, "message", Forecast;
    id (_, around) = around.nameless.clone() => .must(ID_HINT).names().means(ID_MEANS).form("Short name");
    to => .means("ids of stations that may take it").left_out("any");
    text: Text => .means("the message itself, of which the bytes are counted").left_out("only `bytes` are known");
    bytes in size_bytes => .must("Length of the message; a page of plain text has about 2000. Or write text = \"…\".").within(MESSAGE_BYTES)
        .means("length before compression").left_out("those of `text`, else must be given").sometimes().reading(size).form("Bytes");
    ready => .means("not before").left_out("the start").form("Ready");
    deadline (_, around) = around.end => .date_ends().means("through by then").left_out("end of the outing")
        .why("no deadline is given").form("Deadline");
    priority = Priority::Normal => .means("how much it matters").why("no priority is given").form("Priority");
    note => .means("free words");
}

/// The bytes that the file says, or those of the text (UTF-8).
fn size(message: &mut Message, from: &mut dyn TableReader, about: &About) -> Found {
    if !from.has("text") {
        return take(&mut message.size_bytes, from, about);
    }
    let Some(text) = from.text("text") else {
        // Stands in after the report, so that nothing more is said of it.
        message.size_bytes = 1;
        return Found::Broken;
    };
    if from.has(about.key) {
        from.error(
            about.key,
            "both `text` and `bytes` are given",
            "Keep one of the two: the bytes of a text are counted.",
        );
        return Found::Broken;
    }
    message.size_bytes = text.len() as u64;
    Found::Given
}

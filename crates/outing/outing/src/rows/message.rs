//! `[[message]]`.

use super::{ID_HINT, ID_MEANS};
use crate::limits::MESSAGE_BYTES;
use crate::message::{Message, Priority};

rows! { Message, "message", Forecast;
    id (_, around) = around.nameless.clone() => .must(ID_HINT).names().means(ID_MEANS).form("Short name");
    to => .means("ids of stations that may take it").left_out("any");
    bytes in size_bytes => .must("Length of the message; a page of plain text has about 2000.").within(MESSAGE_BYTES)
        .means("length before compression").form("Bytes");
    ready => .means("not before").left_out("the start").form("Ready");
    deadline (_, around) = around.end => .date_ends().means("through by then").left_out("end of the outing")
        .why("no deadline is given").form("Deadline");
    priority = Priority::Normal => .means("how much it matters").why("no priority is given").form("Priority");
    note => .means("free words");
}

//! Checks of dates and messages.

use farhop_earth::UtcTime;

use super::Check;
use crate::limits::{FIRST_YEAR, LAST_YEAR, LONGEST_DAYS};
use crate::outing::{Header, OutingParts};
use crate::rows;

const DAY_S: i64 = 86_400;

pub(super) fn header(check: &mut Check, header: &Header) {
    check.inside("outing", |c| {
        served(c, "start", header.start);
        served(c, "end", header.end);
        let length_s = header.end.unix_s() - header.start.unix_s();
        if length_s <= 0 {
            c.error("end", "the outing ends before it starts", "Put `end` after `start`.");
        } else if length_s > LONGEST_DAYS * DAY_S {
            c.error(
                "end",
                format!("the outing is {} days long", length_s / DAY_S),
                format!("At most {LONGEST_DAYS} days fit one file: make several."),
            );
        }
        rows::check(c, header);
        if header.name.trim().is_empty() {
            c.error(
                "name",
                "the name is empty",
                "Give the outing a name, for example \"Hut supply check\".",
            );
        }
    });
}

/// The field model and the maps serve these years only.
pub(super) fn served(check: &mut Check, key: &str, at: UtcTime) {
    let year = at.year();
    let first_of_last = year == LAST_YEAR && at.day_of_year() == 1 && at.hour() < 24.0;
    if year < FIRST_YEAR || (year >= LAST_YEAR && !first_of_last) {
        check.error(
            key,
            format!("the year {year} is outside {FIRST_YEAR} to {}", LAST_YEAR - 1),
            format!(
                "The magnetic field model ends with {}: choose an earlier date.",
                LAST_YEAR - 1
            ),
        );
    }
}

pub(super) fn messages(check: &mut Check, parts: &OutingParts) {
    let header = &parts.header;
    check.each("message", &parts.messages, |c, message| {
        rows::check(c, message);
        if message.deadline <= header.start {
            c.error(
                "deadline",
                "the deadline is before the outing starts",
                "Write a time during the outing.",
            );
        } else if message.deadline > header.end {
            c.caution(
                "deadline",
                "the deadline is after the outing ends",
                "The outing ends first; that is the time that counts.",
            );
        }
        if message.ready.is_some_and(|ready| ready >= message.deadline) {
            c.error(
                "ready",
                "the message is ready only after its deadline",
                "Put `ready` before `deadline`.",
            );
        }
        if message.ready.is_some_and(|ready| ready >= header.end) {
            c.error(
                "ready",
                "the message is ready only after the outing",
                "Put `ready` before the outing's `end`.",
            );
        }
        super::references::known(
            c,
            "to",
            &message.to,
            parts.stations.iter().map(|s| s.id.as_str()),
            "station",
        );
    });
    super::references::unique(check, "message", "id", parts.messages.iter().map(|m| m.id.as_str()));
    super::references::few(check, "message", parts.messages.len());
}

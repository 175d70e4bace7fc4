//! The geophysical alert text: a few sentences with flux, A and K, as read out on a standard-frequency station.
//!
//! ```text
//! :Issued: 2026 Nov 25 1205 UTC
//! Solar-terrestrial indices for 24 November follow.
//! Solar flux 145 and estimated planetary A-index 8.
//! The estimated planetary K-index at 1200 UTC on 25 November was 2.00.
//! ```
//!
//! Wording from memory. Earlier issues said "mid-latitude" and gave the K index as a whole number with its nanotesla in brackets.

use farhop_earth::UtcTime;

use super::time::{clock, issued, month, near};
use super::{Dated, Form, Understood};

/// What the text says; none when it does not look like this form.
pub(super) fn read(text: &str) -> Option<Understood> {
    let issued = text
        .lines()
        .find_map(|l| {
            let line = l.trim();
            line.strip_prefix(":Issued:")
                .or_else(|| line.strip_prefix("Issue Time:"))
        })
        .and_then(issued);
    let said: Vec<&str> = text
        .lines()
        .filter(|l| !l.trim_start().starts_with([':', '#']))
        .flat_map(str::split_whitespace)
        .collect();
    let sentence = said.join(" ");
    let lower = sentence.to_lowercase();
    let day = after(&lower, "indices for ").and_then(|rest| day_and_month(rest, issued, (0, 0)));
    let dated = |value: f64, at: Option<UtcTime>| Dated {
        value_own_unit: value,
        at,
    };
    Some(Understood {
        issued,
        flux_sfu: after(&lower, "solar flux ").and_then(number).map(|v| dated(v, day)),
        a_index: after(&lower, "a-index ").and_then(number).map(|v| dated(v, day)),
        k_index: k_index(&lower, issued),
        levels: super::scales::read(text, issued),
        ..Understood::nothing(Form::Alert)
    })
}

/// `the estimated planetary k-index at 1200 utc on 25 november was 2.00.`
fn k_index(lower: &str, issued: Option<UtcTime>) -> Option<Dated> {
    let rest = after(lower, "k-index at ")?;
    let value = after(rest, " was ").and_then(number)?;
    let at = rest
        .split_whitespace()
        .next()
        .and_then(clock)
        .and_then(|time| day_and_month(after(rest, " on ")?, issued, time));
    Some(Dated {
        value_own_unit: value,
        at: at.or(issued),
    })
}

fn after<'t>(text: &'t str, words: &str) -> Option<&'t str> {
    text.split_once(words).map(|(_, rest)| rest)
}

/// The number with which a text begins.
fn number(text: &str) -> Option<f64> {
    let word = text.split_whitespace().next()?;
    let digits = word.trim_end_matches(['.', ',', ';', ')']);
    let plain = digits.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    plain.then(|| digits.parse().ok())?
}

/// `25 november …`
fn day_and_month(text: &str, issued: Option<UtcTime>, time: (i8, i8)) -> Option<UtcTime> {
    let mut words = text.split_whitespace();
    let day = words.next()?.parse().ok()?;
    let month = month(words.next()?)?;
    near(issued?, month, day, time)
}

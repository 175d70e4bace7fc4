//! The 27-day outlook table: a row for each day with flux, planetary A and largest K.
//!
//! ```text
//! :Issued: 2026 Nov 23 0215 UTC
//! #   UTC      Radio Flux   Planetary   Largest
//! #  Date       10.7 cm      A Index    Kp Index
//! 2026 Nov 23     150          10          3
//! ```
//!
//! Layout from memory.

use super::time::issued;
use super::{Forecast, Form, Understood};

const DAY_S: i64 = 86_400;

/// What the table says; none when there is no such row.
pub(super) fn read(text: &str) -> Option<Understood> {
    let rows: Vec<Forecast> = text.lines().filter_map(row).collect();
    if rows.is_empty() {
        return None;
    }
    Some(Understood {
        issued: text
            .lines()
            .find_map(|l| l.trim().strip_prefix(":Issued:"))
            .and_then(issued),
        forecast: rows,
        ..Understood::nothing(Form::Outlook)
    })
}

fn row(line: &str) -> Option<Forecast> {
    let words: Vec<&str> = line.split_whitespace().collect();
    let [year, month, day, flux, a, k] = words[..] else {
        return None;
    };
    let from = issued(&format!("{year} {month} {day}"))?;
    let number = |word: &str| word.parse::<f64>().ok();
    Some(Forecast {
        from,
        until: from.add_s(DAY_S),
        flux_sfu: Some(number(flux)?),
        a_index: Some(number(a)?),
        k_index: Some(number(k)?),
    })
}

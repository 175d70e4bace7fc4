//! What the day has shown already, in words.

use farhop_next::noticed::{Evidence, Noticed};

use crate::reader::Reader;

/// What showed a symptom: `SWR 4.2 on 7.05 MHz at 14:20`.
#[must_use]
pub fn noticed_words(noticed: &Noticed, reader: &Reader) -> String {
    let at = reader.instant(noticed.at);
    match &noticed.evidence {
        Evidence::Swr { freq_mhz, swr } => format!("SWR {swr:.1} on {freq_mhz} MHz, {at}"),
        Evidence::NoMatch(freq_mhz) => format!("no match on {freq_mhz} MHz, {at}"),
        Evidence::Fault(what) => format!("entered as a fault: {what}, {at}"),
        Evidence::NotAnswered(1) => format!("a station was heard and a call led to no link, {at}"),
        Evidence::NotAnswered(calls) => format!("stations were heard and {calls} calls led to no link, the last {at}"),
        Evidence::DeadBand(freq_mhz) => format!("nothing at all on {freq_mhz} MHz, {at}"),
    }
}

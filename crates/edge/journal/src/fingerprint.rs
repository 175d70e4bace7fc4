//! For which outing a journal is kept.

use std::collections::BTreeSet;

use farhop_earth::UtcTime;
use farhop_outing::Outing;
use jiff::tz::TimeZone;
use serde::{Deserialize, Serialize};

/// Dates that both move by so much are another outing: no editing of hours does that.
const MOVED_S: i64 = 24 * 3_600;

/// What tells one outing from another.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Fingerprint {
    /// First instant, seconds since 1970.
    pub start_s: i64,
    /// First instant after it, seconds since 1970.
    pub end_s: i64,
    /// Own callsign, if the outing names it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub callsign: Option<String>,
    /// Ids of its sites.
    pub sites: BTreeSet<String>,
    /// Ids of its stations.
    pub stations: BTreeSet<String>,
    /// Ids of its messages.
    pub messages: BTreeSet<String>,
}

/// How an outing of now stands to the one a journal was kept for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kinship {
    /// Nothing of the fingerprint has changed.
    Same,
    /// It was edited: a message more, an hour later. It is still the same outing.
    Edited,
    /// The dates have moved.
    Moved,
    /// It is another operator's, or none of its places and stations is the same.
    Other,
}

impl Kinship {
    /// Whether entries made for the one belong to the other.
    #[must_use]
    pub(crate) fn is_one_outing(self) -> bool {
        matches!(self, Self::Same | Self::Edited)
    }
}

impl Fingerprint {
    /// The fingerprint of an outing.
    #[must_use]
    pub fn of(outing: &Outing) -> Self {
        let header = &outing.header;
        Self {
            start_s: header.start.unix_s(),
            end_s: header.end.unix_s(),
            callsign: header.operator.callsign.as_ref().map(ToString::to_string),
            sites: outing.sites.iter().map(|s| s.id.to_string()).collect(),
            stations: outing.stations.iter().map(|s| s.id.to_string()).collect(),
            messages: outing.messages.iter().map(|m| m.id.to_string()).collect(),
        }
    }

    /// How the outing of now stands to this one.
    #[must_use]
    pub(crate) fn kinship(&self, now: &Self) -> Kinship {
        if self == now {
            return Kinship::Same;
        }
        let another_operator = matches!((&self.callsign, &now.callsign), (Some(a), Some(b)) if a != b);
        let nothing_shared = self.sites.is_disjoint(&now.sites) && self.stations.is_disjoint(&now.stations);
        if another_operator || nothing_shared {
            return Kinship::Other;
        }
        let apart = self.end_s <= now.start_s || now.end_s <= self.start_s;
        let (start_s, end_s) = (now.start_s - self.start_s, now.end_s - self.end_s);
        let both = start_s.signum() == end_s.signum() && start_s.abs().min(end_s.abs()) >= MOVED_S;
        if apart || both { Kinship::Moved } else { Kinship::Edited }
    }

    /// `Sat 12 Dec 2026 to Sun 13 Dec 2026`, in the zone of the outing of now.
    #[must_use]
    pub fn days(&self, zone: &TimeZone) -> String {
        let day = |s: i64| {
            UtcTime::from_unix_s(s).map_or_else(
                |_| "?".to_owned(),
                |at| {
                    farhop_earth::clock::in_zone(at, zone)
                        .strftime("%a %-d %b %Y")
                        .to_string()
                },
            )
        };
        // The end is the first instant after the outing.
        let (first, last) = (day(self.start_s), day(self.end_s - 1));
        if first == last {
            first
        } else {
            format!("{first} to {last}")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn set(ids: &[&str]) -> BTreeSet<String> {
        ids.iter().map(ToString::to_string).collect()
    }

    fn print() -> Fingerprint {
        Fingerprint {
            start_s: 0,
            end_s: 33 * 3_600,
            callsign: Some("Q3HUT".to_owned()),
            sites: set(&["hut", "ridge"]),
            stations: set(&["larch", "beech"]),
            messages: set(&["arrived"]),
        }
    }

    #[test]
    fn hours_and_messages_may_change_but_not_the_dates() {
        let shifted = |start_h: i64, end_h: i64| Fingerprint {
            start_s: print().start_s + 3_600 * start_h,
            end_s: print().end_s + 3_600 * end_h,
            ..print()
        };
        for (start_h, end_h, expected) in [
            (0, 0, Kinship::Same),
            (3, 3, Kinship::Edited),
            (-24, 0, Kinship::Edited),
            (0, 48, Kinship::Edited),
            (24, 24, Kinship::Moved),
            (-24, -24, Kinship::Moved),
            (7 * 24, 7 * 24, Kinship::Moved),
        ] {
            assert_eq!(print().kinship(&shifted(start_h, end_h)), expected, "{start_h} {end_h}");
        }
        let more = Fingerprint {
            messages: set(&["arrived", "thanks"]),
            stations: set(&["larch"]),
            ..print()
        };
        assert_eq!(print().kinship(&more), Kinship::Edited);
    }

    #[test]
    fn another_operator_or_other_places_are_another_outing() {
        let operator = Fingerprint {
            callsign: Some("Q9TEA".to_owned()),
            ..print()
        };
        let places = Fingerprint {
            sites: set(&["cabin"]),
            stations: set(&["fir"]),
            ..print()
        };
        let unnamed = Fingerprint {
            callsign: None,
            ..print()
        };
        assert_eq!(print().kinship(&operator), Kinship::Other);
        assert_eq!(print().kinship(&places), Kinship::Other);
        assert_eq!(print().kinship(&unnamed), Kinship::Edited);
    }
}

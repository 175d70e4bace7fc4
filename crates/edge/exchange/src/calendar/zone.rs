//! Time zones: RFC 5545 §3.6.5, with the transitions that the IANA data have for the days in question.

use jiff::{
    SignedDuration, Timestamp,
    tz::{Offset, TimeZone},
};

use super::lines::Lines;

/// Writes the zone with every observance in force between two instants, each with its own onset and without a rule: what lies
/// outside is not described.
pub(super) fn write(lines: &mut Lines, zone: &TimeZone, name: &str, from: Timestamp, until: Timestamp) {
    lines.raw("BEGIN", "VTIMEZONE");
    lines.text("TZID", name);
    let before = zone.preceding(from + SignedDuration::from_secs(1)).next();
    let mut onsets: Vec<Timestamp> = before.iter().map(|t| t.timestamp()).collect();
    if onsets.is_empty() {
        // No change on record before: the offset in force has always been so.
        onsets.push(Timestamp::UNIX_EPOCH.min(from));
    }
    let later = zone.following(from).map(|t| t.timestamp());
    onsets.extend(later.take_while(|t| *t <= until));
    for onset in onsets {
        observance(lines, zone, onset);
    }
    lines.raw("END", "VTIMEZONE");
}

fn observance(lines: &mut Lines, zone: &TimeZone, onset: Timestamp) {
    let old = zone.to_offset(onset - SignedDuration::from_secs(1));
    let new = zone.to_offset_info(onset);
    let kind = if new.dst().is_dst() { "DAYLIGHT" } else { "STANDARD" };
    lines.raw("BEGIN", kind);
    // The onset stands in the local time that was in force before it.
    let local = old.to_datetime(onset);
    lines.raw("DTSTART", &local.strftime("%Y%m%dT%H%M%S").to_string());
    lines.raw("TZOFFSETFROM", &offset_text(old));
    lines.raw("TZOFFSETTO", &offset_text(new.offset()));
    lines.text("TZNAME", new.abbreviation());
    lines.raw("END", kind);
}

/// `+1300`, `-0930`, and with seconds where there are any (RFC 5545 §3.3.14).
fn offset_text(offset: Offset) -> String {
    let seconds = offset.seconds();
    let (sign, seconds) = (if seconds < 0 { '-' } else { '+' }, seconds.abs());
    let (h, m, s) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
    if s == 0 {
        format!("{sign}{h:02}{m:02}")
    } else {
        format!("{sign}{h:02}{m:02}{s:02}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(name: &str, from: &str, until: &str) -> String {
        let mut lines = Lines::default();
        let zone = TimeZone::get(name).unwrap();
        write(&mut lines, &zone, name, from.parse().unwrap(), until.parse().unwrap());
        lines.finish().replace("\r\n", "\n")
    }

    /// The rule in force for New Zealand: summer time from 02:00 standard time on the last Sunday of September to 03:00 summer
    /// time on the first Sunday of April (New Zealand Daylight Time Order 2007).
    #[test]
    fn a_zone_without_a_change_has_one_observance() {
        let text = written("Pacific/Auckland", "2026-12-12T00:00:00Z", "2026-12-13T00:00:00Z");
        let expected = "BEGIN:VTIMEZONE\nTZID:Pacific/Auckland\nBEGIN:DAYLIGHT\nDTSTART:20260927T020000\nTZOFFSETFROM:+1200\n\
                        TZOFFSETTO:+1300\nTZNAME:NZDT\nEND:DAYLIGHT\nEND:VTIMEZONE\n";
        assert_eq!(text, expected);
    }

    #[test]
    fn a_change_within_the_days_has_its_own_observance() {
        let text = written("Pacific/Auckland", "2027-04-03T00:00:00Z", "2027-04-05T00:00:00Z");
        assert!(
            text.contains("BEGIN:STANDARD\nDTSTART:20270404T030000\nTZOFFSETFROM:+1300\nTZOFFSETTO:+1200\n"),
            "{text}"
        );
        assert_eq!(text.matches("TZOFFSETTO").count(), 2);
    }

    #[test]
    fn zones_with_odd_offsets_and_without_changes() {
        assert!(written("Asia/Kathmandu", "2026-12-12T00:00:00Z", "2026-12-13T00:00:00Z").contains("TZOFFSETTO:+0545"));
        let fixed = written("Etc/GMT+3", "2026-12-12T00:00:00Z", "2026-12-13T00:00:00Z");
        assert!(fixed.contains("TZOFFSETFROM:-0300\nTZOFFSETTO:-0300"), "{fixed}");
        assert_eq!(offset_text(Offset::from_seconds(-(44 * 60 + 30)).unwrap()), "-004430");
    }
}

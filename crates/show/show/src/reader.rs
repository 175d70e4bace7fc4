//! Who reads: the clock and the units in which everything is told.

use farhop_earth::UtcTime;
use farhop_earth::clock::{TimeZone, local_day, local_hm, zone_word};
pub use farhop_earth::units::Units;

/// The clock and the units of whoever reads.
#[derive(Clone, Debug)]
pub struct Reader {
    /// The zone in which times are told.
    pub zone: TimeZone,
    /// The units in which lengths, masses and temperatures are told.
    pub units: Units,
}

impl Reader {
    /// A reader with a clock of a zone and units.
    #[must_use]
    pub fn new(zone: TimeZone, units: Units) -> Self {
        Self { zone, units }
    }

    /// `13:05`.
    #[must_use]
    pub fn hm(&self, at: UtcTime) -> String {
        local_hm(at, &self.zone)
    }

    /// `Sat 12 Dec`.
    #[must_use]
    pub fn day(&self, at: UtcTime) -> String {
        local_day(at, &self.zone)
    }

    /// `Sat 12 Dec 20:00`.
    #[must_use]
    pub fn moment(&self, at: UtcTime) -> String {
        format!("{} {}", self.day(at), self.hm(at))
    }

    /// `NZDT`.
    #[must_use]
    pub fn zone_word(&self, at: UtcTime) -> String {
        zone_word(at, &self.zone)
    }

    /// `Sat 12 Dec 20:00 NZDT`.
    #[must_use]
    pub fn instant(&self, at: UtcTime) -> String {
        format!("{} {}", self.moment(at), self.zone_word(at))
    }

    /// `Sat 12 Dec 18:00–20:00`, with the second day where it is another.
    #[must_use]
    pub fn span(&self, start: UtcTime, end: UtcTime) -> String {
        let (first, last) = (self.day(start), self.day(end));
        let day = if first == last {
            String::new()
        } else {
            format!("{last} ")
        };
        format!("{first} {}–{day}{}", self.hm(start), self.hm(end))
    }

    /// `Sat 12 Dec 18:00–20:00 NZDT`.
    #[must_use]
    pub fn stretch(&self, start: UtcTime, end: UtcTime) -> String {
        format!("{} {}", self.span(start, end), self.zone_word(start))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stretch_over_midnight_names_both_days() {
        let reader = Reader::new(TimeZone::UTC, Units::Metric);
        let at = |day, hour| UtcTime::from_civil(2026, 12, day, hour, 0, 0).unwrap();
        assert_eq!(reader.stretch(at(12, 18), at(12, 20)), "Sat 12 Dec 18:00–20:00 UTC");
        assert_eq!(
            reader.stretch(at(12, 18), at(13, 2)),
            "Sat 12 Dec 18:00–Sun 13 Dec 02:00 UTC"
        );
    }
}

//! Where the sun stands through the outing.

use farhop_earth::{Place, SunOfInstant, UtcTime};

/// Where the sun stands at an instant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SunAngle {
    /// Angle from the zenith, °; apparent (with refraction) where known.
    pub zenith_deg: f64,
    /// True bearing, °.
    pub azimuth_deg: f64,
}

/// Where the sun stands through the outing, at even spacing from its start.
#[derive(Clone, Debug, PartialEq)]
pub struct SunTrack {
    spacing_s: f64,
    angles: Vec<SunAngle>,
    day_of_year: f64,
}

impl SunTrack {
    /// From angles at even spacing (s, at least 1), the first at the start of the outing on a day of the year (1 to 366).
    /// An empty list means no sun.
    #[must_use]
    pub fn from_angles(spacing_s: f64, angles: Vec<SunAngle>, day_of_year: f64) -> Self {
        Self {
            spacing_s: spacing_s.max(1.0),
            angles,
            day_of_year,
        }
    }

    /// No sun: indoors, or no panel.
    #[must_use]
    pub fn none() -> Self {
        Self::from_angles(1.0, Vec::new(), 1.0)
    }

    /// For a place, from `start` for `duration_s` (s), every 5 minutes; refraction at 1010 hPa and 10 °C.
    #[must_use]
    pub fn from_place(place: Place, start: UtcTime, duration_s: f64) -> Self {
        const SPACING_S: i64 = 300;
        let count = (duration_s.clamp(0.0, 60.0 * 86_400.0) / SPACING_S as f64).ceil() as i64 + 1;
        let angle = |k: i64| {
            let sun = SunOfInstant::new(start.add_s(k * SPACING_S)).position(place);
            SunAngle {
                zenith_deg: sun.apparent_zenith_deg(1010.0, 10.0),
                azimuth_deg: sun.azimuth_deg,
            }
        };
        Self::from_angles(
            SPACING_S as f64,
            (0..count).map(angle).collect(),
            f64::from(start.day_of_year()),
        )
    }

    /// Day of the year `time_s` (s) after the start.
    #[must_use]
    pub fn day_of_year(&self, time_s: f64) -> f64 {
        self.day_of_year + (time_s / 86_400.0).floor()
    }

    /// The sun `time_s` (s) after the start, between samples by straight lines; `None` without samples.
    #[must_use]
    pub fn at(&self, time_s: f64) -> Option<SunAngle> {
        let position = (time_s / self.spacing_s).max(0.0);
        let first = self.angles.get(position.floor() as usize).or(self.angles.last())?;
        let second = self.angles.get(position.floor() as usize + 1).unwrap_or(first);
        let share = position.fract();
        // The bearing may pass through north between two samples.
        let turn = (second.azimuth_deg - first.azimuth_deg + 180.0).rem_euclid(360.0) - 180.0;
        Some(SunAngle {
            zenith_deg: first.zenith_deg + share * (second.zenith_deg - first.zenith_deg),
            azimuth_deg: (first.azimuth_deg + share * turn).rem_euclid(360.0),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_between_samples_and_through_north() {
        let angle = |zenith_deg, azimuth_deg| SunAngle {
            zenith_deg,
            azimuth_deg,
        };
        let track = SunTrack::from_angles(600.0, vec![angle(40.0, 358.0), angle(44.0, 4.0)], 100.0);
        let middle = track.at(300.0).unwrap();
        assert!((middle.zenith_deg - 42.0).abs() < 1e-12 && (middle.azimuth_deg - 1.0).abs() < 1e-12);
        assert_eq!(track.at(1e9).unwrap().zenith_deg, 44.0);
        assert_eq!(SunTrack::none().at(0.0), None);
        assert_eq!(track.day_of_year(90_000.0), 101.0);
    }
}

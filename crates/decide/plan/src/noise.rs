//! What was measured and learned of the noise where one listens.

use farhop_earth::UtcTime;
use farhop_num::maths;
use farhop_outing::{BAND_SHARE, MeasuredNoise, NoiseLevel, Outing, Site, same_band};
use farhop_propagation::noise::{Measured, Reading};

use crate::error::PlanError;

/// What earlier outings taught about the noise of a band, dB; twice as wide as a band, because noise changes slowly with frequency.
pub(crate) fn learned_noise_db(outing: &Outing, freq_mhz: f64) -> f64 {
    let learned = outing.conditions.learned.iter().flat_map(|l| &l.noise);
    let covers = |n: &&farhop_outing::LearnedNoise| (n.freq_mhz / freq_mhz - 1.0).abs() <= 2.0 * BAND_SHARE;
    learned
        .filter(covers)
        .map(|n| n.offset_db.value_own_unit)
        .next_back()
        .unwrap_or(0.0)
}

/// The newest noise reading that stands for a site and frequency.
pub(crate) fn measured_at(outing: &Outing, site: &Site, freq_mhz: f64) -> Result<Option<Measured>, PlanError> {
    let covers =
        |m: &&MeasuredNoise| same_band(m.freq_mhz, freq_mhz) && m.site.as_ref().is_none_or(|id| *id == site.id);
    let newest = outing
        .conditions
        .noise
        .iter()
        .filter(covers)
        .max_by_key(|m| m.at.map(UtcTime::unix_s));
    newest.map(|m| measured(outing, m)).transpose()
}

fn measured(outing: &Outing, reading: &MeasuredNoise) -> Result<Measured, PlanError> {
    let bandwidth_hz = reading.bandwidth_hz;
    let meter = outing.kit.transceiver.s_meter;
    let power_dbm = match reading.level {
        NoiseLevel::Dbm { level_dbm } => level_dbm,
        NoiseLevel::SUnits { s_units } => meter.s9_dbm + (s_units - 9.0) * meter.unit_db,
    };
    let (low, high) = (
        reading.freq_mhz * maths::exp(-BAND_SHARE),
        reading.freq_mhz * maths::exp(BAND_SHARE),
    );
    Measured::new(
        low,
        high,
        Reading::Power {
            power_dbm,
            bandwidth_hz,
        },
    )
    .map_err(|e| PlanError::at(format!("noise reading on {} MHz", reading.freq_mhz))(e.into()))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

    use super::*;
    use crate::demo::demo;
    use farhop_outing::Id;

    fn reading(level: NoiseLevel, site: Option<&str>, hour: Option<i64>) -> MeasuredNoise {
        MeasuredNoise {
            freq_mhz: 7.05,
            level,
            bandwidth_hz: 2_400.0,
            site: site.map(|id| Id::new(id).unwrap()),
            at: hour.map(|h| demo().header.start.add_s(3_600 * h)),
        }
    }

    #[test]
    fn the_newest_reading_of_the_band_and_site_stands_in_decibels_of_power() {
        let dbm = |level_dbm| NoiseLevel::Dbm { level_dbm };
        let s = |s_units| NoiseLevel::SUnits { s_units };
        let mut parts = demo().into_parts();
        (
            parts.kit.transceiver.s_meter.s9_dbm,
            parts.kit.transceiver.s_meter.unit_db,
        ) = (-73.0, 6.0);
        parts.conditions.noise = vec![
            reading(dbm(-90.0), None, None),
            reading(s(3.0), None, Some(3)),
            reading(dbm(-95.0), Some("hut"), Some(4)),
            reading(dbm(-99.0), None, Some(2)),
        ];
        let outing = Outing::new(parts).unwrap();
        let site = |id: &str| outing.sites.iter().find(|s| s.id.as_str() == id).unwrap();
        let expected = |power_dbm| {
            let (low, high) = (7.05 * maths::exp(-BAND_SHARE), 7.05 * maths::exp(BAND_SHARE));
            let bandwidth_hz = 2_400.0;
            Some(
                Measured::new(
                    low,
                    high,
                    Reading::Power {
                        power_dbm,
                        bandwidth_hz,
                    },
                )
                .unwrap(),
            )
        };
        // S3 on a meter after IARU Region 1 (S9 is -73 dBm, 6 dB a unit) is -109 dBm.
        assert_eq!(measured_at(&outing, site("ridge"), 7.0).unwrap(), expected(-109.0));
        assert_eq!(measured_at(&outing, site("hut"), 7.0).unwrap(), expected(-95.0));
        assert_eq!(measured_at(&outing, site("hut"), 14.1).unwrap(), None);
    }
}

//! Polar-cap absorption: what the protons of a solar storm add above the corrected geomagnetic latitude that they can reach.
//!
//! The relations are those of the public D-region absorption product of the American space weather service, after Sellers et al.
//! (1977), from memory: at 30 MHz a riometer (once through, straight up) loses `0.115 √J(>5.2 MeV)` dB by day and
//! `0.020 √J(>2.2 MeV)` dB by night, J in protons/(cm² s sr); other frequencies by the power 1.5.

use farhop_earth::UtcTime;
use farhop_num::maths;

use crate::fade_out::FREQUENCY_POWER;

/// Frequency of the relations, MHz.
const RIOMETER_MHZ: f64 = 30.0;
/// Flux above 5.2 and above 2.2 MeV over the broadcast one above 10 MeV, dimensionless (from memory: the spectra of many events fall
/// with about the power 1.3 to 1.6 of the energy).
const SOFTER: (f64, f64) = (2.5, 8.0);
/// dB by the root of the flux: by day and by night.
const BY_ROOT_DB: (f64, f64) = (0.115, 0.020);
/// Corrected geomagnetic latitude in degrees from which on the loss is full at K = 0, width of the edge below it, and degrees by
/// which the edge moves toward the equator for one unit of K (from memory; riometer chains).
const EDGE_DEG: (f64, f64, f64) = (66.0, 5.0, 0.8);
/// Solar zenith angles in degrees between which day turns into night (from memory: elevations from +10° to -10°).
const TWILIGHT_DEG: (f64, f64) = (80.0, 100.0);

/// How strong an event is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ProtonLevel {
    /// Flux of protons above 10 MeV, protons/(cm² s sr), as broadcast.
    Flux {
        /// The flux.
        above_10_mev_per_cm2_s_sr: f64,
    },
    /// Loss measured straight up once through the sunlit polar cap, dB, at a frequency.
    Measured {
        /// The loss, dB.
        loss_db: f64,
        /// The frequency, MHz.
        freq_mhz: f64,
    },
}

/// A polar-cap event.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PolarCap {
    /// How strong.
    pub level: ProtonLevel,
    /// From when.
    pub from: UtcTime,
    /// Until when, if known.
    pub until: Option<UtcTime>,
}

/// Where a ray crosses the D region.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// Corrected geomagnetic latitude, degrees.
    pub corrected_lat_deg: f64,
    /// Solar zenith angle, degrees.
    pub sun_zenith_deg: f64,
    /// K index, dimensionless, 0 to 9.
    pub k_index: f64,
}

impl PolarCap {
    /// Loss in dB of one vertical passage at 30 MHz at a place and time.
    #[must_use]
    pub(crate) fn at_30_mhz_db(&self, crossing: &Crossing, time: UtcTime) -> f64 {
        if time < self.from || self.until.is_some_and(|until| time > until) {
            return 0.0;
        }
        let (day_db, night_db) = match self.level {
            ProtonLevel::Flux {
                above_10_mev_per_cm2_s_sr: flux,
            } => (
                BY_ROOT_DB.0 * (SOFTER.0 * flux.max(0.0)).sqrt(),
                BY_ROOT_DB.1 * (SOFTER.1 * flux.max(0.0)).sqrt(),
            ),
            ProtonLevel::Measured { loss_db, freq_mhz } => {
                let day_db = loss_db.max(0.0) * maths::powf(freq_mhz.max(0.0) / RIOMETER_MHZ, FREQUENCY_POWER);
                let night_over_day = BY_ROOT_DB.1 / BY_ROOT_DB.0 * (SOFTER.1 / SOFTER.0).sqrt();
                (day_db, day_db * night_over_day)
            }
        };
        let night = ((crossing.sun_zenith_deg - TWILIGHT_DEG.0) / (TWILIGHT_DEG.1 - TWILIGHT_DEG.0)).clamp(0.0, 1.0);
        (day_db + night * (night_db - day_db)) * cap_share(crossing)
    }

    /// Loss in dB of one crossing of the D region by a ray with this secant of its incidence there (dimensionless).
    #[must_use]
    pub(crate) fn crossing_loss_db(&self, crossing: &Crossing, time: UtcTime, freq_mhz: f64, secant: f64) -> f64 {
        self.at_30_mhz_db(crossing, time)
            * maths::powf(RIOMETER_MHZ / freq_mhz.max(1e-3), FREQUENCY_POWER)
            * secant.max(1.0)
    }
}

/// Share of the full loss, dimensionless: one over the cap, none below its edge.
fn cap_share(crossing: &Crossing) -> f64 {
    let full_deg = EDGE_DEG.0 - EDGE_DEG.2 * crossing.k_index.clamp(0.0, 9.0);
    ((crossing.corrected_lat_deg.abs() - full_deg + EDGE_DEG.1) / EDGE_DEG.1).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    const CAP: Crossing = Crossing {
        corrected_lat_deg: 75.0,
        sun_zenith_deg: 60.0,
        k_index: 2.0,
    };

    fn event(level: ProtonLevel) -> PolarCap {
        PolarCap {
            level,
            from: UtcTime::from_unix_s(1_783_000_000).unwrap(),
            until: None,
        }
    }

    /// By hand: 1 000 protons above 10 MeV are 2 500 above 5.2: 0.115 · 50 = 5.75 dB by day at 30 MHz, a strong event (handbooks: several dB).
    #[test]
    fn a_strong_event_by_hand() {
        let strong = event(ProtonLevel::Flux {
            above_10_mev_per_cm2_s_sr: 1_000.0,
        });
        assert!((strong.at_30_mhz_db(&CAP, strong.from) - 5.75).abs() < 1e-9);
        assert_eq!(strong.at_30_mhz_db(&CAP, strong.from.add_s(-1)), 0.0);
        let ten_mhz_db = strong.crossing_loss_db(&CAP, strong.from, 10.0, 1.0);
        assert!((ten_mhz_db - 5.75 * 3f64.powf(1.5)).abs() < 1e-9);
        let night = Crossing {
            sun_zenith_deg: 110.0,
            ..CAP
        };
        assert!(strong.at_30_mhz_db(&night, strong.from) < 0.4 * 5.75);
    }

    #[test]
    fn a_measured_loss_comes_out_again_and_middle_latitudes_are_free() {
        let measured = event(ProtonLevel::Measured {
            loss_db: 12.0,
            freq_mhz: 14.1,
        });
        assert!((measured.crossing_loss_db(&CAP, measured.from, 14.1, 1.0) - 12.0).abs() < 1e-9);
        let middle = |k_index| Crossing {
            corrected_lat_deg: 56.0,
            k_index,
            ..CAP
        };
        assert_eq!(measured.at_30_mhz_db(&middle(0.0), measured.from), 0.0);
        assert!(measured.at_30_mhz_db(&middle(9.0), measured.from) > 0.0);
    }
}

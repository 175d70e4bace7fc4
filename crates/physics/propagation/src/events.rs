//! Events on the sun that are known: flares and proton storms, and what they take on one path.

use crate::fade_out::{FREQUENCY_POWER, Flare, highest_affected_mhz};
use crate::polar_cap::{Crossing, PolarCap};
use farhop_earth::{Place, SunOfInstant, UtcTime};
use farhop_num::maths;

/// What is known to happen on the sun.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Events {
    /// Solar flares.
    pub flares: Vec<Flare>,
    /// Polar-cap events.
    pub polar_cap: Vec<PolarCap>,
}

/// Loss of one vertical crossing of the D region at 1 MHz, dB: with the frequency law it gives every other frequency.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct UnitLoss {
    /// By flares.
    pub fade_out_db: f64,
    /// By protons.
    pub polar_cap_db: f64,
}

/// Factor (dimensionless) on a loss at 1 MHz for another frequency.
#[must_use]
pub(crate) fn frequency_factor(freq_mhz: f64) -> f64 {
    maths::powf(freq_mhz.max(1e-3), -FREQUENCY_POWER)
}

impl Events {
    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.flares.is_empty() && self.polar_cap.is_empty()
    }

    /// What one crossing above a place loses. Of several flares the brightest counts, of several storms the strongest.
    #[must_use]
    pub(crate) fn unit_loss(
        &self,
        place: Place,
        corrected_lat_deg: f64,
        k_index: f64,
        sun: &SunOfInstant,
        time: UtcTime,
    ) -> UnitLoss {
        let sun_zenith_deg = sun.position(place).zenith_deg;
        let flux = self.flares.iter().map(|f| f.flux_at_w_per_m2(time)).fold(0.0, f64::max);
        let crossing = Crossing {
            corrected_lat_deg,
            sun_zenith_deg,
            k_index,
        };
        let cap_db = self
            .polar_cap
            .iter()
            .map(|event| event.crossing_loss_db(&crossing, time, 1.0, 1.0))
            .fold(0.0, f64::max);
        UnitLoss {
            fade_out_db: 0.5 * maths::powf(highest_affected_mhz(flux, sun_zenith_deg), FREQUENCY_POWER),
            polar_cap_db: cap_db,
        }
    }
}

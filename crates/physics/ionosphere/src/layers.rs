//! What the ionosphere looks like above one place at one time.

use crate::sporadic_e::{SporadicE, two_sided_exceedance};
use farhop_earth::{Place, UtcTime};

/// The layers above one place at one instant, as monthly medians, with their day-to-day spread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layers {
    /// The place below.
    pub place: Place,
    /// The instant.
    pub time: UtcTime,
    /// Ordinary-wave critical frequency of the F2 layer, MHz.
    pub fof2_mhz: f64,
    /// MUF factor for 3 000 km, dimensionless.
    pub m3000f2: f64,
    /// Critical frequency of the normal E layer, MHz.
    pub foe_mhz: f64,
    /// Height of the F2 peak, km.
    pub hmf2_km: f64,
    /// Median top frequency of sporadic E, MHz.
    pub foes_median_mhz: f64,
    /// Sporadic E frequency exceeded on one day in ten, MHz.
    pub foes_upper_decile_mhz: f64,
    /// Sporadic E frequency exceeded on nine days in ten, MHz.
    pub foes_lower_decile_mhz: f64,
    /// foF2 on the worst day in ten, as a fraction of the median, dimensionless.
    pub fof2_lower_decile_factor: f64,
    /// foF2 on the best day in ten, as a multiple of the median, dimensionless.
    pub fof2_upper_decile_factor: f64,
    /// Modified dip, degrees.
    pub modip_deg: f64,
    /// Magnetic dip at 300 km, degrees, positive where the field points down.
    pub dip_deg: f64,
    /// Gyrofrequency at 100 km, MHz.
    pub gyro_100km_mhz: f64,
    /// Gyrofrequency at 300 km, MHz.
    pub gyro_300km_mhz: f64,
    /// Geomagnetic (dipole) latitude, degrees.
    pub geomagnetic_lat_deg: f64,
    /// Solar zenith angle at the ground, degrees.
    pub sun_zenith_deg: f64,
    /// Solar zenith angle at local noon of that day, degrees.
    pub noon_sun_zenith_deg: f64,
    /// R12 in use, dimensionless.
    pub r12: f64,
    /// 10.7 cm flux in use, solar flux units.
    pub flux_sfu: f64,
    /// Declination of the sun, degrees: with the latitude it tells the season.
    pub sun_declination_deg: f64,
    /// Hour angle of the sun, -12 to 12 hours from local apparent noon, dimensionless hours.
    pub hours_after_noon: f64,
    /// K index in use, dimensionless, if one was given.
    pub k_index: Option<f64>,
    /// Factor on absorption, carried through from the conditions, dimensionless.
    pub absorption_factor: f64,
}

impl Layers {
    /// The distribution of foEs.
    #[must_use]
    pub fn sporadic_e(&self) -> SporadicE {
        SporadicE {
            lower_decile_mhz: self.foes_lower_decile_mhz,
            median_mhz: self.foes_median_mhz,
            upper_decile_mhz: self.foes_upper_decile_mhz,
        }
    }

    /// Probability (dimensionless) that foEs is above a frequency on a day; see `SporadicE::exceedance`.
    #[must_use]
    pub fn foes_exceedance(&self, freq_mhz: f64) -> f64 {
        self.sporadic_e().exceedance(freq_mhz)
    }

    /// Probability (dimensionless) that foF2 is above a frequency on a day: two half log-normals through the deciles.
    #[must_use]
    pub fn fof2_exceedance(&self, freq_mhz: f64) -> f64 {
        let deciles = [self.fof2_lower_decile_factor, self.fof2_upper_decile_factor].map(|f| f * self.fof2_mhz);
        two_sided_exceedance(freq_mhz, self.fof2_mhz, deciles)
    }
}

//! What the ionosphere looks like above one place at one time.

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
}

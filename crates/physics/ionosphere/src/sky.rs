//! From place, time and conditions to the layers overhead: the entry points of this crate.

use farhop_num::maths;
use std::sync::OnceLock;

use crate::activity::Activity;
use crate::conditions::{SkyConditions, held_factor};
use crate::e_layer::{EInputs, foe_mhz, hours_after_sunset};
use crate::f2_height::hmf2_km;
use crate::ionospheric_index::FOF2_SATURATION_IG12;
use crate::layers::Layers;
use crate::maps::{Geography, MapReading, MapsAtPlace, NumericalMaps};
use crate::observed::{self, Pull, Reading, pull};
use crate::sporadic_e::SporadicE;
use crate::spread::{DecileFactors, SpreadInputs, day_to_day_deciles};
use crate::storm::{StormInputs, fof2_storm_factor, spread_storm_factor, unknown_storm_log_sd};
use farhop_earth::{IgrfEpoch, Place, SunOfInstant, UtcTime, modip_deg};

/// The sporadic-E maps stand for R12 = 10 and 180, dimensionless; a little is added on both sides.
const FOES_R12_RANGE: (f64, f64) = (0.0, 200.0);
/// Bounds on the raw maps, so that no ringing corner of them leaves physics. foF2 in MHz.
pub(crate) const FOF2_RANGE_MHZ: (f64, f64) = (0.5, 25.0);
/// Bounds on M(3000)F2, dimensionless.
pub(crate) const M3000F2_RANGE: (f64, f64) = (1.8, 4.5);

/// The ionosphere as the maps know it.
#[derive(Clone, Debug)]
pub struct Ionosphere {
    maps: NumericalMaps,
}

impl Ionosphere {
    /// The maps that are part of the program; those of a month are read when they are asked for. In a browser that has to have been
    /// brought ([`crate::maps::months_between`]).
    #[must_use]
    pub fn embedded() -> &'static Self {
        static MAPS: OnceLock<Ionosphere> = OnceLock::new();
        MAPS.get_or_init(|| Self {
            maps: NumericalMaps::default(),
        })
    }

    /// The raw maps.
    #[must_use]
    pub fn maps(&self) -> &NumericalMaps {
        &self.maps
    }

    /// Readies conditions for use: readings are compared with the model once.
    #[must_use]
    pub fn sky<'a>(&'a self, field: &'a IgrfEpoch, conditions: &'a SkyConditions) -> Sky<'a> {
        let mut sky = Sky {
            ionosphere: self,
            field,
            conditions,
            readings: Vec::new(),
            of_foes: Vec::new(),
            fixed: None,
        };
        let of_foes = |o| Reading::of_foes(o, sky.layers(o.place, o.time).foes_median_mhz);
        sky.of_foes = conditions.observed_foes.iter().filter_map(of_foes).collect();
        if let Some(fixed) = &conditions.fixed {
            let model_mhz = sky.layers(fixed.place(), fixed.time()).fof2_mhz;
            sky.fixed = Some((Reading::against(fixed, model_mhz), fixed.fof2_mhz() / model_mhz));
        } else {
            let against = |o| Reading::against(o, sky.layers(o.place(), o.time()).fof2_mhz);
            sky.readings = conditions.observed.iter().map(against).collect();
        }
        sky
    }

    /// The layers above one place at one time. For many, make a [`Sky`] once and a [`SkyAbove`] for each place.
    ///
    /// # Example
    /// ```
    /// use farhop_earth::{IgrfEpoch, Place, UtcTime};
    /// use farhop_ionosphere::{Activity, Ionosphere, SkyConditions};
    /// let time = UtcTime::from_civil(2026, 12, 15, 1, 0, 0)?;
    /// let field = IgrfEpoch::at(time.decimal_year())?;
    /// let conditions = SkyConditions::quiet(Activity::from_ssn(80.0)?);
    /// let layers = Ionosphere::embedded().layers(&field, Place::new(-43.5, 170.5)?, time, &conditions);
    /// assert!((4.0..14.0).contains(&layers.fof2_mhz));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn layers(&self, field: &IgrfEpoch, place: Place, time: UtcTime, conditions: &SkyConditions) -> Layers {
        self.sky(field, conditions).layers(place, time)
    }
}

/// Conditions made ready: the maps, the magnetic field of the year and the readings compared with the model.
#[derive(Clone, Debug)]
pub struct Sky<'a> {
    ionosphere: &'a Ionosphere,
    field: &'a IgrfEpoch,
    conditions: &'a SkyConditions,
    readings: Vec<Reading>,
    of_foes: Vec<Reading>,
    /// The exact reading, and its ratio to the model (dimensionless).
    fixed: Option<(Reading, f64)>,
}

impl Sky<'_> {
    /// The layers above a place at a time.
    #[must_use]
    pub fn layers(&self, place: Place, time: UtcTime) -> Layers {
        self.above(place, time).at(time)
    }

    /// The sky above one place, ready for many hours around a date.
    #[must_use]
    pub fn above(&self, place: Place, around: UtcTime) -> SkyAbove<'_> {
        let high = self.field.field(place, 300.0);
        let modip_deg = modip_deg(high.dip_deg(), place.lat_deg());
        let geography = Geography::new(place, modip_deg);
        SkyAbove {
            sky: self,
            maps: MapsAtPlace::new(&self.ionosphere.maps, self.conditions.f2_map, geography, around),
            place,
            modip_deg,
            dip_deg: high.dip_deg(),
            gyro_100km_mhz: self.field.field(place, 100.0).gyro_mhz(),
            gyro_300km_mhz: high.gyro_mhz(),
            geomagnetic_lat_deg: self.field.geomagnetic_lat_deg(place),
        }
    }

    fn pull(&self, place: Place, time: UtcTime) -> Pull {
        match self.fixed {
            Some((reading, ratio)) => Pull {
                factor: ratio,
                spread: pull(&[reading], place, time).spread,
            },
            None => pull(&self.readings, place, time),
        }
    }
}

/// The sky above one place: what does not depend on the hour is done.
#[derive(Clone, Debug)]
pub struct SkyAbove<'a> {
    sky: &'a Sky<'a>,
    maps: MapsAtPlace,
    place: Place,
    modip_deg: f64,
    dip_deg: f64,
    gyro_100km_mhz: f64,
    gyro_300km_mhz: f64,
    geomagnetic_lat_deg: f64,
}

impl SkyAbove<'_> {
    /// The layers at a time. Quick between the same two 15ths of months as the date given at the start, right everywhere.
    #[must_use]
    pub fn at(&self, time: UtcTime) -> Layers {
        self.at_with_sun(time, &SunOfInstant::new(time))
    }

    /// As [`SkyAbove::at`], with the sun of the instant already computed (`sun` must be that of `time`).
    #[must_use]
    pub fn at_with_sun(&self, time: UtcTime, sun: &SunOfInstant) -> Layers {
        let sun = SunHere::new(self.place, time, sun);
        let reading = self.maps.reading(&self.sky.ionosphere.maps, time);
        let conditions = self.sky.conditions;
        let activity = &conditions.activity;
        let pull = self.sky.pull(self.place, time);
        let fof2_mhz = self.fof2_mhz(&reading, time) * pull.factor;
        let m3000f2 = reading
            .m3000f2_at(activity.r12())
            .clamp(M3000F2_RANGE.0, M3000F2_RANGE.1);
        let foe_mhz = foe_mhz(&sun.e_inputs(self.place, activity.flux_sfu()));
        let es_r12 = activity.r12().clamp(FOES_R12_RANGE.0, FOES_R12_RANGE.1);
        let es = SporadicE::from_maps_mhz(reading.foes_at_mhz(es_r12), held_factor(conditions.foes_factor));
        let es = match &self.sky.of_foes[..] {
            [] => es,
            readings => pulled(es, observed::pull(readings, self.place, time)),
        };
        let deciles = self.deciles(&reading, &sun, time).widened(pull.spread);
        Layers {
            place: self.place,
            time,
            fof2_mhz,
            m3000f2,
            foe_mhz,
            hmf2_km: hmf2_km(fof2_mhz, foe_mhz, m3000f2, activity.r12()),
            foes_median_mhz: es.median_mhz,
            foes_upper_decile_mhz: es.upper_decile_mhz,
            foes_lower_decile_mhz: es.lower_decile_mhz,
            fof2_lower_decile_factor: deciles.lower,
            fof2_upper_decile_factor: deciles.upper,
            modip_deg: self.modip_deg,
            dip_deg: self.dip_deg,
            gyro_100km_mhz: self.gyro_100km_mhz,
            gyro_300km_mhz: self.gyro_300km_mhz,
            geomagnetic_lat_deg: self.geomagnetic_lat_deg,
            sun_zenith_deg: sun.zenith_deg,
            noon_sun_zenith_deg: sun.noon_zenith_deg,
            r12: activity.r12(),
            flux_sfu: activity.flux_sfu(),
            sun_declination_deg: sun.declination_deg,
            hours_after_noon: sun.hours_after_noon,
            k_index: conditions.k_at(time),
            absorption_factor: conditions.absorption_factor,
        }
    }

    /// Median foF2 under the disturbance and what was learnt, before any reading.
    fn fof2_mhz(&self, reading: &MapReading, time: UtcTime) -> f64 {
        let ap_history = self.sky.conditions.ap_history(time);
        let conditions = self.sky.conditions;
        let raw_mhz = reading.fof2_at_mhz(conditions.activity.ig12().min(FOF2_SATURATION_IG12));
        let storm = ap_history.map_or(1.0, |ap_history| {
            fof2_storm_factor(&self.storm_inputs(ap_history, time))
        });
        raw_mhz.clamp(FOF2_RANGE_MHZ.0, FOF2_RANGE_MHZ.1) * storm * held_factor(conditions.fof2_factor)
    }

    /// Day-to-day deciles, widened by disturbance and by what is not known of the activity index.
    fn deciles(&self, reading: &MapReading, sun: &SunHere, time: UtcTime) -> DecileFactors {
        let conditions = self.sky.conditions;
        let activity = &conditions.activity;
        let ig12_to_log = log_slope(reading, activity);
        let k_index = conditions.k_at(time);
        let day_to_day = day_to_day_deciles(&SpreadInputs {
            geomagnetic_lat_deg: self.geomagnetic_lat_deg,
            zenith_deg: sun.zenith_deg,
            hours_after_noon: sun.hours_after_noon,
            winter: -sun.declination_deg / 23.44 * self.place.lat_deg().signum(),
            r12: activity.r12(),
            solar_log_sd: ig12_to_log * activity.day_ig12_sd(),
            storm_log_sd: match k_index {
                Some(_) => 0.0,
                None => unknown_storm_log_sd(self.geomagnetic_lat_deg, time.day_of_year().unsigned_abs()),
            },
        });
        let stormy = day_to_day.widened(k_index.map_or(1.0, spread_storm_factor));
        stormy.widened(maths::hypot(
            1.0_f64,
            ig12_to_log * activity.ig12_sd() / stormy.log_sd(),
        ))
    }

    fn storm_inputs(&self, ap_history: f64, time: UtcTime) -> StormInputs {
        StormInputs {
            ap_history,
            geomagnetic_lat_deg: self.geomagnetic_lat_deg,
            day_of_year: time.day_of_year().unsigned_abs(),
        }
    }
}

/// Sporadic E after readings: the median moves with them, the deciles come nearer to it.
fn pulled(es: SporadicE, pull: Pull) -> SporadicE {
    let decile = |mhz: f64| pull.factor * es.median_mhz * maths::powf(mhz / es.median_mhz, pull.spread);
    let raw_mhz = [es.lower_decile_mhz, es.median_mhz, es.upper_decile_mhz];
    SporadicE::from_maps_mhz(raw_mhz.map(decile), 1.0)
}

/// Change of ln foF2 for a change of IG12 by one, dimensionless. Above the saturation of the maps its slope still stands for what
/// is not known.
fn log_slope(reading: &MapReading, activity: &Activity) -> f64 {
    let ig12 = activity.ig12().min(FOF2_SATURATION_IG12);
    let slope_mhz = (reading.fof2_mhz.high - reading.fof2_mhz.low) / 100.0;
    (slope_mhz / reading.fof2_at_mhz(ig12).max(FOF2_RANGE_MHZ.0)).abs()
}

/// The sun as seen from one place.
struct SunHere {
    zenith_deg: f64,
    noon_zenith_deg: f64,
    declination_deg: f64,
    hours_after_noon: f64,
}

impl SunHere {
    fn new(place: Place, time: UtcTime, sun: &SunOfInstant) -> Self {
        let position = sun.position(place);
        let (sin_lat, cos_lat) = maths::sin_cos(place.lat_deg().to_radians());
        let (sin_z, cos_z) = maths::sin_cos(position.zenith_deg.to_radians());
        let (sin_az, cos_az) = maths::sin_cos(position.azimuth_deg.to_radians());
        // Hour angle: the direction to the sun turned from the horizon to the equator.
        let hour_angle = maths::atan2(-sin_z * sin_az, cos_z * cos_lat - sin_z * cos_az * sin_lat);
        let hours_after_noon = hour_angle.to_degrees() / 15.0;
        let declination_at_noon = position.declination_deg - declination_rate_deg_a_day(time) * hours_after_noon / 24.0;
        Self {
            zenith_deg: position.zenith_deg,
            noon_zenith_deg: (place.lat_deg() - declination_at_noon).abs(),
            declination_deg: position.declination_deg,
            hours_after_noon,
        }
    }

    fn e_inputs(&self, place: Place, flux_sfu: f64) -> EInputs {
        EInputs {
            lat_deg: place.lat_deg(),
            zenith_deg: self.zenith_deg,
            noon_zenith_deg: self.noon_zenith_deg,
            hours_after_sunset: hours_after_sunset(place.lat_deg(), self.declination_deg, self.hours_after_noon),
            flux_sfu,
        }
    }
}

/// d/dt of 23.44° sin(360° (d − 80)/365.25): enough to step from an hour to noon (within 0.01°).
fn declination_rate_deg_a_day(time: UtcTime) -> f64 {
    let turn = std::f64::consts::TAU / 365.25;
    23.44 * turn * maths::cos((f64::from(time.day_of_year()) - 80.0) * turn)
}

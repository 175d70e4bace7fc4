//! The modes of a circuit at one frequency.

use crate::absorption::{Component, Wave, crossing_db, e_leg_db};
use crate::circuit::RangeCaution;
use crate::events::{UnitLoss, frequency_factor};
use crate::f2_layer::LowRay;
use crate::losses::{GROUND_REFLECTION_DB, Losses, POLARISATION_DB, RESIDUAL_DB, e_screening_db, spreading_db};
use crate::mode::{DayState, Layer, Mode, e_support};
use crate::muf::{E_MIRROR_KM, LONGEST_E_HOP_KM, e_muf_factor};
use crate::sky_path::{ControlPoint, SkyPath};
use crate::sphere::{ground_to_height_km, mirror_elevation_rad, mirror_height_km, mirror_slant_km, secant_at_height};
use farhop_num::maths;

/// Most E hops that are looked at (Rec. ITU-R P.533).
pub(crate) const MOST_E_HOPS: u8 = 3;
/// Most hops by sporadic E that are looked at.
pub(crate) const MOST_ES_HOPS: u8 = 2;
/// Most F2 hops that are looked at (Rec. ITU-R P.533).
pub(crate) const MOST_F2_HOPS: u8 = 6;
/// A mode weaker than the best by more than this, dB, even on its best day, is left out.
const WORTH_KEEPING_DB: f64 = 30.0;
/// Frequencies in MHz for which modes are given.
pub(crate) const FREQUENCY_RANGE_MHZ: std::ops::RangeInclusive<f64> = 1.5..=30.0;

const BOTH: [Component; 2] = [Component::Ordinary, Component::Extraordinary];

impl SkyPath {
    /// The modes at a frequency, strongest first on the median day.
    ///
    /// Empty outside 1.5 to 30 MHz, beyond 9 000 km, and where no layer can be reached.
    #[must_use]
    pub fn modes(&self, freq_mhz: f64) -> Vec<Mode> {
        let mut modes = Vec::with_capacity(20);
        if !FREQUENCY_RANGE_MHZ.contains(&freq_mhz) || self.circuit().caution() == RangeCaution::Outside {
            return modes;
        }
        let common = Common::new(self, freq_mhz);
        for hops in self.fewest_e_hops()..=MOST_E_HOPS {
            modes.extend(BOTH.iter().filter_map(|&c| self.e_mode(&common, hops, c)));
        }
        for hops in self.fewest_e_hops()..=MOST_ES_HOPS {
            modes.extend(BOTH.iter().filter_map(|&c| self.sporadic_mode(&common, hops, c)));
        }
        let mut best_db = f64::INFINITY;
        for hops in self.fewest_f2_hops()..=MOST_F2_HOPS {
            let pair = self.f2_modes(&common, hops);
            let at_best_db = pair
                .iter()
                .flatten()
                .map(Mode::least_loss_db)
                .fold(f64::INFINITY, f64::min);
            modes.extend(pair.into_iter().flatten());
            best_db = best_db.min(at_best_db);
            if at_best_db > best_db + WORTH_KEEPING_DB {
                break;
            }
        }
        let least_db = modes.iter().map(Mode::least_loss_db).fold(f64::INFINITY, f64::min);
        modes.retain(|m| m.least_loss_db() <= least_db + WORTH_KEEPING_DB);
        modes.sort_by(|a, b| a.losses.total_db().total_cmp(&b.losses.total_db()));
        modes
    }

    fn e_mode(&self, common: &Common, hops: u8, component: Component) -> Option<Mode> {
        let hop_km = self.circuit().arc_km() / f64::from(hops);
        if hop_km > LONGEST_E_HOP_KM {
            return None;
        }
        let point = self.limiting_foe_point(hops);
        let foe_mhz = point.layers.foe_mhz;
        let gyro_mhz = match component {
            Component::Ordinary => 0.0,
            Component::Extraordinary => {
                let gyro_mhz = point.layers.gyro_100km_mhz;
                crate::muf::gyro_term_mhz(foe_mhz, gyro_mhz, hop_km, LONGEST_E_HOP_KM)
            }
        };
        let muf_mhz = foe_mhz * e_muf_factor(hop_km) + gyro_mhz;
        let ratio = common.freq_mhz / muf_mhz;
        if ratio > 1.6 {
            return None;
        }
        let elevation_rad = mirror_elevation_rad(hop_km, E_MIRROR_KM);
        let wave = common.wave(component);
        let (per_index, fixed) = e_leg_db(&wave, elevation_rad, ratio);
        let lower = per_index * self.index_sum(hops, elevation_rad) + 2.0 * f64::from(hops) * fixed;
        Some(self.finished(
            common,
            &Draft {
                layer: Layer::E,
                component,
                hops,
                elevation_rad,
                path_km: f64::from(hops) * mirror_slant_km(hop_km, E_MIRROR_KM),
                mirror_height_km: E_MIRROR_KM,
                muf_mhz,
                support: e_support(ratio),
                lower_absorption_db: common.absorption_factor * lower,
                upper_absorption_db: 0.0,
                fixed_screening_db: 0.0,
            },
        ))
    }

    fn sporadic_mode(&self, common: &Common, hops: u8, component: Component) -> Option<Mode> {
        let hop_km = self.circuit().arc_km() / f64::from(hops);
        if hop_km > LONGEST_E_HOP_KM {
            return None;
        }
        let layers = self.midpoint_layers();
        let elevation_rad = mirror_elevation_rad(hop_km, E_MIRROR_KM);
        let secant = secant_at_height(elevation_rad, E_MIRROR_KM);
        let muf_mhz = layers.foes_median_mhz * secant;
        if common.freq_mhz > 2.0 * layers.foes_upper_decile_mhz * secant {
            return None;
        }
        let wave = common.wave(component);
        let lower = self.index_sum(hops, elevation_rad) * crossing_db(&wave, elevation_rad, 0.0);
        Some(self.finished(
            common,
            &Draft {
                layer: Layer::SporadicE,
                component,
                hops,
                elevation_rad,
                path_km: f64::from(hops) * mirror_slant_km(hop_km, E_MIRROR_KM),
                mirror_height_km: E_MIRROR_KM,
                muf_mhz,
                support: layers.foes_exceedance(common.freq_mhz / secant),
                lower_absorption_db: common.absorption_factor * lower,
                upper_absorption_db: 0.0,
                fixed_screening_db: 0.0,
            },
        ))
    }

    fn f2_modes(&self, common: &Common, hops: u8) -> [Option<Mode>; 2] {
        let hop_km = self.circuit().arc_km() / f64::from(hops);
        let point = self.limiting_point(hops);
        let ordinary_mhz = point.f2.muf_ordinary_mhz(hop_km);
        let extraordinary_mhz = ordinary_mhz + point.gyro_term_mhz(hop_km);
        let unlike = self.weakest_of_the_day(hops);
        let Some(low) = point.f2.low_ray(common.freq_mhz, hop_km) else {
            return [None, None];
        };
        let ordinary = self.f2_mode(common, &low, hops, point, (Component::Ordinary, unlike * ordinary_mhz));
        // Below the ordinary MUF both waves take nearly the same ray; above it the extraordinary one finds its own,
        // as the
        // ordinary one does at a frequency lower by the ratio of the two MUFs.
        let other = if low.above_muf {
            point
                .f2
                .low_ray(common.freq_mhz * ordinary_mhz / extraordinary_mhz, hop_km)
        } else {
            Some(low)
        };
        let extraordinary = other.map(|low| {
            self.f2_mode(
                common,
                &low,
                hops,
                point,
                (Component::Extraordinary, unlike * extraordinary_mhz),
            )
        });
        [Some(ordinary), extraordinary]
    }

    fn f2_mode(
        &self,
        common: &Common,
        low: &LowRay,
        hops: u8,
        point: &ControlPoint,
        (component, muf_mhz): (Component, f64),
    ) -> Mode {
        let layers = &point.layers;
        let elevation_rad = low.ray.elevation_rad;
        let wave = common.wave(component);
        let hop_km = self.circuit().arc_km() / f64::from(hops);
        let foe_mhz = layers.foe_mhz.min(0.9 * layers.fof2_mhz);
        let lower = self.index_sum(hops, elevation_rad) * crossing_db(&wave, elevation_rad, foe_mhz);
        let secant = secant_at_height(elevation_rad, E_MIRROR_KM);
        let grazing = common.freq_mhz / (layers.foe_mhz * secant);
        self.finished(
            common,
            &Draft {
                layer: Layer::F2,
                component,
                hops,
                elevation_rad,
                path_km: f64::from(hops) * low.ray.group_path_km,
                mirror_height_km: mirror_height_km(hop_km, elevation_rad),
                muf_mhz,
                support: layers.fof2_exceedance(common.freq_mhz / muf_mhz * layers.fof2_mhz),
                lower_absorption_db: common.absorption_factor * lower,
                upper_absorption_db: f64::from(hops) * low.ray.upper_loss_db,
                fixed_screening_db: 2.0 * f64::from(hops) * e_screening_db(grazing),
            },
        )
    }

    /// Sum over all legs of the absorption index (dimensionless) where the leg crosses 90 km.
    fn index_sum(&self, hops: u8, elevation_rad: f64) -> f64 {
        self.crossings_km(hops, elevation_rad)
            .map(|along_km| self.d_index_at(along_km))
            .sum()
    }

    /// Distances along the path in km at which the legs cross 90 km.
    fn crossings_km(&self, hops: u8, elevation_rad: f64) -> impl Iterator<Item = f64> {
        let hop_km = self.circuit().arc_km() / f64::from(hops);
        let in_km = ground_to_height_km(elevation_rad, crate::absorption::CROSSING_KM).min(0.5 * hop_km);
        (0..hops).flat_map(move |hop| {
            let start_km = hop_km * f64::from(hop);
            [start_km + in_km, start_km + hop_km - in_km]
        })
    }

    /// What known events on the sun take from a mode: flares and protons, dB.
    fn event_losses_db(&self, freq_mhz: f64, hops: u8, elevation_rad: f64) -> UnitLoss {
        let scale = frequency_factor(freq_mhz) * secant_at_height(elevation_rad, crate::absorption::D_REGION_KM);
        self.crossings_km(hops, elevation_rad)
            .map(|along_km| self.event_loss_at(along_km))
            .fold(UnitLoss::default(), |sum, loss| UnitLoss {
                fade_out_db: sum.fade_out_db + scale * loss.fade_out_db,
                polar_cap_db: sum.polar_cap_db + scale * loss.polar_cap_db,
            })
    }

    /// A mode from its draft, with what known events take.
    fn finished(&self, common: &Common, draft: &Draft) -> Mode {
        let mut mode = common.mode(draft);
        if self.has_events() {
            let loss = self.event_losses_db(common.freq_mhz, draft.hops, draft.elevation_rad);
            mode.losses.fade_out_db = loss.fade_out_db;
            mode.losses.polar_cap_db = loss.polar_cap_db;
        }
        mode
    }
}

impl Mode {
    /// Loss in dB without the terms that a good day can take away: being above the MUF and sporadic E.
    #[must_use]
    pub(crate) fn least_loss_db(&self) -> f64 {
        self.losses.total_db() - self.losses.above_muf_db - self.losses.screening_db + self.fixed_screening_db
    }
}

/// What all modes of one frequency share.
struct Common {
    freq_mhz: f64,
    longitudinal_gyro_mhz: f64,
    absorption_factor: f64,
    auroral_db: f64,
    median_day: DayState,
}

/// A mode before its losses are put together.
struct Draft {
    layer: Layer,
    component: Component,
    hops: u8,
    elevation_rad: f64,
    path_km: f64,
    mirror_height_km: f64,
    muf_mhz: f64,
    support: f64,
    lower_absorption_db: f64,
    upper_absorption_db: f64,
    fixed_screening_db: f64,
}

impl Common {
    fn new(path: &SkyPath, freq_mhz: f64) -> Self {
        let layers = path.midpoint_layers();
        Self {
            freq_mhz,
            // P.533: the gyrofrequency along a steep ray
            longitudinal_gyro_mhz: layers.gyro_100km_mhz * maths::sin(layers.dip_deg.to_radians()).abs(),
            absorption_factor: layers.absorption_factor,
            auroral_db: path.auroral_db(),
            median_day: DayState {
                fof2_factor: 1.0,
                foes_mhz: layers.foes_median_mhz,
                absorption_factor: 1.0,
            },
        }
    }

    fn wave(&self, component: Component) -> Wave {
        Wave {
            freq_mhz: self.freq_mhz,
            longitudinal_gyro_mhz: self.longitudinal_gyro_mhz,
            component,
        }
    }

    fn mode(&self, draft: &Draft) -> Mode {
        let losses = Losses {
            spreading_db: spreading_db(self.freq_mhz, draft.path_km),
            absorption_db: draft.lower_absorption_db + draft.upper_absorption_db,
            ground_reflection_db: GROUND_REFLECTION_DB * f64::from(draft.hops - 1),
            auroral_db: self.auroral_db,
            polarisation_db: POLARISATION_DB,
            residual_db: RESIDUAL_DB,
            ..Losses::default()
        };
        let mut mode = Mode {
            freq_mhz: self.freq_mhz,
            layer: draft.layer,
            component: draft.component,
            hops: draft.hops,
            elevation_deg: draft.elevation_rad.to_degrees(),
            path_km: draft.path_km,
            mirror_height_km: draft.mirror_height_km,
            muf_mhz: draft.muf_mhz,
            support: draft.support,
            losses,
            lower_absorption_db: draft.lower_absorption_db,
            secant_110: secant_at_height(draft.elevation_rad, E_MIRROR_KM),
            fixed_screening_db: draft.fixed_screening_db,
        };
        mode.losses = mode.losses_on(&self.median_day);
        mode
    }
}

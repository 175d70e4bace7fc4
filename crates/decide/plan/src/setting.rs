//! The sky of an outing: the field of its date, the conditions in use, and where they come from.

use farhop_earth::{EpochError, IgrfEpoch, UtcTime};
use farhop_ionosphere::storm::kp_from_a;
use farhop_ionosphere::{Activity, FoesReading, KSeries, KSeriesError, Observation, SkyConditions};
use farhop_outing::{Activity as StatedActivity, Conditions, Outing, StatedPolarCap};
use farhop_propagation::Events;
use farhop_propagation::fade_out::Flare;
use farhop_propagation::polar_cap::{PolarCap, ProtonLevel};

/// Why an outing cannot be forecast at all.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SettingError {
    /// The date lies outside the magnetic field model.
    #[error("dates of the outing: {0}")]
    Epoch(#[from] EpochError),
    /// The activity cannot be used.
    #[error("conditions: {0}")]
    Activity(String),
    /// The K index by day or by three hours cannot be used.
    #[error("conditions: {0}")]
    K(#[from] KSeriesError),
}

/// Magnetic field and conditions for an outing.
#[derive(Clone, Debug)]
pub struct Setting {
    /// Middle of the outing: the date by which the magnetic field is taken, whichever of its hours are asked for.
    pub middle: UtcTime,
    /// Magnetic field in the middle of the outing.
    pub field: IgrfEpoch,
    /// What shapes the sky.
    pub conditions: SkyConditions,
    /// Flares and proton storms that are known.
    pub events: Events,
}

impl Setting {
    /// The setting of an outing.
    ///
    /// # Errors
    /// Dates outside the field model, activity outside what the maps can take.
    pub fn new(outing: &Outing) -> Result<Self, SettingError> {
        let middle = middle_of(outing);
        let field = IgrfEpoch::at(middle.decimal_year())?;
        Ok(Self {
            middle,
            field,
            conditions: sky_conditions(outing, middle)?,
            events: events(&outing.conditions),
        })
    }
}

fn middle_of(outing: &Outing) -> UtcTime {
    let (start, end) = (outing.header.start, outing.header.end);
    start.add_s((end.unix_s() - start.unix_s()) / 2)
}

/// The K index step by step, from the first UTC day of the outing.
fn k_series(outing: &Outing) -> Result<Option<KSeries>, KSeriesError> {
    let stated = &outing.conditions;
    let start = outing.header.start;
    let first_day = start.add_s(-start.unix_s().rem_euclid(86_400));
    match (&stated.k_by_three_hours[..], &stated.k_by_day[..]) {
        ([], []) => Ok(None),
        ([], by_day) => KSeries::by_day(first_day, by_day.to_vec()).map(Some),
        (by_three_hours, _) => KSeries::by_three_hours(first_day, by_three_hours.to_vec()).map(Some),
    }
}

fn events(stated: &Conditions) -> Events {
    let flares = stated.flares.iter().map(|flare| Flare {
        peak_flux_w_per_m2: flare.peak_flux_w_per_m2,
        from: flare.at,
        until: flare.until,
    });
    Events {
        flares: flares.collect(),
        polar_cap: stated.polar_cap.iter().filter_map(polar_cap).collect(),
    }
}

/// None where its strength is not said, which a checked outing does not let through.
fn polar_cap(stated: &StatedPolarCap) -> Option<PolarCap> {
    let level = match (stated.flux_per_cm2_s_sr, stated.loss_db, stated.freq_mhz) {
        (Some(flux), ..) => ProtonLevel::Flux {
            above_10_mev_per_cm2_s_sr: flux,
        },
        (None, Some(loss_db), Some(freq_mhz)) => ProtonLevel::Measured { loss_db, freq_mhz },
        _ => return None,
    };
    Some(PolarCap {
        level,
        from: stated.from,
        until: stated.until,
    })
}

fn sky_conditions(outing: &Outing, middle: UtcTime) -> Result<SkyConditions, SettingError> {
    let stated = &outing.conditions;
    let activity = match stated.activity {
        Some(StatedActivity::Sunspots { ssn }) => Activity::from_ssn(ssn),
        Some(StatedActivity::Flux { flux_sfu }) => Activity::from_flux(flux_sfu),
        None => Ok(Activity::expected(middle)),
    };
    let activity = activity.map_err(|e| SettingError::Activity(e.to_string()))?;
    let mut conditions = SkyConditions::quiet(activity);
    conditions.k_index = stated.k_index.or(stated.a_index.map(kp_from_a));
    conditions.k_series = k_series(outing)?;
    let foes = stated.foes.iter().map(|reading| FoesReading {
        place: reading.place,
        time: reading.at,
        foes_mhz: reading.foes_mhz,
    });
    conditions.observed_foes = foes.collect();
    let readings = stated.fof2.iter().map(|o| Observation::new(o.place, o.at, o.fof2_mhz));
    conditions.observed = readings
        .collect::<Result<_, _>>()
        .map_err(|e| SettingError::Activity(e.to_string()))?;
    if let Some(learned) = &stated.learned {
        conditions.fof2_factor = learned.fof2_ratio.map_or(1.0, |s| s.value_own_unit);
        conditions.absorption_factor = learned.absorption_ratio.map_or(1.0, |s| s.value_own_unit);
    }
    Ok(conditions)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::declared_book::DeclaredBook;
    use crate::faults::fault_priors;
    use crate::strip::{Cell, Strip};
    use crate::survey::drawn_hours;
    use farhop_ionosphere::Ionosphere;
    use farhop_outing::{ObservedFoes, StatedFlare};

    fn at(text: &str) -> UtcTime {
        UtcTime::parse(text).unwrap()
    }

    /// The demo with other conditions.
    fn demo(change: impl FnOnce(&mut Conditions)) -> Outing {
        let mut parts = crate::demo::demo().into_parts();
        change(&mut parts.conditions);
        Outing::new(parts).unwrap()
    }

    /// Every route from the ridge to the farthest station at some instants.
    fn strips(outing: &Outing, instants: &[UtcTime]) -> Vec<Strip> {
        let setting = Setting::new(outing).unwrap();
        let axes = farhop_days::Axes::of(outing, fault_priors(outing));
        let pair = (0, outing.stations.len() - 1);
        drawn_hours(outing, &setting, &DeclaredBook, (&axes, true, instants), pair).strips
    }

    fn fade_db(cell: &Cell) -> f64 {
        cell.carrier().map_or(0.0, |c| c.losses.fade_out_db)
    }

    #[test]
    fn a_flare_weakens_the_sunlit_side_and_leaves_the_night_alone() {
        // Half past two in the afternoon and half past one at night in New Zealand.
        let instants = [at("2026-12-12T01:30:00Z"), at("2026-12-12T12:30:00Z")];
        let flare = |time: &UtcTime| StatedFlare {
            peak_flux_w_per_m2: 1e-4,
            at: time.add_s(-900),
            until: None,
        };
        let quiet = strips(&demo(|_| {}), &instants);
        let flared = strips(
            &demo(|own| own.flares = instants.iter().map(flare).collect()),
            &instants,
        );
        assert!(!quiet.is_empty());
        for (before, after) in quiet.iter().zip(&flared) {
            let [day, night] = [0, 1].map(|i| (&before.cells[i], &after.cells[i]));
            assert!(fade_db(day.0) == 0.0 && fade_db(day.1) > 3.0, "{}", fade_db(day.1));
            let lost_db = day.0.forward.snr_p50_db - day.1.forward.snr_p50_db;
            assert!(lost_db > 3.0, "{lost_db}");
            assert_eq!(night.0, night.1);
        }
    }

    #[test]
    fn k_by_day_changes_its_own_day_only() {
        // The outing begins on 11 December, 18 UTC: the third value is for the 13th.
        let instants = [at("2026-12-12T12:30:00Z"), at("2026-12-13T02:30:00Z")];
        let with = |days: [f64; 3]| {
            strips(
                &demo(|own| {
                    own.k_index = None;
                    own.k_by_day = days.to_vec();
                }),
                &instants,
            )
        };
        let (calm, storm) = (with([2.0, 2.0, 2.0]), with([2.0, 2.0, 8.0]));
        for (calm, storm) in calm.iter().zip(&storm) {
            assert_eq!(calm.cells[0], storm.cells[0]);
            assert_ne!(calm.cells[1].forward, storm.cells[1].forward);
        }
        // By three hours, eight of each day, the same is said and the same follows.
        let fine = demo(|own| {
            own.k_index = None;
            own.k_by_three_hours = [2.0, 2.0, 8.0].into_iter().flat_map(|k| [k; 8]).collect();
        });
        assert_eq!(strips(&fine, &instants), storm);
        // The series wins over one K for all days.
        let both = demo(|own| own.k_by_day = vec![2.0, 2.0, 8.0]);
        assert_eq!(strips(&both, &instants), storm);
    }

    #[test]
    fn a_reading_of_sporadic_e_holds_where_and_when_it_was_made() {
        let time = at("2026-12-12T02:00:00Z");
        let place = crate::demo::demo().sites[0].place;
        let setting = Setting::new(&demo(|own| {
            own.foes = vec![ObservedFoes {
                foes_mhz: 9.0,
                at: time,
                place,
            }];
        }))
        .unwrap();
        let sky = Ionosphere::embedded().sky(&setting.field, &setting.conditions);
        let mut unread = setting.conditions.clone();
        unread.observed_foes.clear();
        let before = Ionosphere::embedded().sky(&setting.field, &unread);
        let foes_mhz = |sky: &farhop_ionosphere::Sky<'_>, time| sky.layers(place, time).foes_median_mhz;
        assert!((foes_mhz(&sky, time) - 9.0).abs() < 1e-9);
        let day_after = time.add_s(86_400);
        assert!((foes_mhz(&sky, day_after) / foes_mhz(&before, day_after) - 1.0).abs() < 1e-3);
        assert!((foes_mhz(&before, time) - 9.0).abs() > 1.0);
    }

    #[test]
    fn protons_are_taken_as_flux_or_as_loss() {
        let mut own = StatedPolarCap {
            flux_per_cm2_s_sr: Some(100.0),
            ..StatedPolarCap::default()
        };
        let flux = ProtonLevel::Flux {
            above_10_mev_per_cm2_s_sr: 100.0,
        };
        assert_eq!(polar_cap(&own).map(|p| p.level), Some(flux));
        (own.flux_per_cm2_s_sr, own.loss_db, own.freq_mhz) = (None, Some(3.0), Some(30.0));
        let measured = ProtonLevel::Measured {
            loss_db: 3.0,
            freq_mhz: 30.0,
        };
        assert_eq!(polar_cap(&own).map(|p| p.level), Some(measured));
        own.freq_mhz = None;
        assert_eq!(polar_cap(&own), None);
    }
}

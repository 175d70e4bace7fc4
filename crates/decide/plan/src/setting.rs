//! The sky of an outing: the field of its date, the conditions in use, and where they come from.

use farhop_earth::{EpochError, IgrfEpoch, UtcTime};
use farhop_ionosphere::storm::kp_from_a;
use farhop_ionosphere::{Activity, Observation, SkyConditions};
use farhop_outing::{Activity as StatedActivity, Conditions, Outing};

/// Why an outing cannot be forecast at all.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SettingError {
    /// The date lies outside the magnetic field model.
    #[error("dates of the outing: {0}")]
    Epoch(#[from] EpochError),
    /// The activity cannot be used.
    #[error("conditions: {0}")]
    Activity(String),
}

/// Magnetic field and conditions for an outing.
#[derive(Clone, Debug)]
pub struct Setting {
    /// Magnetic field in the middle of the outing.
    pub field: IgrfEpoch,
    /// What shapes the sky.
    pub conditions: SkyConditions,
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
            field,
            conditions: sky_conditions(&outing.conditions, middle)?,
        })
    }
}

fn middle_of(outing: &Outing) -> UtcTime {
    let (start, end) = (outing.header.start, outing.header.end);
    start.add_s((end.unix_s() - start.unix_s()) / 2)
}

fn sky_conditions(stated: &Conditions, middle: UtcTime) -> Result<SkyConditions, SettingError> {
    let activity = match stated.activity {
        Some(StatedActivity::Sunspots { ssn }) => Activity::from_ssn(ssn),
        Some(StatedActivity::Flux { flux_sfu }) => Activity::from_flux(flux_sfu),
        None => Ok(Activity::expected(middle)),
    };
    let activity = activity.map_err(|e| SettingError::Activity(e.to_string()))?;
    let mut conditions = SkyConditions::quiet(activity);
    conditions.k_index = stated.k_index.or(stated.a_index.map(kp_from_a));
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

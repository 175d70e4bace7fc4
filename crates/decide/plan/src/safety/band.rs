//! Distances and burns of one antenna at one site on one band.

use crate::error::PlanError;
use farhop_num::constants::DIPOLE_GAIN;
use std::sync::Arc;

use farhop_exposure::ExposureError;
use farhop_exposure::averaging::counted_share;
use farhop_exposure::contact::{Burn, burn};
use farhop_exposure::far_field::{GROUND_USUAL, distance_m};
use farhop_exposure::limit::{Population, Rule, limits};
use farhop_exposure::profile::{KeepOut, NearProfile, Sending};
use farhop_outing::Outing;

use crate::engine::SolutionStore;
use crate::safety::cases::SafetyCase;
use crate::safety::near::{NearAtWatt, Part, near_of_case};

/// A distance for each population.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Distances {
    /// The operator and companions who know.
    pub controlled: KeepOut,
    /// Everybody else.
    pub public: KeepOut,
}

/// A part that a hand can reach, at the power of the plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Contact {
    /// Which part.
    pub part: Part,
    /// Height above ground, m.
    pub height_m: f64,
    /// Voltage, V rms.
    pub rms_v: f64,
    /// How bad a touch is.
    pub burn: Burn,
}

/// What follows from computed near fields.
#[derive(Clone, Debug, PartialEq)]
pub struct NearSafety {
    /// By 47 CFR 1.1310.
    pub fcc: Distances,
    /// By ICNIRP 2020: whole body, local, and nerves below 10 MHz; the one that asks for most.
    pub icnirp: Distances,
    /// The antenna hangs so high that nobody on the ground comes near its wires.
    pub out_of_reach: bool,
    /// The strongest fields by distance for one watt.
    pub profile: NearProfile,
    /// Parts within reach, the worst first.
    pub contacts: Vec<Contact>,
}

impl NearSafety {
    /// The distance to tell the operator, m: the larger of both rules.
    #[must_use]
    pub fn controlled_m(&self) -> f64 {
        self.fcc.controlled.told_m().max(self.icnirp.controlled.told_m())
    }

    /// The distance to tell for everybody else, m: the larger of both rules.
    #[must_use]
    pub fn public_m(&self) -> f64 {
        self.fcc.public.told_m().max(self.icnirp.public.told_m())
    }
}

/// Distances and burns of one antenna at one site on one band.
#[derive(Clone, Debug, PartialEq)]
pub struct BandSafety {
    /// Index of the site in the outing.
    pub site: usize,
    /// Index of the antenna in the kit.
    pub antenna: usize,
    /// All channels of the band, MHz; the first one is computed.
    pub channels_mhz: Vec<f64>,
    /// How it is sent: whole power of the transmitter, so that losses of the feed are on the safe side.
    pub sending: Sending,
    /// Computed, or the reason why not.
    pub near: Result<NearSafety, PlanError>,
    /// The far-field formula of OET Bulletin 65 for a half-wave dipole and usual ground, against the power density of
    /// 47 CFR 1.1310, m: operator, everybody else. Rough, and too small close to small antennas.
    pub far_field_m: (f64, f64),
}

impl BandSafety {
    /// The distance that everybody else keeps, m: the computed one, or the rough one where nothing could be computed; none where neither
    /// is a distance.
    #[must_use]
    pub fn others_m(&self) -> Option<f64> {
        let metres = self.near.as_ref().map_or(self.far_field_m.1, NearSafety::public_m);
        (metres.is_finite() && metres > 0.0).then_some(metres)
    }
}

/// The safety of a case at the power of the kit; sending is taken to go on for the whole averaging time.
#[must_use]
pub fn safety_of(outing: &Outing, case: &SafetyCase<'_>, store: &dyn SolutionStore) -> BandSafety {
    safety_with(outing, case, near_of_case(case, store))
}

/// The same from near fields for one watt.
pub(crate) fn safety_with(
    outing: &Outing,
    case: &SafetyCase<'_>,
    near: Result<Arc<NearAtWatt>, PlanError>,
) -> BandSafety {
    let sending = Sending {
        freq_mhz: case.freq_mhz,
        power_w: outing.kit.transceiver.power_w,
        key_share: case.key_share,
        longest_min: f64::INFINITY,
    };
    let near = near.and_then(|near| near_safety(&near, &sending).map_err(PlanError::from));
    let antenna = outing.kit.antennas.iter().position(|a| a.id == case.antenna.id);
    let far = |population| far_field_m(&sending, population).unwrap_or(f64::NAN);
    BandSafety {
        site: case.site_index,
        antenna: antenna.unwrap_or_default(),
        channels_mhz: case.channels_mhz.clone(),
        near,
        far_field_m: (far(Population::Controlled), far(Population::Public)),
        sending,
    }
}

fn near_safety(near: &Arc<NearAtWatt>, sending: &Sending) -> Result<NearSafety, ExposureError> {
    let distances = |wanted: fn(Rule) -> bool| -> Result<Distances, ExposureError> {
        let of = |population| {
            let found = near.profile.keep_out(sending, population, wanted)?;
            found.ok_or(ExposureError::NoField)
        };
        Ok(Distances {
            controlled: of(Population::Controlled)?,
            public: of(Population::Public)?,
        })
    };
    let root_w = sending.power_w.sqrt();
    let mut contacts: Vec<Contact> = near
        .contacts
        .iter()
        .map(|c| Contact {
            part: c.part,
            height_m: c.height_m,
            rms_v: c.rms_v * root_w,
            burn: burn(c.rms_v * root_w),
        })
        .collect();
    contacts.sort_by(|a, b| b.rms_v.total_cmp(&a.rms_v));
    Ok(NearSafety {
        fcc: distances(|rule| rule == Rule::Fcc)?,
        icnirp: distances(|rule| rule != Rule::Fcc)?,
        out_of_reach: near.profile.out_of_reach(),
        profile: near.profile.clone(),
        contacts,
    })
}

fn far_field_m(sending: &Sending, population: Population) -> Result<f64, ExposureError> {
    let all = limits(sending.freq_mhz, population)?;
    let fcc = all.iter().find(|l| l.rule == Rule::Fcc).ok_or(ExposureError::NoField)?;
    let share = counted_share(sending.key_share, sending.longest_min, fcc.averaging_min);
    let density = fcc.density_w_per_m2.ok_or(ExposureError::NoField)?;
    distance_m(sending.power_w * share * DIPOLE_GAIN, GROUND_USUAL, density)
}

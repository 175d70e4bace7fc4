//! Near fields of an antenna where it hangs, for one watt, small enough to keep.

use crate::error::PlanError;
use farhop_num::maths;
use std::sync::Arc;

use farhop_antenna::near_field::{near_fields, potentials_v};
use farhop_antenna::solve::{Currents, solve};
use farhop_antenna::templates::Feeding;
use farhop_earth::GroundConstants;
use farhop_exposure::contact::REACHABLE_M;
use farhop_exposure::profile::NearProfile;
use farhop_exposure::search::{FieldAtWatt, profile};
use farhop_exposure::shape::Piece;
use farhop_outing::{Antenna, AntennaKind};

use crate::engine::{SolutionStore, built_at, key_of};
use crate::safety::cases::SafetyCase;

/// A part that a hand may reach.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Part {
    /// The wire itself, at its worst place within reach.
    Wire,
    /// The feed point: transformer, choke, or the bare ends of the line.
    Feed,
    /// A capacitor in the antenna.
    Capacitor,
    /// A coil in the antenna.
    Coil,
}

impl Part {
    /// All, in the order in which they are kept.
    pub const ALL: [Self; 4] = [Self::Wire, Self::Feed, Self::Capacitor, Self::Coil];
}

/// Voltage at a part for one watt into the antenna; it grows with the root of the power.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ContactAtWatt {
    /// Which part.
    pub part: Part,
    /// Height above ground, m.
    pub height_m: f64,
    /// Voltage: across the feed or a load, of a wire against the ground; V rms.
    pub rms_v: f64,
}

/// What is kept of the fields around an antenna.
#[derive(Clone, Debug, PartialEq)]
pub struct NearAtWatt {
    /// The strongest field at each distance.
    pub profile: NearProfile,
    /// Parts within reach.
    pub contacts: Vec<ContactAtWatt>,
}

/// Changes whenever the same antenna would give other figures.
const NEAR_EDITION: u32 = 1;

/// Under what near fields are kept.
fn key(antenna: &Antenna, ground: GroundConstants, freq_mhz: f64) -> Result<Vec<u8>, PlanError> {
    let mut key = format!("near {NEAR_EDITION} ").into_bytes();
    key.extend(key_of(antenna, ground, freq_mhz)?);
    Ok(key)
}

/// Under what the near fields of a case are kept; none where they cannot be computed.
#[must_use]
pub(crate) fn near_key(case: &SafetyCase<'_>) -> Option<Vec<u8>> {
    let computed = !case.antenna.kind.is_declared();
    let key = computed.then(|| key(case.antenna, case.site.ground.constants(), case.freq_mhz));
    key?.ok()
}

/// The near fields of a case, from a store or afresh.
///
/// # Errors
/// As [`near_in`].
pub(crate) fn near_of_case(case: &SafetyCase<'_>, store: &dyn SolutionStore) -> Result<Arc<NearAtWatt>, PlanError> {
    if case.antenna.kind.is_declared() {
        return Err(PlanError::NoWire);
    }
    near_in(store, case.antenna, case.site.ground.constants(), case.freq_mhz)
}

/// The near fields of an antenna over a ground on a frequency in MHz, from a store or afresh.
///
/// # Errors
/// The antenna cannot be built or solved there, or is declared and has no wires.
pub fn near_in(
    store: &dyn SolutionStore,
    antenna: &Antenna,
    ground: GroundConstants,
    freq_mhz: f64,
) -> Result<Arc<NearAtWatt>, PlanError> {
    let key = key(antenna, ground, freq_mhz)?;
    if let Some(near) = store.near(&key) {
        return Ok(near);
    }
    let fresh = Arc::new(near_of(antenna, ground, freq_mhz)?);
    store.keep_near(&key, &fresh);
    Ok(fresh)
}

/// Solves an antenna and walks around it.
///
/// # Errors
/// The antenna cannot be built or solved there, or is declared and has no wires.
pub fn near_of(antenna: &Antenna, ground: GroundConstants, freq_mhz: f64) -> Result<NearAtWatt, PlanError> {
    let built = built_at(antenna, ground, freq_mhz)?;
    let currents = solve(&built.antenna, freq_mhz)?;
    let wires = built.antenna.wires.iter();
    let pieces: Vec<Piece> = wires
        .map(|w| Piece {
            from_m: w.p1_m,
            to_m: w.p2_m,
        })
        .collect();
    let fields = |points: &[[f64; 3]]| {
        let near = near_fields(&currents, points, 1.0);
        let one = |f: &farhop_antenna::near_field::NearField| FieldAtWatt {
            e_v_per_m: f.e_total_v_per_m(),
            h_a_per_m: f.h_total_a_per_m(),
        };
        near.iter().map(one).collect()
    };
    let mut contacts = loads(antenna, &currents);
    contacts.extend(wire(&currents));
    // A coupling loop stands at the low-voltage side; what it bears is not in the model.
    if built.feeding != Feeding::CouplingLoop {
        contacts.extend(feed(&currents));
    }
    contacts.retain(|c| c.height_m <= REACHABLE_M);
    Ok(NearAtWatt {
        profile: profile(&pieces, fields)?,
        contacts,
    })
}

/// Peak values at the engine's own excitation times this are rms values at one watt.
fn rms_at_watt(currents: &Currents) -> f64 {
    (0.5 / currents.input_w()).sqrt()
}

fn height_m(currents: &Currents, segment: usize) -> f64 {
    currents.mesh.segments.get(segment).map_or(0.0, |s| s.point_m(0.5)[2])
}

fn loads(antenna: &Antenna, currents: &Currents) -> Vec<ContactAtWatt> {
    let part = match antenna.kind {
        AntennaKind::SmallLoop(_) => Part::Capacitor,
        _ => Part::Coil,
    };
    let rms = rms_at_watt(currents);
    let one = |l: &farhop_antenna::solve::Loaded| ContactAtWatt {
        part,
        height_m: height_m(currents, l.segment),
        rms_v: maths::norm(l.peak_a) * maths::norm(l.ohm) * rms,
    };
    currents.loads.iter().map(one).collect()
}

fn feed(currents: &Currents) -> Option<ContactAtWatt> {
    let feed = currents.feeds.first()?;
    Some(ContactAtWatt {
        part: Part::Feed,
        height_m: height_m(currents, feed.segment),
        rms_v: maths::norm(feed.peak_v) * rms_at_watt(currents),
    })
}

/// The wire's worst place within reach.
fn wire(currents: &Currents) -> Option<ContactAtWatt> {
    let middles = currents.mesh.segments.iter().map(|s| s.point_m(0.5));
    let reachable: Vec<[f64; 3]> = middles.filter(|p| p[2] <= REACHABLE_M).collect();
    if reachable.is_empty() {
        return None;
    }
    let volts = potentials_v(currents, &reachable, 1.0);
    let worst = reachable.iter().zip(volts).max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(ContactAtWatt {
        part: Part::Wire,
        height_m: worst.0[2],
        rms_v: worst.1,
    })
}

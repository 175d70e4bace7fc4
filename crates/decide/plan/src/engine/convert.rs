//! What the engine takes of an outing's antenna.

use crate::error::PlanError;
use farhop_antenna::Ground;
use farhop_antenna::templates::{Built, build};
use farhop_earth::GroundConstants;
use farhop_outing::{Antenna, AntennaKind};

/// Bearing of the engine's x axis on site, degrees true; none where the operator turns the antenna as suits.
#[must_use]
pub fn axis_bearing_deg(antenna: &Antenna) -> Option<f64> {
    antenna.azimuth_deg.or(antenna.kind.own_bearing_deg())
}

/// Impedance ratio between the wires' feed and the line (dimensionless): the transformer's, or that of the kind's own make.
#[must_use]
pub fn feed_ratio(antenna: &Antenna) -> f64 {
    antenna.transformer.map_or(antenna.kind.own_ratio(), |t| t.ratio)
}

/// The wires of an antenna over a ground on a frequency in MHz.
///
/// # Errors
/// Says in words why the measures make no antenna there; an antenna whose behaviour is declared has no wires.
pub fn built_at(antenna: &Antenna, ground: GroundConstants, freq_mhz: f64) -> Result<Built, PlanError> {
    build(&on_axis(antenna)?, antenna.wire.into(), ground_of(ground), freq_mhz).map_err(PlanError::from)
}

/// The measures of an antenna that has wires, bearings counted from its axis.
pub(super) fn on_axis(antenna: &Antenna) -> Result<AntennaKind, PlanError> {
    if antenna.kind.is_declared() {
        return Err(PlanError::NotBuilt(antenna.name.clone()));
    }
    let mut kind = antenna.kind.clone();
    kind.count_bearings_from(axis_bearing_deg(antenna).unwrap_or(0.0));
    Ok(kind)
}

/// Ground constants in the engine's words.
pub(super) fn ground_of(ground: GroundConstants) -> Ground {
    Ground::Real {
        eps_r: ground.eps_r,
        sigma_s_per_m: ground.sigma_s_per_m,
    }
}

//! An antenna on its bands, as JSON sees it.

use farhop_forecast::engine::SolvedAntenna;
use serde::Serialize;

use crate::numbers::rounded;

/// Elevations at which gains are listed, degrees.
pub const LISTED_ELEVATIONS_DEG: [f64; 9] = [10.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 90.0];

/// Gain at an elevation: the strongest direction, and the mean over the compass.
#[derive(Clone, Debug, Serialize)]
pub struct ElevationView {
    /// Elevation above the horizon, degrees.
    pub elevation_deg: f64,
    /// Gain toward the strongest azimuth at that elevation, dBi.
    pub best_dbi: f64,
    /// Mean gain over all azimuths, dBi.
    pub mean_dbi: f64,
}

/// An antenna on one frequency.
#[derive(Clone, Debug, Serialize)]
#[allow(
    missing_docs,
    reason = "quantities with units in the keys; explained in docs/methods/antenna.md"
)]
pub struct BandView {
    pub freq_mhz: f64,
    pub r_ohm: f64,
    pub x_ohm: f64,
    pub swr_50_ohm: f64,
    pub efficiency: f64,
    pub lost_in_ground: f64,
    pub lost_in_wire: f64,
    pub lost_in_loads: f64,
    pub zenith_dbi: f64,
    pub gain: Vec<ElevationView>,
    pub load_rms_v: Vec<f64>,
    pub load_rms_a: Vec<f64>,
    pub matched_by_coupling_loop: bool,
    pub notes: Vec<String>,
}

/// An antenna on all its bands.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "plain words")]
pub struct AntennaView {
    pub antenna: String,
    pub name: String,
    pub kind: String,
    pub place: String,
    pub power_w: f64,
    pub bands: Vec<BandView>,
    pub failed: Vec<String>,
    pub notes: Vec<String>,
}

/// Azimuths looked at for the strongest direction, degrees apart.
const AZIMUTH_STEP_DEG: usize = 5;

/// The view of a solution for a power into the antenna in W.
#[must_use]
pub fn band_view(solved: &SolvedAntenna, freq_mhz: f64, power_w: f64) -> BandView {
    let z = solved.impedance_ohm;
    let mirror = ((z - 50.0) / (z + 50.0)).norm();
    let root = power_w.sqrt();
    BandView {
        freq_mhz,
        r_ohm: rounded(z.re, 3),
        x_ohm: rounded(z.im, 3),
        swr_50_ohm: rounded((1.0 + mirror) / (1.0 - mirror).max(1e-6), 2),
        efficiency: rounded(solved.efficiency, 5),
        lost_in_ground: rounded(solved.ground_share, 4),
        lost_in_wire: rounded(solved.conductor_share, 4),
        lost_in_loads: rounded(solved.load_share, 4),
        zenith_dbi: rounded(solved.pattern.gain_dbi(90.0, 0.0), 2),
        gain: LISTED_ELEVATIONS_DEG
            .iter()
            .map(|e| elevation_view(solved, *e))
            .collect(),
        load_rms_v: solved.loads.iter().map(|l| rounded(l.rms_v * root, 1)).collect(),
        load_rms_a: solved.loads.iter().map(|l| rounded(l.rms_a * root, 2)).collect(),
        matched_by_coupling_loop: solved.coupled,
        notes: solved.notes.clone(),
    }
}

fn elevation_view(solved: &SolvedAntenna, elevation_deg: f64) -> ElevationView {
    let azimuths = (0..360).step_by(AZIMUTH_STEP_DEG);
    let best = azimuths
        .map(|a| solved.pattern.gain_dbi(elevation_deg, a as f64))
        .fold(f64::NEG_INFINITY, f64::max);
    ElevationView {
        elevation_deg,
        best_dbi: rounded(best, 2),
        mean_dbi: rounded(solved.pattern.mean_around_dbi(elevation_deg), 2),
    }
}

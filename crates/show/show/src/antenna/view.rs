//! An antenna on its bands, as JSON sees it.

use farhop_antenna::orientation::true_bearing_deg;
use farhop_plan::engine::SolvedAntenna;
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
    /// Bearing of that direction, degrees true; none where the direction of the antenna is not stated, or straight up.
    pub best_bearing_true_deg: Option<f64>,
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
    /// SWR on a 50 ohm line behind the transformer; none for a loop, which its coupling loop matches.
    pub swr_50_ohm: Option<f64>,
    /// Width within which the SWR stays below 2 once the antenna is matched, kHz.
    pub width_swr2_khz: Option<f64>,
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
    /// Ground under it, in words.
    pub place: String,
    /// Bearing along which it runs, degrees true; none where the outing states none.
    pub azimuth_true_deg: Option<f64>,
    /// Impedance ratio of the transformer at the feed; 1 where there is none.
    pub feed_ratio: f64,
    pub power_w: f64,
    pub bands: Vec<BandView>,
    pub failed: Vec<String>,
    pub notes: Vec<String>,
}

/// Azimuths looked at for the strongest direction, degrees apart.
const AZIMUTH_STEP_DEG: usize = 5;

/// What a band's view is made with, besides the solution.
#[derive(Clone, Copy, Debug)]
pub struct BandFacts {
    /// Frequency, MHz.
    pub freq_mhz: f64,
    /// Power into the antenna, W.
    pub power_w: f64,
    /// Impedance ratio of the transformer at the feed (dimensionless).
    pub feed_ratio: f64,
    /// Width within an SWR of 2, kHz.
    pub width_swr2_khz: Option<f64>,
}

/// The view of a solution.
#[must_use]
pub fn band_view(solved: &SolvedAntenna, facts: &BandFacts) -> BandView {
    let z = solved.impedance_ohm;
    let root = facts.power_w.sqrt();
    BandView {
        freq_mhz: facts.freq_mhz,
        r_ohm: rounded(z.re, 3),
        x_ohm: rounded(z.im, 3),
        swr_50_ohm: (!solved.coupled).then(|| rounded(swr(solved, facts.feed_ratio), 2)),
        width_swr2_khz: facts.width_swr2_khz.map(|w| rounded(w, 1)),
        efficiency: rounded(solved.efficiency, 5),
        lost_in_ground: rounded(solved.ground_share, 4),
        lost_in_wire: rounded(solved.conductor_share, 4),
        lost_in_loads: rounded(solved.load_share, 4),
        zenith_dbi: shown_dbi(solved.pattern.gain_dbi(90.0, 0.0)),
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

/// Standing-wave ratio on 50 ohm behind a transformer without loss (dimensionless).
fn swr(solved: &SolvedAntenna, feed_ratio: f64) -> f64 {
    let z = solved.impedance_ohm / feed_ratio;
    let mirror = ((z - 50.0) / (z + 50.0)).norm();
    (1.0 + mirror) / (1.0 - mirror).max(1e-4)
}

fn elevation_view(solved: &SolvedAntenna, elevation_deg: f64) -> ElevationView {
    let azimuths = (0..360).step_by(AZIMUTH_STEP_DEG).map(|a| a as f64);
    let gains = azimuths.map(|a| (a, solved.pattern.gain_dbi(elevation_deg, a)));
    let (azimuth_deg, best_dbi) = gains
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .unwrap_or((0.0, f64::NEG_INFINITY));
    let bearing = solved.azimuth_deg.filter(|_| elevation_deg < 89.0);
    ElevationView {
        elevation_deg,
        best_dbi: shown_dbi(best_dbi),
        best_bearing_true_deg: bearing.map(|x_axis| rounded(true_bearing_deg(azimuth_deg, x_axis), 0)),
        mean_dbi: shown_dbi(solved.pattern.mean_around_dbi(elevation_deg)),
    }
}

/// Lowest gain shown, dBi: JSON has no minus infinity.
const FLOOR_DBI: f64 = -99.99;

fn shown_dbi(gain_dbi: f64) -> f64 {
    rounded(gain_dbi.max(FLOOR_DBI), 2)
}

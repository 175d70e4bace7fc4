//! An antenna on its bands, as JSON sees it.

use farhop_antenna::NO_GAIN_DBI;
use farhop_antenna::orientation::true_bearing_deg;
use farhop_num::maths;
use farhop_plan::engine::SolvedAntenna;
use serde::Serialize;

use crate::numbers::rounded;
use crate::views::views;

/// Elevations at which gains are listed, degrees.
pub(crate) const LISTED_ELEVATIONS_DEG: [f64; 9] = [10.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 90.0];

views! {
    /// Gain at an elevation: the strongest direction, and the mean over the compass.
    ElevationView(solved: &SolvedAntenna, at_deg: f64) where {
        let (azimuth_deg, most_dbi) = strongest(solved, at_deg);
        let stated = solved.azimuth_deg.filter(|_| at_deg < 89.0);
    } {
        /// Elevation above the horizon, degrees.
        elevation_deg: f64 = at_deg,
        /// Gain toward the strongest azimuth at that elevation, dBi.
        best_dbi: f64 = shown_dbi(most_dbi),
        /// Bearing of that direction, degrees true; none where the direction of the antenna is not stated, or straight up.
        best_bearing_true_deg: Option<f64> = stated.map(|x_axis| rounded(true_bearing_deg(azimuth_deg, x_axis), 0)),
        /// Mean gain over all azimuths, dBi.
        mean_dbi: f64 = shown_dbi(solved.pattern.mean_around_dbi(at_deg)),
    }

    /// An antenna on one frequency; docs/methods/antenna.md explains the keys.
    BandView(solved: &SolvedAntenna, facts: &BandFacts) where { let root_w = facts.power_w.sqrt(); } {
        freq_mhz: f64 = facts.freq_mhz,
        r_ohm: f64 = rounded(solved.impedance_ohm.re, 3),
        x_ohm: f64 = rounded(solved.impedance_ohm.im, 3),
        /// SWR on a 50 ohm line behind the transformer; none for a loop, which its coupling loop matches.
        swr_50_ohm: Option<f64> = (!solved.coupled).then(|| rounded(swr(solved, facts.feed_ratio), 2)),
        /// Width within which the SWR stays below 2 once the antenna is matched, kHz.
        width_swr2_khz: Option<f64> = facts.width_swr2_khz.map(|w| rounded(w, 1)),
        efficiency: f64 = rounded(solved.efficiency, 5),
        lost_in_ground: f64 = rounded(solved.ground_share, 4),
        lost_in_wire: f64 = rounded(solved.conductor_share, 4),
        lost_in_loads: f64 = rounded(solved.load_share, 4),
        zenith_dbi: f64 = shown_dbi(solved.pattern.gain_dbi(90.0, 0.0)),
        gain: Vec<ElevationView> = LISTED_ELEVATIONS_DEG.iter().map(|e| ElevationView::new(solved, *e)).collect(),
        load_rms_v: Vec<f64> = solved.loads.iter().map(|l| rounded(l.rms_v * root_w, 1)).collect(),
        load_rms_a: Vec<f64> = solved.loads.iter().map(|l| rounded(l.rms_a * root_w, 2)).collect(),
        matched_by_coupling_loop: bool = solved.coupled,
        notes: Vec<String> = solved.notes.clone(),
    }
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
    BandView::new(solved, facts)
}

/// Standing-wave ratio on 50 ohm behind a transformer without loss (dimensionless).
fn swr(solved: &SolvedAntenna, feed_ratio: f64) -> f64 {
    let z = solved.impedance_ohm / feed_ratio;
    let mirror = maths::norm((z - 50.0) / (z + 50.0));
    (1.0 + mirror) / (1.0 - mirror).max(1e-4)
}

/// The azimuth of the antenna, degrees, with the strongest gain at an elevation, and that gain, dBi.
fn strongest(solved: &SolvedAntenna, elevation_deg: f64) -> (f64, f64) {
    let azimuths = (0..360).step_by(AZIMUTH_STEP_DEG).map(|a| a as f64);
    let gains = azimuths.map(|a| (a, solved.pattern.gain_dbi(elevation_deg, a)));
    gains
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .unwrap_or((0.0, f64::NEG_INFINITY))
}

fn shown_dbi(gain_dbi: f64) -> f64 {
    rounded(gain_dbi.max(NO_GAIN_DBI), 2)
}

//! The plain wire list as JSON, and its answer. The format is described in docs/guide/wire-list.md.

use farhop_num::maths;
use std::collections::BTreeMap;
use std::fmt::Write as _;

use farhop_antenna::AntennaError;
use farhop_antenna::wire_list::{ListedLoad, ListedWire, WireList};
use farhop_antenna::{Ground, NO_GAIN_DBI, Solution, dbi};
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::numbers::{rounded, share_words};
use crate::wrap::paragraph;

/// A wire in JSON.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct WireIn {
    p1: [f64; 3],
    p2: [f64; 3],
    radius_m: f64,
    #[serde(default)]
    segments: Option<usize>,
}

/// The source in JSON.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct SourceIn {
    wire: usize,
    #[serde(default)]
    position: Option<f64>,
}

/// A load in JSON.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct LoadIn {
    wire: usize,
    #[serde(default)]
    r_ohm: Option<f64>,
    #[serde(default)]
    l_h: Option<f64>,
    #[serde(default)]
    c_f: Option<f64>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct ConstantsIn {
    eps_r: f64,
    sigma_s_per_m: f64,
}

/// The list in JSON. Other keys, such as a name, are said to be unused.
#[derive(Debug, Deserialize)]
struct ListIn {
    wires: Vec<WireIn>,
    #[serde(default)]
    conductor_s_per_m: Option<f64>,
    source: SourceIn,
    #[serde(default)]
    loads: Vec<LoadIn>,
    ground: Value,
    #[serde(flatten)]
    others: BTreeMap<String, Value>,
}

/// Why a text is no wire list, or has no solution.
#[derive(Debug, thiserror::Error)]
pub enum WireListError {
    /// It is not the JSON that a list is: what, and where in the text.
    #[error("{0}")]
    Json(#[from] serde_json::Error),
    /// The constants of the ground.
    #[error("ground: {0}")]
    Constants(serde_json::Error),
    /// The ground is neither a word nor constants.
    #[error("ground {0}: use \"free\", \"perfect\" or {{\"eps_r\": 13, \"sigma_s_per_m\": 0.005}}")]
    Ground(Value),
    /// A source or load names a wire that is not there.
    #[error("{what} names wire {wire}, but there are {count} (counted from 0)")]
    NoSuchWire {
        /// The source, or a load.
        what: &'static str,
        /// What it names.
        wire: usize,
        /// How many wires there are.
        count: usize,
    },
    /// The wires cannot be solved.
    #[error(transparent)]
    Antenna(#[from] AntennaError),
    /// The engine's numbers leave the finite.
    #[error("these numbers have no finite solution; look for a radius, conductivity or load far from any real one")]
    NotFinite,
}

/// The ground: a word or constants.
fn ground(value: &Value) -> Result<Ground, WireListError> {
    match value {
        Value::String(word) if word == "free" => Ok(Ground::Free),
        Value::String(word) if word == "perfect" => Ok(Ground::Perfect),
        Value::Object(_) => {
            let c: ConstantsIn = serde_json::from_value(value.clone()).map_err(WireListError::Constants)?;
            Ok(Ground::Real {
                eps_r: c.eps_r,
                sigma_s_per_m: c.sigma_s_per_m,
            })
        }
        other => Err(WireListError::Ground(other.clone())),
    }
}

/// A list that was read, and what of the text was not used.
#[derive(Clone, Debug, PartialEq)]
pub struct Parsed {
    /// The list.
    pub list: WireList,
    /// Keys that mean nothing here.
    pub unused: Vec<String>,
}

/// Reads a wire list. Wires are counted from 0.
///
/// # Errors
/// Says what is wrong and where in the text.
pub fn parse(text: &str) -> Result<Parsed, WireListError> {
    let list: ListIn = serde_json::from_str(text)?;
    let ground = ground(&list.ground)?;
    let count = list.wires.len();
    let exists = |what: &'static str, wire: usize| {
        if wire < count {
            Ok(())
        } else {
            Err(WireListError::NoSuchWire { what, wire, count })
        }
    };
    exists("source", list.source.wire)?;
    for load in &list.loads {
        exists("a load", load.wire)?;
    }
    let wire = |w: &WireIn| ListedWire {
        p1_m: w.p1,
        p2_m: w.p2,
        radius_m: w.radius_m,
        segments: w.segments,
    };
    let load = |l: &LoadIn| ListedLoad {
        wire: l.wire,
        r_ohm: l.r_ohm.unwrap_or(0.0),
        l_h: l.l_h.unwrap_or(0.0),
        c_f: l.c_f.unwrap_or(0.0),
    };
    Ok(Parsed {
        list: WireList {
            wires: list.wires.iter().map(wire).collect(),
            conductor_s_per_m: list.conductor_s_per_m,
            source_wire: list.source.wire,
            source_position: list.source.position,
            loads: list.loads.iter().map(load).collect(),
            ground,
        },
        unused: list.others.into_keys().collect(),
    })
}

/// Gain in one direction.
#[derive(Debug, Serialize)]
pub struct GainView {
    /// Azimuth, degrees counter-clockwise from +x.
    pub azimuth_deg: f64,
    /// Elevation above the xy plane, degrees.
    pub elevation_deg: f64,
    /// Total power gain, dBi; none where nothing is radiated.
    pub dbi: Option<f64>,
    /// Its upright part (E in the plane of the ray and the vertical), dBi.
    pub upright_dbi: Option<f64>,
    /// Its level part (E parallel to the ground), dBi.
    pub level_dbi: Option<f64>,
}

/// The answer.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "explained in docs/guide/wire-list.md")]
pub struct WireListView {
    pub freq_mhz: f64,
    pub r_ohm: f64,
    pub x_ohm: f64,
    pub efficiency: f64,
    pub lost_in_conductor: f64,
    pub lost_in_loads: f64,
    pub lost_in_ground: f64,
    /// Power found in the far field over the power radiated (dimensionless): 1 where the solution is sound; none over lossy ground.
    pub power_balance: Option<f64>,
    pub azimuth: &'static str,
    pub gain: Vec<GainView>,
    pub notes: Vec<String>,
}

/// How azimuths are counted here.
const AZIMUTH_WORDS: &str = "degrees counter-clockwise from +x";

/// Solves a list on a frequency in MHz.
///
/// # Errors
/// Says in words why the wires cannot be solved.
pub fn solve(parsed: &Parsed, freq_mhz: f64) -> Result<WireListView, WireListError> {
    let solution = Solution::new(&parsed.list.antenna(), freq_mhz)?;
    let split = &solution.split;
    let figures = [solution.impedance_ohm.re, solution.impedance_ohm.im, split.sky];
    if !figures.iter().all(|v| v.is_finite()) {
        return Err(WireListError::NotFinite);
    }
    let mut notes: Vec<String> = solution.cautions.iter().map(ToString::to_string).collect();
    notes.extend(
        parsed
            .unused
            .iter()
            .map(|key| format!("\"{key}\" is not part of a wire list and was not used")),
    );
    Ok(WireListView {
        freq_mhz,
        r_ohm: significant(solution.impedance_ohm.re),
        x_ohm: significant(solution.impedance_ohm.im),
        efficiency: significant(split.sky),
        lost_in_conductor: significant(split.conductor),
        lost_in_loads: significant(split.loads),
        lost_in_ground: significant(split.ground),
        power_balance: solution.average_gain.map(|g| rounded(g, 5)),
        azimuth: AZIMUTH_WORDS,
        gain: gains(&solution),
        notes,
    })
}

/// Seven digits: efficiencies of small loops begin far behind the point.
fn significant(value: f64) -> f64 {
    if value == 0.0 {
        return 0.0;
    }
    rounded(value, 6 - maths::log10(value.abs()).floor() as i32)
}

/// Gains on a grid of 5° in elevation and 30° in azimuth.
fn gains(solution: &Solution) -> Vec<GainView> {
    let elevations = (1..=18).map(|i| f64::from(i) * 5.0);
    let mut gain = Vec::new();
    for elevation_deg in elevations {
        for azimuth in 0..12 {
            let azimuth_deg = f64::from(azimuth) * 30.0;
            let ratio = solution.exact_gain(elevation_deg, azimuth_deg);
            let shown = |ratio: f64| Some(dbi(ratio)).filter(|g| *g > NO_GAIN_DBI).map(|g| rounded(g, 3));
            gain.push(GainView {
                azimuth_deg,
                elevation_deg,
                dbi: shown(ratio.total()),
                upright_dbi: shown(ratio.theta),
                level_dbi: shown(ratio.phi),
            });
        }
    }
    gain
}

/// The answer as text.
#[must_use]
pub fn text(view: &WireListView) -> String {
    let answer = format!(
        "{} MHz: {:.2} {:+.2}j ohm; {} % radiated, {} % lost in the ground, {} % in the wire, {} % in loads.",
        view.freq_mhz,
        view.r_ohm,
        view.x_ohm,
        share_words(view.efficiency),
        share_words(view.lost_in_ground),
        share_words(view.lost_in_conductor),
        share_words(view.lost_in_loads)
    );
    let mut out = paragraph(&answer, "", "");
    let _ = writeln!(out, "\nGain in dBi; elevation down, azimuth across, {AZIMUTH_WORDS}\n");
    let mut head = " ".repeat(5);
    (0..12).for_each(|a| {
        let _ = write!(head, "{:>6}", format!("{}°", a * 30));
    });
    let _ = writeln!(out, "{head}");
    for row in view.gain.chunks(12).rev() {
        let _ = write!(
            out,
            "{:>5}",
            format!("{:.0}°", row.first().map_or(0.0, |g| g.elevation_deg))
        );
        row.iter().for_each(|g| {
            let shown = g.dbi.map_or_else(|| "none".to_owned(), |dbi| format!("{dbi:.1}"));
            let _ = write!(out, "{shown:>6}");
        });
        out.push('\n');
    }
    for note in &view.notes {
        out.push_str(&paragraph(&format!("Note: {note}."), "", "  "));
    }
    out
}

#[cfg(test)]
mod tests;

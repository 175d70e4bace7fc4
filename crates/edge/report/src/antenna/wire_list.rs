//! The plain wire list as JSON, and its answer. The format is described in docs/guide/wire-list.md.

use farhop_antenna::wire_list::{ListedLoad, ListedWire, WireList};
use farhop_antenna::{Ground, Solution, dbi};
use serde::{Deserialize, Serialize};

use crate::numbers::rounded;

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

/// The ground in JSON: a word or constants.
#[derive(Debug, Deserialize)]
#[serde(untagged)]
enum GroundIn {
    Word(String),
    Constants(ConstantsIn),
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct ConstantsIn {
    eps_r: f64,
    sigma_s_per_m: f64,
}

/// The list in JSON.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct ListIn {
    wires: Vec<WireIn>,
    #[serde(default)]
    conductor_s_per_m: Option<f64>,
    source: SourceIn,
    #[serde(default)]
    loads: Vec<LoadIn>,
    ground: GroundIn,
}

/// Reads a wire list. Wires are counted from 0.
///
/// # Errors
/// Says what is wrong and where in the text.
pub fn parse(text: &str) -> Result<WireList, String> {
    let list: ListIn =
        serde_json::from_str(text).map_err(|e| format!("line {}, column {}: {e}", e.line(), e.column()))?;
    let ground = match list.ground {
        GroundIn::Word(word) if word == "free" => Ground::Free,
        GroundIn::Word(word) if word == "perfect" => Ground::Perfect,
        GroundIn::Word(word) => {
            return Err(format!(
                "ground \"{word}\": use \"free\", \"perfect\" or {{\"eps_r\": 13, \"sigma_s_per_m\": 0.005}}"
            ));
        }
        GroundIn::Constants(c) => Ground::Real {
            eps_r: c.eps_r,
            sigma_s_per_m: c.sigma_s_per_m,
        },
    };
    let count = list.wires.len();
    let exists = |what: &str, wire: usize| {
        if wire < count {
            Ok(())
        } else {
            Err(format!(
                "{what} names wire {wire}, but there are {count} (counted from 0)"
            ))
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
    Ok(WireList {
        wires: list.wires.iter().map(wire).collect(),
        conductor_s_per_m: list.conductor_s_per_m,
        source_wire: list.source.wire,
        source_position: list.source.position,
        loads: list.loads.iter().map(load).collect(),
        ground,
    })
}

/// Gain in one direction.
#[derive(Debug, Serialize)]
pub struct GainView {
    /// Azimuth, degrees counter-clockwise from +x.
    pub azimuth_deg: f64,
    /// Elevation above the xy plane, degrees.
    pub elevation_deg: f64,
    /// Total power gain, dBi.
    pub dbi: f64,
    /// Its vertical part (E along theta), dBi.
    pub theta_dbi: f64,
    /// Its horizontal part (E along phi), dBi.
    pub phi_dbi: f64,
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
    pub average_gain: Option<f64>,
    pub azimuth: &'static str,
    pub gain: Vec<GainView>,
    pub notes: Vec<String>,
}

/// Lowest figure shown, dBi.
const FLOOR_DBI: f64 = -99.99;

/// Solves a list on a frequency in MHz.
///
/// # Errors
/// Says in words why the wires cannot be solved.
pub fn solve(list: &WireList, freq_mhz: f64) -> Result<WireListView, String> {
    let solution = Solution::new(&list.antenna(), freq_mhz).map_err(|e| e.to_string())?;
    let split = &solution.split;
    let elevations = (1..=18).map(|i| f64::from(i) * 5.0);
    let mut gain = Vec::new();
    for elevation_deg in elevations {
        for azimuth in 0..12 {
            let azimuth_deg = f64::from(azimuth) * 30.0;
            let ratio = solution.exact_gain(elevation_deg, azimuth_deg);
            let shown = |value: f64| rounded(dbi(value).max(FLOOR_DBI), 3);
            gain.push(GainView {
                azimuth_deg,
                elevation_deg,
                dbi: shown(ratio.total()),
                theta_dbi: shown(ratio.theta),
                phi_dbi: shown(ratio.phi),
            });
        }
    }
    Ok(WireListView {
        freq_mhz,
        r_ohm: rounded(solution.impedance_ohm.re, 6),
        x_ohm: rounded(solution.impedance_ohm.im, 6),
        efficiency: rounded(split.sky, 6),
        lost_in_conductor: rounded(split.conductor, 6),
        lost_in_loads: rounded(split.loads, 6),
        lost_in_ground: rounded(split.ground, 6),
        average_gain: solution.average_gain.map(|g| rounded(g, 5)),
        azimuth: "counter-clockwise from +x, degrees",
        gain,
        notes: solution.cautions.iter().map(ToString::to_string).collect(),
    })
}

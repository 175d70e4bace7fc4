//! The fence: everything that would make the numbers meaningless is refused here, with a reason.

use crate::error::AntennaError;
use crate::geometry::basis::SAME_POINT_M;
use crate::geometry::mesh::size_m;
use crate::geometry::wire::{Antenna, Ground, Wire};
use crate::vec3::{Vec3, along, dot, norm, sub};
use farhop_num::constants::wavelength_m;

/// Frequencies that are served, MHz.
pub(crate) const FREQUENCIES_MHZ: std::ops::RangeInclusive<f64> = 1.0..=100.0;
/// Largest reach of the wires, in wavelengths (dimensionless).
pub(crate) const MOST_WAVELENGTHS: f64 = 10.0;

/// Checks numbers, heights and crossings.
///
/// # Errors
/// The first thing that is wrong.
pub fn check(antenna: &Antenna, freq_mhz: f64) -> Result<(), AntennaError> {
    if !FREQUENCIES_MHZ.contains(&freq_mhz) {
        return Err(AntennaError::BadNumber {
            what: "the frequency in MHz".into(),
            value: freq_mhz,
            rule: "it must lie between 1 and 100",
        });
    }
    ground_numbers(antenna.ground)?;
    if antenna.wires.is_empty() {
        return Err(AntennaError::NoWires);
    }
    if antenna.sources.is_empty() {
        return Err(AntennaError::NoSource);
    }
    for (index, wire) in antenna.wires.iter().enumerate() {
        wire_numbers(index, wire)?;
        height(index, wire, antenna.ground)?;
    }
    reach(antenna, freq_mhz)?;
    attachments(antenna)?;
    crossings(&antenna.wires)
}

/// Everything must lie within some wavelengths, of each other and of the ground.
fn reach(antenna: &Antenna, freq_mhz: f64) -> Result<(), AntennaError> {
    let mut reach_m = size_m(antenna);
    if antenna.ground != Ground::Free {
        reach_m = antenna
            .wires
            .iter()
            .flat_map(|w| [w.p1_m[2], w.p2_m[2]])
            .fold(reach_m, f64::max);
    }
    let wavelengths = reach_m / wavelength_m(freq_mhz);
    if wavelengths > MOST_WAVELENGTHS {
        return Err(AntennaError::TooLarge {
            wavelengths,
            limit: MOST_WAVELENGTHS,
            freq_mhz,
        });
    }
    Ok(())
}

fn positive(what: &str, value: f64) -> Result<(), AntennaError> {
    if value.is_finite() && value > 0.0 {
        return Ok(());
    }
    Err(AntennaError::BadNumber {
        what: what.into(),
        value,
        rule: "it must be above zero",
    })
}

fn ground_numbers(ground: Ground) -> Result<(), AntennaError> {
    let Ground::Real { eps_r, sigma_s_per_m } = ground else {
        return Ok(());
    };
    if !(1.0..=200.0).contains(&eps_r) {
        return Err(AntennaError::BadNumber {
            what: "the ground's relative permittivity".into(),
            value: eps_r,
            rule: "it must lie between 1 and 200",
        });
    }
    if !(0.0..=10.0).contains(&sigma_s_per_m) {
        return Err(AntennaError::BadNumber {
            what: "the ground's conductivity in S/m".into(),
            value: sigma_s_per_m,
            rule: "it must lie between 0 and 10",
        });
    }
    Ok(())
}

fn wire_numbers(index: usize, wire: &Wire) -> Result<(), AntennaError> {
    for value in wire.p1_m.iter().chain(&wire.p2_m) {
        if !(value.is_finite() && value.abs() < 1.0e6) {
            return Err(AntennaError::BadNumber {
                what: format!("a coordinate of wire {} in metres", index + 1),
                value: *value,
                rule: "it must be a number of ordinary size",
            });
        }
    }
    positive(&format!("the radius of wire {} in metres", index + 1), wire.radius_m)?;
    if let Some(sigma) = wire.conductor.sigma_s_per_m() {
        positive(&format!("the conductivity of wire {} in S/m", index + 1), sigma)?;
    }
    let length_m = wire.length_m();
    if length_m < SAME_POINT_M {
        return Err(AntennaError::ZeroLength { wire: index + 1 });
    }
    if length_m < 2.0 * wire.radius_m {
        return Err(AntennaError::Stubby {
            wire: index + 1,
            length_m,
            diameter_m: 2.0 * wire.radius_m,
        });
    }
    Ok(())
}

/// Over real ground a wire must clear the surface; on perfect ground an end may stand on it.
fn height(index: usize, wire: &Wire, ground: Ground) -> Result<(), AntennaError> {
    let low_m = wire.p1_m[2].min(wire.p2_m[2]);
    let high_m = wire.p1_m[2].max(wire.p2_m[2]);
    let needed_m = 2.0 * wire.radius_m;
    let fails = match ground {
        Ground::Free => false,
        Ground::Real { .. } => low_m <= needed_m,
        Ground::Perfect => {
            let stands = low_m.abs() < SAME_POINT_M && high_m > needed_m;
            !stands && low_m <= needed_m
        }
    };
    if fails {
        return Err(AntennaError::TouchesGround {
            wire: index + 1,
            height_m: low_m,
            needed_m,
        });
    }
    Ok(())
}

fn attachments(antenna: &Antenna) -> Result<(), AntennaError> {
    let wires = antenna.wires.len();
    let exists = |what: &'static str, wire: usize, position: f64| {
        if wire >= wires {
            return Err(AntennaError::NoSuchWire {
                what,
                wire: wire + 1,
                wires,
            });
        }
        if !(0.0..=1.0).contains(&position) {
            return Err(AntennaError::BadNumber {
                what: format!("the position of the {what} along wire {}", wire + 1),
                value: position,
                rule: "it must lie between 0 and 1",
            });
        }
        Ok(())
    };
    for source in &antenna.sources {
        exists("feed", source.wire, source.position)?;
        if !(source.peak_v.re.is_finite() && source.peak_v.im.is_finite()) {
            return Err(AntennaError::BadNumber {
                what: "the voltage of the feed".into(),
                value: f64::NAN,
                rule: "it must be a number",
            });
        }
    }
    for load in &antenna.loads {
        exists("load", load.wire, load.position)?;
        load_numbers(load.wire, &load.circuit.numbers())?;
    }
    Ok(())
}

fn load_numbers(wire: usize, (kind, numbers): &(u8, [f64; 3])) -> Result<(), AntennaError> {
    let what = format!("a value of the load on wire {}", wire + 1);
    for &value in numbers {
        let series = *kind == 0;
        if !(0.0..=1e9).contains(&value) || (!series && value == 0.0) {
            return Err(AntennaError::BadNumber {
                what,
                value,
                rule: "resistance, inductance, capacitance and Q must lie between 0 and 1e9 (ohm, henry, farad)",
            });
        }
    }
    Ok(())
}

fn crossings(wires: &[Wire]) -> Result<(), AntennaError> {
    for (i, a) in wires.iter().enumerate() {
        for (j, b) in wires.iter().enumerate().skip(i + 1) {
            if crosses(a, b) {
                return Err(AntennaError::Crossing {
                    first: i + 1,
                    second: j + 1,
                });
            }
        }
    }
    Ok(())
}

/// Whether two wires touch anywhere but at a common end.
fn crosses(a: &Wire, b: &Wire) -> bool {
    let touch_m = a.radius_m + b.radius_m;
    let shared = |p: Vec3, q: Vec3| norm(sub(p, q)) < SAME_POINT_M;
    let joints = [
        (shared(a.p1_m, b.p1_m), 0.0),
        (shared(a.p1_m, b.p2_m), 0.0),
        (shared(a.p2_m, b.p1_m), 1.0),
        (shared(a.p2_m, b.p2_m), 1.0),
    ];
    let common: Vec<f64> = joints.iter().filter(|j| j.0).map(|j| j.1).collect();
    match common.as_slice() {
        [] => distance_m((a.p1_m, a.p2_m), (b.p1_m, b.p2_m)) < touch_m,
        // One common end: the rest must not fold back onto the other wire.
        [at] => folds_back(a, b, *at),
        _ => true,
    }
}

/// Two wires with one common end that leave it in nearly the same direction lie in each other.
fn folds_back(a: &Wire, b: &Wire, end_of_a: f64) -> bool {
    let joint = a.point_m(end_of_a);
    let other_a = a.point_m(1.0 - end_of_a);
    let other_b = if norm(sub(b.p1_m, joint)) < SAME_POINT_M {
        b.p2_m
    } else {
        b.p1_m
    };
    let (u, v) = (sub(other_a, joint), sub(other_b, joint));
    let cos = dot(u, v) / (norm(u) * norm(v));
    if cos <= 0.0 {
        return false;
    }
    let reach_m = norm(u).min(norm(v));
    reach_m * (1.0 - cos * cos).max(0.0).sqrt() < a.radius_m + b.radius_m
}

/// Least distance between two straight lines of finite length, metres.
fn distance_m((p1, p2): (Vec3, Vec3), (q1, q2): (Vec3, Vec3)) -> f64 {
    let (u, v, w) = (sub(p2, p1), sub(q2, q1), sub(p1, q1));
    let (uu, uv, vv, uw, vw) = (dot(u, u), dot(u, v), dot(v, v), dot(u, w), dot(v, w));
    let det = uu * vv - uv * uv;
    let mut s = if det > 1e-12 * uu * vv {
        ((uv * vw - vv * uw) / det).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let mut t = ((uv * s + vw) / vv).clamp(0.0, 1.0);
    s = ((uv * t - uw) / uu).clamp(0.0, 1.0);
    t = ((uv * s + vw) / vv).clamp(0.0, 1.0);
    norm(sub(along(p1, s, u), along(q1, t, v)))
}

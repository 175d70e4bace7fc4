//! An antenna that hangs a bit otherwise, or is changed on purpose.

use farhop_earth::{Ground, GroundClass, GroundConstants};
use farhop_feed::{AntennaChange, Variation};
use farhop_outing::{Antenna, AntennaKind};

/// Classes of land from dry to wet, by conductivity. Water stays water; towns vary as the poor ground they stand for.
const DRY_TO_WET: [GroundClass; 5] = [
    GroundClass::VeryDry,
    GroundClass::Poor,
    GroundClass::Average,
    GroundClass::Wet,
    GroundClass::Good,
];
/// What one class wetter means for constants of one's own: conductivity and permittivity times these (dimensionless; own choice,
/// near the mean step between the classes of land).
const OWN_STEP: (f64, f64) = (4.0, 1.6);
/// Permittivity that no ground exceeds (dimensionless): that of water.
const WATER_EPS_R: f64 = 80.0;

/// The ground some classes wetter (dimensionless; negative is drier). At the ends of the list it stays.
#[must_use]
pub fn moist_ground(ground: Ground, step: f64) -> GroundConstants {
    let here = ground.constants();
    if step == 0.0 || !step.is_finite() {
        return here;
    }
    match ground {
        Ground::Class(GroundClass::Sea | GroundClass::FreshWater) => here,
        Ground::Class(class) => {
            let same = if class == GroundClass::City {
                GroundClass::Poor
            } else {
                class
            };
            let at = DRY_TO_WET.iter().position(|c| *c == same).unwrap_or(2) as f64;
            let there = (at + step).round().clamp(0.0, (DRY_TO_WET.len() - 1) as f64);
            DRY_TO_WET.get(there as usize).map_or(here, |c| c.constants())
        }
        Ground::Own(_) => GroundConstants {
            eps_r: (here.eps_r * OWN_STEP.1.powf(step)).clamp(1.0, WATER_EPS_R.max(here.eps_r)),
            sigma_s_per_m: (here.sigma_s_per_m * OWN_STEP.0.powf(step)).min(10.0),
        },
    }
}

/// The antenna with heights and wire lengths multiplied. Masts, coils, counterpoises and capacitors stay.
#[must_use]
pub fn varied(antenna: &Antenna, by: &Variation) -> Antenna {
    let mut other = antenna.clone();
    let (h, l) = (by.height_factor, by.length_factor);
    if let AntennaKind::LinkedDipole { leg_lengths_m, .. } = &mut other.kind {
        leg_lengths_m.iter_mut().for_each(|leg_m| *leg_m *= l);
    } else if let Some(length_m) = wire_mut(&mut other.kind) {
        *length_m *= l;
    }
    for height_m in heights_mut(&mut other.kind) {
        *height_m *= h;
    }
    if let AntennaKind::Wires { wires_m, .. } = &mut other.kind {
        for [x1, y1, z1, x2, y2, z2] in wires_m {
            [x1, y1, x2, y2].into_iter().for_each(|v| *v *= l);
            [z1, z2].into_iter().for_each(|v| *v *= h);
        }
    }
    other
}

/// The antenna after a change on purpose.
///
/// A wire is lengthened as a whole: a dipole by half at each end. The high points are raised: apex, far end and corner; the ends
/// of a dipole stay where they are tied.
///
/// # Errors
/// The kind has no such part, or the part would vanish.
pub fn changed(antenna: &Antenna, change: AntennaChange) -> Result<Antenna, String> {
    let mut other = antenna.clone();
    match change {
        AntennaChange::None => {}
        AntennaChange::WireLength { delta_m } => lengthen(&mut other.kind, delta_m)?,
        AntennaChange::Height { delta_m } => {
            let mut raised = raised_mut(&mut other.kind);
            if raised.is_empty() {
                return Err("it has no height to change".into());
            }
            for height_m in &mut raised {
                add("height", height_m, delta_m)?;
            }
        }
        AntennaChange::Counterpoise { delta_m } => match &mut other.kind {
            AntennaKind::EndFed { counterpoise_m: m, .. }
            | AntennaKind::Whip { counterpoise_m: m, .. }
            | AntennaKind::Vertical { radial_m: m, .. } => add("counterpoise", m, delta_m)?,
            _ => return Err("it has no counterpoise".into()),
        },
    }
    Ok(other)
}

/// Shortest length or height that is left after a change, m.
const LEAST_LEFT_M: f64 = 0.1;

fn add(what: &str, measure_m: &mut f64, delta_m: f64) -> Result<(), String> {
    let there_m = *measure_m + delta_m;
    if there_m < LEAST_LEFT_M {
        return Err(format!("no {what} would be left"));
    }
    *measure_m = there_m;
    Ok(())
}

fn lengthen(kind: &mut AntennaKind, delta_m: f64) -> Result<(), String> {
    if let AntennaKind::LinkedDipole { leg_lengths_m, .. } = kind {
        return leg_lengths_m
            .iter_mut()
            .try_for_each(|leg_m| add("wire", leg_m, delta_m / 2.0));
    }
    match wire_mut(kind) {
        Some(length_m) => add("wire", length_m, delta_m),
        None => Err("it has no wire length to change".into()),
    }
}

/// The one length of wire that a kind has.
fn wire_mut(kind: &mut AntennaKind) -> Option<&mut f64> {
    match kind {
        AntennaKind::FlatDipole { length_m: m, .. }
        | AntennaKind::InvertedV { length_m: m, .. }
        | AntennaKind::EndFed { wire_m: m, .. }
        | AntennaKind::Vertical { length_m: m, .. }
        | AntennaKind::Whip { length_m: m, .. }
        | AntennaKind::SmallLoop { diameter_m: m, .. }
        | AntennaKind::HorizontalLoop { perimeter_m: m, .. }
        | AntennaKind::DeltaLoop { perimeter_m: m, .. } => Some(m),
        AntennaKind::LinkedDipole { .. } | AntennaKind::Wires { .. } | AntennaKind::Declared { .. } => None,
    }
}

/// Every height of a kind.
fn heights_mut(kind: &mut AntennaKind) -> Vec<&mut f64> {
    match kind {
        AntennaKind::FlatDipole { height_m: h, .. }
        | AntennaKind::HorizontalLoop { height_m: h, .. }
        | AntennaKind::SmallLoop { height_m: h, .. }
        | AntennaKind::Declared { height_m: h, .. }
        | AntennaKind::Vertical { base_height_m: h, .. }
        | AntennaKind::Whip {
            counterpoise_height_m: h,
            ..
        } => vec![h],
        AntennaKind::InvertedV {
            apex_height_m: a,
            end_height_m: b,
            ..
        }
        | AntennaKind::LinkedDipole {
            apex_height_m: a,
            end_height_m: b,
            ..
        }
        | AntennaKind::DeltaLoop {
            apex_height_m: a,
            base_height_m: b,
            ..
        } => vec![a, b],
        AntennaKind::EndFed {
            feed_height_m,
            far_height_m,
            corner_height_m,
            ..
        } => vec![feed_height_m, far_height_m, corner_height_m],
        AntennaKind::Wires { .. } => Vec::new(),
    }
}

/// The heights that a higher mast or branch raises.
fn raised_mut(kind: &mut AntennaKind) -> Vec<&mut f64> {
    match kind {
        AntennaKind::InvertedV { apex_height_m: a, .. } | AntennaKind::LinkedDipole { apex_height_m: a, .. } => vec![a],
        AntennaKind::EndFed {
            far_height_m,
            corner_height_m,
            ..
        } => vec![far_height_m, corner_height_m],
        AntennaKind::FlatDipole { height_m: h, .. } | AntennaKind::HorizontalLoop { height_m: h, .. } => vec![h],
        AntennaKind::DeltaLoop {
            apex_height_m: a,
            base_height_m: b,
            ..
        } => vec![a, b],
        _ => Vec::new(),
    }
}

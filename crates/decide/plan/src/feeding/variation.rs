//! An antenna that hangs a bit otherwise, or is changed on purpose.

use crate::error::PlanError;
use farhop_earth::{Ground, GroundClass, GroundConstants};
use farhop_feed::{AntennaChange, Variation};
use farhop_num::maths;
use farhop_outing::Antenna;
use farhop_outing::antenna::{Purpose, Scale, Slider, Slot};

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
            eps_r: (here.eps_r * maths::powf(OWN_STEP.1, step)).clamp(1.0, WATER_EPS_R.max(here.eps_r)),
            sigma_s_per_m: (here.sigma_s_per_m * maths::powf(OWN_STEP.0, step)).min(10.0),
        },
    }
}

/// The antenna with heights and wire lengths multiplied. Masts, coils, counterpoises and capacitors stay.
#[must_use]
pub fn varied(antenna: &Antenna, by: &Variation) -> Antenna {
    let mut other = antenna.clone();
    let (h, l) = (by.height_factor, by.length_factor);
    for measure in other.kind.measures() {
        match (measure.slot, measure.purpose.scale) {
            (Slot::Number(length_m), Scale::Length) => *length_m *= l,
            (Slot::Number(height_m), Scale::Height) => *height_m *= h,
            (Slot::Lengths(all_m), Scale::Length) => all_m.iter_mut().for_each(|length_m| *length_m *= l),
            (Slot::Wires(all_m), _) => {
                for [x1, y1, z1, x2, y2, z2] in all_m {
                    [x1, y1, x2, y2].into_iter().for_each(|v| *v *= l);
                    [z1, z2].into_iter().for_each(|v| *v *= h);
                }
            }
            _ => {}
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
pub fn changed(antenna: &Antenna, change: AntennaChange) -> Result<Antenna, PlanError> {
    let mut other = antenna.clone();
    match change {
        AntennaChange::None => {}
        AntennaChange::WireLength { delta_m } => {
            let wire = |p: &Purpose| p.scale == Scale::Length;
            add(&mut other, delta_m, wire, "wire", "it has no wire length to change")?;
        }
        AntennaChange::Height { delta_m } => {
            add(
                &mut other,
                delta_m,
                |p| p.raised,
                "height",
                "it has no height to change",
            )?;
        }
        AntennaChange::Counterpoise { delta_m } => {
            let under = |p: &Purpose| matches!(p.slider, Some(Slider::Under(_)));
            add(&mut other, delta_m, under, "counterpoise", "it has no counterpoise")?;
        }
    }
    Ok(other)
}

/// Shortest length or height that is left after a change, m.
const LEAST_LEFT_M: f64 = 0.1;

/// Lengthens the measures of a purpose; each leg of a list by half.
fn add(
    antenna: &mut Antenna,
    delta_m: f64,
    wanted: impl Fn(&Purpose) -> bool,
    what: &'static str,
    none: &'static str,
) -> Result<(), PlanError> {
    let mut found = false;
    let mut one = |measure_m: &mut f64, delta_m: f64| {
        found = true;
        *measure_m += delta_m;
        (*measure_m >= LEAST_LEFT_M)
            .then_some(())
            .ok_or(PlanError::NothingLeft(what))
    };
    for measure in antenna.kind.measures().into_iter().filter(|m| wanted(&m.purpose)) {
        match measure.slot {
            Slot::Number(measure_m) => one(measure_m, delta_m)?,
            Slot::Lengths(legs_m) => legs_m.iter_mut().try_for_each(|leg_m| one(leg_m, delta_m / 2.0))?,
            _ => {}
        }
    }
    if found {
        Ok(())
    } else {
        Err(PlanError::NothingToChange(none))
    }
}

//! How likely a part fails: class defaults, hours of use, and what the weather and the way do to it.
//!
//! With p₀ per outing, p₁ per hour, t hours and a stress factor s the chance is 1 − exp(−s (λ₀ + λ₁ t)), where λ = −ln(1 − p).
//! All class numbers and factors here are **common practice, from memory**: field experience says that connectors and
//! cables lead, not by how much. A kit file should replace them by what its owner has seen.

use crate::error::{KitError, within};
use crate::graph::Kit;
use farhop_gear::{Part, PartClass, WeakTo};
use farhop_num::maths;

/// All class rates of failure are multiplied by this (dimensionless). A judgement: taken one by one, the class numbers are what people
/// say when they are asked about a part, and together they ended one outing of two days in four. Practice knows about one such outing
/// in twenty that ends so, with a usual kit of some twenty parts; the ratios between classes are kept. Numbers that a file states for
/// a part are not touched.
pub(crate) const RATE_SCALE: f64 = 0.2;

/// A class chance with its rate scaled by [`RATE_SCALE`].
fn scaled(chance: f64) -> f64 {
    -maths::exp_m1(RATE_SCALE * maths::ln_1p(-chance))
}

/// Usual chance of failure of one piece in one outing of a day or two (dimensionless). Common practice, from memory.
#[must_use]
pub(crate) fn usual_per_outing(class: PartClass) -> f64 {
    scaled(match class {
        PartClass::Connector | PartClass::Cable => 0.03,
        PartClass::Wire => 0.02,
        PartClass::Battery | PartClass::Fuse | PartClass::Computer => 0.015,
        PartClass::Panel | PartClass::Electronics | PartClass::Software => 0.01,
        PartClass::Mechanical | PartClass::Other => 0.01,
        PartClass::Shelter => 0.003,
    })
}

/// Usual chance of failure of one piece in one hour of use (dimensionless). Common practice, from memory.
#[must_use]
pub(crate) fn usual_per_hour(class: PartClass) -> f64 {
    scaled(match class {
        PartClass::Connector | PartClass::Cable => 5e-4,
        PartClass::Wire | PartClass::Computer => 4e-4,
        PartClass::Battery => 3e-4,
        PartClass::Panel | PartClass::Electronics | PartClass::Software => 2e-4,
        PartClass::Fuse | PartClass::Mechanical | PartClass::Other => 2e-4,
        PartClass::Shelter => 5e-5,
    })
}

/// By how much full exposure multiplies the failure rate of a part that suffers from it (dimensionless). From memory.
#[must_use]
pub(crate) fn stress_factor(weak_to: WeakTo) -> f64 {
    match weak_to {
        WeakTo::Wet => 3.0,
        WeakTo::Cold | WeakTo::Drop => 2.0,
        WeakTo::Dust => 1.5,
    }
}

/// What the outing exposes the kit to, each from 0 (not at all) to 1 (fully) (dimensionless).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Exposure {
    /// Rain, snow, wet hands (dimensionless).
    pub wet: f64,
    /// Frost (dimensionless).
    pub cold: f64,
    /// Dust and sand (dimensionless).
    pub dust: f64,
    /// Falls and knocks on the way (dimensionless).
    pub drop: f64,
}

impl Exposure {
    fn to(&self, weak_to: WeakTo) -> f64 {
        match weak_to {
            WeakTo::Wet => self.wet,
            WeakTo::Cold => self.cold,
            WeakTo::Dust => self.dust,
            WeakTo::Drop => self.drop,
        }
    }
}

/// How long and under what the kit is used.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Circumstances {
    /// Hours of use, 0 to 10 000.
    pub hours_h: f64,
    /// Exposure.
    pub exposure: Exposure,
}

impl Circumstances {
    /// Checks the numbers.
    ///
    /// # Errors
    /// A number is out of its range or not a number.
    pub fn check(&self) -> Result<(), KitError> {
        within("hours of use", self.hours_h, 0.0, 10_000.0)?;
        let e = &self.exposure;
        for (what, value) in [("wet", e.wet), ("cold", e.cold), ("dust", e.dust), ("drop", e.drop)] {
            within(format!("exposure to {what}"), value, 0.0, 1.0)?;
        }
        Ok(())
    }
}

/// The chance that a part fails, with its working. All numbers are dimensionless.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Failure {
    /// Chance that one piece fails (dimensionless).
    pub one_piece: f64,
    /// Chance that all its pieces fail, taken as independent (dimensionless).
    pub all_pieces: f64,
    /// Chance per outing that was used (dimensionless).
    pub per_outing: f64,
    /// Chance per hour that was used (dimensionless).
    pub per_hour: f64,
    /// Factor on the failure rate from exposure (dimensionless).
    pub stress: f64,
    /// Whether a class default was used for the outing or the hour.
    pub assumed: bool,
}

/// The chance of failure of one part.
///
/// # Errors
/// The circumstances are out of range.
pub fn failure(part: &Part, circumstances: &Circumstances) -> Result<Failure, KitError> {
    circumstances.check()?;
    Ok(worked(part, circumstances))
}

fn worked(part: &Part, circumstances: &Circumstances) -> Failure {
    let per_outing = part.fail_per_outing.unwrap_or_else(|| usual_per_outing(part.class));
    let per_hour = part.fail_per_hour.unwrap_or_else(|| usual_per_hour(part.class));
    let stress = [WeakTo::Wet, WeakTo::Cold, WeakTo::Dust, WeakTo::Drop]
        .into_iter()
        .filter(|w| part.weak_to.contains(w))
        .map(|w| 1.0 + circumstances.exposure.to(w) * (stress_factor(w) - 1.0))
        .product();
    let one_piece = chance(per_outing, per_hour, circumstances.hours_h, stress);
    Failure {
        one_piece,
        all_pieces: one_piece.powi(i32::try_from(part.count).unwrap_or(i32::MAX)),
        per_outing,
        per_hour,
        stress,
        assumed: part.fail_per_outing.is_none() || part.fail_per_hour.is_none(),
    }
}

/// 1 − exp(−s (λ₀ + λ₁ t)) with λ = −ln(1 − p).
fn chance(per_outing: f64, per_hour: f64, hours_h: f64, stress: f64) -> f64 {
    let hourly = if hours_h > 0.0 {
        hours_h * maths::ln_1p(-per_hour)
    } else {
        0.0
    };
    -maths::exp_m1(stress * (maths::ln_1p(-per_outing) + hourly))
}

/// The chance of failure of every part of a kit.
#[derive(Clone, Debug, PartialEq)]
pub struct Chances {
    failures: Vec<Failure>,
}

impl Chances {
    /// The chances under given circumstances.
    ///
    /// # Errors
    /// The circumstances are out of range.
    pub fn of(kit: &Kit, circumstances: &Circumstances) -> Result<Self, KitError> {
        circumstances.check()?;
        Ok(Self {
            failures: kit.parts().iter().map(|p| worked(p, circumstances)).collect(),
        })
    }

    /// The working for each part, in the order of the kit.
    #[must_use]
    pub fn failures(&self) -> &[Failure] {
        &self.failures
    }

    /// Chance that some piece of each part is whole (dimensionless).
    #[must_use]
    pub fn whole(&self) -> Vec<f64> {
        self.failures.iter().map(|f| 1.0 - f.all_pieces).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn connectors_and_cables_lead() {
        for class in [
            PartClass::Battery,
            PartClass::Fuse,
            PartClass::Electronics,
            PartClass::Wire,
        ] {
            assert!(usual_per_outing(class) < usual_per_outing(PartClass::Cable));
            assert!(usual_per_hour(class) < usual_per_hour(PartClass::Connector));
        }
    }

    #[test]
    fn outing_and_hours_combine_as_independent_chances() {
        let part = Part {
            fail_per_outing: Some(0.1),
            fail_per_hour: Some(0.02),
            count: 2,
            ..Part::new("x", PartClass::Other)
        };
        let got = failure(
            &part,
            &Circumstances {
                hours_h: 3.0,
                ..Circumstances::default()
            },
        )
        .unwrap();
        let want = 1.0 - 0.9 * 0.98_f64.powi(3);
        assert!((got.one_piece - want).abs() < 1e-15);
        assert!((got.all_pieces - want * want).abs() < 1e-15);
        assert!(!got.assumed);
    }

    #[test]
    fn rain_triples_the_rate_of_a_part_that_minds_it() {
        let part = Part {
            fail_per_outing: Some(0.1),
            fail_per_hour: Some(0.0),
            weak_to: vec![WeakTo::Wet, WeakTo::Wet],
            ..Part::new("x", PartClass::Other)
        };
        let exposure = Exposure {
            wet: 1.0,
            cold: 1.0,
            ..Exposure::default()
        };
        let got = failure(&part, &Circumstances { hours_h: 1.0, exposure }).unwrap();
        assert!((got.one_piece - (1.0 - 0.9_f64.powi(3))).abs() < 1e-15);
    }

    #[test]
    fn certain_and_impossible_failure_stay_so() {
        assert!((chance(1.0, 0.0, 5.0, 1.0) - 1.0).abs() < 1e-15);
        assert!((chance(0.0, 1.0, 0.0, 1.0)).abs() < 1e-15);
        assert!((chance(0.0, 0.0, 9.0, 3.0)).abs() < 1e-15);
    }

    #[test]
    fn bad_circumstances_are_refused() {
        for hours_h in [f64::NAN, -1.0] {
            assert!(
                Circumstances {
                    hours_h,
                    ..Circumstances::default()
                }
                .check()
                .is_err()
            );
        }
        let exposure = Exposure {
            wet: 1.5,
            ..Exposure::default()
        };
        assert!(Circumstances { hours_h: 1.0, exposure }.check().is_err());
    }
}

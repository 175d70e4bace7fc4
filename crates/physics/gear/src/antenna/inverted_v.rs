//! A dipole with a high middle.

use super::measure::{APEX, Absent, ENDS, LENGTH, METRES, Measure};
use super::{Example, Facing, Kind};

/// Highest ends of a tried antenna, as a part of the height of its middle (dimensionless).
const ENDS_BELOW: f64 = 0.9;

/// Dipole with a high middle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InvertedV {
    /// The wire from tip to tip, metres.
    pub length_m: f64,
    /// Height of the middle, metres.
    pub apex_height_m: f64,
    /// Height of the ends, metres.
    pub end_height_m: f64,
}

impl Kind for InvertedV {
    fn measures(&mut self) -> Vec<Measure<'_>> {
        vec![
            Measure::length("length_m", &mut self.length_m, Absent::Needed(METRES)).is(LENGTH),
            Measure::aloft("apex_height_m", &mut self.apex_height_m, Absent::Needed(METRES)).is(APEX),
            Measure::aloft("end_height_m", &mut self.end_height_m, Absent::Needed(METRES)).is(ENDS),
        ]
    }

    fn told(&self, m: &dyn Fn(f64) -> String) -> String {
        format!(
            "{} of wire, fed in the middle: middle at {}, ends at {}.",
            m(self.length_m),
            m(self.apex_height_m),
            m(self.end_height_m)
        )
    }

    fn hung(&self, m: &dyn Fn(f64) -> String) -> Option<String> {
        Some(middle_and_ends(m, self.apex_height_m, self.end_height_m))
    }

    fn misfits(&self, say: &mut dyn FnMut(&str, String, &'static str)) {
        legs_reach(self.length_m / 2.0, self.apex_height_m, self.end_height_m, say);
    }

    fn settle(&mut self) {
        self.end_height_m = ends_below(self.apex_height_m, self.end_height_m);
    }

    fn facing(&self) -> Facing {
        Facing::Across
    }

    fn high_point(&self) -> &'static str {
        "the apex"
    }
}

impl Example for InvertedV {
    fn example() -> Self {
        Self {
            length_m: 20.2,
            apex_height_m: 6.5,
            end_height_m: 1.5,
        }
    }
    const SAID: Option<&'static str> = Some("20.2 m, apex 6.5 m up");
}

/// Heights of sloping legs in words.
pub(super) fn middle_and_ends(m: &dyn Fn(f64) -> String, apex_height_m: f64, end_height_m: f64) -> String {
    format!(
        "with its middle {} and its ends {} up",
        m(apex_height_m),
        m(end_height_m)
    )
}

/// Legs that slope must be longer than they drop.
pub(super) fn legs_reach(
    leg_m: f64,
    apex_height_m: f64,
    end_height_m: f64,
    say: &mut dyn FnMut(&str, String, &'static str),
) {
    if (apex_height_m - end_height_m).abs() >= leg_m {
        let cause = format!("a leg of {leg_m} m does not reach from {apex_height_m} m down to {end_height_m} m");
        say("end_height_m", cause, "The drop must be less than the leg is long.");
    }
}

/// The ends of an antenna that is tried with its middle at a height, metres.
pub(super) fn ends_below(apex_height_m: f64, end_height_m: f64) -> f64 {
    end_height_m.min(ENDS_BELOW * apex_height_m)
}

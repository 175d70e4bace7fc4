//! An upright triangle.

use super::measure::{APEX, Absent, BASE, LENGTH, METRES, Measure};
use super::{Example, Kind};

/// Upright triangle, apex up, fed in the middle of its base.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DeltaLoop {
    /// Wire around it, metres.
    pub perimeter_m: f64,
    /// Height of the apex, metres.
    pub apex_height_m: f64,
    /// Height of the base, metres.
    pub base_height_m: f64,
}

impl Kind for DeltaLoop {
    fn measures(&mut self) -> Vec<Measure<'_>> {
        vec![
            Measure::length("perimeter_m", &mut self.perimeter_m, Absent::Needed(METRES)).is(LENGTH),
            Measure::height("apex_height_m", &mut self.apex_height_m, Absent::Needed(METRES)).is(APEX),
            Measure::aloft("base_height_m", &mut self.base_height_m, Absent::Needed(METRES)).is(BASE),
        ]
    }

    fn told(&self, m: &dyn Fn(f64) -> String) -> String {
        format!(
            "{} of wire as a triangle: apex at {}, base at {}, fed in the middle of the base.",
            m(self.perimeter_m),
            m(self.apex_height_m),
            m(self.base_height_m)
        )
    }

    fn hung(&self, m: &dyn Fn(f64) -> String) -> Option<String> {
        Some(format!("with its top {} up", m(self.apex_height_m)))
    }

    fn misfits(&self, say: &mut dyn FnMut(&str, String, &'static str)) {
        let (wire_m, base_m, apex_m) = (self.perimeter_m, self.base_height_m, self.apex_height_m);
        if apex_m <= base_m || 2.0 * (apex_m - base_m) >= wire_m {
            let cause = format!("a loop of {wire_m} m does not reach from {base_m} m to {apex_m} m");
            let hint = "The apex is above the base by less than half the wire.";
            say("apex_height_m", cause, hint);
        }
    }
}

impl Example for DeltaLoop {
    fn example() -> Self {
        Self {
            perimeter_m: 42.0,
            apex_height_m: 10.0,
            base_height_m: 2.0,
        }
    }
    const SAID: Option<&'static str> = Some("42 m around, apex 10 m up");
}

//! A level dipole.

use super::measure::{Absent, HEIGHT, LENGTH, METRES, Measure};
use super::{Example, Facing, Kind};

/// Level dipole fed in the middle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlatDipole {
    /// From tip to tip, metres.
    pub length_m: f64,
    /// Height above ground, metres.
    pub height_m: f64,
}

impl Kind for FlatDipole {
    fn measures(&mut self) -> Vec<Measure<'_>> {
        vec![
            Measure::length("length_m", &mut self.length_m, Absent::Needed(METRES)).is(LENGTH),
            Measure::aloft("height_m", &mut self.height_m, Absent::Needed(METRES)).is(HEIGHT),
        ]
    }

    fn told(&self, m: &dyn Fn(f64) -> String) -> String {
        format!(
            "{} of wire, fed in the middle, level at {}.",
            m(self.length_m),
            m(self.height_m)
        )
    }

    fn hung(&self, m: &dyn Fn(f64) -> String) -> Option<String> {
        Some(format!("level, {} up", m(self.height_m)))
    }

    fn facing(&self) -> Facing {
        Facing::Across
    }
}

impl Example for FlatDipole {
    fn example() -> Self {
        Self {
            length_m: 20.2,
            height_m: 5.0,
        }
    }
    const SAID: Option<&'static str> = Some("20.2 m long, 5 m up");
}

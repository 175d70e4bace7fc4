//! A level loop.

use super::measure::{Absent, HEIGHT, LENGTH, METRES, Measure};
use super::{Example, Kind};

/// Level square loop of about one wavelength, fed in the middle of a side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HorizontalLoop {
    /// Wire around it, metres.
    pub perimeter_m: f64,
    /// Height, metres.
    pub height_m: f64,
}

impl Kind for HorizontalLoop {
    fn measures(&mut self) -> Vec<Measure<'_>> {
        vec![
            Measure::length("perimeter_m", &mut self.perimeter_m, Absent::Needed(METRES)).is(LENGTH),
            Measure::aloft("height_m", &mut self.height_m, Absent::Needed(METRES)).is(HEIGHT),
        ]
    }

    fn told(&self, m: &dyn Fn(f64) -> String) -> String {
        format!(
            "{} of wire as a level square of {} a side at {}.",
            m(self.perimeter_m),
            m(self.perimeter_m / 4.0),
            m(self.height_m)
        )
    }

    fn hung(&self, m: &dyn Fn(f64) -> String) -> Option<String> {
        Some(format!("level all round, {} up", m(self.height_m)))
    }
}

impl Example for HorizontalLoop {
    fn example() -> Self {
        Self {
            perimeter_m: 42.0,
            height_m: 5.0,
        }
    }
    const SAID: Option<&'static str> = Some("42 m around, 5 m up");
}

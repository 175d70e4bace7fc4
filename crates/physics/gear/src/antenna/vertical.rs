//! A vertical over radials.

use super::measure::{Absent, FOOT, LENGTH, METRES, Measure, RADIALS};
use super::{Example, Kind};

/// Most radials.
const MOST_RADIALS: u32 = 200;

/// Upright wire or tube over radials.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vertical {
    /// Length, metres.
    pub length_m: f64,
    /// Height of its foot, metres.
    pub base_height_m: f64,
    /// How many radials.
    pub radials: u32,
    /// Length of a radial, metres.
    pub radial_m: f64,
}

impl Kind for Vertical {
    fn measures(&mut self) -> Vec<Measure<'_>> {
        let ground = Absent::Usual(0.0, "it stands on the ground");
        let four = Absent::Usual(4.0, "the usual number for a field antenna");
        let as_long = Absent::Like("length_m", "as long as the vertical", "the usual length of radials");
        vec![
            Measure::length("length_m", &mut self.length_m, Absent::Needed(METRES)).is(LENGTH),
            Measure::height("base_height_m", &mut self.base_height_m, ground).is(FOOT),
            Measure::count("radials", &mut self.radials, (1, MOST_RADIALS), four),
            Measure::length("radial_m", &mut self.radial_m, as_long).is(RADIALS),
        ]
    }

    fn told(&self, m: &dyn Fn(f64) -> String) -> String {
        format!(
            "{} upright from {}; {} radials of {}, evenly around.",
            m(self.length_m),
            m(self.base_height_m),
            self.radials,
            m(self.radial_m)
        )
    }

    fn hung(&self, m: &dyn Fn(f64) -> String) -> Option<String> {
        Some(format!("upright over {} radials of {}", self.radials, m(self.radial_m)))
    }
}

impl Example for Vertical {
    fn example() -> Self {
        Self {
            length_m: 6.8,
            base_height_m: 0.05,
            radials: 4,
            radial_m: 5.0,
        }
    }
    const SAID: Option<&'static str> = Some("6.8 m, four radials");
}

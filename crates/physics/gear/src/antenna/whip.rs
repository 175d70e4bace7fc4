//! A whip.

use super::measure::{Absent, COUNTERPOISE, LAID, LEAN, LENGTH, MAST, METRES, Measure, Slot};
use super::{Example, Kind};
use crate::limit::{BEARING_DEG, COIL_UH, LEAN_DEG, QUALITY};

/// Most counterpoise wires.
const MOST_COUNTERPOISES: u32 = 64;
/// A smaller lean is not worth a word, degrees.
const LEANS_DEG: f64 = 0.5;

words! {
    /// Where a whip has its coil.
    pub enum Loading {
        /// No coil.
        None = "none",
        /// At the foot, in series with the feed.
        Base = "base",
        /// In the middle of the whip.
        Centre = "centre",
    }
}

/// Whip on an extension mast, perhaps loaded by a coil, perhaps leaning. The mast conducts and is part of the radiator.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Whip {
    /// Length of the whip, metres.
    pub length_m: f64,
    /// Length of the mast, metres.
    pub mast_m: f64,
    /// Where the coil is.
    pub loading: Loading,
    /// Coil in microhenry; none means tuned to each frequency.
    pub coil_uh: Option<f64>,
    /// Quality factor of the coil (dimensionless).
    pub coil_q: f64,
    /// Lean from upright, degrees.
    pub lean_deg: f64,
    /// Bearing toward which it leans, degrees true.
    pub lean_toward_deg: f64,
    /// How many counterpoise wires.
    pub counterpoises: u32,
    /// Length of a counterpoise wire, metres.
    pub counterpoise_m: f64,
    /// Height of the counterpoise wires, metres.
    pub counterpoise_height_m: f64,
}

impl Kind for Whip {
    fn measures(&mut self) -> Vec<Measure<'_>> {
        let no_mast = Absent::Usual(0.0, "no extension mast is given");
        let good_coil = Absent::Usual(200.0, "a good air-wound coil (common practice)");
        let upright = Absent::Usual(0.0, "it stands upright");
        let two = Absent::Usual(2.0, "the usual number");
        let usual = Absent::Usual(5.0, "the usual length");
        let grass = Absent::Usual(0.05, "wires laid on grass");
        vec![
            Measure::length("length_m", &mut self.length_m, Absent::Needed(METRES)).is(LENGTH),
            Measure::height("mast_m", &mut self.mast_m, no_mast).is(MAST),
            Measure::word("loading", &mut self.loading, "no coil is given"),
            Measure::new("coil_uh", Slot::Maybe(&mut self.coil_uh), COIL_UH, Absent::Silent(0.0)),
            Measure::number("coil_q", &mut self.coil_q, QUALITY, good_coil),
            Measure::number("lean_deg", &mut self.lean_deg, LEAN_DEG, upright).is(LEAN),
            Measure::number(
                "lean_toward_deg",
                &mut self.lean_toward_deg,
                BEARING_DEG,
                Absent::Silent(0.0),
            ),
            Measure::count("counterpoises", &mut self.counterpoises, (1, MOST_COUNTERPOISES), two),
            Measure::length("counterpoise_m", &mut self.counterpoise_m, usual).is(COUNTERPOISE),
            Measure::aloft("counterpoise_height_m", &mut self.counterpoise_height_m, grass).is(LAID),
        ]
    }

    fn told(&self, m: &dyn Fn(f64) -> String) -> String {
        let coil = match self.loading {
            Loading::None => "",
            Loading::Base => ", coil at its foot",
            Loading::Centre => ", coil in its middle",
        };
        let mast = if self.mast_m > 0.0 {
            format!(" on a mast of {}", m(self.mast_m))
        } else {
            String::new()
        };
        let lean = if self.lean_deg > LEANS_DEG {
            let toward_deg = self.lean_toward_deg.rem_euclid(360.0).round().rem_euclid(360.0);
            format!(", leaning {:.0}° toward {toward_deg:03.0}°", self.lean_deg)
        } else {
            String::new()
        };
        format!(
            "Whip of {}{mast}{coil}{lean}; {} counterpoise wires of {} at {}.",
            m(self.length_m),
            self.counterpoises,
            m(self.counterpoise_m),
            m(self.counterpoise_height_m)
        )
    }

    fn hung(&self, m: &dyn Fn(f64) -> String) -> Option<String> {
        Some(format!("upright, {} above the ground at its foot", m(self.mast_m)))
    }

    /// A whip that leans has a direction even where its counterpoises have none: they are taken to lie below the lean.
    fn own_bearing_deg(&self) -> Option<f64> {
        (self.lean_deg > 0.0).then_some(self.lean_toward_deg)
    }

    fn count_bearings_from(&mut self, axis_bearing_deg: f64) {
        self.lean_toward_deg -= axis_bearing_deg;
    }
}

impl Example for Whip {
    fn example() -> Self {
        Self {
            length_m: 2.5,
            mast_m: 1.0,
            loading: Loading::Base,
            coil_uh: None,
            coil_q: 200.0,
            lean_deg: 0.0,
            lean_toward_deg: 0.0,
            counterpoises: 2,
            counterpoise_m: 5.0,
            counterpoise_height_m: 0.1,
        }
    }
    const SAID: Option<&'static str> = Some("2.5 m on a 1 m mast, coil at its foot");
}

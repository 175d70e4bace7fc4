//! A small tuned loop.

use super::measure::{ACROSS, Absent, METRES, Measure, STAND};
use super::{Example, Facing, Kind};
use crate::limit::{CAPACITOR_PF, CONDUCTOR_MM, QUALITY};

/// Most turns that the engine models.
const MOST_TURNS: u32 = 8;

/// Small tuned loop standing upright.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SmallLoop {
    /// Diameter, metres.
    pub diameter_m: f64,
    /// Turns.
    pub turns: u32,
    /// Thickness of its tube or cable, millimetres.
    pub conductor_diameter_mm: f64,
    /// Height of its lowest point, metres.
    pub height_m: f64,
    /// Smallest capacitance, picofarad.
    pub capacitor_min_pf: f64,
    /// Largest capacitance, picofarad.
    pub capacitor_max_pf: f64,
    /// Quality factor of the capacitor (dimensionless).
    pub capacitor_q: f64,
}

impl Kind for SmallLoop {
    fn measures(&mut self) -> Vec<Measure<'_>> {
        let thickness = Absent::Needed("Thickness of the tube or cable, for example 10.");
        let one = Absent::Usual(1.0, "the usual loop");
        let stand = Absent::Usual(1.0, "lowest point of a loop on a stand");
        let (least, most) = (
            Absent::Usual(10.0, "a usual air capacitor"),
            Absent::Usual(250.0, "a usual air capacitor"),
        );
        let good = Absent::Usual(1_500.0, "an air capacitor without sliding contacts (from memory)");
        vec![
            Measure::length("diameter_m", &mut self.diameter_m, Absent::Needed(METRES)).is(ACROSS),
            Measure::count("turns", &mut self.turns, (1, MOST_TURNS), one),
            Measure::number(
                "conductor_diameter_mm",
                &mut self.conductor_diameter_mm,
                CONDUCTOR_MM,
                thickness,
            ),
            Measure::aloft("height_m", &mut self.height_m, stand).is(STAND),
            Measure::number("capacitor_min_pf", &mut self.capacitor_min_pf, CAPACITOR_PF, least),
            Measure::number("capacitor_max_pf", &mut self.capacitor_max_pf, CAPACITOR_PF, most),
            Measure::number("capacitor_q", &mut self.capacitor_q, QUALITY, good),
        ]
    }

    fn told(&self, m: &dyn Fn(f64) -> String) -> String {
        format!(
            "Loop of {} across, upright, lowest point at {}; tune it by its capacitor.",
            m(self.diameter_m),
            m(self.height_m)
        )
    }

    fn hung(&self, m: &dyn Fn(f64) -> String) -> Option<String> {
        Some(format!(
            "upright, its lowest point {} up, clear of people",
            m(self.height_m)
        ))
    }

    fn misfits(&self, say: &mut dyn FnMut(&str, String, &'static str)) {
        let (least_pf, most_pf) = (self.capacitor_min_pf, self.capacitor_max_pf);
        if most_pf <= least_pf {
            let cause = format!("the capacitor goes from {least_pf} to {most_pf} pF");
            say(
                "capacitor_max_pf",
                cause,
                "The largest value must be above the smallest.",
            );
        }
        let (tube_mm, loop_m) = (self.conductor_diameter_mm, self.diameter_m);
        if tube_mm >= loop_m * 100.0 {
            let cause = format!("a tube of {tube_mm} mm is too thick for a loop of {loop_m} m");
            let hint = "It must be below a tenth of the loop's diameter.";
            say("conductor_diameter_mm", cause, hint);
        }
    }

    fn facing(&self) -> Facing {
        Facing::Edge
    }

    fn conductor_mm(&self) -> Option<f64> {
        Some(self.conductor_diameter_mm)
    }
}

impl Example for SmallLoop {
    fn example() -> Self {
        Self {
            diameter_m: 0.95,
            turns: 1,
            conductor_diameter_mm: 10.0,
            height_m: 1.0,
            capacitor_min_pf: 10.0,
            capacitor_max_pf: 1_500.0,
            capacitor_q: 1_500.0,
        }
    }
    const SAID: Option<&'static str> = Some("0.95 m across, 1 m up");
}

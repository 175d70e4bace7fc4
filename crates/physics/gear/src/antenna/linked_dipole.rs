//! An inverted V with links.

use super::inverted_v::{ends_below, legs_reach, middle_and_ends};
use super::measure::{APEX, Absent, ENDS, LENGTH, METRES, Measure, Slot};
use super::{Example, Facing, Kind};
use crate::limit::WIRE_LENGTH_M;

/// Inverted V whose legs are lengthened by closing links.
#[derive(Clone, Debug, PartialEq)]
pub struct LinkedDipole {
    /// Lengths of one leg, the shortest first, metres.
    pub leg_lengths_m: Vec<f64>,
    /// Height of the middle, metres.
    pub apex_height_m: f64,
    /// Height of the ends, metres.
    pub end_height_m: f64,
}

impl Kind for LinkedDipole {
    fn measures(&mut self) -> Vec<Measure<'_>> {
        vec![
            Measure::aloft("apex_height_m", &mut self.apex_height_m, Absent::Needed(METRES)).is(APEX),
            Measure::aloft("end_height_m", &mut self.end_height_m, Absent::Needed(METRES)).is(ENDS),
            Measure::new(
                "leg_lengths_m",
                Slot::Lengths(&mut self.leg_lengths_m),
                WIRE_LENGTH_M,
                Absent::Needed("Lengths of one leg in metres, shortest first: [6.9, 10.2]."),
            )
            .is(LENGTH),
        ]
    }

    fn told(&self, m: &dyn Fn(f64) -> String) -> String {
        format!(
            "Middle at {}, ends at {}, both legs in line.",
            m(self.apex_height_m),
            m(self.end_height_m)
        )
    }

    fn hung(&self, m: &dyn Fn(f64) -> String) -> Option<String> {
        Some(middle_and_ends(m, self.apex_height_m, self.end_height_m))
    }

    fn misfits(&self, say: &mut dyn FnMut(&str, String, &'static str)) {
        if self.leg_lengths_m.is_empty() {
            say(
                "leg_lengths_m",
                "there is no leg".into(),
                "Write the lengths of one leg, shortest first: [6.9, 10.2, 19.8].",
            );
        }
        for (i, pair) in self.leg_lengths_m.windows(2).enumerate() {
            if pair[0] >= pair[1] {
                say(
                    &format!("leg_lengths_m[{}]", i + 1),
                    format!("leg {} m is not longer than the one before it", pair[1]),
                    "Write the legs shortest first.",
                );
            }
        }
    }

    fn misfits_of_some_band(&self, say: &mut dyn FnMut(&str, String, &'static str)) {
        let shortest_m = self.leg_lengths_m.first().copied().unwrap_or(f64::MAX);
        legs_reach(shortest_m, self.apex_height_m, self.end_height_m, say);
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

impl Example for LinkedDipole {
    fn example() -> Self {
        Self {
            leg_lengths_m: vec![5.05, 7.0, 10.1, 13.4, 19.8],
            apex_height_m: 6.5,
            end_height_m: 1.5,
        }
    }
    const SAID: Option<&'static str> = Some("five bands, apex 6.5 m up");
}

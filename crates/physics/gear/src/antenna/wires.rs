//! A free list of wires.

use super::measure::{Absent, Measure};
use super::{Example, Kind};

/// Bearing of the x axis of a list of wires, degrees true: east.
const EAST_DEG: f64 = 90.0;

/// Free list of straight wires, x east, y north, z up, fed in the middle of one.
#[derive(Clone, Debug, PartialEq)]
pub struct FreeWires {
    /// From x, y, z to x, y, z, metres.
    pub wires_m: Vec<[f64; 6]>,
    /// The fed wire, counted from 1.
    pub feed_wire: u32,
}

impl Kind for FreeWires {
    fn measures(&mut self) -> Vec<Measure<'_>> {
        let hint = "Write [[x1, y1, z1, x2, y2, z2], …] in metres: x east, y north, z up.";
        let first = Absent::Usual(1.0, "it is fed in the middle of the first wire");
        // An empty list is wrong enough by itself.
        let most = match u32::try_from(self.wires_m.len()) {
            Ok(0) | Err(_) => u32::MAX,
            Ok(count) => count,
        };
        vec![
            Measure::wires("wires", &mut self.wires_m, hint),
            Measure::count("feed_wire", &mut self.feed_wire, (1, most), first),
        ]
    }

    fn told(&self, _m: &dyn Fn(f64) -> String) -> String {
        format!("{} wires as in the outing file.", self.wires_m.len())
    }

    fn misfits(&self, say: &mut dyn FnMut(&str, String, &'static str)) {
        if self.wires_m.is_empty() {
            let cause = "the list of wires is empty".into();
            say("wires", cause, "Write [[x1, y1, z1, x2, y2, z2], …] in metres.");
        }
        for (i, [x1, y1, z1, x2, y2, z2]) in self.wires_m.iter().enumerate() {
            let (key, number) = (format!("wires[{i}]"), i + 1);
            if *z1 < 0.0 || *z2 < 0.0 {
                let hint = "The third and sixth number are heights above ground.";
                say(&key, format!("wire {number} goes under the ground"), hint);
            }
            if x1 == x2 && y1 == y2 && z1 == z2 {
                say(
                    &key,
                    format!("wire {number} has no length"),
                    "Its two ends must differ.",
                );
            }
        }
    }

    /// It is measured toward east and north, so that its x axis points east unless an azimuth turns it.
    fn own_bearing_deg(&self) -> Option<f64> {
        Some(EAST_DEG)
    }
}

impl Example for FreeWires {
    fn example() -> Self {
        Self {
            wires_m: Vec::new(),
            feed_wire: 1,
        }
    }
    const SAID: Option<&'static str> = None;
}

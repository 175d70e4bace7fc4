//! Finding the reactance that brings an antenna to resonance.
//!
//! Seen from the feed, one lumped impedance Z in the antenna gives Z_in = A - B/(C + Z) (a two-port closed by Z), so three
//! solutions tell the whole curve.

use farhop_num::bisect;
use num_complex::Complex;

use crate::C64;
use crate::error::AntennaError;
use crate::geometry::{Antenna, Circuit, Load};
use crate::solve::solve;

/// Feed impedance as a function of one load.
#[derive(Clone, Copy, Debug)]
pub struct Curve {
    a: C64,
    b: C64,
    c: C64,
}

impl Curve {
    /// Finds the curve from three resistive loads at a position.
    pub fn new(antenna: &Antenna, wire: usize, freq_mhz: f64) -> Result<Self, AntennaError> {
        let mut seen = Vec::with_capacity(3);
        let trials = [0.0, 300.0, 3000.0];
        for r_ohm in trials {
            let mut trial = antenna.clone();
            trial.loads.push(Load {
                wire,
                position: 0.5,
                circuit: Circuit::Series {
                    r_ohm,
                    l_h: 0.0,
                    c_f: 0.0,
                },
            });
            seen.push(solve(&trial, freq_mhz)?.impedance_ohm());
        }
        // y1 - y0 = B (z1 - z0)/((C+z0)(C+z1)) and so on.
        let (d1, d2) = (seen[1] - seen[0], seen[2] - seen[0]);
        let ratio = d1 / d2 * (trials[2] / trials[1]);
        // ratio = (C + z2)/(C + z1), z0 = 0.
        let c = (ratio * trials[1] - trials[2]) / (Complex::new(1.0, 0.0) - ratio);
        let b = d1 * c * (c + trials[1]) / trials[1];
        let a = seen[0] + b / c;
        Ok(Self { a, b, c })
    }

    /// Feed impedance with a load, ohm.
    pub fn impedance_ohm(&self, load_ohm: C64) -> C64 {
        self.a - self.b / (self.c + load_ohm)
    }

    /// The reactances in a range (ohm) at which the feed reactance passes zero, of either sign of slope.
    pub(crate) fn resonances_ohm(&self, load_of: impl Fn(f64) -> C64, (low, high): (f64, f64)) -> Vec<f64> {
        let reactance = |x: f64| self.impedance_ohm(load_of(x)).im;
        let steps = 4000;
        let mut found = Vec::new();
        let mut before = (low, reactance(low));
        for i in 1..=steps {
            let x = low + (high - low) * f64::from(i) / f64::from(steps);
            let now = (x, reactance(x));
            if before.1 * now.1 <= 0.0 && (before.1 - now.1).abs() < 1e7 {
                let root = root_between(&reactance, before.0, now.0);
                // A pole also changes sign; there the reactance does not come near zero.
                if reactance(root).abs() < 1.0 {
                    found.push(root);
                }
            }
            before = now;
        }
        found
    }
}

fn root_between(f: &impl Fn(f64) -> f64, low: f64, high: f64) -> f64 {
    let rising = f(high) > f(low);
    let (below, above) = bisect((low, high), 80, |x| (f(x) > 0.0) != rising);
    0.5 * (below + above)
}

//! The time grid that all passages of a link share.

use crate::arq::Link;

/// Steps before the step length doubles.
pub(crate) const STEPS_PER_LEVEL: usize = 16;

/// The common time grid of a link: the first call, then steps of whole cycles.
#[derive(Clone, Debug, PartialEq)]
pub struct Clock {
    /// Cycles per step of each level.
    pub level_cycles: Vec<u32>,
    /// Times in seconds: the start, the end of the first call, the end of each step.
    pub times_s: Vec<f64>,
}

impl Clock {
    /// A clock that reaches `horizon_s`, beginning with steps of `first_step_cycles`.
    #[must_use]
    pub fn new(link: &Link, horizon_s: f64, first_step_cycles: u32) -> Self {
        let mut clock = Self {
            level_cycles: Vec::new(),
            times_s: vec![0.0, link.call_cycle_s()],
        };
        let mut now_s = link.call_cycle_s();
        let mut cycles = first_step_cycles.max(1);
        while now_s < horizon_s && clock.level_cycles.len() < 24 {
            clock.level_cycles.push(cycles);
            for _ in 0..STEPS_PER_LEVEL {
                if now_s >= horizon_s {
                    break;
                }
                now_s += f64::from(cycles) * link.cycle_s();
                clock.times_s.push(now_s);
            }
            cycles = cycles.saturating_mul(2);
        }
        clock
    }

    /// Index and fraction for linear interpolation at a time in seconds; the end beyond the end.
    #[must_use]
    pub fn locate(&self, time_s: f64) -> (usize, f64) {
        let after = self.times_s.partition_point(|&t| t <= time_s).max(1);
        if after >= self.times_s.len() {
            return (self.times_s.len() - 1, 0.0);
        }
        let (low, high) = (self.times_s[after - 1], self.times_s[after]);
        (after - 1, ((time_s - low) / (high - low)).clamp(0.0, 1.0))
    }
}

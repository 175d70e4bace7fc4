//! What a shared machine does: busy, scanning, closed, off.

use crate::arq::Link;
use crate::error::{MessageError, within};

/// How a gateway listens to several frequencies in turn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scan {
    /// Frequencies in the scan, at least 1.
    pub frequencies: u32,
    /// Seconds on each.
    pub dwell_s: f64,
}

/// A gateway station as a shared machine. All chances are dimensionless.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gateway {
    /// Chance that it is busy with someone else when an attempt begins; then the whole series of calls goes unanswered.
    pub busy_prob: f64,
    /// Chance that it is off that day; then every attempt of the day fails.
    pub off_prob: f64,
    /// Its scan; `None` for one fixed frequency.
    pub scan: Option<Scan>,
}

impl Default for Gateway {
    /// Busy 10 % of the time, off 5 % of the days, scanning 4 frequencies for 3 s each, around the clock. Assumptions,
    /// from memory of common practice: replace them with what is known of the station, and let the log correct them.
    fn default() -> Self {
        Self {
            busy_prob: 0.10,
            off_prob: 0.05,
            scan: Some(Scan {
                frequencies: 4,
                dwell_s: 3.0,
            }),
        }
    }
}

impl Gateway {
    /// A gateway that is always there, always free and always on this frequency.
    pub const IDEAL: Self = Self {
        busy_prob: 0.0,
        off_prob: 0.0,
        scan: None,
    };

    /// Checks every number.
    ///
    /// # Errors
    /// A number is out of range.
    pub fn check(&self) -> Result<(), MessageError> {
        within("chance that the gateway is busy", self.busy_prob, 0.0..=1.0, "0 to 1")?;
        within("chance that the gateway is off", self.off_prob, 0.0..=1.0, "0 to 1")?;
        if let Some(scan) = self.scan {
            within(
                "scanned frequencies",
                f64::from(scan.frequencies),
                1.0..=100.0,
                "1 to 100",
            )?;
            within(
                "dwell on each frequency, s",
                scan.dwell_s,
                0.05..=600.0,
                "0.05 to 600 s",
            )?;
        }
        Ok(())
    }

    /// Length in seconds of a call that is sure to meet the gateway: one whole scan and one burst more.
    #[must_use]
    pub(crate) fn call_needed_s(&self, burst_s: f64) -> f64 {
        self.scan
            .map_or(burst_s, |scan| f64::from(scan.frequencies) * scan.dwell_s + burst_s)
    }

    /// Chance (dimensionless) that a call of `call_s` seconds, begun at a random moment, holds a whole burst while the gateway
    /// listens here.
    ///
    /// The burst fits when the gateway arrives while at least one burst of the call is left, or is here at the start for at least
    /// one burst more: (call - burst + dwell - burst) / scan, at most 1. A dwell shorter than a burst hears nothing.
    #[must_use]
    pub fn call_heard_prob(&self, call_s: f64, burst_s: f64) -> f64 {
        let Some(scan) = self.scan else {
            return 1.0;
        };
        if scan.frequencies <= 1 {
            return 1.0;
        }
        if scan.dwell_s < burst_s || call_s < burst_s {
            return 0.0;
        }
        ((call_s - burst_s + scan.dwell_s - burst_s) / (f64::from(scan.frequencies) * scan.dwell_s)).clamp(0.0, 1.0)
    }

    /// The link as this gateway meets it: calls long enough for its scan.
    #[must_use]
    pub fn adapt(&self, link: &Link) -> Link {
        let burst_s = link.ladder.call.seconds_s;
        let mut adapted = link.clone();
        adapted.timing.call_s = link.timing.call_s.max(self.call_needed_s(burst_s));
        adapted.call_heard_prob = link.call_heard_prob * self.call_heard_prob(adapted.timing.call_s, burst_s);
        adapted
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_call_over_the_whole_scan_is_always_heard() {
        let gateway = Gateway::default();
        let call_s = gateway.call_needed_s(1.0);
        assert!((call_s - 13.0).abs() < 1e-12);
        assert_eq!(gateway.call_heard_prob(call_s, 1.0), 1.0);
        assert!((gateway.call_heard_prob(3.0, 1.0) - 4.0 / 12.0).abs() < 1e-12);
        assert_eq!(gateway.call_heard_prob(13.0, 4.0), 0.0);
        assert_eq!(Gateway::IDEAL.call_heard_prob(1.0, 1.0), 1.0);
    }

    #[test]
    fn a_random_scan_phase_agrees_with_the_closed_form() {
        // Enumerates scan phases instead of trusting the interval arithmetic.
        let gateway = Gateway::default();
        let (call_s, burst_s) = (5.0, 1.0);
        let heard = (0..12_000).filter(|k| {
            let arrival_s = f64::from(*k) * 1e-3;
            [arrival_s, arrival_s - 12.0]
                .iter()
                .any(|a| (a + 3.0).min(call_s) - a.max(0.0) >= burst_s)
        });
        let share = heard.count() as f64 / 12_000.0;
        assert!(
            (share - gateway.call_heard_prob(call_s, burst_s)).abs() < 1e-3,
            "{share}"
        );
    }
}

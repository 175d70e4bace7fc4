//! The calls of a schedule, as the battery sees them.

use farhop_outing::Outing;

use crate::chance::Chance;
use crate::power::habits::tune_s;
use crate::schedule::Send;

/// Shortest call that is counted, s.
const LEAST_AIR_S: f64 = 6.0;
/// Sends less likely to be needed than this (dimensionless) are left out of the simulation.
const WORTH_COUNTING: f64 = 0.02;

/// A call: when, from where, how long. All times in s after the start of the outing.
#[derive(Clone, Debug, PartialEq)]
pub struct Call {
    /// Index of its first message in the outing.
    pub message: usize,
    /// Index of the site.
    pub site: usize,
    /// Index of the send in the schedule.
    pub send: usize,
    /// Chance that it delivers its first message.
    pub chance: Chance,
    /// Settling, listening and writing begin, s.
    pub listen_s: f64,
    /// Tuning begins, s.
    pub tune_s: f64,
    /// Calling and sending begin, s.
    pub send_s: f64,
    /// All is done, s.
    pub end_s: f64,
    /// Share of the time from `send_s` to `end_s` with the key down (dimensionless).
    pub duty: f64,
}

impl Call {
    /// An instant (s after the start of the outing) lies in it.
    pub(crate) fn has(&self, time_s: f64) -> bool {
        (self.listen_s..self.end_s).contains(&time_s)
    }
}

/// The calls of a schedule in order of time, each as long as it is expected to be on the air: what is needed only when others fail
/// counts with that chance.
#[must_use]
pub fn calls_of(outing: &Outing, sends: &[Send]) -> Vec<Call> {
    let start_s = outing.header.start.unix_s();
    let carrier_s = tune_s(outing.kit.tuner.kind);
    let settling_s = outing.kit.modem.steps.before_call_s();
    let mut calls: Vec<Call> = Vec::new();
    for (index, send) in sends.iter().enumerate() {
        let Some(lead) = send.messages.first() else { continue };
        let needed = send.needed.probability();
        if needed < WORTH_COUNTING {
            continue;
        }
        let send_s = (send.start.unix_s() - start_s) as f64;
        // The carrier for the tuner is the end of it.
        let before_s = (settling_s * needed).max(carrier_s);
        let free_s = calls.last().map_or(0.0, |c: &Call| c.end_s);
        calls.push(Call {
            message: lead.message,
            site: send.route.site,
            send: index,
            chance: lead.chance,
            listen_s: (send_s - before_s).max(free_s).max(0.0).min(send_s),
            tune_s: (send_s - carrier_s).max(free_s).max(0.0).min(send_s),
            send_s,
            end_s: send_s + (60.0 * send.air_min * needed).max(LEAST_AIR_S),
            duty: send.duty,
        });
    }
    calls
}

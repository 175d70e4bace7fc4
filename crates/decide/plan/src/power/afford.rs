//! Whether the charge lasts for calls, without all that a forecast of energy tells besides.

use farhop_energy::simulate::{CallsHeld, Reserve, simulate_calls};
use farhop_outing::Outing;

use super::stay::Stay;
use super::{Call, Ready, own_stretches, quiet_between, ready};
use crate::error::PlanError;

/// Calls with the share of the scenarios (dimensionless) in which everything has power to the end of each.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Afforded(pub Vec<(Call, f64)>);

impl Afforded {
    /// Share of the scenarios (dimensionless) in which the call with the least has power; 1 without calls.
    pub(crate) fn least(&self) -> f64 {
        self.0.iter().map(|(_, powered)| *powered).fold(1.0, f64::min)
    }

    /// The calls alone.
    pub(crate) fn into_calls(self) -> Vec<Call> {
        self.0.into_iter().map(|(call, _)| call).collect()
    }
}

/// The charge under calls, walked through its scenarios.
struct Walked {
    ready: Ready,
    calls: Vec<Call>,
    listens: bool,
}

impl Walked {
    fn new(outing: &Outing, calls: Vec<Call>) -> Result<Self, PlanError> {
        let stay = Stay::new(outing, &calls);
        Ok(Self {
            ready: ready(outing, &stay, &calls, None)?,
            calls,
            listens: outing.kit.transceiver.listen_h_per_day > 0.0,
        })
    }

    fn afforded(&self, held: &CallsHeld<'_>) -> Afforded {
        let powered = |call: &Call| {
            let own = own_stretches(call, &self.ready.doings, self.ready.checked.input());
            own.map(|place| held.powered(place)).fold(1.0, f64::min)
        };
        Afforded(self.calls.iter().map(|call| (call.clone(), powered(call))).collect())
    }

    /// As [`super::EnergyForecast::calls_break_reserve`].
    fn calls_break_reserve(&self, held: &CallsHeld<'_>) -> bool {
        let holds_quiet = || {
            let quiet = quiet_between(self.ready.checked.input(), &self.ready.doings);
            self.listens && quiet.is_some_and(|q| simulate_calls(&q).reserve() == Reserve::Kept)
        };
        held.reserve() == Reserve::KeptBySilence && !holds_quiet()
    }
}

/// How far the charge lasts for calls, in order of time: what [`super::energy_with`] says of it, at a fraction of the work.
///
/// # Errors
/// As [`super::energy_with`].
pub(crate) fn afforded(outing: &Outing, calls: Vec<Call>) -> Result<Afforded, PlanError> {
    let walked = Walked::new(outing, calls)?;
    Ok(walked.afforded(&simulate_calls(&walked.ready.checked)))
}

/// The same, and whether charge is short for them: one has power in less than `enough` (share of the scenarios, dimensionless), or they
/// take what is kept back.
///
/// # Errors
/// As [`super::energy_with`].
pub(crate) fn afforded_or_short(outing: &Outing, calls: Vec<Call>, enough: f64) -> Result<(Afforded, bool), PlanError> {
    let walked = Walked::new(outing, calls)?;
    let held = simulate_calls(&walked.ready.checked);
    let afforded = walked.afforded(&held);
    let short = afforded.least() < enough || walked.calls_break_reserve(&held);
    Ok((afforded, short))
}

#[cfg(test)]
mod tests {
    use super::super::{EnergyForecast, calls_of, energy_with};
    use super::*;
    use crate::analysis::Analysis;
    use crate::declared_book::DeclaredBook;
    use crate::demo::demo;

    /// What the whole forecast says.
    fn told(forecast: &EnergyForecast) -> Afforded {
        let calls = forecast.messages.iter().map(|m| (m.call.clone(), m.chance_powered));
        Afforded(calls.collect())
    }

    #[test]
    fn it_says_what_the_whole_forecast_says() {
        let outing = demo();
        let made = Analysis::in_turn(&outing, &DeclaredBook).unwrap();
        let calls = calls_of(&outing, &made.sends);
        assert!(calls.len() > 1);
        let (mut broken, mut dry) = (0, 0);
        // With the set off and a reserve that grows, the calls break it before it is broken without them.
        let growing = (1..20).map(|k| (1.0, 0.05 * f64::from(k), 0.0));
        let cases = [(1.0, 0.1, 4.0), (0.6, 0.2, 4.0), (0.25, 0.2, 12.0), (0.1, 0.3, 0.0)];
        for (share, reserve, listen_h) in cases.into_iter().chain(growing) {
            let mut parts = outing.clone().into_parts();
            parts.kit.batteries.iter_mut().for_each(|b| b.start_charge = share);
            parts.kit.transceiver.listen_h_per_day = listen_h;
            parts.header.reserve = reserve;
            let changed = Outing::new(parts).unwrap();
            let forecast = energy_with(&changed, calls.clone()).unwrap();
            let whole = told(&forecast);
            assert_eq!(afforded(&changed, calls.clone()).unwrap(), whole);
            // Nobody has enough at none, so that the reserve alone decides.
            let (same, short) = afforded_or_short(&changed, calls.clone(), 0.0).unwrap();
            assert_eq!((&same, short), (&whole, forecast.calls_break_reserve()));
            broken += usize::from(short);
            dry += usize::from(whole.least() < 1.0);
        }
        assert!(broken > 0 && dry > 0, "{broken} {dry}: the cases do not tell anything");
    }
}

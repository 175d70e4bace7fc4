//! Whether the charge lasts for calls, without all that a forecast of energy tells besides.

use farhop_energy::simulate::{Reserve, simulate_calls};
use farhop_outing::Outing;

use super::stay::Stay;
use super::{Call, own_stretches, quiet_between, ready};
use crate::error::PlanError;

/// Whether the charge lasts for calls.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Afforded {
    /// Each call with the share of the scenarios in which everything has power to its end (dimensionless).
    pub calls: Vec<(Call, f64)>,
    /// The calls take what is kept back: see [`super::EnergyForecast::calls_break_reserve`].
    pub calls_break_reserve: bool,
}

impl Afforded {
    /// Share of the scenarios (dimensionless) in which the call with the least has power.
    pub(crate) fn least(&self) -> f64 {
        self.calls.iter().map(|(_, powered)| *powered).fold(1.0, f64::min)
    }
}

/// Whether the charge lasts for calls, in order of time: what [`super::energy_with`] says of it, at a fraction of the work.
///
/// # Errors
/// As [`super::energy_with`].
pub(crate) fn afforded(outing: &Outing, calls: Vec<Call>) -> Result<Afforded, PlanError> {
    let stay = Stay::new(outing, &calls);
    let ready = ready(outing, &stay, &calls, None)?;
    let held = simulate_calls(&ready.checked);
    let powered = |call: &Call| {
        let own = own_stretches(call, &ready.doings, ready.checked.input());
        let shares = own.filter_map(|place| held.powered.get(place));
        shares.copied().fold(1.0, f64::min)
    };
    let listens = outing.kit.transceiver.listen_h_per_day > 0.0;
    let holds_quiet = || {
        let quiet = quiet_between(ready.checked.input(), &ready.doings);
        listens && quiet.is_some_and(|q| simulate_calls(&q).reserve == Reserve::Kept)
    };
    Ok(Afforded {
        calls_break_reserve: held.reserve == Reserve::KeptBySilence && !holds_quiet(),
        calls: calls.iter().map(|call| (call.clone(), powered(call))).collect(),
    })
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
        Afforded {
            calls: calls.collect(),
            calls_break_reserve: forecast.calls_break_reserve(),
        }
    }

    #[test]
    fn it_says_what_the_whole_forecast_says() {
        let outing = demo();
        let made = Analysis::in_turn(&outing, &DeclaredBook).unwrap();
        let calls = calls_of(&outing, &made.sends);
        assert!(calls.len() > 1);
        let (mut broken, mut dry) = (0, 0);
        for (share, reserve, listen_h) in [
            (1.0, 0.1, 4.0),
            (0.6, 0.2, 4.0),
            (0.4, 0.2, 0.0),
            (0.25, 0.2, 12.0),
            (0.1, 0.3, 0.0),
        ] {
            let mut parts = outing.clone().into_parts();
            parts.kit.batteries.iter_mut().for_each(|b| b.start_charge = share);
            parts.kit.transceiver.listen_h_per_day = listen_h;
            parts.header.reserve = reserve;
            let changed = Outing::new(parts).unwrap();
            let whole = told(&energy_with(&changed, calls.clone()).unwrap());
            assert_eq!(afforded(&changed, calls.clone()).unwrap(), whole);
            broken += usize::from(whole.calls_break_reserve);
            dry += usize::from(whole.least() < 1.0);
        }
        assert!(broken > 0 && dry > 0, "{broken} {dry}: the cases do not tell anything");
    }
}

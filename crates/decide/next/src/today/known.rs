//! What the last step has worked out already: an entry that changes nothing of it makes no new work.

use farhop_days::{Axes, DrawAsk, DrawnDays, Evidence, KnownFault, WeighAsk, WeighedDays};
use farhop_outing::Outing;
use farhop_plan::PlanError;
use farhop_plan::power::{EnergyForecast, energy_with};
use farhop_plan::routes::KnownRoutes;

/// Weighed days that are kept: those of the near hours and those to the end.
const MOST_WEIGHED: usize = 2;

/// What days were weighed by.
#[derive(Clone, Debug, PartialEq)]
struct Weighed {
    axes: Axes,
    evidence: Evidence,
    hours: Option<Vec<usize>>,
    known: Vec<KnownFault>,
    count: usize,
    seed: u64,
}

/// What the last step has worked out. The next one is the same with it as without it, only sooner.
#[derive(Clone, Debug, Default)]
pub struct Known {
    /// Routes through the hours ahead.
    pub(crate) routes: KnownRoutes,
    /// The charge without calls, and the outing that it is for.
    planned: Option<(Outing, EnergyForecast)>,
    days: Vec<(Weighed, WeighedDays)>,
    /// Days before anything was seen, with their hours.
    prior: Option<(Axes, Vec<usize>, WeighedDays)>,
}

impl Known {
    /// The charge through an outing without calls.
    ///
    /// # Errors
    /// As [`energy_with`].
    pub(crate) fn planned(&mut self, outing: &Outing) -> Result<EnergyForecast, PlanError> {
        match &self.planned {
            Some((of, planned)) if of == outing => Ok(planned.clone()),
            _ => {
                let planned = energy_with(outing, Vec::new())?;
                self.planned = Some((outing.clone(), planned.clone()));
                Ok(planned)
            }
        }
    }

    /// The days weighed by what was seen. What brings no evidence weighs nothing anew.
    pub(crate) fn days(&mut self, axes: &Axes, evidence: &Evidence, ask: &WeighAsk<'_>) -> WeighedDays {
        let asked = Weighed {
            axes: axes.clone(),
            evidence: evidence.clone(),
            hours: ask.hours.map(<[usize]>::to_vec),
            known: ask.known.to_vec(),
            count: ask.count,
            seed: ask.seed,
        };
        if let Some((_, days)) = self.days.iter().find(|(of, _)| *of == asked) {
            return days.clone();
        }
        let days = WeighedDays::after(axes, evidence, ask);
        if self.days.len() >= MOST_WEIGHED {
            self.days.remove(0);
        }
        self.days.push((asked, days.clone()));
        days
    }

    /// Days as they are before anything was seen, in some hours.
    pub(crate) fn prior(&mut self, axes: &Axes, hours: &[usize], (count, seed): (usize, u64)) -> WeighedDays {
        if let Some((of, at, days)) = &self.prior
            && of == axes
            && at == hours
        {
            return days.clone();
        }
        let ask = DrawAsk {
            hours: Some(hours),
            ..DrawAsk::of(count, seed)
        };
        let days = WeighedDays::prior(DrawnDays::new(axes, &ask));
        self.prior = Some((axes.clone(), hours.to_vec(), days.clone()));
        days
    }
}

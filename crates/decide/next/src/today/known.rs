//! What the last step has worked out already: an entry that changes nothing of it makes no new work.

use std::convert::Infallible;

use farhop_days::{Axes, DrawAsk, DrawnDays, Evidence, KnownFault, WeighAsk, WeighedDays};
use farhop_earth::UtcTime;
use farhop_outing::Outing;
use farhop_plan::PlanError;
use farhop_plan::power::{EnergyForecast, Spread3, energy_from, energy_with};
use farhop_plan::routes::KnownRoutes;

/// Weighed days that are kept: those of the near hours and those to the end.
const MOST_WEIGHED: usize = 2;

/// Forecasts of the charge from an instant on that are kept: with the set as it is used, and with the set off.
const MOST_CHARGES: usize = 2;
/// Draws that are kept: of days to be weighed, and of more of them where few fit.
const MOST_DRAWS: usize = 2;
/// Largest draw that is kept, in numbers: 4 MB, which holds a usual one; the many days of an unusual day are drawn again.
const LARGEST_DRAW: usize = 1 << 20;

/// What a forecast of the charge from an instant on follows from.
#[derive(Clone, Debug, PartialEq)]
struct Onward {
    outing: Outing,
    at: UtcTime,
    share: Spread3,
    /// The outing by whose forecast the other batteries are filled.
    by: Outing,
}

/// What drawn days follow from.
#[derive(Clone, Debug, PartialEq)]
struct Draw {
    axes: Axes,
    hours: Option<Vec<usize>>,
    count: usize,
    seed: u64,
    stretch: f32,
}

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
    /// The charge from an instant on.
    ahead: Vec<(Onward, EnergyForecast)>,
    draws: Vec<(Draw, DrawnDays)>,
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

    /// The charge from an instant on with a charge (share, dimensionless) in the battery in use, as [`energy_from`] has it, where
    /// `planned` is that of the outing `by`.
    ///
    /// # Errors
    /// As [`energy_from`].
    pub(crate) fn ahead(
        &mut self,
        outing: &Outing,
        (at, share): (UtcTime, Spread3),
        (by, planned): (&Outing, &EnergyForecast),
    ) -> Result<EnergyForecast, PlanError> {
        let onward = Onward {
            outing: outing.clone(),
            at,
            share,
            by: by.clone(),
        };
        kept(&mut self.ahead, onward, MOST_CHARGES, || {
            energy_from(outing, at, planned, share)
        })
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
        let draws = &mut self.draws;
        let days = || {
            let mut draw = |axes: &Axes, ask: &DrawAsk<'_>| drawn(draws, axes, ask);
            Ok(WeighedDays::after_by(axes, evidence, ask, &mut draw))
        };
        sure(kept(&mut self.days, asked, MOST_WEIGHED, days))
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

/// Days as [`DrawnDays::new`] draws them, from what is kept where it is there.
fn drawn(draws: &mut Vec<(Draw, DrawnDays)>, axes: &Axes, ask: &DrawAsk<'_>) -> DrawnDays {
    let hours = ask.hours.map_or(axes.hours, <[usize]>::len);
    let numbers = DrawnDays::numbers_an_hour(axes) * hours * ask.count;
    if numbers > LARGEST_DRAW {
        return DrawnDays::new(axes, ask);
    }
    let draw = Draw {
        axes: axes.clone(),
        hours: ask.hours.map(<[usize]>::to_vec),
        count: ask.count,
        seed: ask.seed,
        stretch: ask.stretch,
    };
    sure(kept(draws, draw, MOST_DRAWS, || Ok(DrawnDays::new(axes, ask))))
}

/// What cannot fail.
fn sure<T>(made: Result<T, Infallible>) -> T {
    match made {
        Ok(value) => value,
        Err(never) => match never {},
    }
}

/// What follows from something: what is kept of it, else made anew and kept, the oldest going where there are `most`.
fn kept<K: PartialEq, V: Clone, E>(
    list: &mut Vec<(K, V)>,
    of: K,
    most: usize,
    make: impl FnOnce() -> Result<V, E>,
) -> Result<V, E> {
    if let Some((_, known)) = list.iter().find(|(key, _)| *key == of) {
        return Ok(known.clone());
    }
    let made = make()?;
    if list.len() >= most {
        list.remove(0);
    }
    list.push((of, made.clone()));
    Ok(made)
}

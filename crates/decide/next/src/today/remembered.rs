//! What the last step was worked out from, so that the next one, a few minutes and an entry later, takes over what has not changed. Nothing
//! depends on it but the time that an answer takes.

use std::sync::{Mutex, MutexGuard, PoisonError};

use farhop_days::{Axes, DrawAsk, DrawnDays};
use farhop_earth::UtcTime;
use farhop_outing::Outing;
use farhop_plan::power::{EnergyForecast, Spread3, energy_from, energy_with};
use farhop_plan::routes::{KnownRoutes, RouteCache, WantedHours};
use farhop_plan::{Kept, PlanError};

/// Forecasts of the charge that stay: through the outing, and from now on with the set as it is used and with the set off; as many again,
/// so that one who asks about another day does not push out those of this one.
const MOST_CHARGES: usize = 6;
/// Draws that stay: of days of which nothing was seen, of days to be weighed, and of more of them where few fit.
const MOST_DRAWS: usize = 3;

/// What the last step was worked out from.
#[derive(Default)]
pub struct Remembered {
    charges: Mutex<Vec<(Charge, EnergyForecast)>>,
    draws: Mutex<Vec<(Draw, DrawnDays)>>,
    routes: Mutex<KnownRoutes>,
}

/// What a forecast of the charge follows from.
#[derive(Clone, PartialEq)]
struct Charge {
    outing: Outing,
    /// From when on, with how much in the battery that is in use then; none through the whole outing.
    from: Option<(UtcTime, Spread3)>,
    /// The outing by whose forecast the other batteries are filled; none where it is the same.
    by: Option<Outing>,
}

/// What drawn days follow from.
#[derive(PartialEq)]
struct Draw {
    axes: Axes,
    hours: Option<Vec<usize>>,
    count: usize,
    seed: u64,
    stretch: f32,
}

fn held<T>(what: &Mutex<T>) -> MutexGuard<'_, T> {
    // Whoever broke off left what was there whole: every change is one assignment.
    what.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Remembered {
    /// The charge through the outing without any call.
    pub(crate) fn planned(&self, outing: &Outing) -> Result<EnergyForecast, PlanError> {
        let charge = Charge {
            outing: outing.clone(),
            from: None,
            by: None,
        };
        self.charge(charge, || energy_with(outing, Vec::new()))
    }

    /// The charge from an instant on, as [`energy_from`] has it, where `planned` is that of the outing `of`.
    pub(crate) fn from(
        &self,
        outing: &Outing,
        (from, share): (UtcTime, Spread3),
        (of, planned): (&Outing, &EnergyForecast),
    ) -> Result<EnergyForecast, PlanError> {
        let charge = Charge {
            outing: outing.clone(),
            from: Some((from, share)),
            by: (of != outing).then(|| of.clone()),
        };
        self.charge(charge, || energy_from(outing, from, planned, share))
    }

    fn charge(
        &self,
        charge: Charge,
        make: impl FnOnce() -> Result<EnergyForecast, PlanError>,
    ) -> Result<EnergyForecast, PlanError> {
        if let Some((_, known)) = held(&self.charges).iter().find(|(of, _)| *of == charge) {
            return Ok(known.clone());
        }
        let made = make()?;
        let mut charges = held(&self.charges);
        // The plan of the outing is asked for every time: what goes is the oldest of the others.
        if charges.len() >= MOST_CHARGES {
            let oldest = charges.iter().position(|(of, _)| of.from.is_some()).unwrap_or(0);
            charges.remove(oldest);
        }
        charges.push((charge, made.clone()));
        Ok(made)
    }

    /// Days as [`DrawnDays::new`] draws them.
    pub(crate) fn drawn(&self, axes: &Axes, ask: &DrawAsk<'_>) -> DrawnDays {
        let draw = Draw {
            axes: axes.clone(),
            hours: ask.hours.map(<[usize]>::to_vec),
            count: ask.count,
            seed: ask.seed,
            stretch: ask.stretch,
        };
        if let Some((_, known)) = held(&self.draws).iter().find(|(of, _)| *of == draw) {
            return known.clone();
        }
        let days = DrawnDays::new(axes, ask);
        let mut draws = held(&self.draws);
        // Of as many days only the newest.
        draws.retain(|(of, _)| of.count != draw.count);
        if draws.len() >= MOST_DRAWS {
            draws.remove(0);
        }
        draws.push((draw, days.clone()));
        days
    }

    /// The routes of an outing in the hours that are wanted.
    pub(crate) fn routes<'a>(
        &self,
        outing: &'a Outing,
        store: &'a dyn Kept,
        wanted: &WantedHours,
    ) -> Result<RouteCache<'a>, PlanError> {
        RouteCache::knowing(outing, store, wanted, &mut held(&self.routes))
    }
}

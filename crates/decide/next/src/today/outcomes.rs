//! Every call of the day with the chance that the forecast gave it, and the one that the days gave it just before.

use farhop_days::evidence::{EndChances, end_chances, weigh_one};
use farhop_days::{DrawAsk, DrawnDays, Evidence, FaultClass, Outcome, Response, Seen, Spells, WeighAsk, WeighedDays};
use farhop_earth::UtcTime;
use farhop_num::maths;
use farhop_plan::PlanError;
use farhop_plan::analysis::SEED;

use crate::today::advise::Weighing;
use crate::today::seen::{Read, read, wanted};
use crate::today::sessions::session_ratios;
use crate::today::signs::own_faults;
use crate::today::{Budget, Today};
use farhop_plan::Kept;
use farhop_plan::routes::RouteCache;

/// Days with which the chances are worked out.
const DAYS: usize = 2_048;

/// A call with its chances and its end.
#[derive(Clone, Debug, PartialEq)]
pub struct Attempt {
    /// Index into the entries of the day.
    pub entry: usize,
    /// When.
    pub at: UtcTime,
    /// The route.
    pub response: Response,
    /// Chance of a link by the forecast (dimensionless).
    pub forecast: f64,
    /// Chance of a link by the days as they were weighed just before (dimensionless).
    pub believed: f64,
    /// A link held.
    pub linked: bool,
    /// Mean signal above what a link needs, there and back, by the days as weighed in the end, without own faults, dB.
    pub margins_db: (f64, f64),
    /// Chance that the station was off, by the days as weighed in the end (dimensionless).
    pub off: f64,
    /// The likeliest own fault at the time and its chance (dimensionless), by the days as weighed in the end.
    pub fault: Option<(FaultClass, f64)>,
    /// Chance that a fade-out lasted (dimensionless), by the days as weighed in the end.
    pub fade: f64,
}

/// A day that is over: its calls, the days weighed by all of it, and the evidence.
pub struct Lived {
    /// The calls.
    pub attempts: Vec<Attempt>,
    /// The days, weighed by everything that was seen.
    pub days: WeighedDays,
    /// Everything that was seen.
    pub evidence: Evidence,
    /// Logged over forecast minutes of each session with minutes in the journal (dimensionless), the forecast without any factor.
    pub session_ratios: Vec<f64>,
}

/// A day with everything that was seen on it.
///
/// # Errors
/// In words: the outing cannot be forecast.
pub fn attempts(today: &Today, store: &dyn Kept) -> Result<Lived, PlanError> {
    let routes = RouteCache::new(&today.outing, store, &wanted(today))?;
    let read = read(&routes, today);
    let faults = own_faults(&routes, today, &Budget::of(today));
    let weighing = Weighing::of(today, &read, &faults);
    let evidence = weighing.evidence;
    // Nothing is asked about hours in which nothing was seen.
    let hours = evidence.hours(|at| routes.axes.hour(at));
    let ask = WeighAsk {
        count: DAYS,
        seed: SEED,
        hours: Some(&hours),
        known: &weighing.known,
    };
    let days = WeighedDays::after(&routes.axes, &evidence, &ask);
    let mut course = Course::new(&routes, &hours);
    let mut order: Vec<(Option<usize>, &Seen)> = read.iter().map(|Read { entry, seen }| (Some(*entry), seen)).collect();
    let own = evidence.seen.iter().filter(|s| matches!(s, Seen::Own { .. }));
    order.extend(own.map(|s| (None, s)));
    order.sort_by_key(|(_, s)| s.at());
    let mut attempts = Vec::new();
    for (entry, seen) in order {
        if let (Some(entry), Seen::Call { response, at, outcome }) = (entry, seen) {
            // Whoever was heard working somebody else was not called.
            if *outcome != Outcome::Busy {
                attempts.push(course.attempt(&days, (entry, response, *at), *outcome));
            }
        }
        course.see(seen);
    }
    Ok(Lived {
        session_ratios: session_ratios(today, &routes, &read, &days),
        attempts,
        days,
        evidence,
    })
}

/// The days as they are weighed from entry to entry.
struct Course {
    days: DrawnDays,
    logs: Vec<f64>,
    spells: Spells,
}

impl Course {
    fn new(routes: &RouteCache<'_>, hours: &[usize]) -> Self {
        let days = DrawnDays::new(
            &routes.axes,
            &DrawAsk {
                hours: Some(hours),
                ..DrawAsk::of(DAYS, SEED)
            },
        );
        Self {
            logs: vec![0.0; days.count],
            spells: Spells::default(),
            days,
        }
    }

    fn see(&mut self, seen: &Seen) {
        weigh_one(seen, &self.days, &mut self.spells, &mut self.logs);
    }

    fn attempt(
        &self,
        last: &WeighedDays,
        (entry, response, at): (usize, &Response, UtcTime),
        outcome: Outcome,
    ) -> Attempt {
        let ends = end_chances(response, &response.column(&self.days, at), &self.days, at);
        let prior = Spells::default().busy(&self.days, response.route.station, at);
        let now = self.spells.busy(&self.days, response.route.station, at);
        let even = vec![0.0; self.logs.len()];
        let faults = FaultClass::ALL.into_iter().zip(last.fault_chances(at));
        Attempt {
            entry,
            at,
            forecast: linked(&ends, &prior, &even),
            believed: linked(&ends, &now, &self.logs),
            linked: matches!(outcome, Outcome::Linked { .. }),
            margins_db: margins_db(last, response, at),
            off: last.off_chance(response.route.station, at),
            fault: faults.filter(|f| f.1 > 0.0).max_by(|a, b| a.1.total_cmp(&b.1)),
            fade: last.fade_chance(at),
            response: response.clone(),
        }
    }
}

/// Chance of a link over days with logarithms of weights.
fn linked(ends: &EndChances, busy: &[f32], logs: &[f64]) -> f64 {
    let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let days = ends.linked.iter().zip(busy).zip(logs);
    let (sum, weights) = days.fold((0.0, 0.0), |(sum, weights), ((linked, busy), log)| {
        let weight = maths::exp(log - top);
        (sum + weight * f64::from(linked * (1.0 - busy)), weights + weight)
    });
    sum / f64::max(weights, 1e-300)
}

/// Mean signal above what a link needs, there and back, over the days without an own fault, dB.
fn margins_db(days: &WeighedDays, response: &Response, at: UtcTime) -> (f64, f64) {
    let column = response.column(&days.days, at);
    let mut weights = days.weights.clone();
    for fault in &days.days.faults {
        if fault.from_s <= at.unix_s() {
            weights[fault.day as usize] = 0.0;
        }
    }
    let total: f32 = weights.iter().sum();
    let mean = |list: &[f32]| {
        let sum: f32 = list.iter().zip(&weights).map(|(db, w)| db * w).sum();
        f64::from(sum / total.max(1e-9))
    };
    let need_db = response.required_snr_db;
    (mean(&column.there_db) - need_db, mean(&column.here_db) - need_db)
}

//! How often the chances of the hour table come true.
//!
//! A case is one session at one route and hour on one day. For each tenth of forecast chance one cell of the table is picked at random
//! for each day, so that all cases of a tenth are of different days and their scatter is the binomial one. The score is that of
//! Brier (1950, Monthly Weather Review 78, 1-3): the mean square of forecast less outcome.

use farhop_days::WeighedDays;
use farhop_outing::Outing;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use crate::analysis::Analysis;
use crate::hours::SHORT_MESSAGE_BYTES;
use crate::rehearsal::sessions::Sessions;
use crate::schedule::{Pending, session_limit_min};

/// Cells of a tenth among which days pick: more would cost time and say no more.
const MOST_CELLS: usize = 150;
/// Sets the luck of the cells apart from that of the schedule.
const OWN_LUCK: u64 = 0x7e1a;

/// One tenth of forecast chance.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Tenth {
    /// Lower end of the tenth (dimensionless).
    pub from: f64,
    /// Upper end of the tenth (dimensionless).
    pub to: f64,
    /// Mean forecast of its cases (dimensionless).
    pub forecast_mean: f64,
    /// Cases.
    pub count: usize,
    /// Cases that came true.
    pub came_true: usize,
}

/// The reliability table with its scores.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Reliability {
    /// The tenths, low to high; those without a cell have no cases.
    pub tenths: Vec<Tenth>,
    /// Brier score of the forecasts (dimensionless, 0 is perfect).
    pub brier: f64,
    /// Brier score on the same cases of the true chances of these days (dimensionless): what nobody can better.
    pub brier_own: f64,
}

/// A cell of the table on the fresh days.
struct Cell {
    forecast: f64,
    /// Chance by day (dimensionless).
    by_day: Vec<f32>,
    /// Mean over the days.
    own: f64,
}

/// The table.
pub(super) fn reliability(outing: &Outing, plan: &Analysis, days: &WeighedDays, seed: u64) -> Reliability {
    let pending = Pending::all(outing, outing.header.start);
    let lead = plan
        .bottom
        .and_then(|b| pending.iter().find(|p| p.message == b.message));
    let bytes = lead.map_or(SHORT_MESSAGE_BYTES, |p| p.bytes);
    let mut rng = ChaCha8Rng::seed_from_u64(seed ^ OWN_LUCK);
    let (mut fresh, mut known) = (Sessions::new(plan, days), Sessions::new(plan, &plan.days));
    let mut tenths = Vec::with_capacity(10);
    let (mut cases, mut squares, mut own_squares) = (0, 0.0, 0.0);
    for tenth in 0..10 {
        let (from, to) = (f64::from(tenth) / 10.0, f64::from(tenth + 1) / 10.0);
        let cells = picked(plan, (from, to), &mut rng);
        let cells: Vec<Cell> = cells
            .into_iter()
            .filter_map(|k| cell(plan, (&mut known, &mut fresh), bytes, k))
            .collect();
        let mut row = Tenth {
            from,
            to,
            ..Tenth::default()
        };
        for day in 0..days.days.count {
            let Some(cell) = cells.get(rng.random_range(0..cells.len().max(1))) else {
                break;
            };
            let true_now = rng.random::<f64>() < f64::from(cell.by_day[day]);
            let outcome = f64::from(u8::from(true_now));
            row.count += 1;
            row.came_true += usize::from(true_now);
            row.forecast_mean += cell.forecast;
            squares += (cell.forecast - outcome).powi(2);
            own_squares += (cell.own - outcome).powi(2);
        }
        row.forecast_mean /= row.count.max(1) as f64;
        cases += row.count;
        tenths.push(row);
    }
    let cases = cases.max(1) as f64;
    Reliability {
        tenths,
        brier: squares / cases,
        brier_own: own_squares / cases,
    }
}

/// Cells (indices into the hours of the plan) with a forecast in a tenth, at random where there are many. What is never there is no
/// forecast.
fn picked(plan: &Analysis, (from, to): (f64, f64), rng: &mut ChaCha8Rng) -> Vec<usize> {
    let inside = |p: f64| p > 0.0 && p >= from && (p < to || to >= 1.0);
    let hours = plan.hours.iter().enumerate();
    let mut all: Vec<usize> = hours
        .filter(|(_, h)| inside(h.message.probability()))
        .map(|(k, _)| k)
        .collect();
    while all.len() > MOST_CELLS {
        all.swap_remove(rng.random_range(0..all.len()));
    }
    all
}

/// A cell on the fresh days, over the link that serves it best on the plan's own days.
fn cell(
    plan: &Analysis,
    (known, fresh): (&mut Sessions<'_>, &mut Sessions<'_>),
    bytes: f64,
    index: usize,
) -> Option<Cell> {
    let (hour, response) = (plan.hours.get(index)?, plan.responses.get(index)?);
    let route = response.route;
    let busy = plan.days.days.axes.stations.get(route.station).map_or(0.0, |s| s.busy);
    let minutes = session_limit_min(response.at.add_s(3_600), response.at);
    let on = |sessions: &mut Sessions<'_>, link: usize| -> Option<Vec<f32>> {
        let made = sessions.column(index)?;
        let shift_db = plan.tables.link(link)?.shift_db(response.bandwidth_hz);
        let mut through = sessions.through(link, bytes, minutes)?.over(&made.column, shift_db);
        let free = (1.0 - busy) as f32;
        through.iter_mut().zip(&made.met).for_each(|(q, met)| *q *= met * free);
        Some(through)
    };
    let links: Vec<usize> = plan
        .tables
        .of(route.site, route.station, route.channel)
        .map(|(k, _)| k)
        .collect();
    let rated = links
        .into_iter()
        .filter_map(|link| Some((plan.days.mean(&on(known, link)?), link)));
    let (_, best) = rated.max_by(|a, b| a.0.total_cmp(&b.0))?;
    let by_day = on(fresh, best)?;
    Some(Cell {
        forecast: hour.message.probability(),
        own: by_day.iter().map(|p| f64::from(*p)).sum::<f64>() / by_day.len().max(1) as f64,
        by_day,
    })
}

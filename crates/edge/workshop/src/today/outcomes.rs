//! Every call of the day with the chance that the forecast gave it, and the one that the belief gave it just before.

use farhop_earth::UtcTime;
use farhop_plan::belief::{Belief, Evidence, Outcome, Pool, Response, Seen};

use crate::day::Hill;
use crate::solutions::Solutions;
use crate::today::Today;
use crate::today::seen::{Read, evidence, read};

/// Days with which the chances are worked out.
const DAYS: usize = 3_000;
/// Seed.
const SEED: u64 = 7;

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
    /// Chance of a link by the belief just before (dimensionless).
    pub believed: f64,
    /// A link held.
    pub linked: bool,
    /// How likely this end was by the forecast's signal alone (the gateway on and free), dimensionless.
    pub sky: f64,
    /// Mean signal above what a link needs, there and back, by the belief at the end of the day, dB.
    pub margins_db: (f64, f64),
    /// Chance that the station was off, by the belief at the end of the day (dimensionless).
    pub off: f64,
}

/// The calls of a day, the belief at its end, and the evidence.
///
/// # Errors
/// In words: the outing cannot be forecast.
pub fn attempts(today: &Today, store: &Solutions) -> Result<(Vec<Attempt>, Belief, Evidence), String> {
    let hill = Hill::new(&today.outing, store)?;
    let read = read(&hill, today);
    let evidence = evidence(&read);
    let mut pool = Pool::new(hill.axes.clone(), SEED, DAYS);
    let prior = pool.belief(DAYS);
    let last = Belief::new(hill.axes.clone(), &evidence, SEED);
    let mut found = Vec::new();
    for Read { entry, seen } in &read {
        if let Seen::Call { response, outcome } = seen {
            found.push(Attempt {
                entry: *entry,
                at: today.entries[*entry].account.at,
                forecast: prior.delivers(response, 0.0),
                believed: pool.belief(DAYS / 2).delivers(response, 0.0),
                linked: matches!(outcome, Outcome::Linked { .. }),
                sky: prior.mean(|d| f64::from(response.both_ways(d, 0.0))),
                margins_db: (
                    last.mean(|d| f64::from(response.snr_there_db(d))) - response.required_snr_db,
                    last.mean(|d| f64::from(response.snr_here_db(d))) - response.required_snr_db,
                ),
                off: last.mean(|d| f64::from(u8::from(d.off[response.route.station]))),
                response: (**response).clone(),
            });
        }
        pool.see(seen);
    }
    Ok((found, last, evidence))
}

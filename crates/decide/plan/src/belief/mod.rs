//! What the day has shown so far, and what it makes of the forecast.
//!
//! The day is described by a few factors that nobody knows beforehand: how high foF2 stands above its median, how strong
//! sporadic E is, how much the D region absorbs, how noisy each band is at the site, how much better or worse the own
//! station, a band or a circuit is than computed, and which gateways are off. A [`Draw`] is one possible day; a
//! [`Belief`] holds many, weighed by what has been seen. Each outcome is judged by the same forward model as the plan:
//! [`Response`] is the plan's own signal and noise as a function of the factors, so that the mean over all possible days
//! gives the plan's chance back (tested).
//!
//! Bayes' rule with independent draws from the prior (importance sampling; J. S. Liu, "Monte Carlo Strategies in Scientific
//! Computing", 2001, ch. 2), more draws where few of them carry the weight, and systematic resampling at the end. Everything is
//! deterministic by its seed.

mod draws;
pub mod evidence;
mod findings;
mod learned;
mod phi;
pub mod priors;
mod response;
pub mod synthetic;
mod weigh;

pub use draws::{Axes, Draw, Draws};
pub use evidence::{Evidence, Outcome, Seen};
pub use findings::{Factor, Finding};
pub use learned::{LEAST_CALLS, LEAST_HOURS, learned};
pub use response::{Around, Moment, Reach, Response, response_at};
pub use weigh::{Belief, DAYS, Pool, Summary};

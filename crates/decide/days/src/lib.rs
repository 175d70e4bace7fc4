//! One set of drawn days: the only source of odds and of decisions.
//!
//! Nobody knows beforehand how high foF2 stands above its median, how strong sporadic E is, how much the D region absorbs, how
//! noisy each band is, how much better or worse the own station, a band or a circuit is than computed, which gateways are off or
//! busy, whether something in the own kit breaks, whether a flare comes. [`DrawnDays`] holds many possible days, stratified so that
//! few of them do; [`Response`] is the forecast's own signal and noise as a function of the day; [`SessionTable`] says what one
//! session does at the signal of a day. Every chance that a person reads is a sum over the days; what the journal says gives them
//! weights ([`WeighedDays`]; Bayes' rule by importance sampling: J. S. Liu, "Monte Carlo Strategies in Scientific Computing", 2001,
//! chapter 2). The same seed gives the same bytes.
//!
//! ```
//! use farhop_days::priors::MODEL_ERROR_SD_DB;
//!
//! // Odds are never surer than the method that they rest on.
//! assert!(MODEL_ERROR_SD_DB > 0.0);
//! ```

mod axes;
mod draws;
pub mod evidence;
mod fault;
mod findings;
mod learned;
mod listening;
mod normal;
mod occupied;
pub mod pace;
pub mod priors;
mod response;
mod route;
pub mod session;
mod stratified;
mod weigh;

pub use axes::{Axes, FaultPriors, StationPrior};
pub use draws::{DrawAsk, DrawnDays};
pub use evidence::{Evidence, Outcome, Seen, Spells};
pub use fault::{DayFade, DayFault, FaultClass, KnownFault};
pub use findings::{Factor, Finding};
pub use learned::{LEAST_CALLS, LEAST_HOURS, learned};
pub use normal::phi;
pub use occupied::Occupied;
pub use response::{Around, Column, Reach, Response};
pub use route::{Route, STEP_S};
pub use session::{SessionTable, SizeTable, Slice};
pub use weigh::{Summary, WeighAsk, WeighedDays};

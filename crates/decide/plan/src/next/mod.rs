//! What to try next: one call, or waiting, moving, stopping, chosen over what is left of the day and not by the next minute.
//!
//! A *try* is one series of calls over one route in one hour. For each possible day of the belief its chance is known, and tries fail
//! together where one cause stops them all. The value of a set of tries is the expected weight of the messages that get through,
//! less what time and energy cost:
//!
//! ```text
//! V(S) = Σ_m w_m mean over days of [Σ_{j in S} s_m(t_j) p(j, m | day) Π_{i before j} (1 − p(i, m | day))] − cost(S)
//! ```
//!
//! with s_m(t) for what is left of a message's worth at that time. A try is worth less the more like it were made before; without
//! s_m this is a submodular function, for which taking the best addition again and again is never worse than 1 − 1/e of the best
//! set (Nemhauser, Wolsey & Fisher 1978). With it the same way of building is kept, without that promise. The recommendation is the first try of that set in time, so that a better hour later makes the tool say "wait".

mod candidates;
mod choose;
pub mod policy;

pub use candidates::{Ask, Candidate, Pending, Try, candidates};
pub use choose::{Advice, Choice, MoveTo, Weighed, choose, choose_with};

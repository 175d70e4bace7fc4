//! The one meeting place: an outing and its conditions become a plan.

pub mod analysis;
pub mod book;
pub mod chance;
pub mod declared_book;
pub mod delivery;
pub mod engine;
pub mod faults;
pub mod feeding;
pub mod hours;
pub mod itinerary;
pub mod limit;
pub mod link;
pub mod power;
mod presolve;
pub mod readiness;
pub mod rehearsal;
pub mod requirement;
pub mod routes;
pub mod safety;
pub mod schedule;
pub mod setting;
pub mod single;
pub mod station_strip;
pub mod strip;
pub mod survey;
pub mod tables;
pub mod watch;

#[cfg(test)]
mod demo;

pub use chance::{Chance, ChanceWord};
pub use presolve::presolve;

/// Where antenna solutions and session tables are kept between runs, or are not.
pub trait Kept: engine::SolutionStore + tables::TableStore {}

impl<T: engine::SolutionStore + tables::TableStore> Kept for T {}

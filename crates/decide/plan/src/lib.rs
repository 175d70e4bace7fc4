//! The one meeting place: an outing and its conditions become a plan.
//!
//! ```
//! use farhop_plan::survey::hours_of;
//!
//! let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../../examples/demo.toml"));
//! let reading = farhop_outing_file::read(text, "demo", &|name| Err(format!("no {name} here")));
//! let outing = reading.outing.expect("the demo is sound");
//! let hours = hours_of(outing.header.start, outing.header.end);
//! assert!(hours.len() > 24, "the demo lasts more than a day");
//! ```

pub mod analysis;
pub mod book;
pub mod carried;
pub mod chance;
pub mod declared_book;
pub mod delivery;
pub mod engine;
pub mod error;
pub mod estimate;
pub mod faults;
pub mod feeding;
pub mod hours;
pub mod itinerary;
pub mod limit;
pub mod link;
mod noise;
pub mod power;
mod prepare;
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
pub use error::PlanError;
pub use prepare::{Share, prepare, wanting};
pub use presolve::presolve;

/// Where antenna solutions and session tables are kept between runs, or are not.
pub trait Kept: engine::SolutionStore + tables::TableStore {}

impl<T: engine::SolutionStore + tables::TableStore> Kept for T {}

//! The next step: the same days as the plan's, weighed by what the journal says, and the same schedule from now.
//!
//! Three words are earned, not assumed. *Done* is said only when every message has arrived. *Rest* is said only when no call that can be
//! afforded is worth its effort before the end, and it names the next time that is. A *wait* always has a time, and a task that was begun
//! (hanging, walking, checking) is waited for until its own end: asking again does not begin it anew.
//!
//! ```
//! use farhop_next::today::Today;
//!
//! let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../../examples/demo.toml"));
//! let reading = farhop_outing_file::read(text, "demo", &|name| Err(format!("no {name} here")));
//! let outing = reading.outing.expect("the demo is sound");
//! let today = Today::at(&outing, &[], outing.header.start);
//! assert_eq!(today.pending.len(), outing.messages.len());
//! ```

pub mod heard;
pub mod noticed;
mod places;
mod rest;
mod step;
mod suspects;
pub mod today;

pub use places::{Place, look_elsewhere};
pub use step::{Action, Ask, Rest, Step, Try, step};
pub use suspects::{Suspect, What, suspects};

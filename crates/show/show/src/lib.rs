//! What people see: one report a question, set as text or as a page, and the same as JSON; drawings beside it.
//!
//! ```
//! use farhop_show::reader::Units;
//!
//! assert_eq!(Units::Metric.length(10.0), "10.0 m");
//! assert_eq!(Units::Imperial.length(10.0), "32.8 ft");
//! ```

pub mod antenna;
pub mod cautions;
pub mod days;
pub mod debrief;
pub mod document;
pub mod energy;
pub mod entries;
pub mod fault;
pub mod feed;
pub mod kit;
pub mod ladder;
pub mod map;
mod names;
pub mod next;
pub mod numbers;
pub mod own_fault;
pub mod path;
pub mod plan_text;
pub mod plan_view;
pub mod reader;
pub mod ribbon;
pub mod safety;
pub mod section;
pub mod sheet;
pub mod sky;
mod views;
pub mod words;
pub mod work;
pub mod wrap;

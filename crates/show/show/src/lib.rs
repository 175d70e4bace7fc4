//! What people see: views, text, JSON, charts.
//!
//! ```
//! use farhop_show::numbers::metres;
//!
//! assert_eq!(metres(10.0, false), "10.0 m");
//! assert!(metres(10.0, true).ends_with("ft"));
//! ```

pub mod antenna;
pub mod cautions;
pub mod days;
pub mod debrief;
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
pub mod safety;
pub mod section;
pub mod sheet;
pub mod sky;
mod views;
pub mod words;
pub mod wrap;

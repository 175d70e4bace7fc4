//! The analysis of a whole outing without its working.

pub use crate::plan::analyse;

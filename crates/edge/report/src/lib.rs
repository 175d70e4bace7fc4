//! What people see: views, text, JSON, charts.

pub mod clock;
pub mod numbers;
pub mod path;
pub mod sky;

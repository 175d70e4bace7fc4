//! Agreement with the outside world, as one table.
//!
//! Each area has a module with `pub fn rows(root: &std::path::Path) -> Result<Vec<Row>, AgreementError>`
//! that reads its vectors under `validation/` and compares them with what the crates compute.

pub mod row;

pub use row::{AgreementError, Row, Spread};

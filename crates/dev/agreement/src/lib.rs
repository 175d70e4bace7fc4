//! Agreement with the outside world, as one table.
//!
//! Each area has a module with `pub fn rows(root: &std::path::Path) -> Result<Vec<Row>, AgreementError>`
//! that reads its vectors under `validation/` and compares them with what the crates compute.

pub mod antenna;
pub mod days;
pub mod declared;
pub mod earth;
pub mod energy;
pub mod exposure;
pub mod feed;
pub mod ground_wave;
pub mod ionosphere;
pub mod kit;
pub mod message;
pub mod noise;
pub mod pages;
pub mod propagation;
pub mod row;
pub mod rules;

pub use row::{AgreementError, Row, Spread};

/// What an area offers: its rows, computed afresh from the vectors below the repository root.
type Area = fn(&std::path::Path) -> Result<Vec<Row>, AgreementError>;

/// The areas, in the order of the walk from Earth to message.
const AREAS: &[Area] = &[
    earth::rows,
    ionosphere::rows,
    propagation::rows,
    ground_wave::rows,
    noise::rows,
    declared::rows,
    antenna::rows,
    feed::rows,
    message::rows,
    energy::rows,
    kit::rows,
    rules::rows,
    exposure::rows,
    days::rows,
];

/// The rows of every area.
///
/// # Errors
/// A vector file is missing or malformed.
pub fn all_rows(root: &std::path::Path) -> Result<Vec<Row>, AgreementError> {
    let mut rows = Vec::new();
    for area in AREAS {
        rows.extend(area(root)?);
    }
    Ok(rows)
}

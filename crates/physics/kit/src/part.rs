//! A kit as it is written down.

use farhop_gear::{Function, Part};

/// A whole kit as it is written down; [`crate::Kit::new`] checks it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct KitSpec {
    /// Parts, carried and candidates.
    pub parts: Vec<Part>,
    /// Functions.
    pub functions: Vec<Function>,
}

//! The allocation tables under `data/allocations/`, embedded, and what they say about an outing.

mod flaws;
mod parse;
#[cfg(test)]
mod tests;

use std::sync::LazyLock;

use farhop_allocations::{Allocation, Reserved};

pub(crate) use flaws::flaws;
pub use flaws::{CHECK_YOUR_LICENCE, finding_words};
pub use parse::{AllocationFileError, allocation as parse_allocation, reserved as parse_reserved};

/// The files as they are shipped.
pub(crate) const FILES: [&str; 8] = [
    include_str!("../../../../../data/allocations/iaru-region-1.toml"),
    include_str!("../../../../../data/allocations/iaru-region-2.toml"),
    include_str!("../../../../../data/allocations/iaru-region-3.toml"),
    include_str!("../../../../../data/allocations/germany.toml"),
    include_str!("../../../../../data/allocations/new-zealand.toml"),
    include_str!("../../../../../data/allocations/united-kingdom.toml"),
    include_str!("../../../../../data/allocations/united-states.toml"),
    include_str!("../../../../../data/allocations/united-states-general.toml"),
];
/// What is kept free whoever asks.
pub(crate) const RESERVED: &str = include_str!("../../../../../data/allocations/reserved.toml");

// A test holds that every embedded file reads, so that nothing is lost here.
static ALL: LazyLock<Vec<Allocation>> =
    LazyLock::new(|| FILES.iter().filter_map(|text| parse::allocation(text).ok()).collect());
static KEPT_FREE: LazyLock<Vec<Reserved>> = LazyLock::new(|| parse::reserved(RESERVED).unwrap_or_default());

/// Every allocation table.
#[must_use]
pub fn all() -> &'static [Allocation] {
    &ALL
}

/// The table with a name as the outing file writes it.
#[must_use]
pub fn named(name: &str) -> Option<&'static Allocation> {
    ALL.iter().find(|a| a.name == name)
}

/// Ranges that are kept free whoever asks.
#[must_use]
pub(crate) fn kept_free() -> &'static [Reserved] {
    &KEPT_FREE
}

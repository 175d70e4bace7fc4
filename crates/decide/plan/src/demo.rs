//! The demo, and a store that keeps nothing, for tests.

use std::sync::Arc;

use farhop_days::SizeTable;
use farhop_outing::Outing;

use crate::engine::{SolutionStore, SolvedAntenna};
use crate::tables::TableStore;

/// The outing of the embedded demo.
pub fn demo() -> Outing {
    let text = include_str!("../../../../examples/demo.toml");
    let reading = farhop_outing_file::read(text, "demo", &|name| Err(format!("no {name} here")));
    reading.outing.expect("the demo is sound")
}

/// Keeps nothing.
pub struct Nowhere;

impl SolutionStore for Nowhere {
    fn get(&self, _: &[u8]) -> Option<Arc<SolvedAntenna>> {
        None
    }
    fn put(&self, _: &[u8], _: &Arc<SolvedAntenna>) {}
}

impl TableStore for Nowhere {
    fn table(&self, _: &str) -> Option<Arc<SizeTable>> {
        None
    }
    fn keep_table(&self, _: &str, _: &Arc<SizeTable>) {}
}

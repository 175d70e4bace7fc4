//! A plan for tests: the demo with closed forms for its antennas, so that nothing has to be solved.
#![allow(clippy::unwrap_used, reason = "helpers of a test may fail loudly")]

use std::sync::LazyLock;

use farhop_outing::{Outing, OutingParts};
use farhop_plan::analysis::Analysis;
use farhop_plan::declared_book::DeclaredBook;
use jiff::tz::TimeZone;

use crate::Exported;

/// An outing and its plan.
pub(crate) struct Planned {
    pub(crate) outing: Outing,
    pub(crate) plan: Analysis,
    zone: TimeZone,
}

impl Planned {
    pub(crate) fn new(outing: Outing) -> Self {
        Self {
            plan: Analysis::in_turn(&outing, &DeclaredBook).unwrap(),
            zone: TimeZone::get(&outing.header.time_zone).unwrap(),
            outing,
        }
    }

    pub(crate) fn exported(&self) -> Exported<'_> {
        Exported {
            outing: &self.outing,
            plan: &self.plan,
            zone: &self.zone,
        }
    }
}

/// The demo's parts, to be changed at will.
pub(crate) fn demo_parts() -> OutingParts {
    let text = include_str!("../../../../examples/demo.toml");
    let reading = farhop_outing_file::read(text, "demo", &|_| Err("no other file".to_owned()));
    reading.outing.unwrap().into_parts()
}

/// The demo, planned once for all tests.
pub(crate) static DEMO: LazyLock<Planned> = LazyLock::new(|| Planned::new(Outing::new(demo_parts()).unwrap()));

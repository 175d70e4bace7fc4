//! A plan tried on drawn days: summary, what the other days lost, how often the odds came true, the days themselves.

mod csv;
mod text;
mod view;

pub use view::{DayView, DaysView, FadeView, FaultView, LostView, MessageDaysView, TenthView};

use farhop_outing::Outing;
use farhop_plan::rehearsal::Rehearsal;

/// A rehearsal with what its words need.
pub struct DaysReport<'a> {
    /// The outing.
    pub outing: &'a Outing,
    /// The plan on days of its own.
    pub rehearsal: &'a Rehearsal,
}

impl DaysReport<'_> {
    fn message_id(&self, index: usize) -> &str {
        self.outing.messages.get(index).map_or("", |m| m.id.as_str())
    }

    fn station_id(&self, index: usize) -> &str {
        self.outing.stations.get(index).map_or("", |s| s.id.as_str())
    }

    /// How many days were played.
    fn count(&self) -> usize {
        self.rehearsal.played.len()
    }
}

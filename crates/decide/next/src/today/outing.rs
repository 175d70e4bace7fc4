//! The day with what has to get through yet.

use std::ops::Deref;

use farhop_day::{DayState, Standing, state};
use farhop_earth::UtcTime;
use farhop_outing::Outing;
use farhop_plan::schedule::Pending;

/// The state of the day, which it dereferences to, and what has to get through yet.
#[derive(Clone, Debug)]
pub struct Today {
    /// The state of the day.
    pub day: DayState,
    /// What has to get through yet, overdue or not, most urgent first; its messages are those of the day's outing.
    pub pending: Vec<Pending>,
}

impl Today {
    /// The day at an instant, by what had happened until then.
    #[must_use]
    pub fn at(outing: &Outing, entries: &[Standing], now: UtcTime) -> Self {
        let day = state(entries, outing, now);
        let pending = pending(&day);
        Self { day, pending }
    }

    /// Until when somebody calls: the end of the outing.
    #[must_use]
    pub fn end(&self) -> UtcTime {
        self.day.outing.header.end
    }
}

impl Deref for Today {
    type Target = DayState;

    fn deref(&self) -> &DayState {
        &self.day
    }
}

fn pending(day: &DayState) -> Vec<Pending> {
    let one = |id: &str| {
        let message = day.message(id)?;
        Pending::of(&day.outing, message.index?, message.left_bytes() as f64, day.now)
    };
    let mut list: Vec<Pending> = day.left().into_iter().filter_map(one).collect();
    list.sort_by_key(|p| (p.rank, p.message));
    list
}

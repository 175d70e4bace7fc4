//! The day with what has to get through yet.

use std::ops::Deref;

use farhop_day::{DayState, Phase, Standing, state};
use farhop_earth::UtcTime;
use farhop_outing::Outing;
use farhop_plan::next::Pending;

/// An overdue message is worth this share of what it was worth in time (dimensionless; a judgement).
const OVERDUE_WORTH: f64 = 0.5;

/// The state of the day, which it dereferences to, and what has to get through yet.
#[derive(Clone, Debug)]
pub struct Today {
    /// The state of the day.
    pub day: DayState,
    /// What has to get through yet, most urgent first; its messages are those of the day's outing.
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
        let whole = Pending::of(&day.outing, message.index?)?;
        let worth = if message.phase == Phase::Overdue {
            OVERDUE_WORTH
        } else {
            1.0
        };
        Some(Pending {
            bytes: message.left_bytes() as f64,
            weight: worth * whole.weight,
            ..whole
        })
    };
    day.left().into_iter().filter_map(one).collect()
}

//! Sessions on drawn days: tables read once for all days.

use std::collections::HashMap;
use std::rc::Rc;

use farhop_days::{Slice, WeighedDays};

use crate::analysis::Analysis;
use crate::schedule::scene::{DayColumn, day_column};

/// What a session is looked up by: the link, bytes to be carried, whole minutes.
type SliceKey = (usize, u64, u32);

/// Columns and tables that were asked for, each made once.
pub(super) struct Sessions<'a> {
    plan: &'a Analysis,
    days: &'a WeighedDays,
    columns: HashMap<usize, Rc<DayColumn>>,
    through: HashMap<SliceKey, Rc<Slice>>,
    air: HashMap<(usize, u64), Rc<Slice>>,
}

impl<'a> Sessions<'a> {
    pub(super) fn new(plan: &'a Analysis, days: &'a WeighedDays) -> Self {
        Self {
            plan,
            days,
            columns: HashMap::new(),
            through: HashMap::new(),
            air: HashMap::new(),
        }
    }

    /// A route (index into the responses) on all days in the middle of its hour.
    pub(super) fn column(&mut self, response: usize) -> Option<Rc<DayColumn>> {
        if let Some(kept) = self.columns.get(&response) {
            return Some(Rc::clone(kept));
        }
        let made = Rc::new(day_column(self.plan.responses.get(response)?, self.days));
        self.columns.insert(response, Rc::clone(&made));
        Some(made)
    }

    /// Chance of so many bytes within so many minutes over a link, as a table of both ratios.
    pub(super) fn through(&mut self, link: usize, bytes: f64, minutes: f64) -> Option<Rc<Slice>> {
        let key = (link, bytes.round() as u64, minutes.max(0.0) as u32);
        if let Some(kept) = self.through.get(&key) {
            return Some(Rc::clone(kept));
        }
        let made = Rc::new(self.plan.tables.link(link)?.slice(bytes, f64::from(key.2)));
        self.through.insert(key, Rc::clone(&made));
        Some(made)
    }

    /// Mean minutes on the air for so many bytes over a link, as a table of both ratios.
    pub(super) fn air_min(&mut self, link: usize, bytes: f64) -> Option<Rc<Slice>> {
        let key = (link, bytes.round() as u64);
        if let Some(kept) = self.air.get(&key) {
            return Some(Rc::clone(kept));
        }
        let made = Rc::new(self.plan.tables.link(link)?.air_min(bytes));
        self.air.insert(key, Rc::clone(&made));
        Some(made)
    }
}

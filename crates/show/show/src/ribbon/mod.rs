//! The ribbon: one axis of time over the outing, with night through all rows, that all pages share.
//!
//! Rows of messages (from ready to deadline, with the planned calls and what came of them), a row of charge, a row of sun and
//! place, and, when asked for, a row a station. Hours run to the right on a wide screen, downward on a phone.

mod axis;
mod marks;
mod rows;

use farhop_earth::UtcTime;
use farhop_outing::Outing;
use farhop_plan::analysis::Analysis;
use farhop_plan::station_strip::hours_at_stays;

use crate::plan_view::is_night;
use crate::reader::Reader;
use axis::Axis;
pub use axis::Shape;
use rows::Row;

/// What came of a message so far.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Came {
    /// Nothing yet.
    Nothing,
    /// It is through since then, by an entry of the journal.
    Through(UtcTime),
    /// Its deadline passed without it.
    Late,
}

/// What a ribbon is made from.
pub struct Ribbon<'a> {
    /// The outing.
    pub outing: &'a Outing,
    /// Its analysis.
    pub plan: &'a Analysis,
    /// Who reads.
    pub reader: &'a Reader,
    /// The line for now; none before the day.
    pub now: Option<UtcTime>,
    /// What came of each message, in the order of the outing; what is missing is taken as nothing yet.
    pub came: Vec<Came>,
    /// From when to when; the whole outing otherwise.
    pub window: Option<(UtcTime, UtcTime)>,
    /// Rows for messages, charge and place; of messages only the one of the bottom line where `lead_only`.
    pub day: bool,
    /// Of the day only what belongs to the message of the bottom line: its row, and the place.
    pub lead_only: bool,
    /// A row a station.
    pub stations: bool,
}

/// Between two looks at the sun, s.
const SUN_STEP_S: i64 = 600;

impl Ribbon<'_> {
    /// The picture as SVG.
    #[must_use]
    pub fn drawing(&self, shape: Shape) -> String {
        let (from, until) = self.span();
        let rows = self.rows();
        let stations = if self.stations {
            hours_at_stays(&self.plan.strips, &self.plan.stays, self.outing.stations.len())
        } else {
            Vec::new()
        };
        let mut axis = Axis::new(shape, (from, until), &rows);
        axis.nights(&self.nights(from, until));
        axis.hours(self.reader, (from, until));
        rows.iter()
            .enumerate()
            .for_each(|(place, row)| self.draw(&mut axis, place, row, &stations));
        if let Some(now) = self.now.filter(|n| (from..=until).contains(n)) {
            axis.now(now, &self.reader.hm(now));
        }
        axis.finished()
    }

    fn span(&self) -> (UtcTime, UtcTime) {
        let header = &self.outing.header;
        self.window.unwrap_or((header.start, header.end))
    }

    /// The spans of night at the place of the first stay.
    fn nights(&self, from: UtcTime, until: UtcTime) -> Vec<(UtcTime, UtcTime)> {
        let site = self.plan.stays.first().map_or(0, |stay| stay.site);
        let Some(site) = self.outing.sites.get(site) else {
            return Vec::new();
        };
        let mut nights: Vec<(UtcTime, UtcTime)> = Vec::new();
        let mut at = from;
        while at < until {
            let next = at.add_s(SUN_STEP_S).min(until);
            if is_night(site.place, at) {
                match nights.last_mut() {
                    Some(night) if night.1 == at => night.1 = next,
                    _ => nights.push((at, next)),
                }
            }
            at = next;
        }
        nights
    }

    fn rows(&self) -> Vec<Row> {
        let mut rows = Vec::new();
        if self.day {
            let mut order: Vec<usize> = (0..self.outing.messages.len()).collect();
            order.sort_by_key(|m| self.outing.messages.get(*m).map(|m| (m.priority, m.deadline)));
            if self.lead_only {
                let lead = self.plan.bottom.map(|b| b.message);
                order.retain(|m| Some(*m) == lead);
            }
            rows.extend(order.into_iter().map(Row::Message));
            if self.plan.energy.is_ok() && !self.lead_only {
                rows.push(Row::Charge);
            }
            rows.push(Row::Place);
        }
        if self.stations {
            if self.outing.stations.len() > 1 {
                rows.push(Row::AnyStation);
            }
            rows.extend((0..self.outing.stations.len()).map(Row::Station));
        }
        rows
    }
}

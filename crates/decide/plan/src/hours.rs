//! The hours of every route: chance of a message in one session, and chance that a link holds, over the drawn days.

use farhop_days::evidence::both_ways;
use farhop_days::{Response, Route, WeighedDays};
use farhop_earth::UtcTime;

use crate::chance::Chance;
use crate::schedule::scene::day_column;
use crate::schedule::{Pending, session_limit_min};
use crate::tables::LinkTables;

/// Length in bytes of the message that stands for all where the outing has none (judgement: a few sentences).
pub(crate) const SHORT_MESSAGE_BYTES: f64 = 300.0;

/// Days on which the hours are told: their drawing shows tenths.
const HOUR_DAYS: usize = 512;

/// A route in an hour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HourChance {
    /// Which route.
    pub route: Route,
    /// Middle of the hour.
    pub at: UtcTime,
    /// Chance of the message in one session begun in that hour, with the station on or off, busy or free, as it may be.
    pub message: Chance,
    /// Chance that a link holds, whatever the station does.
    pub link: Chance,
}

/// All routes in all hours.
#[must_use]
pub(crate) fn hour_chances(
    responses: &[Response],
    days: &WeighedDays,
    tables: &LinkTables,
    message: Option<&Pending>,
) -> Vec<HourChance> {
    let stride = (days.days.count / HOUR_DAYS).max(1);
    let fewer = (stride > 1).then(|| days.thinned(stride));
    let days = fewer.as_ref().unwrap_or(days);
    let one = |response: &Response| {
        let (message, link) = chances(response, days, tables, message);
        HourChance {
            route: response.route,
            at: response.at,
            message: Chance::new(message),
            link: Chance::new(link),
        }
    };
    responses.iter().map(one).collect()
}

/// Chance (dimensionless) of a message in one session in an hour, and that a link holds.
#[must_use]
pub fn chances(response: &Response, days: &WeighedDays, tables: &LinkTables, message: Option<&Pending>) -> (f64, f64) {
    if !response.served {
        return (0.0, 0.0);
    }
    let made = day_column(response, days);
    let link = days.mean(&both_ways(response, &made.column, 0.0));
    let route = response.route;
    let bytes = message.map_or(SHORT_MESSAGE_BYTES, |m| m.bytes);
    if message.is_some_and(|m| !m.may_go_to(route.station)) {
        return (0.0, link);
    }
    let busy = days.days.axes.stations.get(route.station).map_or(0.0, |s| s.busy);
    let minutes = session_limit_min(response.at.add_s(3_600), response.at);
    let of_link = tables.of(route.site, route.station, route.channel).map(|(_, table)| {
        let mut through = table
            .slice(bytes, minutes)
            .over(&made.column, table.shift_db(response.bandwidth_hz));
        through.iter_mut().zip(&made.met).for_each(|(q, met)| *q *= met);
        (1.0 - busy) * days.mean(&through)
    });
    (of_link.fold(0.0, f64::max), link)
}

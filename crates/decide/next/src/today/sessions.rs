//! Sessions of the day whose minutes are in the journal, against the minutes that the forecast gives them.

use farhop_day::{Call, Event, Outcome};
use farhop_days::{Response, Seen, WeighedDays};
use farhop_plan::routes::RouteCache;
use farhop_plan::tables::LinkTables;

use crate::today::Today;
use crate::today::seen::Read;

/// Logged over forecast minutes (dimensionless) of each session that carried something and has its minutes.
pub(super) fn session_ratios(today: &Today, routes: &RouteCache<'_>, read: &[Read], days: &WeighedDays) -> Vec<f64> {
    let timed: Vec<(f64, f64, &Response)> = read.iter().filter_map(|r| timed(today, r)).collect();
    if timed.is_empty() {
        return Vec::new();
    }
    let tables = routes.tables();
    let one = |(minutes, bytes, response): &(f64, f64, &Response)| {
        let forecast_min = forecast_min(&tables, days, response, *bytes)?;
        (forecast_min > 0.0).then(|| minutes / forecast_min)
    };
    timed.iter().filter_map(one).collect()
}

/// Minutes, bytes before compression and route of a session; none for everything else.
fn timed<'r>(today: &Today, read: &'r Read) -> Option<(f64, f64, &'r Response)> {
    let Seen::Call { response, .. } = &read.seen else {
        return None;
    };
    let Event::Called(call) = &today.entries.get(read.entry)?.account.event else {
        return None;
    };
    let (minutes, bytes) = (call.minutes?, bytes_of(call));
    (minutes > 0.0 && bytes > 0).then_some((minutes, bytes as f64, response.as_ref()))
}

fn bytes_of(call: &Call) -> u64 {
    match &call.outcome {
        Outcome::Session(session) => {
            let sent: u64 = session.sent.iter().map(|s| s.bytes).sum();
            sent + session.received.iter().filter_map(|r| r.bytes).sum::<u64>()
        }
        Outcome::Delivered { bytes, .. } => *bytes,
        _ => 0,
    }
}

/// Mean minutes on the air by the days as weighed in the end, without the factor of earlier journals.
fn forecast_min(tables: &LinkTables, days: &WeighedDays, response: &Response, bytes: f64) -> Option<f64> {
    let route = response.route;
    let (_, table) = tables.of(route.site, route.station, route.channel).next()?;
    let column = response.column(&days.days, response.at);
    let minutes = table
        .air_min(bytes)
        .over(&column, table.shift_db(response.bandwidth_hz));
    Some(days.mean(&minutes) / table.session_factor)
}

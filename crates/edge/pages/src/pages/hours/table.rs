//! The strips as a table: every hour is a link to its working, with its chance as height, tint and number.

use std::collections::BTreeMap;

use farhop_earth::UtcTime;
use farhop_earth::clock::{in_zone, local_day};
use farhop_show::plan_view::is_night;
use farhop_show::sheet::chance_step;
use maud::{Markup, html};

use super::chosen::{Best, Cell, Chosen, HourHere, Row, WIDE_DB};
use crate::desk::Ready;
use crate::shell::parts;

/// The table.
pub fn table(ready: &Ready, chosen: &Chosen, open: Option<Cell>) -> Markup {
    let rows = chosen.rows(ready);
    let hours: Vec<UtcTime> = hours_of(&rows);
    if hours.is_empty() {
        return html! { p { "No hour is open with this choice: the antenna does not serve these stations, or nobody is here then." } };
    }
    let best = chosen.best(ready);
    html! {
        @if let Some(best) = best { p { (outlined(ready, &best)) } }
        div.scroll.strips tabindex="0" role="region" aria-label="Chance by hour" {
            table data-roving {
                caption.small { "Taller and darker is likelier; a number shows on focus. Grey hours are dark at the site. Dotted above: good and bad days differ by "
                    (format!("{WIDE_DB:.0}")) " dB or more." }
                (head(ready, chosen, &hours))
                @for (station, rows) in by_station(&rows) { (station_body(ready, station, &rows, &hours, open, best)) }
            }
        }
    }
}

/// The outlined call in words.
fn outlined(ready: &Ready, best: &Best<'_>) -> Markup {
    let route = ready.viewer().route(&best.send.route);
    html! {
        "Outlined, the first call: " b { (ready.reader.span(best.send.start, best.send.end)) } " on " (route.freq_mhz) "\u{a0}MHz to " (route.station_name)
        " with " (route.antenna_name) ", " (parts::chance(best.chance)) "."
    }
}

fn hours_of(rows: &[Row]) -> Vec<UtcTime> {
    let all: BTreeMap<i64, UtcTime> = rows
        .iter()
        .flat_map(|r| &r.hours)
        .map(|h| (h.at.unix_s(), h.at))
        .collect();
    all.into_values().collect()
}

fn by_station(rows: &[Row]) -> BTreeMap<usize, Vec<&Row>> {
    let mut grouped: BTreeMap<usize, Vec<&Row>> = BTreeMap::new();
    for row in rows {
        grouped.entry(row.station).or_default().push(row);
    }
    grouped
}

fn head(ready: &Ready, chosen: &Chosen, hours: &[UtcTime]) -> Markup {
    let zone = &ready.reader.zone;
    let days = hours.chunk_by(|a, b| local_day(*a, zone) == local_day(*b, zone));
    let dark = |at: UtcTime| {
        ready
            .outing
            .sites
            .get(chosen.site)
            .is_some_and(|s| is_night(s.place, at))
    };
    html! {
        thead {
            tr { td {} @for day in days { th.day colspan=(day.len()) scope="colgroup" { (day.first().map_or_else(String::new, |t| local_day(*t, zone))) } } }
            tr { th scope="col" { "MHz" } @for at in hours { th.night[dark(*at)] scope="col" { (in_zone(*at, zone).strftime("%H").to_string()) } } }
        }
    }
}

fn station_body(
    ready: &Ready,
    station: usize,
    rows: &[&Row],
    hours: &[UtcTime],
    open: Option<Cell>,
    best: Option<Best<'_>>,
) -> Markup {
    let Some(of_station) = ready.outing.stations.get(station) else {
        return html! {};
    };
    html! {
        tbody {
            tr.name { th colspan=(hours.len() + 1) scope="rowgroup" { span { (of_station.name) " " span.small { (of_station.callsign.as_str()) } } } }
            @for row in rows {
                tr {
                    th scope="row" { (of_station.channels.get(row.channel).map_or(0.0, |c| c.freq_mhz)) }
                    @for at in hours { (hour(row, *at, open, best)) }
                }
            }
        }
    }
}

fn hour(row: &Row, at: UtcTime, open: Option<Cell>, best: Option<Best<'_>>) -> Markup {
    let Some(hour) = row.hours.iter().find(|h| h.at == at) else {
        return html! { td {} };
    };
    let is_open = open.is_some_and(|c| (c.station, c.channel, c.index) == (row.station, row.channel, hour.index));
    let in_best = best.is_some_and(|b| b.holds(row, at));
    html! {
        td.best[in_best] { a class=(look(hour)) href=(format!("?cell={}.{}.{}.{}#working", row.station, row.channel, hour.antenna, hour.index)) aria-current=[is_open.then_some("true")] {
            (hour.chance.percent())
        } }
    }
}

/// Tint by sevenths, height by tenths, dotted above where the spread is wide.
fn look(hour: &HourHere) -> String {
    let chance = hour.chance.probability();
    let dotted = if hour.wide { " wide" } else { "" };
    format!(
        "c{} h{}{dotted}",
        chance_step(chance),
        (chance * 10.0).round().clamp(0.0, 10.0)
    )
}

//! What to do when nothing answers, and who is called.

use farhop_earth::clock::in_zone;
use farhop_earth::geodesic;
use farhop_earth::sun::{Daylight, sun_events};
use farhop_plan::itinerary::walk_h;
use farhop_show::plan_view::Viewer;

use super::hours::best_later;
use super::words::degrees;
use super::{Body, Desk, Line, Panel, Spot, Table, letter};

/// Seconds in a day.
const DAY_S: i64 = 86_400;

/// The steps, in order.
pub(super) fn panel(desk: &Desk<'_>, spot: &Spot) -> Panel {
    let again = if spot.table.rows().all(|r| r.calls.is_empty()) {
        ("Nothing is expected here:", "radio off; spare the battery.")
    } else {
        ("Wait 10 min, call again;", "then the next call of the row.")
    };
    let check = (
        "Check",
        "frequency, mode and clock; SWR; power. IF IT FAILS has the questions.",
    );
    let mut steps: Vec<(String, String)> = [again, check].map(|(a, b)| (a.to_owned(), b.to_owned())).to_vec();
    if spot.antennas.len() > 1 {
        let others: Vec<String> = (1..spot.antennas.len()).map(|k| letter(k).to_string()).collect();
        steps.push((
            "Other antenna:".to_owned(),
            format!("{} instead of A, if it can be hung.", others.join(" or ")),
        ));
    }
    steps.extend(best_later(desk, spot).map(|later| ("Wait for".to_owned(), later)));
    steps.extend(elsewhere(desk, spot));
    steps.push(("STOP".to_owned(), light(desk, spot)));
    let lines = steps.into_iter().enumerate();
    Panel {
        heading: Some("IF NOTHING ANSWERS"),
        wide: false,
        body: Body::Lines(
            lines
                .map(|(k, (lead, text))| Line::new(format!("{} {lead}", k + 1), text))
                .collect(),
        ),
    }
}

/// Places that are not in the plan: the ones to fall back to, and those from which the most urgent message has a better chance.
fn elsewhere(desk: &Desk<'_>, spot: &Spot) -> Vec<(String, String)> {
    let (outing, plan) = (desk.source.outing, desk.source.plan);
    let lead = plan.bottom.and_then(|b| outing.messages.get(b.message).map(|m| (b, m)));
    let Some((bottom, message)) = lead else {
        return Vec::new();
    };
    let now = bottom.chance.chance.percent();
    let mut others: Vec<_> = plan.elsewhere.iter().collect();
    others.sort_by(|a, b| b.chance.probability().total_cmp(&a.chance.probability()));
    let one = |e: &farhop_plan::analysis::Elsewhere| {
        let site = outing.sites.get(e.site)?;
        let planned = desk.places.iter().any(|p| p.site == e.site);
        let there = e.chance.percent();
        let helps = site.fallback || there > now;
        let hours_h = walk_h(outing, spot.site, e.site);
        let place = format!("{:.4}, {:.4}", site.place.lat_deg(), site.place.lon_deg());
        (!planned && helps).then(|| {
            (
                format!("Go to {}:", site.name),
                format!(
                    "about {hours_h:.1} h on foot, at {place}. \"{}\" from there {there} %, as planned {now} %.",
                    message.id
                ),
            )
        })
    };
    others.into_iter().filter_map(one).take(2).collect()
}

/// When light comes and ends on each day of the stays, and when everything is over.
fn light(desk: &Desk<'_>, spot: &Spot) -> String {
    let (outing, plan) = (desk.source.outing, desk.source.plan);
    let Some(site) = outing.sites.get(spot.site) else {
        return String::new();
    };
    let mut words: Vec<String> = Vec::new();
    for stay in spot.stays.iter().filter_map(|s| plan.stays.get(*s)) {
        let mut day = stay.from;
        while day < stay.until {
            let next = desk.clock.next_break(day);
            // Local midnight before the day: the almanac's day is a span of 24 hours from it.
            let offset_s = i64::from(in_zone(day, &desk.source.reader.zone).offset().seconds());
            let midnight = day.add_s(-(day.unix_s() + offset_s).rem_euclid(DAY_S));
            let events = sun_events(site.place, midnight);
            let told = match (events.daylight, events.civil_dusk) {
                (Daylight::PolarDay, _) => Some(format!("{}: no night", desk.clock.day(day))),
                (_, Some(dusk)) => {
                    (stay.from <= dusk && dusk <= stay.until).then(|| format!("light ends {}", desk.clock.moment(dusk)))
                }
                (Daylight::PolarNight, None) => Some(format!("{}: no daylight", desk.clock.day(day))),
                (Daylight::Crosses, None) => None,
            };
            words.extend(told.filter(|t| !words.contains(t)));
            day = next;
        }
    }
    let ends = spot
        .stays
        .iter()
        .filter_map(|s| plan.stays.get(*s))
        .map(|s| s.until)
        .max();
    if let Some(ends) = ends {
        words.push(format!("here until {}", desk.clock.moment(ends)));
    }
    format!("in time: {}.", words.join("; "))
}

/// Who is called from a place: name, bearings, distance. None where nobody is.
pub(super) fn whom(desk: &Desk<'_>, spot: &Spot) -> Option<Panel> {
    let outing = desk.source.outing;
    let site = outing.sites.get(spot.site)?;
    let viewer = Viewer {
        outing,
        plan: desk.source.plan,
    };
    let mut seen: Vec<usize> = Vec::new();
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut routes: Vec<_> = spot.table.rows().flat_map(|r| &r.calls).map(|c| c.route).collect();
    routes.extend(
        desk.source
            .plan
            .sends
            .iter()
            .map(|s| s.route)
            .filter(|r| r.site == spot.site),
    );
    for of in routes {
        if seen.contains(&of.station) {
            continue;
        }
        seen.push(of.station);
        let Some(station) = outing.stations.get(of.station) else {
            continue;
        };
        let route = viewer.route(&of);
        rows.push(vec![
            route.callsign.clone(),
            route.station_name.clone(),
            degrees(route.bearing_magnetic_deg),
            degrees(route.bearing_true_deg),
            desk.source
                .reader
                .units
                .distance(geodesic(site.place, station.place).distance_km),
        ]);
    }
    (!rows.is_empty()).then_some(Panel {
        heading: Some("WHO IS CALLED"),
        wide: false,
        body: Body::Table(Table {
            heads: vec!["call", "name", "compass", "true", "away"],
            elastic: 1,
            rows,
        }),
    })
}

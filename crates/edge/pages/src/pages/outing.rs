//! Is it a go? The verdict, the calls, energy, weak points, cautions, and the map.

use std::sync::Arc;

use axum::extract::{Query, State};
use axum::response::{IntoResponse, Response};
use farhop_earth::UtcTime;
use farhop_earth::clock::{local_day, local_hm};
use farhop_plan::schedule::{Factor, Send};
use farhop_show::cautions::{cautions, named};
use farhop_show::map::{MapPicture, MapPoint, map};
use farhop_show::plan_text::minutes_text;
use farhop_show::safety::in_plan::plan_lines;
use farhop_show::sheet::{HARM, SOFT, TINT};
use farhop_show::words;
use maud::{Markup, PreEscaped, html};
use serde::Deserialize;

use crate::app::App;
use crate::desk::{Ready, Stage};
use crate::pages::ribbon::{self, ribbon};
use crate::pages::with_plan;
use crate::shell::{Context, Here, Page, page, parts};

/// What of the page is asked for.
#[derive(Default, Deserialize)]
pub struct Asked {
    /// Hour of the night side, counted from the start.
    hour: Option<usize>,
}

/// The page.
pub async fn show(State(app): State<Arc<App>>, context: Context, Query(asked): Query<Asked>) -> Response {
    with_plan(&app, &context, Here::Outing, |ready, context| {
        let question = if ready.plan.first_send().is_some() {
            "Will it get through?"
        } else {
            "Does anything get through?"
        };
        page(
            context,
            Page {
                here: Here::Outing,
                question,
                answer: Some(html! { (ready.text().verdict()) }),
                body: body(ready, context, asked.hour),
            },
        )
    })
}

/// The map alone, for another hour.
pub(crate) async fn map_part(State(app): State<Arc<App>>, Query(asked): Query<Asked>) -> Response {
    match app.desk.look().stage {
        Stage::Ready(ready) => {
            let hours = hours(&ready);
            let hour = asked.hour.unwrap_or(0).min(hours.len().saturating_sub(1));
            map_figure(&ready, &hours, hour).into_response()
        }
        _ => axum::http::StatusCode::NOT_FOUND.into_response(),
    }
}

fn body(ready: &Ready, context: &Context, hour: Option<usize>) -> Markup {
    let text = ready.text();
    html! {
        (verdict_bars(ready))
        (ribbon(ready, ribbon::Asked { day: true, ..ribbon::Asked::default() }, "One bar a call: the darker, the likelier that it brings the message through. The thick line ends a message; grey is night. Charge: the middle of the cases, and four cases in five."))
        div.top {
            div.acting { (acting(ready, context)) }
            (messages(ready, context))
            (map_section(ready, hour))
        }
        (calls(ready))
        div.two {
            section {
                h2 { a href="/energy" { "Energy" } }
                @match (ready.energy_report(), &ready.plan.energy) {
                    (Some(report), _) => p { (report.verdict()) },
                    (None, Err(why)) => p { "Not known: " (why) },
                    _ => {}
                }
            }
            section {
                h2 { a href="/kit" { "Weak points" } }
                @match (ready.kit_report(), &ready.plan.kit) {
                    (Some(report), _) => {
                        p { (report.verdict()) }
                        @if let Some(weak) = report.weak_points() { p { (weak) } }
                    }
                    (None, Err(why)) => p { "Not known: " (why) },
                    _ => {}
                }
            }
        }
        @if ready.plan.elsewhere.iter().any(|e| text.worth_telling(e)) {
            section {
                h2 { "From another place" }
                ul { @for other in ready.plan.elsewhere.iter().filter(|e| text.worth_telling(e)) { li { (text.change(other)) } } }
            }
        }
        (parts::distances(&plan_lines(&ready.outing, &ready.plan.safety, ready.reader.units)))
        (parts::cautions(&named(&ready.outing), &cautions(&ready.outing)))
        @if !ready.cautions.is_empty() {
            section { h2 { "About the file" } (parts::problems(&ready.cautions)) p { (parts::to_edit(context, "/edit", "Edit the outing")) } }
        }
        (basis(ready))
    }
}

/// What costs the verdict, as short bars; the worst in colour.
fn verdict_bars(ready: &Ready) -> Markup {
    let Some(bottom) = ready.plan.bottom else {
        return html! {};
    };
    let worst = bottom.worst();
    html! {
        dl.costs {
            @for factor in Factor::ALL {
                @let points = (100.0 * bottom.chance.cost(factor)).round();
                @if points >= 1.0 || matches!(factor, Factor::Sky | Factor::Charge | Factor::Parts) {
                    div.worst[factor == worst && points >= 1.0] {
                        dt { (words::factor(factor)) }
                        dd { (bar(points, factor == worst)) (format!("costs {points:.0} points")) }
                    }
                }
            }
        }
    }
}

/// A bar of points out of a hundred; the frame is the whole.
fn bar(points: f64, worst: bool) -> Markup {
    let colour = if worst { HARM } else { TINT };
    html! {
        svg viewBox="0 0 104 12" width="104" height="12" aria-hidden="true" {
            rect x="0.5" y="0.5" width="103" height="11" fill="none" stroke=(SOFT) {}
            rect x="2" y="2" width=(format!("{:.1}", points.clamp(0.0, 100.0))) height="8" fill=(colour) {}
        }
    }
}

/// The few numbers that act.
fn acting(ready: &Ready, context: &Context) -> Markup {
    let lead = ready.plan.bottom.map(|b| b.message);
    let first = lead
        .and_then(|m| ready.plan.first_send_of(m))
        .or(ready.plan.first_send());
    let Some(first) = first else {
        return html! {
            p { "Try another day, another antenna, a site nearer to a station, or more stations." }
            (parts::edit_button(context, "/edit", "Edit the outing"))
        };
    };
    let route = ready.viewer().route(&first.route);
    html! {
        dl.facts {
            div { dt { "First call" } dd { (ready.reader.span(first.start, first.end)) } }
            div { dt { "Frequency" } dd { (route.freq_mhz) " MHz" } }
            div { dt { "Call" } dd { (route.callsign) " " (route.station_name) } }
            div { dt { "From" } dd { (route.site_name) } }
            div { dt { "Bearing" } dd { (format!("{:.0}° true, {:.0}° magnetic", route.bearing_true_deg, route.bearing_magnetic_deg)) } }
            div { dt { "Distance" } dd { (ready.reader.units.distance(route.distance_km)) } }
            div { dt { "Antenna" } dd { (route.antenna_name) } }
        }
    }
}

fn messages(ready: &Ready, context: &Context) -> Markup {
    if ready.outing.messages.is_empty() {
        return html! { section.messages { h2 { "Messages" } p { "None is written down. " (parts::to_edit(context, "/edit#messages", "Add one")) } } };
    }
    html! {
        section.messages {
            h2 { "Messages: chance by the deadline" }
            div.scroll tabindex="0" role="region" aria-label="Messages" {
            table.list.cards {
                thead { tr { th { "Message" } th { "By" } th { "First call" } th { "How" } th { "On the air" } th { "Chance" } } }
                tbody { @for index in 0..ready.outing.messages.len() { (message(ready, index)) } }
            }
            }
        }
    }
}

fn message(ready: &Ready, index: usize) -> Markup {
    let (Some(message), Some(plan)) = (ready.outing.messages.get(index), ready.plan.messages.get(index)) else {
        return html! {};
    };
    let zone = &ready.reader.zone;
    let by = format!(
        "{} {}",
        local_day(message.deadline, zone),
        local_hm(message.deadline, zone)
    );
    let first = ready.plan.first_send_of(index);
    html! {
        tr {
            th scope="row" { (message.id.as_str()) span.small { " " (message.size_bytes) " bytes" } }
            td data-label="by" { (by) }
            @match first {
                Some(send) => {
                    @let route = ready.viewer().route(&send.route);
                    td data-label="first call" { (ready.reader.span(send.start, send.end)) @if plan.sends.len() > 1 { span.small { " and " (plan.sends.len() - 1) " more if needed" } } }
                    td { (route.freq_mhz) " MHz to " (route.callsign) " from " (route.site_name) }
                    td data-label="on the air" { "about " (minutes_text(send.air_min)) }
                    td { (parts::chance(plan.chance.chance)) }
                }
                None => td colspan="4" { "No call, because " (plan.none_because.as_deref().unwrap_or("none is worth making")) "." },
            }
        }
    }
}

/// Calls that are written out.
const MOST_CALLS: usize = 6;

fn calls(ready: &Ready) -> Markup {
    html! {
        @if !ready.plan.sends.is_empty() {
            section {
                h2 { "The calls, in order" }
                ol.windows { @for send in ready.plan.sends.iter().take(MOST_CALLS) { li { (call(ready, send)) } } }
                @if ready.plan.sends.len() > MOST_CALLS { p { "And " (ready.plan.sends.len() - MOST_CALLS) " more, as far as they are needed." } }
                p { a href="/hours" { "All hours of all stations" } }
            }
        }
    }
}

fn call(ready: &Ready, send: &Send) -> Markup {
    let route = ready.viewer().route(&send.route);
    let cell = ready.plan.cell_at(&send.route, send.start);
    let index = ready
        .plan
        .strip_of(&send.route)
        .and_then(|s| s.cells.iter().position(|c| Some(c.at) == cell.map(|c| c.at)))
        .unwrap_or(0);
    let carried: Vec<&str> = send
        .messages
        .iter()
        .filter_map(|m| ready.outing.messages.get(m.message).map(|m| m.id.as_str()))
        .collect();
    html! {
        p.line { b { (ready.reader.span(send.start, send.end)) } " " @if let Some(lead) = send.messages.first() { (parts::chance(lead.chance)) } }
        p {
            (route.freq_mhz) " MHz to " (route.callsign) " (" (route.station_name) ") from " (route.site_name) ", " (route.antenna_name) ": "
            (carried.join(", ")) @if send.needed.percent() < 99 { ", needed with " (send.needed.percent()) " %" }
        }
        @if let Some(cell) = cell {
            (parts::why("Why", &html! {
                @if let Some(carrier) = cell.carrier() {
                    p { (words::carrier(carrier)) ", leaves at " (format!("{:.0}°", carrier.elevation_deg)) " above the horizon. Signal over noise "
                        (format!("{:+.0} dB there, {:+.0} dB back", cell.forward.snr_p50_db, cell.reverse.snr_p50_db)) "; a link holds with " (cell.link_chance.percent()) " %." }
                }
                @if let Some(line) = farhop_show::antenna::in_plan::antenna_words(&ready.plan, &send.route, send.start) { p { (line) "." } }
                p { "Limit: " (words::limit(&cell.limit)) "." }
                p { a href=(format!("/hours/{}/{}/any?cell={}.{}.{}.{}#working", route.site, route.antenna, send.route.station, send.route.channel, send.route.antenna, index)) { "The whole working" } }
            }))
        }
    }
}

/// The middles of all hours of the outing.
fn hours(ready: &Ready) -> Vec<UtcTime> {
    farhop_plan::survey::hours_of(ready.outing.header.start, ready.outing.header.end)
}

fn map_section(ready: &Ready, hour: Option<usize>) -> Markup {
    let hours = hours(ready);
    let last = hours.len().saturating_sub(1);
    let best_s = ready.plan.first_send().map(|s| s.start.unix_s());
    let usual = best_s
        .and_then(|s| hours.iter().position(|h| h.unix_s() >= s))
        .unwrap_or(0);
    let hour = hour.unwrap_or(usual).min(last);
    html! {
        section.map {
            h2 { "Where everybody is" }
            div #map { (map_figure(ready, &hours, hour)) }
            @if last > 0 {
                div.row data-part="/map?hour=" data-into="map" {
                    a.button href={ "/?hour=" (hour.saturating_sub(1)) } aria-label="An hour earlier" { "−1 h" }
                    input type="range" min="0" max=(last) value=(hour) aria-label="Hour of the night side";
                    a.button href={ "/?hour=" ((hour + 1).min(last)) } aria-label="An hour later" { "+1 h" }
                }
            }
        }
    }
}

fn map_figure(ready: &Ready, hours: &[UtcTime], hour: usize) -> Markup {
    let at = hours.get(hour).copied();
    let name = at.map_or_else(String::new, |at| ready.reader.instant(at));
    let far = map_of(ready, at.map(|at| (at, name.clone())));
    let near = far.as_ref().and_then(MapPicture::near);
    html! {
        div.maps {
            @if let Some(near) = near {
                figure.picture { (PreEscaped(map(&near))) figcaption { "Near " (near.middle_name) "." } }
            }
            figure.picture {
                @if let Some(far) = far { (PreEscaped(map(&far))) }
                figcaption { "All. Bearings and distances from the site in the middle are true. Dark: night at " (name) ". Coasts: Natural Earth." }
            }
        }
    }
}

fn map_of(ready: &Ready, night: Option<(UtcTime, String)>) -> Option<MapPicture> {
    let outing = &ready.outing;
    let best = ready.plan.first_send().map_or(0, |s| s.route.site);
    let middle = outing.sites.get(best).or(outing.sites.first())?;
    let point = |name: &str, place, chance| MapPoint {
        name: name.to_owned(),
        place,
        chance,
    };
    let best_of = |station: usize| {
        let strip = ready.plan.station_strips.iter().find(|s| s.station == station)?;
        let chances = strip.hours.iter().map(|h| h.chance.probability());
        Some(chances.fold(0.0, f64::max))
    };
    Some(MapPicture {
        middle_name: middle.name.clone(),
        middle: middle.place,
        sites: outing.sites.iter().map(|s| point(&s.name, s.place, None)).collect(),
        stations: (0..)
            .zip(&outing.stations)
            .map(|(index, s)| point(&s.name, s.place, best_of(index)))
            .collect(),
        night,
        units: ready.reader.units,
    })
}

fn basis(ready: &Ready) -> Markup {
    let activity = &ready.plan.setting.conditions.activity;
    let defaults: Vec<String> = ready.defaults.iter().map(ToString::to_string).collect();
    let unmatched = farhop_show::antenna::in_plan::unmatched(&ready.outing, &ready.plan);
    parts::why(
        "What it rests on",
        &html! {
            p {
                "Sunspot number R12 " (format!("{:.0} ± {:.0}", activity.r12(), activity.r12_sd())) " ("
                (farhop_show::sky::activity_source(activity)) "). Odds are over " (ready.plan.days.days.count) " drawn days, own faults and stations that are off among them, with "
                (format!("{:.0}", farhop_plan::link::MODEL_ERROR_SD_DB)) " dB for what the method itself gets wrong (a judgement)."
            }
            @if !unmatched.is_empty() { p { "No match, and less power for it: " (unmatched.join("; ")) "." } }
            @for left in &ready.plan.left_out { p { "Left out: " (left.what) ": " (left.why) } }
            @if !defaults.is_empty() {
                h3 { "Taken as usual, because the file does not say" }
                ul { @for line in &defaults { li { (line) } } }
            }
        },
    )
}

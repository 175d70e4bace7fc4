//! When will it get through? One strip a station, hours along, frequencies below each other; a cell opens its working.

mod chosen;
mod table;
mod working;

use std::sync::Arc;

use axum::extract::{Path, Query, State};
use axum::response::{IntoResponse, Redirect, Response};
use farhop_earth::clock::local_hm;
use maud::{Markup, html};
use serde::Deserialize;

use crate::app::App;
use crate::desk::Ready;
use crate::pages::ribbon::{self, ribbon};
use crate::pages::with_plan;
use crate::shell::{Context, Here, Page, page, parts};
use chosen::{Cell, Chosen};

/// Which cell's working is shown: station, channel, antenna and hour with points between.
#[derive(Default, Deserialize)]
pub struct Asked {
    cell: Option<String>,
}

/// Without a choice: the site of the best window, its best antenna each hour, any message.
pub async fn usual(State(app): State<Arc<App>>, context: Context) -> Response {
    match app.desk.look().shown() {
        Some(ready) => Redirect::to(&Chosen::usual(ready).address(ready)).into_response(),
        None => with_plan(&app, &context, Here::Hours, |_, _| html! {}),
    }
}

/// The page for a choice of site, antenna and message.
pub async fn show(
    State(app): State<Arc<App>>,
    context: Context,
    Path((site, antenna, message)): Path<(String, String, String)>,
    Query(asked): Query<Asked>,
) -> Response {
    with_plan(&app, &context, Here::Hours, |ready, context| {
        let chosen = Chosen::of(ready, &site, &antenna, &message);
        let cell = asked.cell.as_deref().and_then(Cell::parse);
        page(
            context,
            Page {
                here: Here::Hours,
                question: "When will it get through?",
                answer: Some(answer(ready, &chosen)),
                body: body(ready, &chosen, cell),
            },
        )
    })
}

/// The best hour in what is chosen, as a sentence.
fn answer(ready: &Ready, chosen: &Chosen) -> Markup {
    let best = chosen.rows(ready).into_iter().flat_map(|row| {
        let (station, channel) = (row.station, row.channel);
        row.hours.into_iter().map(move |hour| (station, channel, hour))
    });
    let best = best.max_by(|a, b| a.2.chance.probability().total_cmp(&b.2.chance.probability()));
    let Some((station, channel, hour)) = best.filter(|b| b.2.chance.percent() > 0) else {
        return html! { "Nothing gets through from here with this choice." };
    };
    let zone = &ready.reader.zone;
    let station = ready.outing.stations.get(station);
    let freq = station
        .and_then(|s| s.channels.get(channel))
        .map_or(0.0, |c| c.freq_mhz);
    let what = chosen
        .message
        .and_then(|m| ready.outing.messages.get(m))
        .map_or_else(|| "A link".to_owned(), |m| format!("“{}”", m.id));
    html! {
        (what) " has its best hour " (farhop_earth::clock::local_day(hour.at, zone)) " about " (local_hm(hour.at, zone)) " on " (freq) " MHz to "
        (station.map_or("", |s| s.name.as_str())) ": " (parts::chance(hour.chance)) "."
    }
}

fn body(ready: &Ready, chosen: &Chosen, cell: Option<Cell>) -> Markup {
    html! {
        (ribbon(ready, ribbon::Asked { day: true, lead_only: true, stations: true, ..ribbon::Asked::default() }, "Each station by its best way from where you are then, for the message of the verdict."))
        (choices(ready, chosen))
        div.hours-two {
            div { (table::table(ready, chosen, cell)) }
            div #detail aria-live="polite" {
                @if let Some(cell) = cell { (working::working(ready, chosen, cell)) }
                @else { p.small { "Touch or press an hour for its working." } }
            }
        }
    }
}

/// Site, antenna and message as rows of links.
fn choices(ready: &Ready, chosen: &Chosen) -> Markup {
    let outing = &ready.outing;
    let site = outing.sites.get(chosen.site);
    let option = |name: &str, other: Chosen| {
        let here = other == *chosen;
        html! { a href=(other.address(ready)) aria-current=[here.then_some("true")] { (name) } }
    };
    html! {
        div.choose {
            p { span { "From" } @for (index, site) in outing.sites.iter().enumerate() {
                (option(&site.name, Chosen { site: index, antenna: None, ..*chosen })) } }
            p { span { "With" } (option("the best each hour", Chosen { antenna: None, ..*chosen }))
                @if let Some(site) = site { @for antenna in outing.antennas_at(site) {
                    @if let Some(index) = outing.kit.antennas.iter().position(|a| a.id == antenna.id) {
                        (option(&antenna.name, Chosen { antenna: Some(index), ..*chosen })) } } } }
            p { span { "For" } (option("a link that holds", Chosen { message: None, ..*chosen }))
                @for (index, message) in outing.messages.iter().enumerate() {
                    (option(message.id.as_str(), Chosen { message: Some(index), ..*chosen })) } }
        }
    }
}

//! What did the day prove? Forecast against what happened, what explains the misses, what to keep.

use std::sync::Arc;

use axum::extract::State;
use axum::response::{IntoResponse, Response};
use farhop_next::today::{Today, attempts};
use farhop_show::debrief::DebriefReport;
use farhop_show::debrief::view::{CallView, DebriefView};
use farhop_store::kept::solutions::Solutions;
use farhop_store::{Journal, file_of};
use maud::{Markup, html};

use crate::app::App;
use crate::desk::{Ready, Stage};
use crate::pages::waiting;
use crate::shell::{Context, Here, Page, page, parts, picture};

/// What the page shows.
struct Shown {
    view: DebriefView,
    drawing: String,
    story: Vec<String>,
}

/// The page.
pub async fn show(State(app): State<Arc<App>>, context: Context) -> Response {
    let look = app.desk.look();
    let Stage::Ready(ready) = look.stage.clone() else {
        return waiting::instead(&app, &context, Here::Debrief, &look).into_response();
    };
    let (file, store) = (file_of(app.desk.path()), Arc::clone(app.desk.solutions()));
    let of_day = Arc::clone(&ready);
    let made = tokio::task::spawn_blocking(move || shown(&ready, &file, &store)).await;
    let (answer, body) = match made {
        Ok(Ok(Some(shown))) => (html! { (shown.view.verdict) }, body(&of_day, &shown)),
        Ok(Ok(None)) => (
            html! { "Nothing has been logged yet." },
            html! { p { a.button href="/field" { "Log what happens" } } },
        ),
        Ok(Err(why)) => (html! { (why) }, html! {}),
        Err(_) => (html! { "The day could not be worked out." }, html! {}),
    };
    page(
        &context,
        Page {
            here: Here::Debrief,
            question: "What did the day prove?",
            answer: Some(answer),
            body,
        },
    )
    .into_response()
}

fn shown(ready: &Ready, file: &std::path::Path, store: &Solutions) -> Result<Option<Shown>, String> {
    let Some(journal) = Journal::open_if_there(file).map_err(|e| e.to_string())? else {
        return Ok(None);
    };
    let entries = journal.entries().map_err(|e| e.to_string())?;
    let Some(end) = entries.iter().map(|e| e.account.at).max() else {
        return Ok(None);
    };
    let today = Today::at(&ready.outing, &entries, end.max(ready.outing.header.end));
    let lived = attempts(&today, store).map_err(|e| e.to_string())?;
    let report = DebriefReport {
        today: &today,
        lived: &lived,
        zone: ready.zone.clone(),
    };
    Ok(Some(Shown {
        view: report.view(),
        drawing: report.drawing(),
        story: today
            .entries
            .iter()
            .map(|e| farhop_show::entries::told(&e.account, &today.outing))
            .collect(),
    }))
}

fn body(ready: &Ready, shown: &Shown) -> Markup {
    let view = &shown.view;
    html! {
        div.two[!shown.drawing.is_empty()] {
            @if !shown.drawing.is_empty() || view.forecast_score.is_some() { div {
                @if !shown.drawing.is_empty() {
                    (picture(shown.drawing.clone(), "Calls by the chance that the forecast gave them; a point on the broken line is an honest forecast. The bars are 95 % intervals: few calls, long bars."))
                }
                @if let Some(score) = &view.forecast_score {
                    p { "Brier score " b { (format!("{:.2}", score.brier)) } " (0 is perfect; always saying the day's mean gives " (format!("{:.2}", score.brier_of_mean)) ")." }
                }
            } }
            div {
                section {
                    h2 { "What was sent" }
                    @if view.sent.is_empty() { p { "Nothing that was logged as delivered." } }
                    ul { @for sent in &view.sent { li { b { (sent.message) } ", " (sent.bytes) " bytes, by way of " (called(ready, &sent.station)) } } }
                }
                section {
                    h2 { "The own station" }
                    @for line in &view.own_station { p { (line) } }
                }
            }
        }
        (misses(ready, &view.calls))
        section {
            h2 { "For next time" }
            @match &view.learned {
                Some(file) => { p { "Save this beside the next outing and name it under [learned]:" } pre { (file) } }
                None => p { "Nothing is kept: too few calls to tell the station from the weather of one day." },
            }
            @if !view.lessons.is_empty() {
                h3 { "Packing list" }
                ul { @for lesson in &view.lessons { li { (lesson) } } }
                p.small { "Accept one with farhop debrief OUTING.toml --accept 1, or on the edit page." }
            }
        }
        (parts::why("The story of the day", &html! { ol { @for line in &shown.story { li { (line) } } } }))
    }
}

/// A station as it is called on the air, with its name.
fn called(ready: &Ready, id: &str) -> String {
    let station = ready.outing.stations.iter().find(|s| s.id.as_str() == id);
    station.map_or_else(|| id.to_owned(), |s| format!("{} ({})", s.callsign, s.name))
}

fn misses(ready: &Ready, calls: &[CallView]) -> Markup {
    let missed: Vec<&CallView> = calls.iter().filter(|c| !c.linked).collect();
    html! {
        @if !missed.is_empty() {
            section {
                h2 { "What explains the misses, most likely" }
                table.list {
                    thead { tr { th { "Call" } th { "Forecast" } th { "Most likely" } } }
                    tbody { @for call in missed {
                        tr {
                            th scope="row" { (called(ready, &call.station)) " on " (call.freq_mhz) " MHz" }
                            td { (call.forecast.percent) " % " (call.forecast.word) }
                            td { (call.explained.as_deref().unwrap_or("")) }
                        }
                    } }
                }
            }
        }
    }
}

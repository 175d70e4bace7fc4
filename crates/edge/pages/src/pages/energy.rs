//! Does the power last? Charge through time, what draws, panel, reserve hour; move a call and see.

use std::sync::Arc;

use axum::extract::{Query, State};
use axum::response::Response;
use farhop_plan::power::{Call, calls_of, energy_with};
use farhop_show::energy::EnergyReport;
use maud::{Markup, PreEscaped, html};
use serde::Deserialize;

use crate::app::App;
use crate::desk::Ready;
use crate::pages::ribbon::{self, ribbon};
use crate::pages::with_plan;
use crate::shell::{Context, Here, Page, page, parts, picture};

/// Most hours by which a call is moved.
const MOST_MOVED_H: i32 = 12;

/// What the picture shows.
const PICTURE: &str = "Charge with its band (four cases in five), what draws below, the sun above.";

/// What it shows when a call is moved.
const MOVED_PICTURE: &str =
    "Charge with the call moved; the broken line is the charge as planned. What draws below, the sun above.";

/// What is asked.
#[derive(Default, Deserialize)]
pub struct Asked {
    /// Index of the message whose call is moved.
    message: Option<usize>,
    /// By how many hours.
    moved: Option<i32>,
}

/// The page.
pub async fn show(State(app): State<Arc<App>>, context: Context, Query(asked): Query<Asked>) -> Response {
    with_plan(&app, &context, Here::Energy, |ready, context| {
        let (answer, body) = match &ready.plan.energy {
            Ok(_) => shown(ready, &asked),
            Err(why) => (
                html! { "It cannot be told: " (why) "." },
                parts::edit_button(context, "/edit", "Edit the outing"),
            ),
        };
        page(
            context,
            Page {
                here: Here::Energy,
                question: "Does the power last?",
                answer: Some(answer),
                body,
            },
        )
    })
}

fn shown(ready: &Ready, asked: &Asked) -> (Markup, Markup) {
    let moved = moved(ready, asked);
    let forecast = match &moved {
        Some(Ok(forecast)) => Some(forecast),
        _ => ready.plan.energy.as_ref().ok(),
    };
    let Some(forecast) = forecast else {
        return (html! {}, html! {});
    };
    let report = EnergyReport {
        outing: &ready.outing,
        forecast,
        reader: ready.reader.clone(),
        defaults: Vec::new(),
    };
    let document = report.document();
    let section = |id: &str| PreEscaped(document.section_html(id));
    let body = html! {
        @if let Some(Err(why)) = &moved { p.wrong { (why) } }
        (ribbon(ready, ribbon::Asked { day: true, ..ribbon::Asked::default() }, "The calls of the plan and the charge that they leave."))
        @match (&moved, &ready.plan.energy) {
            (Some(Ok(_)), Ok(planned)) => {
                div.broad { (picture(report.drawing_beside(planned, false), MOVED_PICTURE)) }
                div.narrow { (picture(report.drawing_beside(planned, true), MOVED_PICTURE)) }
            }
            _ => {
                div.broad { (picture(report.drawing_below_title(), PICTURE)) }
                div.narrow { (picture(report.drawing_narrow(), PICTURE)) }
            }
        }
        (mover(ready, asked))
        (section("calls"))
        (section("failures"))
        (parts::cautions("Cautions: batteries, panels, cold", &report.energy_cautions()))
        (parts::why("The whole working", &html! { (section("draws")) (section("keying")) }))
        (parts::why("What it rests on", &section("basis")))
    };
    let answer = html! {
        @if let Some(Ok(_)) = &moved { "With the call moved: " }
        (report.verdict())
    };
    (answer, body)
}

fn mover(ready: &Ready, asked: &Asked) -> Markup {
    html! {
        section.off-paper {
            h2 { "What if a call came at another hour?" }
            form.row method="get" action="/energy" {
                label { "Message " select name="message" {
                    @for (index, message) in ready.outing.messages.iter().enumerate() {
                        option value=(index) selected[asked.message == Some(index)] { (message.id.as_str()) }
                    }
                } }
                label.slider { span { "hours later" } input type="range" name="moved" data-hours min=(-MOST_MOVED_H) max=(MOST_MOVED_H) step="1" value=(asked.moved.unwrap_or(0)); output { (format!("{:+} h", asked.moved.unwrap_or(0))) } }
                button { "See" }
                @if asked.moved.is_some() { a.button href="/energy" { "As planned" } }
            }
        }
    }
}

/// The charge with one call moved; none where none is.
fn moved(ready: &Ready, asked: &Asked) -> Option<Result<farhop_plan::power::EnergyForecast, String>> {
    let (message, hours) = (
        asked.message?,
        asked.moved.filter(|h| *h != 0)?.clamp(-MOST_MOVED_H, MOST_MOVED_H),
    );
    let by_s = f64::from(hours) * 3_600.0;
    let end_s = (ready.outing.header.end.unix_s() - ready.outing.header.start.unix_s()) as f64;
    let mut calls: Vec<Call> = calls_of(&ready.outing, &ready.plan.sends);
    let call = calls.iter_mut().find(|c| c.message == message)?;
    if call.listen_s + by_s < 0.0 || call.send_s + by_s > end_s - 3_600.0 {
        return Some(Err(
            "That hour lies outside the outing; the picture shows the plan.".to_owned()
        ));
    }
    for time_s in [&mut call.listen_s, &mut call.tune_s, &mut call.send_s, &mut call.end_s] {
        *time_s += by_s;
    }
    calls.sort_by(|a, b| a.send_s.total_cmp(&b.send_s));
    Some(energy_with(&ready.outing, calls).map_err(|e| e.to_string()))
}

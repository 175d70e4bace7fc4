//! What did the day prove? Forecast against what happened, what explains the misses, what to keep.

use std::sync::Arc;

use axum::extract::State;
use axum::response::{IntoResponse, Response};
use farhop_next::today::{Today, attempts};
use farhop_show::debrief::DebriefReport;
use farhop_show::document::Document;
use maud::{Markup, PreEscaped, html};

use crate::app::App;
use crate::desk::{Ready, Stage};
use crate::pages::ribbon::{self, ribbon};
use crate::pages::waiting;
use crate::shell::{Context, Here, Page, page, parts};
use crate::storage::Storage;

/// What the page shows.
struct Shown {
    answer: String,
    report: Document,
    today: Today,
    story: Vec<String>,
}

/// The page.
pub async fn show(State(app): State<Arc<App>>, context: Context) -> Response {
    let look = app.desk.look();
    let Stage::Ready(ready) = look.stage.clone() else {
        return waiting::instead(&app, &context, Here::Debrief, &look).into_response();
    };
    let storage = Arc::clone(app.desk.storage());
    let of_day = Arc::clone(&ready);
    let made = app.desk.runtime().done(move || shown(&ready, &*storage)).await;
    let (answer, body) = match made {
        Some(Ok(Some(shown))) => (html! { (shown.answer) }, body(&of_day, &shown)),
        Some(Ok(None)) => (
            html! { "Nothing has been logged yet." },
            html! { p { a.button href="/field" { "Log what happens" } } },
        ),
        Some(Err(why)) => (html! { (why) }, html! {}),
        None => (html! { "The day could not be worked out." }, html! {}),
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

fn shown(ready: &Ready, storage: &dyn Storage) -> Result<Option<Shown>, String> {
    let day = storage.day(&ready.outing).map_err(|e| e.to_string())?;
    let entries = day.entries.standing();
    let Some(end) = entries.iter().map(|e| e.account.at).max() else {
        return Ok(None);
    };
    let today = Today::at(&ready.outing, entries, end.max(ready.outing.header.end));
    let lived = attempts(&today, storage.solutions()).map_err(|e| e.to_string())?;
    let report = DebriefReport {
        today: &today,
        lived: &lived,
        reader: ready.reader.clone(),
    };
    let (answer, document) = (report.verdict(), report.document());
    let story = today
        .entries
        .iter()
        .map(|e| farhop_show::entries::told(&e.account, &today.outing));
    Ok(Some(Shown {
        answer,
        report: document,
        story: story.collect(),
        today,
    }))
}

fn body(ready: &Ready, shown: &Shown) -> Markup {
    let asked = ribbon::Asked {
        today: Some(&shown.today),
        day: true,
        ..ribbon::Asked::default()
    };
    html! {
        (ribbon(ready, asked, "What came of each message: a dot where it went through, a red line where its deadline passed."))
        (PreEscaped(shown.report.html()))
        p.small { "A lesson for the packing list can be accepted on the edit page too." }
        (parts::why("The story of the day", &html! { ol { @for line in &shown.story { li { (line) } } } }))
    }
}

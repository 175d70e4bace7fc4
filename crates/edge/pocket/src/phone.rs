//! What is kept on this phone, how a copy of it leaves, and how another's comes in.

use std::sync::Arc;

use axum::Router;
use axum::extract::{DefaultBodyLimit, Form, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use farhop_outing_file::{STARTER_FILES, read, render_all};
use farhop_pages::shell::{Context, Here, Page, page};
use farhop_pages::{App, READ_BYTES, Stage};
use maud::{Markup, html};
use serde::Deserialize;

use crate::storage::BrowserStorage;

/// The pages that only a browser of its own has.
pub fn router(app: &Arc<App>, storage: &Arc<BrowserStorage>) -> Router {
    let plan = Router::new().route("/plan.json", get(plan)).with_state(Arc::clone(app));
    Router::new()
        .route("/phone", get(show))
        .route("/phone/new", post(new))
        .route("/phone/outing", post(outing_in))
        .route("/phone/outing.toml", get(outing_out))
        .route("/phone/journal", post(journal_in))
        .route("/phone/journal.jsonl", get(journal_out))
        .route("/phone/slot", post(slot))
        .layer(DefaultBodyLimit::max(READ_BYTES))
        .with_state(Arc::clone(storage))
        .merge(plan)
}

/// A context without an app: what stands here has no plan.
fn seen_by(headers: &axum::http::HeaderMap) -> Context {
    Context {
        pocket: true,
        ..Context::of(headers, false)
    }
}

async fn show(State(storage): State<Arc<BrowserStorage>>, headers: axum::http::HeaderMap) -> Markup {
    shown(&storage, &seen_by(&headers), None)
}

fn shown(storage: &BrowserStorage, context: &Context, note: Option<Markup>) -> Markup {
    let entries = storage.lines().len();
    let body = html! {
        @if let Some(note) = note { section role="status" { (note) } }
        section {
            h2 { "What is kept" }
            p { "The outing and " b { (entries) } @if entries == 1 { " entry" } @else { " entries" } " of its log are in the store of this browser. " span #room {} }
            p #durable {}
            p { button #durable-ask type="button" hidden { "Ask the browser to keep it for good" } }
            p { "Whoever clears the data of this site clears the log too. Save a copy when the day is over." }
        }
        section {
            h2 { "Save a copy" }
            p { a.button href="/phone/journal.jsonl" { "The log" } " " a.button href="/phone/outing.toml" { "The outing" } " " a.button href="/plan.json" { "The plan as data" } }
            p.small { "On the computer, " code { "farhop log --import journal.jsonl" } " adds the log to the journal of the same outing: in any order, twice without harm." }
        }
        section {
            h2 { "Bring a log in" }
            form method="post" action="/phone/journal" {
                label for="journal-file" { "A file that " code { "farhop log --export" } " or another phone wrote" }
                input #journal-file type="file" accept=".jsonl,.json,.txt" data-into="journal-text";
                label for="journal-text" { "or its lines" }
                textarea.file #journal-text name="text" rows="4" spellcheck="false" {}
                button { "Add its entries" }
            }
        }
        section {
            h2 { "Bring an outing in" }
            form method="post" action="/phone/outing" {
                label for="outing-file" { "An outing file" }
                input #outing-file type="file" accept=".toml,.txt" data-into="outing-text";
                label for="outing-text" { "or its text" }
                textarea.file #outing-text name="text" rows="4" spellcheck="false" {}
                button { "Begin with it" }
            }
            form method="post" action="/phone/new" { button { "Begin with the starter" } }
            p.small { "The outing of now stays on this phone with its log." }
        }
        section {
            h2 { "Outings on this phone" }
            ul {
                @for other in storage.slots() {
                    li {
                        (name_of(other.text.as_deref())) ", " (other.entries) @if other.entries == 1 { " entry" } @else { " entries" }
                        @if other.slot == storage.record().slot { " (now)" } @else {
                            form method="post" action="/phone/slot" { input type="hidden" name="slot" value=(other.slot); button { "Open" } }
                        }
                    }
                }
            }
        }
        section {
            h2 { "What only the computer does" }
            p { "The card as PDF, calendars, tracks and tables for other programs, bundles, and fetching conditions need the program " code { "farhop" } " on a computer." }
        }
    };
    let page_of = Page {
        here: Here::Elsewhere,
        question: "What is on this phone?",
        answer: Some(html! { "All of it: the outing, the plan and the log. No network is needed." }),
        body,
    };
    page(context, page_of)
}

/// The name of an outing, from its text.
fn name_of(text: Option<&str>) -> String {
    let Some(text) = text else { return "The demo".to_owned() };
    let reading = read(text, "outing", &|_| Err(String::new()));
    reading
        .outing
        .map_or_else(|| "An outing that needs mending".to_owned(), |o| o.header.name.clone())
}

/// A text that was sent.
#[derive(Deserialize)]
struct Sent {
    #[serde(default)]
    text: String,
}

async fn journal_in(
    State(storage): State<Arc<BrowserStorage>>,
    headers: axum::http::HeaderMap,
    Form(sent): Form<Sent>,
) -> Response {
    let context = seen_by(&headers);
    match storage.merge(&sent.text) {
        Ok(done) => {
            let note = html! { p.answer { (done.added) " new, " (done.known) " known already." } };
            shown(&storage, &context, Some(note)).into_response()
        }
        Err(error) => {
            let note = html! { p.wrong role="alert" { (error) } };
            (StatusCode::UNPROCESSABLE_ENTITY, shown(&storage, &context, Some(note))).into_response()
        }
    }
}

async fn outing_in(
    State(storage): State<Arc<BrowserStorage>>,
    headers: axum::http::HeaderMap,
    Form(sent): Form<Sent>,
) -> Response {
    // Browsers send line ends of their own.
    let text = sent.text.replace("\r\n", "\n");
    let reading = read(&text, "outing", &|name| Err(format!("{name}: not on this phone")));
    // One with errors is taken too, to be mended on the edit page; what is no outing at all is not.
    if text.trim().is_empty() || (reading.outing.is_none() && !text.contains("[outing]")) {
        let note = html! { p.wrong role="alert" { "That is no outing." } pre { (render_all(&reading.problems)) } };
        let page = shown(&storage, &seen_by(&headers), Some(note));
        return (StatusCode::UNPROCESSABLE_ENTITY, page).into_response();
    }
    storage.begin(&text);
    Redirect::to("/").into_response()
}

async fn new(State(storage): State<Arc<BrowserStorage>>) -> Redirect {
    storage.begin(STARTER_FILES[0].text);
    Redirect::to("/edit")
}

/// Another outing of this browser.
#[derive(Deserialize)]
struct Other {
    slot: String,
}

async fn slot(State(storage): State<Arc<BrowserStorage>>, Form(other): Form<Other>) -> Redirect {
    storage.switch(&other.slot);
    Redirect::to("/")
}

fn saved_as(name: &str, kind: &'static str, text: String) -> Response {
    let headers = [
        (header::CONTENT_TYPE, kind.to_owned()),
        (header::CONTENT_DISPOSITION, format!("attachment; filename=\"{name}\"")),
    ];
    (headers, text).into_response()
}

async fn outing_out(State(storage): State<Arc<BrowserStorage>>) -> Response {
    use farhop_pages::Storage as _;
    match storage.text() {
        Ok(text) => saved_as(
            "outing.toml",
            "application/toml; charset=utf-8",
            text.unwrap_or_default(),
        ),
        Err(why) => (StatusCode::INTERNAL_SERVER_ERROR, why).into_response(),
    }
}

async fn journal_out(State(storage): State<Arc<BrowserStorage>>) -> Response {
    let mut text = storage.lines().join("\n");
    if !text.is_empty() {
        text.push('\n');
    }
    saved_as("journal.jsonl", "application/jsonl; charset=utf-8", text)
}

/// The plan as `farhop plan --json` writes it.
async fn plan(State(app): State<Arc<App>>) -> Response {
    let Stage::Ready(ready) = app.desk.look().stage else {
        return (StatusCode::SERVICE_UNAVAILABLE, "There is no plan yet.").into_response();
    };
    match serde_json::to_string_pretty(&ready.view()) {
        Ok(text) => saved_as("plan.json", "application/json", text + "\n"),
        Err(error) => (StatusCode::INTERNAL_SERVER_ERROR, error.to_string()).into_response(),
    }
}

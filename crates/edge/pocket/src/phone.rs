//! What is kept on this phone, how a copy of it leaves, and how another's comes in.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::Router;
use axum::extract::{DefaultBodyLimit, Form, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use farhop_exchange::bundle::LARGEST_BUNDLE_BYTES;
use farhop_outing_file::{STARTER_FILES, read, render_all};
use farhop_pages::shell::{Context, Here, Page, page};
use farhop_pages::{App, READ_BYTES, address};
use maud::{Markup, html};
use serde::Deserialize;

use crate::storage::BrowserStorage;
use crate::{bundle, card, here, out};

/// The pages that only a browser of its own has.
pub fn router(app: &Arc<App>, storage: &Arc<BrowserStorage>) -> Router {
    let bundle = Router::new()
        .route("/phone/outing.farhop", get(bundle_out))
        .with_state((Arc::clone(app), Arc::clone(storage)));
    let app_too = out::router(app)
        .merge(here::router(app))
        .merge(card::router(app))
        .merge(bundle);
    Router::new()
        .route("/phone", get(show))
        .route("/phone/new", post(new))
        .route("/phone/outing", post(outing_in))
        .route("/phone/outing.toml", get(outing_out))
        .route(
            "/phone/bundle",
            post(bundle_in).layer(DefaultBodyLimit::max(LARGEST_BUNDLE_BYTES as usize)),
        )
        .route("/phone/slot", post(slot))
        .layer(DefaultBodyLimit::max(READ_BYTES))
        .with_state(Arc::clone(storage))
        .merge(app_too)
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
            p { a.button href="/log" { "The log" } " " a.button href="/phone/outing.toml" { "The outing" } " " a.button href="/phone/outing.farhop" { "All in one bundle" } }
            p.small { "On the computer, " code { "farhop log --import journal.jsonl" } " adds the log to the journal of the same outing, and " code { "farhop bundle --open" } " opens a bundle." }
        }
        section {
            h2 { "On paper" }
            p { a.button href="/card" { "The field card" } }
            p.small { "The sides are the same as in the PDF of the program on a computer; the browser prints them, or saves them as a PDF." }
        }
        section #out {
            h2 { "For other programs" }
            ul { @for of in out::FORMATS { li { a href=(format!("/out/{}", of.name)) { (of.label) } ": " (of.means) } } }
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
            label for="bundle-file" { "or a bundle, with its log" }
            input #bundle-file type="file" accept=".farhop,.zip" data-bundle="/phone/bundle";
            p #bundle-told role="status" {}
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
            h2 { "On the home screen" }
            p #install-told { "A page that is on the home screen opens without a network, and the browser keeps its store longer." }
            p { button #install type="button" hidden { "Put it there" } }
            p.small { "Without a button here: on Android, the menu of the browser has “Add to home screen” or “Install”; on an iPhone, the share menu has “Add to Home Screen”." }
        }
        section {
            h2 { "What only the computer does" }
            p { "Fetching conditions needs the program " code { "farhop" } " on a computer. A bundle from here holds no card and no solved antennas; the computer makes both." }
        }
        script src=(address("handover.js")) type="module" {}
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

type Both = (Arc<App>, Arc<BrowserStorage>);

async fn bundle_out(State((app, storage)): State<Both>) -> Response {
    let clock = app.desk.runtime().clock();
    let made = clock.ok_or_else(|| "The clock of this phone stands where no clock can stand.".to_owned());
    match made.and_then(|now| bundle::made(&storage, now)) {
        Ok(bytes) => saved_as("outing.farhop", "application/zip", bytes),
        Err(why) => (StatusCode::INTERNAL_SERVER_ERROR, why).into_response(),
    }
}

/// Opens a bundle: its outing with the files that it names becomes the one of now, and its log comes along.
async fn bundle_in(
    State(storage): State<Arc<BrowserStorage>>,
    headers: axum::http::HeaderMap,
    bytes: axum::body::Bytes,
) -> Response {
    match bundle::opened(&bytes, &storage) {
        Ok(()) => Redirect::to("/").into_response(),
        Err(why) => {
            let note = html! { p.wrong role="alert" { (why) } };
            let page = shown(&storage, &seen_by(&headers), Some(note));
            (StatusCode::UNPROCESSABLE_ENTITY, page).into_response()
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
    storage.begin(&text, BTreeMap::new());
    Redirect::to("/").into_response()
}

async fn new(State(storage): State<Arc<BrowserStorage>>) -> Redirect {
    storage.begin(STARTER_FILES[0].text, BTreeMap::new());
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

pub(crate) fn saved_as(name: &str, kind: &'static str, text: impl IntoResponse) -> Response {
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

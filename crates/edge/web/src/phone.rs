//! Put it on this phone: the file that carries everything, for when this machine is switched off.

use std::sync::Arc;

use axum::extract::State;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use farhop_pages::shell::{Context, Here, Page, page};
use maud::{Markup, html};

use crate::app::App;

/// What is offered, and what it is not.
pub async fn show(State(app): State<Arc<App>>, headers: HeaderMap) -> Markup {
    let there = app.single.is_some();
    let body = html! {
        @if there {
            p { a.button href="/pocket/farhop.html" { "Save the file" } }
            ol {
                li { "Save it, then open it from the files of this phone. It plans, shows every page and takes entries, without this machine and without a network." }
                li { b { "It keeps nothing when it is closed." } " Press “Save the log” in it before that, then bring the log in here, under “Hand the log over”." }
                li { "Bring the outing along: save it from the edit page here, and take it in there, under “On this phone”." }
            }
        }
        p { "What keeps everything needs a host with https, as browsers ask for it: " code { "farhop pocket -o FOLDER" } " writes the files for one, and the phone then opens that address once with a network." }
    };
    let answer = if there {
        html! { "As one file, from here; or to stay, from a host with https." }
    } else {
        html! { "From a host with https. The engine for one file is not beside this program." }
    };
    let of = Page {
        here: Here::Elsewhere,
        question: "How does it come onto this phone?",
        answer: Some(answer),
        body,
    };
    page(&Context::of(&headers, app.pages.share), of)
}

/// The file.
pub async fn file(State(app): State<Arc<App>>) -> Response {
    let Some(single) = &app.single else {
        return StatusCode::NOT_FOUND.into_response();
    };
    let headers = [
        (header::CONTENT_TYPE, "text/html; charset=utf-8"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"farhop.html\""),
    ];
    (headers, single.to_string()).into_response()
}

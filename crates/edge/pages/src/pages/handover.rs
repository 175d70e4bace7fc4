//! Two logs of one day become one: copies out and in by file, share menu, paste, or picture codes. The same page stands on a phone and
//! before a server, so a phone and a laptop exchange what they have in both directions.

use std::sync::Arc;

use axum::extract::{Form, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use fast_qr::qr::{QRBuilder, QRCode};
use maud::{Markup, PreEscaped, html};
use serde::Deserialize;

use crate::app::App;
use crate::assets::address;
use crate::parts::{is_parts, joined, parts_of};
use crate::shell::{Context, Here, Page, page};

/// Where a copy of the log lies.
const COPY: &str = "/log/journal.jsonl";

/// The page.
pub async fn show(State(app): State<Arc<App>>, context: Context) -> Markup {
    shown(&app, &context, None)
}

fn shown(app: &App, context: &Context, note: Option<Markup>) -> Markup {
    let copy = app.desk.storage().copy();
    let entries = copy.as_ref().map_or(0, |text| text.lines().count());
    let answer = match &copy {
        Err(why) => html! { (why) },
        Ok(_) if entries == 0 => html! { "Nothing has been logged here yet." },
        Ok(_) => html! { (entries) @if entries == 1 { " entry is" } @else { " entries are" } " here." },
    };
    let body = html! {
        @if let Some(note) = note { section role="status" { (note) } }
        @if entries > 0 {
            section {
                h2 { "Hand it over" }
                p {
                    a.button href=(COPY) { "Save the log" } " "
                    button type="button" data-share=(COPY) data-name="journal.jsonl" hidden { "Share the log" } " "
                    button type="button" data-copy=(COPY) hidden { "Copy the log" } " "
                    a.button href="/log/codes" { "Show it as codes" }
                }
                p #handed role="status" {}
            }
        }
        @if context.logs() { section {
            h2 { "Bring another in" }
            form method="post" action="/log" {
                label for="log-file" { "A log that was saved" }
                input #log-file type="file" accept=".jsonl,.json,.txt" data-into="log-text";
                label for="log-text" { "or its lines, or what its codes read" }
                textarea.file #log-text name="text" rows="4" spellcheck="false" {}
                p {
                    button type="button" data-codes="log-text" hidden { "Read codes with the camera" } " "
                    button { "Add its entries" }
                }
                p #seen role="status" {}
                video #camera playsinline muted hidden aria-label="What the camera sees" {}
            }
            p.small { "Entries are joined by their keys: in any order, twice without harm. Nothing that is here is changed." }
        } }
        script src=(address("handover.js")) type="module" {}
    };
    let of = Page {
        here: Here::Elsewhere,
        question: "How do two logs become one?",
        answer: Some(answer),
        body,
    };
    page(context, of)
}

/// The log as lines.
pub async fn copy(State(app): State<Arc<App>>) -> Response {
    match app.desk.storage().copy() {
        Ok(text) => {
            let headers = [
                (header::CONTENT_TYPE, "application/jsonl; charset=utf-8"),
                (header::CONTENT_DISPOSITION, "attachment; filename=\"journal.jsonl\""),
            ];
            (headers, text).into_response()
        }
        Err(why) => (StatusCode::INTERNAL_SERVER_ERROR, why.to_string()).into_response(),
    }
}

/// A log that was sent.
#[derive(Deserialize)]
pub struct Sent {
    #[serde(default)]
    text: String,
}

/// Takes another log in.
pub async fn bring(State(app): State<Arc<App>>, context: Context, Form(sent): Form<Sent>) -> Response {
    let text = if is_parts(&sent.text) {
        joined(&sent.text).map_err(|e| e.to_string())
    } else {
        Ok(sent.text)
    };
    let done = text.and_then(|text| app.desk.storage().merge(&text).map_err(|e| e.to_string()));
    match done {
        Ok(done) => {
            let note = html! { p.answer { (done.added) " new, " (done.known) " known already." } };
            shown(&app, &context, Some(note)).into_response()
        }
        Err(why) => {
            let note = html! { p.wrong role="alert" { (why) } };
            (StatusCode::UNPROCESSABLE_ENTITY, shown(&app, &context, Some(note))).into_response()
        }
    }
}

/// The log as picture codes, one below the other.
pub async fn codes(State(app): State<Arc<App>>, context: Context) -> Markup {
    let parts = app.desk.storage().copy().map_err(|e| e.to_string()).and_then(|text| {
        let parts = parts_of(&text).map_err(|e| e.to_string())?;
        let code = |part: &String| QRBuilder::new(part.as_str()).build().map_err(|e| e.to_string());
        parts.iter().map(code).collect::<Result<Vec<QRCode>, String>>()
    });
    let (answer, body) = match &parts {
        Ok(codes) => (
            html! { "Let the other device read " @if codes.len() == 1 { "this code." } @else { "all " (codes.len()) " codes, in any order." } },
            html! {
                @for (index, code) in codes.iter().enumerate() {
                    figure.code {
                        (code_svg(code, &format!("Code {} of {}", index + 1, codes.len())))
                        figcaption { (index + 1) " of " (codes.len()) }
                    }
                }
                p { a.button href="/log" { "Back to the log" } }
            },
        ),
        Err(why) => (
            html! { (why) },
            html! { p { a.button href="/log" { "Back to the log" } } },
        ),
    };
    let of = Page {
        here: Here::Elsewhere,
        question: "The log as codes",
        answer: Some(answer),
        body,
    };
    page(&context, of)
}

/// A QR code as SVG, dark on light in every theme: cameras want it so.
#[must_use]
pub fn code_svg(code: &QRCode, label: &str) -> Markup {
    let mut path = String::new();
    for y in 0..code.size {
        for x in (0..code.size).filter(|x| code[y][*x].value()) {
            path.push_str(&format!("M{} {}h1v1h-1z", x + 4, y + 4));
        }
    }
    let side = code.size + 8;
    PreEscaped(format!(
        r##"<svg viewBox="0 0 {side} {side}" role="img" aria-label="{label}" shape-rendering="crispEdges"><rect width="{side}" height="{side}" fill="#ffffff"/><path d="{path}" fill="#000000"/></svg>"##
    ))
}

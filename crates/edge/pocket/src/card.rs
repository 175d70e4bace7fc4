//! The field card on paper: its sides as pictures, laid out as the PDF of the program is, for the browser to print or to save as a PDF.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use farhop_card::layout::{Sheets, sheets};
use farhop_card::letters::Letters;
use farhop_card::sides::{sides, style};
use farhop_card::{Card, Paper, Source, keep_away};
use farhop_earth::UtcTime;
use farhop_outing_file::guessed_on;
use farhop_pages::shell::{Context, Here};
use farhop_pages::{App, Ready, Storage, address, with_plan};
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// Where the letters of the card stand: two files beside the engine, Regular and SemiBold.
const LETTERS: [&str; 2] = ["/card-400.woff2", "/card-600.woff2"];

/// The papers with their words in addresses and for people.
const PAPERS: [(Paper, &str, &str); 3] = [
    (Paper::A4, "a4", "A4"),
    (Paper::A5, "a5", "A5"),
    (Paper::Letter, "letter", "Letter"),
];

fn paper_of(word: &str) -> Option<Paper> {
    PAPERS
        .into_iter()
        .find(|(_, w, _)| *w == word)
        .map(|(paper, _, _)| paper)
}

/// The addresses.
pub fn router(app: &Arc<App>) -> Router {
    Router::new()
        .route("/card", get(|| async { Redirect::to("/card/a4") }))
        .route("/card/{paper}", get(show))
        .route("/card/{paper}/style.css", get(styled))
        .with_state(Arc::clone(app))
}

async fn styled(Path(word): Path<String>) -> Response {
    match paper_of(&word) {
        Some(paper) => (
            [(header::CONTENT_TYPE, "text/css; charset=utf-8")],
            style(paper, LETTERS),
        )
            .into_response(),
        None => StatusCode::NOT_FOUND.into_response(),
    }
}

async fn show(State(app): State<Arc<App>>, context: Context, Path(word): Path<String>) -> Response {
    let Some(paper) = paper_of(&word) else {
        return StatusCode::NOT_FOUND.into_response();
    };
    let made = app.desk.runtime().clock();
    with_plan(&app, &context, Here::Elsewhere, |ready, _| {
        page(ready, app.desk.storage().as_ref(), made, (paper, &word))
    })
}

/// The card of a plan on a paper, and its title.
pub(crate) fn card_on(ready: &Ready, storage: &dyn Storage, made: Option<UtcTime>, paper: Paper) -> (String, Sheets) {
    let outing = &ready.outing;
    let card = Card::new(&Source {
        outing,
        plan: &ready.plan,
        reader: ready.reader.clone(),
        guessed_on: guessed_on(&ready.defaults),
        store: storage.solutions(),
        keep_away: keep_away(outing, &ready.plan.safety, outing.header.units),
        made,
    });
    let laid = sheets(&card, paper, &Letters::new());
    (format!("Field card: {}", card.title), laid)
}

fn page(ready: &Ready, storage: &dyn Storage, made: Option<UtcTime>, (paper, word): (Paper, &str)) -> Markup {
    let (title, laid) = card_on(ready, storage, made, paper);
    let count = laid.count();
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) }
                link rel="stylesheet" href=(format!("/card/{word}/style.css"));
                link rel="icon" href=(address("mark.svg")) type="image/svg+xml";
                script src="/pocket.js" type="module" {}
            }
            body {
                header.off {
                    p {
                        a href="/phone" { "On this phone" }
                        @for (_, other, name) in PAPERS {
                            " "
                            @if other == word { b aria-current="page" { (name) } } @else { a href=(format!("/card/{other}")) { (name) } }
                        }
                    }
                    h1 { (title) }
                    p {
                        "Print it at 100 % on both sides: " (count) @if count == 1 { " sheet. " } @else { " sheets. " }
                        "The printer of the browser also saves it as a PDF."
                    }
                    p { button #print type="button" hidden { "Print or save as PDF" } }
                }
                main {
                    @for side in sides(&laid, &title, &Letters::new()) { div.side { (PreEscaped(side)) } }
                }
            }
        }
    }
}

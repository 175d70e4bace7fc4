//! The pages, and which address leads to which.

mod antennas;
mod debrief;
mod edit;
mod energy;
mod fault;
mod field;
pub(crate) mod handover;
mod hours;
mod kit;
mod outing;
mod ribbon;
mod theme;
mod waiting;

use std::sync::Arc;

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use maud::Markup;

use crate::app::App;
use crate::assets;
use crate::desk::{Ready, Stage};
use crate::shell::{Context, Here, plain_page};

/// Largest body that is read, bytes: an outing file with room to spare.
pub const MOST_BYTES: usize = 1_000_000;

/// Largest entry that is read to its end, bytes, so that the answer that it is too long is heard.
pub const READ_BYTES: usize = 8_000_000;

/// The page on which entries wait.
pub const FIELD: &str = "/field";

/// All pages.
pub fn router(app: Arc<App>) -> Router {
    Router::new()
        .route("/", get(outing::show))
        .route("/map", get(outing::map_part))
        .route("/hours", get(hours::usual))
        .route("/hours/{site}/{antenna}/{message}", get(hours::show))
        .route("/antennas", get(antennas::show))
        .route("/antennas/part", get(antennas::part))
        .route("/antennas/effect", get(antennas::effect))
        .route("/energy", get(energy::show))
        .route("/edit", get(edit::show))
        .route("/edit/text", get(edit::show).post(edit::text))
        .route("/edit/values", post(edit::values))
        .route("/edit/change", post(edit::change))
        .route("/edit/stations", post(edit::stations))
        .route("/edit/places", post(edit::places))
        .route("/edit/spot", get(edit::spot))
        .route("/edit/undo", post(edit::undo))
        .route("/edit/start", post(edit::start))
        .route("/kit", get(kit::show))
        .route("/fault", get(fault::show).post(fault::answer))
        .route("/field", get(field::show))
        .route("/field/here", get(field::here))
        .route(
            "/field/entry",
            post(field::sent).layer(DefaultBodyLimit::max(READ_BYTES)),
        )
        .route("/field/log", post(field::log))
        .route("/field/undo", post(field::undo))
        .route("/debrief", get(debrief::show))
        .route(
            "/log",
            get(handover::show)
                .post(handover::bring)
                .layer(DefaultBodyLimit::max(READ_BYTES)),
        )
        .route("/log/journal.jsonl", get(handover::copy))
        .route("/log/codes", get(handover::codes))
        .route("/wait", get(waiting::wait))
        .route("/stop", post(waiting::stop))
        .route("/again", post(waiting::again))
        .route("/theme", post(theme::choose))
        .route("/worker.js", get(field::worker))
        .route("/assets/{edition}/{name}", get(assets::serve))
        .fallback(|| async {
            (
                StatusCode::NOT_FOUND,
                plain_page("Nothing here", "There is no such page."),
            )
        })
        .layer(DefaultBodyLimit::max(MOST_BYTES))
        .with_state(app)
}

/// A page that needs the plan: the page itself, or what there is instead.
pub fn with_plan(
    app: &Arc<App>,
    context: &Context,
    here: Here,
    make: impl FnOnce(&Ready, &Context) -> Markup,
) -> Response {
    let look = app.desk.look();
    match look.shown() {
        // A draft that is not sound takes nothing away.
        Some(ready) => {
            let draft = matches!(look.stage, Stage::Broken(_));
            make(ready, &Context { draft, ..*context }).into_response()
        }
        None => waiting::instead(app, context, here, &look).into_response(),
    }
}

//! What stands in place of a page while there is no plan.

use std::sync::Arc;

use axum::Json;
use axum::extract::{Query, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use futures_util::future::select;
use maud::{Markup, html};
use serde::{Deserialize, Serialize};

use crate::app::App;
use crate::desk::{Look, Stage};
use crate::shell::{Context, Here, Page, page, parts};

/// The page for a stage without a plan.
pub fn instead(app: &App, context: &Context, here: Here, look: &Look) -> Response {
    let (status, question, answer, body) = match &look.stage {
        Stage::Working(_) => (
            StatusCode::OK,
            "One moment",
            "The plan is being made.",
            working(context, look),
        ),
        Stage::Missing => (
            StatusCode::OK,
            "No outing here yet",
            "There is no file yet at this place.",
            missing(app, context),
        ),
        Stage::Broken(problems) => (
            StatusCode::OK,
            "The outing needs mending",
            "The file has errors, so there is no plan.",
            html! { (parts::problems(problems)) (parts::edit_button(context, "/edit/text", "Mend the file")) },
        ),
        Stage::Stopped => (
            StatusCode::OK,
            "Stopped",
            "You stopped the plan.",
            again_button(context),
        ),
        Stage::Unreadable(why) => (
            StatusCode::OK,
            "The file cannot be read",
            "",
            html! { p { (why) } p { a.button href=(here.address()) { "Look again" } } },
        ),
        Stage::Failed(why) => (
            StatusCode::OK,
            "No plan can be made",
            "",
            html! { p { (why) } (again_button(context)) },
        ),
        Stage::Ready(_) => (
            StatusCode::OK,
            "Ready",
            "The plan is there.",
            html! { p { a href=(here.address()) { "Show it" } } },
        ),
    };
    let answer = (!answer.is_empty()).then(|| html! { (answer) });
    (
        status,
        page(
            context,
            Page {
                here,
                question,
                answer,
                body,
            },
        ),
    )
        .into_response()
}

fn working(context: &Context, look: &Look) -> Markup {
    let about = match &look.stage {
        Stage::Working(progress) => progress.about(),
        _ => String::new(),
    };
    html! {
        div #waiting data-turn=(look.turn) {
            p.about { (about) }
            p.stage { "Beginning" }
            progress aria-label="Progress" {}
            noscript { p { "Without scripts: " a href="" { "look again" } " after a while." } }
            @if context.logs() { form method="post" action="/stop" { button { "Stop" } } }
        }
    }
}

fn missing(app: &App, context: &Context) -> Markup {
    if !context.edits() {
        return html! { p { "Somebody who may edit begins one." } };
    }
    html! {
        p { "Begin one: it is written to " b { (app.desk.folder().name()) } " in its folder, with a remark on every line." }
        form method="post" action="/edit/start" { button.main { "Start an outing" } }
    }
}

/// Begins the plan again, for who may log.
pub(crate) fn again_button(context: &Context) -> Markup {
    html! { @if context.logs() { form method="post" action="/again" { button { "Make the plan" } } } }
}

/// The question how far it has come.
#[derive(Deserialize)]
pub struct Since {
    #[serde(default)]
    turn: u64,
}

/// How far it has come.
#[derive(Serialize)]
pub struct Progress {
    working: bool,
    turn: u64,
    what: &'static str,
    about: String,
    done: usize,
    total: usize,
}

/// Answers when the stage changes, or after a moment with the progress. Asked only by a page that waits.
pub async fn wait(State(app): State<Arc<App>>, Query(since): Query<Since>) -> Json<Progress> {
    let mut changes = app.desk.changes();
    let changed = std::pin::pin!(changes.wait_for(|turn| *turn != since.turn));
    let _ = select(changed, app.desk.runtime().pause()).await;
    let look = app.desk.look();
    let ((what, done, total), about) = match &look.stage {
        Stage::Working(progress) => (progress.now(), progress.about()),
        _ => (("", 0, 0), String::new()),
    };
    Json(Progress {
        working: matches!(look.stage, Stage::Working(_)),
        turn: look.turn,
        what,
        about,
        done,
        total,
    })
}

/// Stops the plan.
pub async fn stop(State(app): State<Arc<App>>, headers: HeaderMap) -> Redirect {
    app.desk.stop();
    Redirect::to(&back(&headers))
}

/// Makes the plan again.
pub async fn again(State(app): State<Arc<App>>, headers: HeaderMap) -> Redirect {
    app.desk.again();
    Redirect::to(&back(&headers))
}

/// The page from which a form was sent, as a path of ours.
pub fn back(headers: &HeaderMap) -> String {
    let referer = headers.get("referer").and_then(|v| v.to_str().ok()).unwrap_or("/");
    let path = referer.splitn(4, '/').nth(3).unwrap_or("");
    format!("/{}", path.trim_start_matches(['/', '\\']))
}

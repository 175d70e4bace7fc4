//! Where entries arrive: as data from scripts, as forms from browsers without.

use std::sync::Arc;

use axum::body::Bytes;
use axum::extract::rejection::BytesRejection;
use axum::extract::{Form, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use maud::html;
use serde::Deserialize;

use crate::app::App;
use crate::delivery::{Answer, CallForm, Refused, Sent, event_of, take};
use crate::desk::Stage;
use crate::pages::MOST_BYTES;
use crate::pages::field::target_of;
use crate::shell::{Context, Here, Page, page};

/// What the page says of itself when it asks where the server stands.
#[derive(Deserialize)]
pub struct Told {
    #[serde(default)]
    clock_ms: Option<f64>,
}

/// Where the server stands: which outing, which journal, what time.
pub async fn here(State(app): State<Arc<App>>, Query(told): Query<Told>) -> Response {
    let look = app.desk.look();
    let Some(target) = target_of(&app, &look) else {
        return Answer::refused(no_outing(&look.stage)).response();
    };
    let asked = app.desk.runtime().done(move || match target.day() {
        Ok(day) => Answer {
            here: Some(target.here(&day, told.clock_ms)),
            ..Answer::default()
        },
        Err(error) => Answer::refused(error.into()),
    });
    asked.await.unwrap_or_else(|| Answer::refused(broken_off())).response()
}

/// Takes an entry as data.
pub async fn sent(State(app): State<Arc<App>>, body: Result<Bytes, BytesRejection>) -> Response {
    let too_long = || {
        let refused = Refused::permanent("The entry is too long.", "Say it in fewer words.");
        (StatusCode::PAYLOAD_TOO_LARGE, axum::Json(Answer::refused(refused))).into_response()
    };
    let body = match body {
        Ok(body) if body.len() > MOST_BYTES => return too_long(),
        Ok(body) => body,
        Err(rejection) if rejection.status() == StatusCode::PAYLOAD_TOO_LARGE => return too_long(),
        // The connection broke before all of it came.
        Err(_) => return Answer::refused(broken_off()).response(),
    };
    match serde_json::from_slice::<Sent>(&body) {
        Ok(sent) => taken(&app, sent).await.response(),
        Err(error) => {
            let reason = format!("This is no entry: {error}.");
            Answer::refused(Refused::permanent(&reason, "Load the page again and enter it again.")).response()
        }
    }
}

async fn taken(app: &Arc<App>, sent: Sent) -> Answer {
    let look = app.desk.look();
    let Some(target) = target_of(app, &look) else {
        return Answer::refused(no_outing(&look.stage));
    };
    let done = app.desk.runtime().done(move || take(&target, &sent)).await;
    done.unwrap_or_else(|| Answer::refused(broken_off()))
}

fn broken_off() -> Refused {
    Refused::temporary("The computer broke off.", "The entry is sent again.")
}

fn no_outing(stage: &Stage) -> Refused {
    let reason = match stage {
        Stage::Missing => "There is no outing on the computer yet.",
        Stage::Unreadable(_) => "The computer cannot read the outing's file.",
        _ => "The outing's file has errors, so names cannot be told.",
    };
    Refused::temporary(reason, "Mend it on the computer; the entry waits.")
}

/// Takes an entry as a form: words, a reading, or how a call ended.
pub async fn log(State(app): State<Arc<App>>, context: Context, Form(fields): Form<Vec<(String, String)>>) -> Response {
    let field = |name: &str| fields.iter().find(|(n, _)| n == name).map(|(_, value)| value.clone());
    let words = match (field("reading"), field("value"), field("words")) {
        (Some(reading), Some(value), _) => Some(reading.replace("{}", value.trim())),
        (_, _, words) => words,
    };
    let event = match (field("event"), words.is_none()) {
        (Some(text), _) => serde_json::from_str(&text).map(Some).map_err(|e| {
            Refused::permanent(
                &format!("This is no event: {e}."),
                "Load the page again and enter it again.",
            )
        }),
        (None, true) => event_of(&CallForm(&fields)).map(Some),
        (None, false) => Ok(None),
    };
    let answer = match event {
        Ok(event) => {
            let sent = Sent {
                key: field("key").filter(|key| !key.is_empty()),
                words: words.clone().filter(|_| event.is_none()),
                event,
                ..Sent::default()
            };
            taken(&app, sent).await
        }
        Err(refused) => Answer::refused(refused),
    };
    back_to_page(&context, answer, words.as_deref())
}

/// Takes an entry back, as a form: `of` is its key.
pub async fn undo(
    State(app): State<Arc<App>>,
    context: Context,
    Form(fields): Form<Vec<(String, String)>>,
) -> Response {
    let of = fields
        .into_iter()
        .find(|(name, _)| name == "of")
        .map(|(_, value)| value);
    let sent = Sent {
        undo: Some(of.unwrap_or_default()),
        ..Sent::default()
    };
    back_to_page(&context, taken(&app, sent).await, None)
}

/// A browser without scripts goes back to the page, which says what was kept; a refusal comes with what was typed.
fn back_to_page(context: &Context, answer: Answer, words: Option<&str>) -> Response {
    let refused = match (answer.kept, answer.refused) {
        (Some(kept), _) => return Redirect::to(&format!("/field?kept={}", kept.key)).into_response(),
        (None, refused) => refused.unwrap_or_else(broken_off),
    };
    let body = html! {
        @if !refused.remedy.is_empty() { pre.remedy { (refused.remedy) } }
        @for choice in &refused.choices {
            form method="post" action="/field/log" { input type="hidden" name="words" value=(choice); button { (choice) } }
        }
        @if let Some(words) = words {
            form method="post" action="/field/log" {
                label for="words" { "Change it and enter it again" }
                div.row { input #words name="words" value=(words) autocomplete="off" autocapitalize="off"; button { "Enter" } }
            }
        }
        p { a.button href="/field" { "Back" } }
    };
    let status = refused.status();
    let made = page(
        context,
        Page {
            here: Here::Field,
            question: "That was not entered",
            answer: Some(html! { (refused.reason) }),
            body,
        },
    );
    (status, made).into_response()
}

//! On the hill: the next try in big type, its outcome with one touch, the same for any other station, readings, anything in a short
//! form, and what was just kept. Entries need no plan, and wait in the browser while the server is gone.

mod calls;
mod entries;
mod forms;
mod stand;
mod steps;

use std::convert::Infallible;
use std::sync::Arc;

use axum::body::Body;
use axum::extract::{Query, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use farhop_day::standing;
use farhop_earth::UtcTime;
use farhop_next::today::{NextAsk, Today, next_step, now_for};
use farhop_outing::Outing;
use futures_util::future::{Either, select};
use futures_util::{StreamExt as _, stream};
use maud::{Markup, html};
use serde::Deserialize;

use crate::app::App;
use crate::assets::address;
use crate::delivery::{EntryTarget, kept_before};
use crate::desk::{Look, Ready, Rests, Stage, Weighed};
use crate::pages::waiting;
use crate::shell::{Context, Here, answered, in_two};
use crate::storage::Day as Journaled;

pub use entries::{here, log, sent, undo};

/// What was entered just now, by a page without scripts.
#[derive(Deserialize)]
pub struct Asked {
    #[serde(default)]
    kept: Option<String>,
}

/// Where entries go now; none while no sound outing is known.
fn target_of(app: &App, look: &Look) -> Option<EntryTarget> {
    look.outing.as_ref().map(|outing| EntryTarget {
        outing: Arc::clone(outing),
        desk: Arc::clone(&app.desk),
    })
}

/// The page.
pub async fn show(State(app): State<Arc<App>>, context: Context, Query(asked): Query<Asked>) -> Response {
    let look = app.desk.look();
    let Some(target) = target_of(&app, &look) else {
        return waiting::instead(&app, &context, Here::Field, &look).into_response();
    };
    // The question is on the screen while the next step is worked out.
    let (before, after) = in_two(&context, Here::Field, "What now?", "Weighing what to try next …");
    let runtime = Arc::clone(app.desk.runtime());
    let moment = runtime.moment();
    let rest = Box::pin(async move {
        let made = runtime
            .done(move || {
                let scene = Scene {
                    target,
                    look,
                    context,
                    kept: asked.kept,
                };
                scene.markup()
            })
            .await;
        let rest = made.unwrap_or_else(|| html! { p.answer { "The next step could not be worked out." } });
        rest.into_string() + &after
    });
    let body = match select(rest, moment).await {
        // There at once, mostly because somebody else has asked a moment ago: one piece, which is compressed on its way.
        Either::Left((rest, _)) => Body::from(before + &rest),
        Either::Right(((), rest)) => {
            let pieces = stream::once(async move { before }).chain(stream::once(rest));
            Body::from_stream(pieces.map(Ok::<String, Infallible>))
        }
    };
    let headers = [
        (header::CONTENT_TYPE, "text/html; charset=utf-8"),
        // Asked for anew each time; but a browser that goes back, or opens its pages again, may show the copy while we are gone.
        (header::CACHE_CONTROL, "private, no-cache"),
    ];
    (headers, body).into_response()
}

/// What the page is made from.
struct Scene {
    target: EntryTarget,
    look: Look,
    context: Context,
    kept: Option<String>,
}

impl Scene {
    fn outing(&self) -> &Outing {
        &self.target.outing
    }

    /// The answer and all that stands below it.
    fn markup(&self) -> Markup {
        let (read, trouble) = match self.target.day() {
            Ok(read) => (read, None),
            Err(error) => (Journaled::default(), Some(error.to_string())),
        };
        let entries = &read.entries;
        let (answer, day) = match &self.look.stage {
            Stage::Ready(ready) => match &*step(ready, &read, &self.target, self.look.turn) {
                Ok((step, whence)) => stand::with_step(self, ready, step, *whence, entries),
                Err(why) => (html! { (why) }, stand::without_step(self, &html! {}, entries)),
            },
            stage => (
                html! { (stand::stage_words(stage)) },
                stand::without_step(self, &stand::stage_more(&self.context, stage, self.look.turn), entries),
            ),
        };
        let key = self.kept.as_ref();
        let kept = key.and_then(|key| kept_before(self.outing(), entries, key));
        let body = html! {
            (self.facts(&read))
            #day {
                @for line in read.lines.iter().chain(&trouble) { p.harm role="alert" { (line) } }
                (day)
            }
            (forms::status(kept.as_ref()))
            script src=(address("field.js")) type="module" {}
        };
        answered(&answer, &body)
    }

    /// What the page knows about outing and journal, for the entries that it makes; and the list of those that were not taken.
    fn facts(&self, read: &Journaled) -> Markup {
        let here = self.target.here(read, None);
        html! {
            #facts hidden data-outing=(here.outing.unwrap_or_default()) data-name=(here.outing_name.unwrap_or_default())
                data-journal=[here.journal] data-clock=(here.clock_ms) data-share=(self.context.share) data-worker=[(!self.context.pocket).then_some("/worker.js")] {}
            section #aside hidden aria-label="Not entered" { h2 { "Not entered" } ul.cards-list {} }
            p #clocks.harm hidden {}
        }
    }
}

/// The next step, the same for all who ask in the same minute.
fn step(ready: &Ready, read: &Journaled, target: &EntryTarget, turn: u64) -> Weighed {
    let asked = rests(read, turn, target.clock());
    target.desk.steps().of(&asked, || {
        // More may have been entered while this waited for its turn.
        let newer = target.day().ok().filter(|newer| newer.journal == read.journal);
        let read = newer.as_ref().unwrap_or(read);
        let clock = target.clock();
        let entries = standing(&read.entries);
        let (now, whence) = now_for(&ready.outing, &entries, clock);
        let step = next_step(
            Today::at(&ready.outing, &entries, now),
            target.desk.storage().solutions(),
            NextAsk::default(),
        )
        .map(|step| (step, whence))
        .map_err(|e| e.to_string());
        (rests(read, turn, clock), step)
    })
}

/// What a step from this journal at this instant rests on.
fn rests(read: &Journaled, turn: u64, clock: Option<UtcTime>) -> Rests {
    let entries = &read.entries;
    Rests {
        turn,
        journal: read.journal.clone(),
        entries: (entries.len(), entries.last().map(|e| e.key.as_str().to_owned())),
        minute: clock.map(|c| c.unix_s().div_euclid(60)),
    }
}

/// The service worker: it must stand at the root, or it would serve no page.
pub async fn worker() -> Response {
    let headers = [
        (header::CONTENT_TYPE, "text/javascript; charset=utf-8"),
        (header::CACHE_CONTROL, "no-cache"),
    ];
    (headers, crate::assets::WORKER).into_response()
}

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
use farhop_outing::Outing;
use futures_util::future::{Either, select};
use futures_util::{StreamExt as _, stream};
use maud::{Markup, html};
use serde::Deserialize;

use crate::app::App;
use crate::assets::address;
use crate::delivery::{EntryTarget, kept_before};
use crate::desk::{Look, Sight, Stage, Weighed};
use crate::pages::waiting;
use crate::shell::{Context, Here, answered, in_two};
use crate::storage::Day as Journaled;

pub use entries::{here, log, sent, undo};

/// For so long a page carries the same clock, ms.
const CLOCK_MS: i64 = 10_000;

/// What was entered just now, by a page without scripts, and which step is wanted.
#[derive(Deserialize)]
pub struct Asked {
    #[serde(default)]
    kept: Option<String>,
    /// The newest step is wanted, whatever time it takes.
    now: Option<String>,
}

/// Where entries go now; none while no sound outing is known.
fn target_of(app: &App, look: &Look) -> Option<EntryTarget> {
    look.outing.as_ref().map(|outing| EntryTarget {
        outing: Arc::clone(outing),
        desk: Arc::clone(&app.desk),
    })
}

/// The page. Where a step of the last minutes stands ready the whole page goes out at once, and a script asks for the newest after it;
/// otherwise the question is on the screen while the step is worked out.
pub async fn show(State(app): State<Arc<App>>, context: Context, Query(asked): Query<Asked>) -> Response {
    let look = app.desk.look();
    let Some(target) = target_of(&app, &look) else {
        return waiting::instead(&app, &context, Here::Field, &look).into_response();
    };
    let scene = Scene {
        target,
        look,
        context,
        kept: asked.kept,
    };
    let (before, after) = in_two(&scene.context, Here::Field, "What now?", "Weighing what to try next …");
    let headers = [
        (header::CONTENT_TYPE, "text/html; charset=utf-8"),
        // Asked for anew each time; but a browser that goes back, or opens its pages again, may show the copy while we are gone.
        (header::CACHE_CONTROL, "private, no-cache"),
    ];
    let read = scene.read();
    if let Some(recent) = scene.recent(&read, asked.now.is_some()) {
        let text = before + &scene.drawn(&read, recent) + &after;
        return (headers, text).into_response();
    }
    let runtime = Arc::clone(app.desk.runtime());
    let moment = runtime.moment();
    let rest = Box::pin(async move {
        let made = match scene.weighed(&read).await {
            Some(step) => runtime.done(move || scene.drawn(&read, step)).await,
            None => None,
        };
        let rest = made.unwrap_or_else(|| html! { p.answer { "The next step could not be worked out." } }.0.into());
        rest.to_string() + &after
    });
    let body = match select(rest, moment).await {
        // There at once, mostly because somebody else has asked a moment ago: one piece, which is compressed on its way.
        Either::Left((rest, _)) => Body::from(before + &rest),
        Either::Right(((), rest)) => {
            let pieces = stream::once(async move { before }).chain(stream::once(rest));
            Body::from_stream(pieces.map(Ok::<String, Infallible>))
        }
    };
    (headers, body).into_response()
}

/// The clock as a page carries it, ms: the same for some seconds, so that a page is the same for all who ask meanwhile. A page counts as
/// old only after half a minute.
fn shown_clock_ms(now_ms: i64) -> i64 {
    now_ms.div_euclid(CLOCK_MS) * CLOCK_MS
}

/// The journal as it was read.
struct Read {
    day: Journaled,
    trouble: Option<String>,
}

/// The step that is shown.
#[derive(Default)]
struct Step {
    /// None without a plan.
    weighed: Option<Weighed>,
    /// It was worked out some minutes ago.
    earlier: bool,
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

    /// The journal, and what is the matter with it.
    fn read(&self) -> Read {
        match self.target.day() {
            Ok(day) => Read { day, trouble: None },
            Err(error) => Read {
                day: Journaled::default(),
                trouble: Some(error.to_string()),
            },
        }
    }

    /// The step that can be shown at once: one of the last minutes, unless the newest is asked for; that there is none without a plan.
    fn recent(&self, read: &Read, newest: bool) -> Option<Step> {
        if !matches!(self.look.stage, Stage::Ready(_)) {
            return Some(Step::default());
        }
        let desk = &self.target.desk;
        let recent = desk.steps().recent(&desk.rests(&read.day, self.look.turn))?;
        (recent.of_this_minute || !newest).then_some(Step {
            weighed: Some(recent.step),
            earlier: !recent.of_this_minute,
        })
    }

    /// The newest step, worked out now where it must be; none when that broke off.
    async fn weighed(&self, read: &Read) -> Option<Step> {
        match &self.look.stage {
            Stage::Ready(ready) => Some(Step {
                weighed: Some(self.target.desk.weighed(ready, &read.day, self.look.turn).await?),
                earlier: false,
            }),
            _ => Some(Step::default()),
        }
    }

    /// What stands below the question, drawn once for all who see the same.
    fn drawn(&self, read: &Read, step: Step) -> Arc<str> {
        let Some(weighed) = step
            .weighed
            .clone()
            .filter(|_| self.kept.is_none() && read.trouble.is_none())
        else {
            return self.markup(read, step).into_string().into();
        };
        let desk = &self.target.desk;
        let sight = Sight {
            rests: desk.rests(&read.day, self.look.turn),
            lines: read.day.lines.clone(),
            logs: self.context.logs(),
            share: self.context.share,
            pocket: self.context.pocket,
            earlier: step.earlier,
            clock_ms: shown_clock_ms(desk.runtime().now_ms()),
        };
        desk.drawings()
            .of(&weighed, sight, || self.markup(read, step).into_string())
    }

    /// The answer and all that stands below it.
    fn markup(&self, read: &Read, step: Step) -> Markup {
        let entries = &read.day.entries;
        let (answer, day) = match (&self.look.stage, step.weighed.as_deref()) {
            (Stage::Ready(ready), Some(Ok((step, whence)))) => stand::with_step(self, ready, step, *whence, entries),
            (_, Some(Err(why))) => (html! { (why) }, stand::without_step(self, &html! {}, entries)),
            (stage, _) => (
                html! { (stand::stage_words(stage)) },
                stand::without_step(self, &stand::stage_more(&self.context, stage, self.look.turn), entries),
            ),
        };
        let key = self.kept.as_ref();
        let kept = key.and_then(|key| kept_before(self.outing(), entries, key));
        let body = html! {
            (self.facts(&read.day, step.earlier))
            #day {
                @for line in read.day.lines.iter().chain(&read.trouble) { p.harm role="alert" { (line) } }
                (day)
            }
            (forms::status(kept.as_ref()))
            script src=(address("field.js")) type="module" {}
        };
        answered(&answer, &body)
    }

    /// What the page knows about outing and journal, for the entries that it makes; and the list of those that were not taken.
    fn facts(&self, read: &Journaled, earlier: bool) -> Markup {
        let here = self.target.here(read, None);
        html! {
            #facts hidden data-outing=(here.outing.unwrap_or_default()) data-name=(here.outing_name.unwrap_or_default())
                data-journal=[here.journal] data-clock=(shown_clock_ms(here.clock_ms)) data-share=(self.context.share) data-earlier[earlier] data-worker=[(!self.context.pocket).then_some("/worker.js")] {}
            section #aside hidden aria-label="Not entered" { h2 { "Not entered" } ul.cards-list {} }
            p #clocks.harm hidden {}
        }
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

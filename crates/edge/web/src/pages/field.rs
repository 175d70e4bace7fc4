//! On the hill: the next try in big type, its outcome with one touch, readings in short forms, undo. Entries that the server cannot
//! take wait in the browser, each under its own key, so that it is entered once.

use std::convert::Infallible;
use std::sync::Arc;

use axum::Json;
use axum::body::Body;
use axum::extract::{Form, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use farhop_earth::UtcTime;
use farhop_journal::short::{Setting, Understood, help, understand};
use farhop_journal::{EntryKey, Journal, NewEntry, echo, file_of};
use farhop_plan::next::Advice;
use farhop_report::next::NextReport;
use farhop_workshop::today::{NextAsk, NextStep, Today, Whence, next_step, now_for};
use futures_util::{StreamExt as _, stream};
use maud::{Markup, html};
use serde::{Deserialize, Serialize};

use crate::app::App;
use crate::assets::address;
use crate::desk::{Ready, Stage};
use crate::pages::waiting;
use crate::pages::words::moment;
use crate::shell::{Context, Here, answered, in_two, parts};

/// An entry as it comes from the page.
#[derive(Deserialize)]
pub struct Sent {
    /// Its own key, made by the browser: sent twice, it is entered once.
    #[serde(default)]
    key: String,
    /// The short form; empty where it comes as a reading.
    #[serde(default)]
    words: String,
    /// A short form with `{}` where the value goes.
    #[serde(default)]
    reading: String,
    /// The value of the reading.
    #[serde(default)]
    value: String,
    /// When it was made, seconds since 1970; none means now.
    #[serde(default)]
    at: Option<i64>,
}

impl Sent {
    /// The short form that was meant.
    fn short(&self) -> String {
        if self.reading.is_empty() {
            self.words.clone()
        } else {
            self.reading.replace("{}", self.value.trim())
        }
    }
}

/// What became of it.
#[derive(Serialize)]
struct Taken {
    ok: bool,
    said: String,
}

/// The page.
pub async fn show(State(app): State<Arc<App>>, context: Context) -> Response {
    let look = app.desk.look();
    let Stage::Ready(ready) = look.stage.clone() else {
        return waiting::instead(&app, &context, Here::Field, &look).into_response();
    };
    let (file, store) = (file_of(app.desk.path()), Arc::clone(app.desk.solutions()));
    // The question is on the screen while the next step is worked out.
    let (before, after) = in_two(&context, Here::Field, "What now?", "Weighing what to try next …");
    let rest = async move {
        let made = tokio::task::spawn_blocking(move || next_markup(&ready, &file, &store)).await;
        let rest = made.unwrap_or_else(|_| html! { p.answer { "The next step could not be worked out." } });
        rest.into_string() + &after
    };
    let pieces = stream::once(async move { before }).chain(stream::once(rest));
    let body = Body::from_stream(pieces.map(Ok::<String, Infallible>));
    ([(header::CONTENT_TYPE, "text/html; charset=utf-8")], body).into_response()
}

/// The answer and all that stands below it.
fn next_markup(ready: &Ready, file: &std::path::Path, store: &farhop_workshop::solutions::Solutions) -> Markup {
    let (answer, body) = match step(ready, file, store) {
        Ok((step, whence)) => screen(ready, &step, whence),
        Err(why) => (html! { (why) }, entering(ready, None)),
    };
    let body = html! { (body) script src=(address("field.js")) type="module" {} };
    answered(&answer, &body)
}

fn clock() -> Option<UtcTime> {
    UtcTime::from_unix_s(jiff::Timestamp::now().as_second()).ok()
}

fn step(
    ready: &Ready,
    file: &std::path::Path,
    store: &farhop_workshop::solutions::Solutions,
) -> Result<(NextStep, Whence), String> {
    let journal = Journal::open_if_there(file).map_err(|e| e.to_string())?;
    let entries = journal.map_or(Ok(Vec::new()), |j| j.entries().map_err(|e| e.to_string()))?;
    let (now, whence) = now_for(&ready.outing, &entries, clock());
    next_step(Today::at(&ready.outing, &entries, now), store, NextAsk::default()).map(|step| (step, whence))
}

fn screen(ready: &Ready, step: &NextStep, whence: Whence) -> (Markup, Markup) {
    let report = NextReport {
        step,
        zone: ready.zone.clone(),
    };
    let view = report.view();
    let calling = matches!(step.choice.advice, Advice::Call | Advice::Wait(_));
    let body = html! {
        @for sign in report.signs() { p.harm { (sign) } }
        @if calling {
            @if let Some(send) = &view.send { p { (send) } }
            @if let Some(hang) = &view.hang { p.small { (hang) } }
        }
        (entering(ready, view.best.as_ref().map(|b| (b.station.as_str(), b.freq_mhz, b.antenna.as_str(), b.messages.as_slice()))))
        section {
            h2 { "Instead" }
            ul {
                @for other in &view.alternatives { li { (other.words) ": " b { (other.chance.percent) " %" } " " (other.chance.word) } }
                @if view.alternatives.is_empty() { li { "Nothing else is open now." } }
            }
        }
        (parts::why("Why", &html! { ul { @for reason in &view.reasons { li { (reason) } } } }))
        section {
            h2 { "How things stand" }
            p { (report.window()) }
            p { (view.charge) }
            p { (view.sun) }
            p { @if view.messages_left.is_empty() { "No message is left." } @else { "Left: " (view.messages_left.join(", ")) "." } }
            ul.entries { @for line in report.last_entries() { li { (line) } } }
        }
        p.clock data-offset=(offset_s(ready)) { span data-clock="local" {} " " span data-clock="utc" {} }
        @if whence != Whence::Clock {
            p.small { "The clock is not within the outing: this looks from " (moment(step.today.now, &ready.zone)) "." }
        }
    };
    (html! { (report.advice()) }, body)
}

/// Seconds by which the outing's local time is ahead of UTC now.
fn offset_s(ready: &Ready) -> i32 {
    ready.zone.to_offset(jiff::Timestamp::now()).seconds()
}

/// Outcomes with one touch, readings, anything in a short form, undo.
fn entering(ready: &Ready, best: Option<(&str, f64, &str, &[String])>) -> Markup {
    let one = |words: String, label: &str, main: bool| {
        html! {
            form.entry method="post" action="/field/log" {
                input type="hidden" name="words" value=(words);
                button.main[main] { (label) }
            }
        }
    };
    html! {
        p #queue role="status" hidden {}
        @if let Some((station, freq_mhz, _, messages)) = best {
            section.outcomes aria-label="How did it end?" {
                h2 { "How did it end?" }
                @if let Some(bytes) = messages.first().and_then(|m| ready.outing.message(m)).map(|m| m.size_bytes) {
                    (one(format!("call {station} {freq_mhz} ok {bytes}"), &format!("Delivered {}", messages.first().map_or("", String::as_str)), true))
                }
                (one(format!("call {station} {freq_mhz} no"), "No answer", false))
                (one(format!("call {station} {freq_mhz} heard"), "Heard, no link", false))
                (one(format!("call {station} {freq_mhz} link"), "Linked, not sent", false))
            }
        }
        (reading(ready, best.map(|(_, freq_mhz, ..)| freq_mhz)))
        section {
            h2 { "Anything else" }
            form.entry.words method="post" action="/field/log" {
                label for="words" { "Shortly: " code { "noise 7 S4" } ", " code { "volt 12.4" } ", " code { "swr 7 2.1" } }
                div.row { input #words name="words" autocomplete="off" autocapitalize="off" enterkeyhint="send"; button { "Enter" } }
            }
            div.row {
                form.entry method="post" action="/field/undo" { button { "Undo" } }
                @for site in &ready.outing.sites { (one(format!("at {}", site.id), &format!("At {}", site.name), false)) }
            }
            (parts::why("All short forms", &html! { pre { (help(&ready.outing)) } }))
        }
    }
}

/// What was read off a meter, without typing words. Noise and SWR belong to the frequency that is tried, or to the first channel.
fn reading(ready: &Ready, freq_mhz: Option<f64>) -> Markup {
    let first = || {
        let channels = ready.outing.stations.iter().flat_map(|s| &s.channels);
        channels.map(|c| c.freq_mhz).next()
    };
    let mut kinds = vec![("volt {}".to_owned(), "Battery, V".to_owned())];
    if let Some(mhz) = freq_mhz.or_else(first) {
        kinds.push((format!("swr {mhz} {{}}"), format!("SWR on {mhz} MHz")));
        kinds.push((format!("noise {mhz} S{{}}"), format!("Noise on {mhz} MHz, S units")));
    }
    kinds.push(("panel {}".to_owned(), "Panel, A".to_owned()));
    html! {
        section {
            h2 { "A reading" }
            form.entry.row.reading method="post" action="/field/log" {
                select name="reading" aria-label="What was read" { @for (form, label) in &kinds { option value=(form) { (label) } } }
                input name="value" inputmode="decimal" autocomplete="off" aria-label="Value" required;
                button { "Enter" }
            }
        }
    }
}

/// Takes an entry.
pub async fn log(State(app): State<Arc<App>>, headers: HeaderMap, Form(sent): Form<Sent>) -> Response {
    let Stage::Ready(ready) = app.desk.look().stage else {
        return (
            StatusCode::SERVICE_UNAVAILABLE,
            "the outing is not ready yet; the entry waits",
        )
            .into_response();
    };
    let file = file_of(app.desk.path());
    let done = tokio::task::spawn_blocking(move || enter(&ready, &file, sent)).await;
    replied(&headers, done.unwrap_or_else(|e| Err(e.to_string())))
}

/// Takes the last entry back.
pub async fn undo(
    State(app): State<Arc<App>>,
    headers: HeaderMap,
    Form(sent): Form<Vec<(String, String)>>,
) -> Response {
    let file = file_of(app.desk.path());
    let key = sent.into_iter().find(|(k, _)| k == "key").map(|(_, v)| v);
    let done = tokio::task::spawn_blocking(move || take_back(&file, key.as_deref())).await;
    replied(&headers, done.unwrap_or_else(|e| Err(e.to_string())))
}

fn enter(ready: &Ready, file: &std::path::Path, sent: Sent) -> Result<String, String> {
    let mut journal = Journal::open(file).map_err(|e| e.to_string())?;
    let entries = journal.all().map_err(|e| e.to_string())?;
    let now = clock().ok_or("the clock of this machine is wrong")?;
    let made_at = sent.at.and_then(|s| UtcTime::from_unix_s(s).ok()).unwrap_or(now);
    // On a day that is not today (the demo, a rehearsal) entries follow the last one instead of the clock.
    let standing = journal.entries().map_err(|e| e.to_string())?;
    let (at, whence) = now_for(&ready.outing, &standing, Some(made_at));
    let at_text = jiff::Timestamp::from_second(at.unix_s())
        .map_err(|e| e.to_string())?
        .to_string();
    let setting = Setting {
        outing: &ready.outing,
        entries: &entries,
        now: if whence == Whence::Clock { now } else { at },
        at: Some(&at_text),
        who: None,
    };
    let words = sent.short();
    let Understood { body, .. } = understand(&words, &setting).map_err(|e| e.to_string())?;
    let key = if sent.key.is_empty() {
        None
    } else {
        Some(EntryKey::new(&sent.key).map_err(|e| e.to_string())?)
    };
    let new = NewEntry {
        key,
        entered_at: now,
        words: Some(words),
        body,
    };
    let entry = journal.append(new).map_err(|e| e.to_string())?;
    Ok(echo(&entry, &entries, &ready.outing))
}

fn take_back(file: &std::path::Path, key: Option<&str>) -> Result<String, String> {
    let mut journal = Journal::open(file).map_err(|e| e.to_string())?;
    let now = clock().ok_or("the clock of this machine is wrong")?;
    let key = key
        .filter(|k| !k.is_empty())
        .map(EntryKey::new)
        .transpose()
        .map_err(|e| e.to_string())?;
    journal.undo_last(now, None, key).map_err(|e| e.to_string())?;
    Ok("The last entry is taken back.".to_owned())
}

/// A script gets JSON; a form goes back to the page.
fn replied(headers: &HeaderMap, done: Result<String, String>) -> Response {
    let script = headers
        .get(header::ACCEPT)
        .is_some_and(|v| v.as_bytes().starts_with(b"application/json"));
    match (script, done) {
        (true, Ok(said)) => Json(Taken { ok: true, said }).into_response(),
        (true, Err(said)) => (StatusCode::UNPROCESSABLE_ENTITY, Json(Taken { ok: false, said })).into_response(),
        (false, Ok(_)) => Redirect::to("/field").into_response(),
        (false, Err(why)) => (
            StatusCode::UNPROCESSABLE_ENTITY,
            crate::shell::plain_page("That was not entered", &why),
        )
            .into_response(),
    }
}

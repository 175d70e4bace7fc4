//! What is broken? One question a screen. The search is the one of the command line, kept beside the outing.

use std::sync::Arc;

use axum::extract::{Form, State};
use axum::response::{IntoResponse, Redirect, Response};
use farhop_day::state;
use farhop_kit::fault::{Advice, CheckKind, Diagnosis, Finding, Symptom};
use farhop_next::noticed::{Noticed, noticed};
use farhop_next::today::now_for;
use farhop_outing::Outing;
use farhop_plan::readiness::{FaultSearch, KitModel};
use farhop_show::fault::{FaultReport, noticed_words, pending};
use maud::{Markup, html};
use serde::Deserialize;

use crate::app::App;
use crate::desk::Ready;
use crate::pages::with_plan;
use crate::shell::{Context, Here, Page, page, parts};
use crate::storage::Storage;

/// What was answered.
#[derive(Deserialize)]
pub struct Answered {
    /// `begin`, `ok`, `bad`, `part`, `undo` or `over`.
    act: String,
    /// Symptoms, for `begin`: places in the list, with commas.
    #[serde(default)]
    seen: String,
    /// The part that was found bad, for `part`.
    #[serde(default)]
    part: String,
    /// The antenna that hangs, for `begin`.
    #[serde(default)]
    antenna: String,
}

/// The page.
pub async fn show(State(app): State<Arc<App>>, context: Context) -> Response {
    with_plan(&app, &context, Here::Fault, |ready, context| {
        whole(&app, ready, context, None)
    })
}

/// The page, with what was wrong with the last answer.
fn whole(app: &App, ready: &Ready, context: &Context, wrong: Option<&str>) -> Markup {
    let (question, answer, body) = screen(app, ready, context, wrong);
    page(
        context,
        Page {
            here: Here::Fault,
            question: &question,
            answer,
            body,
        },
    )
}

fn screen(app: &App, ready: &Ready, context: &Context, wrong: Option<&str>) -> (String, Option<Markup>, Markup) {
    match app.desk.storage().search() {
        Err(why) => (
            "What do you see?".to_owned(),
            Some(html! { (why) }),
            begin(app, ready, context, wrong),
        ),
        Ok(Some(search)) if !search.symptoms.is_empty() => open(app, ready, context, &search, wrong),
        Ok(_) => ("What do you see?".to_owned(), None, begin(app, ready, context, wrong)),
    }
}

fn open(
    app: &App,
    ready: &Ready,
    context: &Context,
    search: &FaultSearch,
    wrong: Option<&str>,
) -> (String, Option<Markup>, Markup) {
    let worked = KitModel::alone(&ready.outing).and_then(|model| search.diagnose(&model).map(|d| (model, d)));
    match worked {
        Ok((model, diagnosis)) => {
            let report = FaultReport {
                model: &model,
                search,
                diagnosis: &diagnosis,
            };
            let body = html! {
                @if let Some(why) = wrong { p.wrong role="alert" { "Not taken: " (why) "." } }
                (asked(context, &ready.outing, &report, &model, &diagnosis))
            };
            ("What is broken?".to_owned(), Some(html! { (report.advice()) }), body)
        }
        Err(why) => (
            "What do you see?".to_owned(),
            Some(html! { (why) }),
            begin(app, ready, context, None),
        ),
    }
}

/// What the day knows already: symptoms with what showed them, and the antenna that hangs.
struct Known {
    noticed: Vec<Noticed>,
    antenna: Option<String>,
}

fn known(app: &App, ready: &Ready) -> Known {
    let outing = &ready.outing;
    let entries = app
        .desk
        .storage()
        .day(outing)
        .map(|day| day.entries)
        .unwrap_or_default();
    let entries = entries.standing();
    let (now, _) = now_for(outing, entries, app.desk.runtime().clock());
    let day = state(entries, outing, now);
    Known {
        noticed: noticed(&day),
        antenna: day.antenna().map(str::to_owned).filter(|_| !entries.is_empty()),
    }
}

fn begin(app: &App, ready: &Ready, context: &Context, wrong: Option<&str>) -> Markup {
    if !context.logs() {
        return html! { p { "No search is open. This device may look, not begin one." } };
    }
    let known = known(app, ready);
    let by = |symptom: Symptom| known.noticed.iter().find(|n| n.symptom == symptom);
    html! {
        @if !known.noticed.is_empty() {
            p.note { "Ticked from what the day has shown so far. Take away what is not so any more." }
        }
        form method="post" action="/fault" {
            fieldset.choices aria-describedby=[wrong.map(|_| "not-taken")] {
                legend { "One or more" }
                @if let Some(why) = wrong { p #not-taken.wrong role="alert" { "Not taken: " (why) "." } }
                @for (index, symptom) in Symptom::ALL.iter().enumerate() {
                    @let shown = by(*symptom);
                    label.tick {
                        input type="checkbox" name=(format!("seen{index}")) data-seen=(index) checked[shown.is_some()] autofocus[wrong.is_some() && index == 0];
                        span { (symptom.words()) @if let Some(shown) = shown { " " span.small { "(" (noticed_words(shown, &ready.reader)) ")" } } }
                    }
                }
            }
            p { label for="antenna" { "Which antenna hangs?" }
                select #antenna name="antenna" {
                    option value="" { "not sure" }
                    @for antenna in &ready.outing.kit.antennas {
                        option value=(antenna.id.as_str()) selected[known.antenna.as_deref() == Some(antenna.id.as_str())] { (antenna.name) }
                    }
                }
                @if known.antenna.is_some() { " " span.small { "as entered on the day" } }
            }
            button.main name="act" value="begin" { "Find it" }
        }
        p.small { "Switch off before you touch a lead. Never bridge a fuse, never short a battery. Get warm before you think." }
    }
}

fn asked(
    context: &Context,
    outing: &Outing,
    report: &FaultReport<'_>,
    model: &KitModel,
    diagnosis: &Diagnosis,
) -> Markup {
    let view = report.view();
    let asks = pending(model, &diagnosis.advice).is_some();
    let mending = matches!(diagnosis.advice, Advice::Mend(_) | Advice::Treat(_));
    html! {
        @if let Some(why) = &view.why { p { (why) } }
        @if let Some(caution) = view.caution { p.harm { (caution) } }
        @for recovery in &view.recovery {
            section {
                h2 { "How: " (recovery.name) }
                ul { @for note in &recovery.notes { li { (note) } } @if recovery.notes.is_empty() { li { (recovery.usual) } } }
            }
            @for id in &recovery.stand_ins {
                @let name = outing.kit.parts.iter().find(|p| p.id.as_str() == id).map_or(id.as_str(), |p| p.name.as_str());
                p { "In its place: " b { (name) } "." }
            }
        }
        @if context.logs() { form.answers method="post" action="/fault" {
            @if asks {
                button.main name="act" value="ok" { @if mending { "Done, and the trouble goes on" } @else { "In order" } }
                button name="act" value="bad" { @if mending { "It stays bad" } @else { "Bad" } }
            }
            @if mending { button name="act" value="over" { "It works again" } }
        } }
        // Apart from the answers, so that no cold hand meets them in their place.
        @if context.logs() { form.row.apart method="post" action="/fault" {
            @if !report.search.answers.is_empty() { button name="act" value="undo" { "Undo the last answer" } }
            @if !mending { button name="act" value="over" { "Begin again" } }
        } }
        @let next = report.next_checks();
        @if !next.is_empty() {
            section {
                h2 { "If it is not that: next, in this order" }
                table.list.cards {
                    thead { tr { th { "Check" } th { "At fault with" } th { "Takes" } th { "Why then" } } }
                    tbody { @for check in &next { tr {
                        th scope="row" { (check.name) }
                        td data-label="at fault with" { (check.chance.percent()) " % " (check.chance.word().word()) }
                        td data-label="takes" { (check.takes) }
                        td data-label="why then" { (check.why) }
                    } } }
                }
            }
        }
        @if context.logs() { details.why {
            summary { "I found another part bad" }
            div { form method="post" action="/fault" {
                p { label for="part" { "Which?" }
                    select #part name="part" { @for part in outing.kit.parts.iter().filter(|p| p.carried) { option value=(part.id.as_str()) { (part.name) } } } }
                button name="act" value="part" { "Found bad" }
            } }
        } }
        (parts::why("Why", &html! {
            p { "Seen: " (view.symptoms.join(", ")) "." }
            h3 { "Causes, the likeliest first" }
            table.list { tbody {
                @for cause in view.causes.iter().filter(|c| c.chance.percent >= 1).take(6) {
                    tr { th scope="row" { (cause.name) } td.number { (cause.chance.percent) " % " (cause.chance.word) } }
                }
            } }
            p { "Chances rest on common practice and rules from memory; two faults at once are looked for, three are not. The next check is the one that tells most for its minutes and risk: the likeliest and cheapest first." }
        }))
    }
}

/// Takes an answer.
pub async fn answer(State(app): State<Arc<App>>, context: Context, Form(raw): Form<Vec<(String, String)>>) -> Response {
    let Some(ready) = app.desk.look().shown().cloned() else {
        return Redirect::to("/fault").into_response();
    };
    let answered = collected(&raw);
    let storage = Arc::clone(app.desk.storage());
    let asked = Arc::clone(&ready);
    let kept = app.desk.runtime().done(move || act(&asked, &*storage, &answered)).await;
    let why = match kept {
        Some(Ok(())) => return Redirect::to("/fault").into_response(),
        Some(Err(why)) => why,
        None => "the answer could not be worked out".to_owned(),
    };
    let page = whole(&app, &ready, &context, Some(&why));
    (axum::http::StatusCode::UNPROCESSABLE_ENTITY, page).into_response()
}

/// Boxes that are ticked come as fields of their own.
fn collected(raw: &[(String, String)]) -> Answered {
    let value = |name: &str| {
        raw.iter()
            .find(|(k, _)| k == name)
            .map_or_else(String::new, |(_, v)| v.clone())
    };
    let seen: Vec<&str> = raw
        .iter()
        .filter_map(|(k, _)| k.strip_prefix("seen"))
        .filter(|s| !s.is_empty())
        .collect();
    Answered {
        act: value("act"),
        seen: seen.join(","),
        part: value("part"),
        antenna: value("antenna"),
    }
}

fn act(ready: &Ready, storage: &dyn Storage, answered: &Answered) -> Result<(), String> {
    let model = KitModel::alone(&ready.outing).map_err(|e| e.to_string())?;
    let open = || {
        storage
            .search()
            .and_then(|s| s.ok_or_else(|| "no search is open".to_owned()))
    };
    let search = match answered.act.as_str() {
        "begin" => FaultSearch {
            symptoms: symptoms(&answered.seen)?,
            in_use: if model.kit.find(&answered.antenna).is_ok() {
                vec![answered.antenna.clone()]
            } else {
                Vec::new()
            },
            ..FaultSearch::default()
        },
        "over" => FaultSearch::default(),
        "undo" => {
            let mut search = open()?;
            search.answers.pop();
            search
        }
        "part" => {
            let mut search = open()?;
            model.kit.find(&answered.part).map_err(|e| e.to_string())?;
            search.answer(&answered.part, CheckKind::Itself, Finding::Bad);
            search
        }
        finding => {
            let mut search = open()?;
            let diagnosis = search.diagnose(&model).map_err(|e| e.to_string())?;
            let (about, kind) = pending(&model, &diagnosis.advice).ok_or("nothing is being asked now")?;
            search.answer(&about, kind, if finding == "ok" { Finding::Ok } else { Finding::Bad });
            search
        }
    };
    if !search.symptoms.is_empty() {
        search.diagnose(&model).map_err(|e| e.to_string())?;
    }
    storage.keep_search(&search)
}

fn symptoms(seen: &str) -> Result<Vec<Symptom>, String> {
    let places = seen.split(',').filter_map(|s| s.parse::<usize>().ok());
    let found: Vec<Symptom> = places.filter_map(|i| Symptom::ALL.get(i).copied()).collect();
    if found.is_empty() {
        Err("tick what you see, one box or more".to_owned())
    } else {
        Ok(found)
    }
}

//! Edit the outing: its main values in forms, and the whole file as text. The file stays the truth: comments and order are kept.

use std::sync::Arc;

use axum::extract::{Form, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use farhop_outing_file::{Problem, STARTER_FILES};
use maud::{Markup, html};
use serde::Deserialize;
use toml_edit::{DocumentMut, Item, Value};

use crate::app::App;
use crate::desk::{Look, SaveError, Stage};
use crate::shell::{Context, Here, Page, page, parts};

/// The whole text, with the content on which it was based.
#[derive(Deserialize)]
pub struct Whole {
    text: String,
    base: String,
}

/// Keys that the forms show, by table: key, label.
const HEADER: [(&str, &str); 6] = [
    ("name", "Name"),
    ("start", "Start, local time"),
    ("end", "End, local time"),
    ("time_zone", "Time zone"),
    ("callsign", "Callsign"),
    ("reserve", "Reserve of the battery, 0 to 1"),
];
const SITE: [(&str, &str); 6] = [
    ("name", "Name"),
    ("place", "Place"),
    ("elevation_m", "Height, m"),
    ("noise", "Noise"),
    ("walk_in_h", "Walk in, h"),
    ("temperature_c", "Temperature, °C"),
];
const STATION: [(&str, &str); 4] = [
    ("callsign", "Callsign"),
    ("name", "Name"),
    ("place", "Place"),
    ("power_w", "Power, W"),
];
const MESSAGE: [(&str, &str); 4] = [
    ("bytes", "Bytes"),
    ("ready", "Ready"),
    ("deadline", "Deadline"),
    ("priority", "Priority"),
];
const CONDITIONS: [(&str, &str); 5] = [
    ("ssn", "Sunspot number R12"),
    ("flux_sfu", "Solar flux, sfu"),
    ("k", "K index"),
    ("a", "A index"),
    ("sun_share", "Share of clear-sky sun"),
];
const RADIO: [(&str, &str); 3] = [
    ("power_w", "Power, W"),
    ("noise_figure_db", "Noise figure, dB"),
    ("min_v", "Lowest voltage to send, V"),
];

/// The page with the forms.
pub async fn show(State(app): State<Arc<App>>, context: Context) -> Response {
    let look = app.desk.look();
    render(&app, &context, &look, None)
}

fn render(app: &App, context: &Context, look: &Look, refused: Option<(StatusCode, Markup)>) -> Response {
    let demo = app.desk.path().is_none();
    let problems = problems_of(app, look);
    let answer = match (&look.stage, demo) {
        (Stage::Missing, _) => html! { "There is no file yet: begin with the commented starter." },
        (_, true) => {
            html! { "This is the demo inside the program: look, but it cannot be saved. " code { "farhop serve DIR/outing.toml" } " begins one of your own." }
        }
        _ if problems.iter().any(Problem::is_error) => html! { "The file has errors: mend them below." },
        _ => html! { "The file is sound." },
    };
    let (status, note) = refused.map_or((StatusCode::OK, html! {}), |(status, note)| (status, note));
    let body = html! {
        (note)
        @if matches!(look.stage, Stage::Missing) {
            form method="post" action="/edit/start" { button.main { "Begin with the starter" } }
        } @else {
            (parts::problems(&problems))
            (forms(look, &problems))
            section #text {
                h2 { "The whole file" }
                form method="post" action="/edit/text" {
                    input type="hidden" name="base" value=(look.hash);
                    label for="file" { "Text of " (app.desk.folder().name()) }
                    textarea.file #file name="text" rows="30" spellcheck="false" { (look.text) }
                    div.row { button.main disabled[demo] { "Save the text" } }
                }
                @if app.desk.folder().previous().is_some() {
                    form method="post" action="/edit/undo" {
                        input type="hidden" name="base" value=(look.hash);
                        button { "Undo the last save" }
                    }
                }
            }
        }
    };
    let page = page(
        context,
        Page {
            here: Here::Edit,
            question: "What is the outing?",
            answer: Some(answer),
            body,
        },
    );
    (status, page).into_response()
}

fn problems_of(app: &App, look: &Look) -> Vec<Problem> {
    match &look.stage {
        Stage::Missing | Stage::Unreadable(_) => Vec::new(),
        _ => app.desk.folder().reading_of(&look.text).problems,
    }
}

fn forms(look: &Look, problems: &[Problem]) -> Markup {
    let Ok(document) = look.text.parse::<DocumentMut>() else {
        return html! { p { "The text is no TOML yet; mend it below, then the forms come back." } };
    };
    let count = |table: &str| {
        document
            .get(table)
            .and_then(Item::as_array_of_tables)
            .map_or(0, toml_edit::ArrayOfTables::len)
    };
    html! {
        form.values method="post" action="/edit/values" {
            input type="hidden" name="base" value=(look.hash);
            (group(&document, problems, &look.text, "Outing", "outing", &HEADER))
            @for i in 0..count("site") { (group(&document, problems, &look.text, &format!("Site {}", i + 1), &format!("site.{i}"), &SITE)) }
            @for i in 0..count("station") { (group(&document, problems, &look.text, &format!("Station {}", i + 1), &format!("station.{i}"), &STATION)) }
            span #messages {}
            @for i in 0..count("message") { (group(&document, problems, &look.text, &format!("Message {}", i + 1), &format!("message.{i}"), &MESSAGE)) }
            (group(&document, problems, &look.text, "Transceiver", "kit.transceiver", &RADIO))
            (group(&document, problems, &look.text, "Conditions", "conditions", &CONDITIONS))
            div.row { button.main { "Save" } span.small { "An empty field takes its key out of the file. Everything else stays as it is." } }
        }
    }
}

fn group(
    document: &DocumentMut,
    problems: &[Problem],
    text: &str,
    title: &str,
    path: &str,
    keys: &[(&str, &str)],
) -> Markup {
    let id = at(document, path)
        .and_then(|t| t.get("id"))
        .and_then(Item::as_str)
        .unwrap_or("");
    html! {
        details.group open[path == "outing"] {
            summary { (title) @if !id.is_empty() { ": " (id) } }
            div.fields {
                @for (key, label) in keys {
                    @let name = format!("{path}.{key}");
                    @let item = at(document, path).and_then(|t| t.get(key));
                    @let wrong = problem_of(problems, text, item);
                    label {
                        (label)
                        input name=(name) value=(item.map_or_else(String::new, shown)) aria-invalid=[wrong.map(|_| "true")];
                        @if let Some(problem) = wrong { span.wrong { (problem.cause) ". " (problem.hint) } }
                    }
                }
            }
        }
    }
}

/// The problem whose line is that of an item.
fn problem_of<'a>(problems: &'a [Problem], text: &str, item: Option<&Item>) -> Option<&'a Problem> {
    let value = shown(item?);
    problems.iter().find(|p| {
        p.is_error() && p.source_line.contains(value.as_str()) && !value.is_empty() && text.contains(&p.source_line)
    })
}

/// A table by its path: `outing`, `site.0`, `kit.transceiver`.
fn at<'a>(document: &'a DocumentMut, path: &str) -> Option<&'a dyn toml_edit::TableLike> {
    let mut item: &Item = document.as_item();
    for step in path.split('.') {
        item = match step.parse::<usize>() {
            Ok(index) => {
                return item
                    .as_array_of_tables()?
                    .get(index)
                    .map(|t| t as &dyn toml_edit::TableLike);
            }
            Err(_) => item.get(step)?,
        };
    }
    item.as_table_like()
}

/// A value as a person writes it: text without quotes.
fn shown(item: &Item) -> String {
    match item.as_value() {
        Some(Value::String(text)) => text.value().clone(),
        Some(other) => {
            // Without the remark behind it.
            let mut bare = other.clone();
            bare.decor_mut().clear();
            bare.to_string().trim().to_owned()
        }
        None => String::new(),
    }
}

/// Saves the whole text.
pub async fn text(State(app): State<Arc<App>>, context: Context, Form(whole): Form<Whole>) -> Response {
    // Browsers send line ends of their own.
    let text = whole.text.replace("\r\n", "\n");
    saved(&app, &context, &text, &whole.base)
}

/// Saves the values of the forms.
pub async fn values(
    State(app): State<Arc<App>>,
    context: Context,
    Form(fields): Form<Vec<(String, String)>>,
) -> Response {
    let base = fields
        .iter()
        .find(|(k, _)| k == "base")
        .map_or("", |(_, v)| v.as_str())
        .to_owned();
    let look = app.desk.look();
    if look.hash != base {
        return stale(&app, &context, None);
    }
    let Ok(mut document) = look.text.parse::<DocumentMut>() else {
        return render(&app, &context, &look, None);
    };
    for (name, value) in fields.iter().filter(|(k, _)| k != "base") {
        if let Some((path, key)) = name.rsplit_once('.') {
            set(&mut document, path, key, value.trim());
        }
    }
    saved(&app, &context, &document.to_string(), &base)
}

/// Sets, changes or takes out one key; what has not changed is not touched, so that its form and remarks stay.
fn set(document: &mut DocumentMut, path: &str, key: &str, value: &str) {
    let known = [&HEADER[..], &SITE, &STATION, &MESSAGE, &CONDITIONS, &RADIO].concat();
    if !known.iter().any(|(k, _)| *k == key) {
        return;
    }
    let mut item: &mut Item = document.as_item_mut();
    let mut table: Option<&mut dyn toml_edit::TableLike> = None;
    for step in path.split('.') {
        match step.parse::<usize>() {
            Ok(index) => {
                let Some(tables) = item.as_array_of_tables_mut() else {
                    return;
                };
                let Some(found) = tables.get_mut(index) else { return };
                table = Some(found);
                break;
            }
            Err(_) => match item.get_mut(step) {
                Some(next) => item = next,
                None => return,
            },
        }
    }
    let target = match table {
        Some(table) => table,
        None => match item.as_table_like_mut() {
            Some(table) => table,
            None => return,
        },
    };
    let old = target.get(key).map(shown);
    if old.as_deref().unwrap_or("") == value {
        return;
    }
    if value.is_empty() {
        target.remove(key);
        return;
    }
    let text_before = target.get(key).and_then(Item::as_value).is_some_and(Value::is_str);
    let parsed = value.parse::<Value>().ok().filter(|_| !text_before);
    let mut fresh = parsed.unwrap_or_else(|| Value::from(value));
    if let Some(old) = target.get(key).and_then(Item::as_value) {
        *fresh.decor_mut() = old.decor().clone();
    }
    target.insert(key, Item::Value(fresh));
}

/// Puts the text before the last save back.
pub async fn undo(
    State(app): State<Arc<App>>,
    context: Context,
    Form(fields): Form<Vec<(String, String)>>,
) -> Response {
    let base = fields
        .iter()
        .find(|(k, _)| k == "base")
        .map_or("", |(_, v)| v.as_str())
        .to_owned();
    match app.desk.folder().previous() {
        Some(text) => saved(&app, &context, &text, &base),
        None => Redirect::to("/edit").into_response(),
    }
}

/// Makes the first file.
pub async fn start(State(app): State<Arc<App>>, context: Context) -> Response {
    match app.desk.folder().start(STARTER_FILES[0].text) {
        Ok(()) => Redirect::to("/edit").into_response(),
        Err(why) => {
            let look = app.desk.look();
            let note = html! { p.wrong { (why) } };
            render(&app, &context, &look, Some((StatusCode::CONFLICT, note)))
        }
    }
}

fn saved(app: &Arc<App>, context: &Context, text: &str, base: &str) -> Response {
    match app.desk.folder().save(text, base) {
        Ok(()) => {
            // The plan of the new text begins at once.
            let _ = app.desk.look();
            Redirect::to("/edit").into_response()
        }
        Err(SaveError::Stale) => stale(app, context, Some(text)),
        Err(why) => {
            let look = app.desk.look();
            let note = html! { p.wrong role="alert" { (why) } };
            render(app, context, &look, Some((StatusCode::CONFLICT, note)))
        }
    }
}

/// Nothing is lost: the file as it is now stands in the page, and what was sent stands above it.
fn stale(app: &App, context: &Context, mine: Option<&str>) -> Response {
    // The look is taken anew: it holds what the other has saved.
    let look = Look {
        text: app
            .desk
            .folder()
            .snapshot("")
            .ok()
            .flatten()
            .map_or_else(|| "".into(), |s| s.text.as_str().into()),
        hash: String::new(),
        stage: Stage::Stopped,
        turn: 0,
    };
    let look = Look {
        hash: crate::desk::hash_of(&look.text),
        ..look
    };
    let note = html! {
        section role="alert" {
            p.wrong { "Somebody else has saved meanwhile, so yours was not saved. Below is the file as it is now; make your change there again." }
            @if let Some(mine) = mine {
                label { "What you sent, to copy from" textarea.file rows="12" readonly { (mine) } }
            }
        }
    };
    render(app, context, &look, Some((StatusCode::CONFLICT, note)))
}

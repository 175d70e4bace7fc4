//! Edit the outing: its main values in forms, and the whole file as text. The file stays the truth: comments and order are kept.

mod adding;
mod common;
mod document;
mod fields;
mod forms;
mod groups;
mod hanging;
mod pasted;
mod places;
mod summary;

use std::sync::Arc;

use axum::extract::{Form, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use farhop_outing_file::{Problem, STARTER_FILES};
use maud::{Markup, html};
use serde::Deserialize;

use crate::app::App;
use crate::desk::{Look, Stage};
use document::with_values;
use forms::forms;
use groups::{all_keys, antenna_key};
use pasted::{NotTaken, with_stations};
pub(crate) use places::spot;
use places::with_waypoints;

use crate::assets::address;

use crate::shell::{Context, Here, Page, page, parts};
use crate::storage::SaveError;

/// The whole text, with the content on which it was based.
#[derive(Deserialize)]
pub struct Whole {
    text: String,
    base: String,
}

/// The page with the forms.
pub async fn show(State(app): State<Arc<App>>, context: Context) -> Response {
    let look = app.desk.look();
    render(&app, &context, &look, None)
}

fn render(app: &App, context: &Context, look: &Look, refused: Option<(StatusCode, Markup)>) -> Response {
    let demo = app.desk.storage().place().is_none();
    let problems = problems_of(app, look);
    let answer = match (&look.stage, demo) {
        _ if !context.edits() => html! { "This device may " (context.role.may()) "; it cannot change the outing." },
        (Stage::Missing, _) => html! { "There is no file yet: begin with the commented starter." },
        (_, true) => {
            html! { "This is the demo inside the program: look, but it cannot be saved. " code { "farhop serve DIR/outing.toml" } " begins one of your own." }
        }
        _ if problems.iter().any(Problem::is_error) => {
            let count = problems.iter().filter(|p| p.is_error()).count();
            html! { "A draft: " (count) @if count == 1 { " thing is" } @else { " things are" } " missing or wrong." @if look.sound.is_some() { " The last sound version stays in use." } }
        }
        _ => html! { "The file is sound." },
    };
    let (status, note) = refused.map_or((StatusCode::OK, html! {}), |(status, note)| (status, note));
    let body = html! {
        (note)
        @if !context.edits() {
            (parts::problems(&problems))
            section #text { h2 { "The whole file" } pre tabindex="0" { (look.text) } }
        } @else if matches!(look.stage, Stage::Missing) {
            div.row {
                form method="post" action="/edit/start" { button.main { "Begin with the starter" } }
                form method="post" action="/edit/start" { input type="hidden" name="from" value="nothing"; button { "Begin from nothing" } }
            }
            p.small { "The starter is a sound outing with remarks, to be changed. From nothing, the form asks for each thing in turn." }
        } @else {
            (forms(look, &problems, demo))
            section #text {
                h2 { "The whole file" }
                form method="post" action="/edit/text" {
                    input type="hidden" name="base" value=(look.hash);
                    label for="file" { "Text of " (app.desk.folder().name()) }
                    textarea.file #file name="text" rows="30" spellcheck="false" { (look.text) }
                    div.row { button.main disabled[demo] { "Save the text" } }
                }
                @if app.desk.storage().previous().is_some() {
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
            body: html! { (body) script src=(address("edit.js")) type="module" {} },
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
    let base = base_of(&fields);
    let look = app.desk.look();
    match typed(&app, &context, &look, &fields) {
        Ok(Some(text)) => saved(&app, &context, &text, base),
        Ok(None) => render(&app, &context, &look, None),
        Err(stale) => *stale,
    }
}

/// The file's text with what was typed in the forms, none where it is no TOML; or, where somebody else has saved meanwhile, the page
/// that gives the typing back, on the text that it was typed for.
fn typed(
    app: &App,
    context: &Context,
    look: &Look,
    fields: &[(String, String)],
) -> Result<Option<String>, Box<Response>> {
    let base = base_of(fields);
    if look.hash == base {
        return Ok(with_values(&look.text, known(fields)));
    }
    let theirs = app.desk.folder().remembered(base);
    let mine = theirs.and_then(|text| with_values(&text, known(fields)));
    Err(Box::new(stale(app, context, mine.as_deref())))
}

/// The hash of the text from which a form was made.
fn base_of(fields: &[(String, String)]) -> &str {
    sent(fields, "base")
}

/// What stands in a field that was sent; empty where there is none of that name.
fn sent<'a>(fields: &'a [(String, String)], name: &str) -> &'a str {
    fields.iter().find(|(k, _)| k == name).map_or("", |(_, v)| v.as_str())
}

/// The fields that the forms have.
fn known(fields: &[(String, String)]) -> impl Iterator<Item = (&str, &str)> {
    let all = all_keys();
    let pairs = fields.iter().map(|(name, value)| (name.as_str(), value.as_str()));
    pairs.filter(move |(name, _)| {
        let (path, key) = name.rsplit_once('.').unwrap_or_default();
        all.iter().any(|known| known.key == key) || (path.starts_with("kit.antenna.") && antenna_key(key))
    })
}

/// Puts the text before the last save back.
pub async fn undo(
    State(app): State<Arc<App>>,
    context: Context,
    Form(fields): Form<Vec<(String, String)>>,
) -> Response {
    let base = base_of(&fields);
    match app.desk.storage().previous() {
        Some(text) => saved(&app, &context, &text, base),
        None => Redirect::to("/edit").into_response(),
    }
}

/// An outing of which nothing is known yet but what nobody goes without: a transceiver and a modem, as in the starter.
const NOTHING: &str = "[outing]\nname = \"Outing\"\nstart = \"\"\nend = \"\"\n\n[kit.transceiver]\npower_levels_w = [1, 5]\npower_w = 5\n\n[kit.modem]\nactive_w = 1.5\n";

/// Makes the first file.
pub async fn start(
    State(app): State<Arc<App>>,
    context: Context,
    Form(fields): Form<Vec<(String, String)>>,
) -> Response {
    let nothing = fields.iter().any(|(k, v)| k == "from" && v == "nothing");
    let text = if nothing { NOTHING } else { STARTER_FILES[0].text };
    match app.desk.storage().start(text) {
        Ok(()) => Redirect::to("/edit").into_response(),
        Err(why) => {
            let look = app.desk.look();
            let note = html! { p.wrong { (why) } };
            render(&app, &context, &look, Some((StatusCode::CONFLICT, note)))
        }
    }
}

/// Adds what is asked for, or takes it out; what was typed in the forms is kept with it.
pub async fn change(
    State(app): State<Arc<App>>,
    context: Context,
    Form(fields): Form<Vec<(String, String)>>,
) -> Response {
    let base = base_of(&fields);
    let look = app.desk.look();
    let typed = match typed(&app, &context, &look, &fields) {
        Ok(text) => text.unwrap_or_else(|| look.text.to_string()),
        Err(stale) => return *stale,
    };
    let asked = |name: &str| Some(sent(&fields, name)).filter(|value| !value.is_empty());
    let changed = match (asked("add"), asked("remove")) {
        (Some(what), _) => {
            let what = match what {
                "kit.antenna" => format!("kit.antenna:{}", asked("kind").unwrap_or_default()),
                "common" => format!("common:{}", asked("common").unwrap_or_default()),
                other => other.to_owned(),
            };
            adding::added(&typed, &what).map(|added| (added.text, Some(added.path)))
        }
        (None, Some(path)) => adding::removed(&typed, path).map(|text| (text, None)),
        (None, None) => Some((typed, None)),
    };
    match changed {
        Some((text, fresh)) => saved_toward(&app, &context, &text, base, fresh.as_deref()),
        None => refused(
            &app,
            &context,
            &look,
            html! { p.wrong role="alert" { "That cannot be added or removed here, or it is in the kit already; the text of the file below takes any change." } },
        ),
    }
}

/// Takes a table of stations.
pub async fn stations(
    State(app): State<Arc<App>>,
    context: Context,
    Form(fields): Form<Vec<(String, String)>>,
) -> Response {
    let base = base_of(&fields);
    let look = app.desk.look();
    let table = sent(&fields, "table");
    match with_stations(&look.text, &table.replace("\r\n", "\n")) {
        Ok((text, _)) => saved(&app, &context, &text, base),
        Err(why) => refused(&app, &context, &look, not_taken(&why, table)),
    }
}

/// Takes the waypoints of a GPX file.
pub async fn places(
    State(app): State<Arc<App>>,
    context: Context,
    Form(fields): Form<Vec<(String, String)>>,
) -> Response {
    let base = base_of(&fields);
    let look = app.desk.look();
    let gpx = sent(&fields, "gpx");
    match with_waypoints(&look.text, gpx) {
        Ok((text, _)) => saved(&app, &context, &text, base),
        Err(why) => {
            let why = html! { p { (why) "." } };
            refused(&app, &context, &look, given_back("The file", &why, gpx))
        }
    }
}

/// Why a table was not taken, and the table again, so that it can be mended.
fn not_taken(why: &NotTaken, table: &str) -> Markup {
    let why = html! {
        @match why {
            NotTaken::Wrong(problems) => (parts::problems(problems)),
            NotTaken::Column(column) => p { "The column " (column) " is read from a file only: save the table beside the outing and write [stations_csv] with file = its name." },
            NotTaken::NoToml => p { "The text of the outing is no TOML yet; mend it below." },
        }
    };
    given_back("The table", &why, table)
}

/// What was sent and not taken, with the reason.
fn given_back(what: &str, why: &Markup, sent: &str) -> Markup {
    html! {
        section role="alert" {
            p.wrong { (what) " was not taken; nothing was changed." }
            (why)
            label { "What you sent, to copy from" textarea.file rows="8" readonly { (sent) } }
        }
    }
}

fn refused(app: &App, context: &Context, look: &Look, note: Markup) -> Response {
    render(app, context, look, Some((StatusCode::UNPROCESSABLE_ENTITY, note)))
}

fn saved(app: &Arc<App>, context: &Context, text: &str, base: &str) -> Response {
    saved_toward(app, context, text, base, None)
}

/// Saves, and leads to what was added, else to what is wrong.
fn saved_toward(app: &Arc<App>, context: &Context, text: &str, base: &str, toward: Option<&str>) -> Response {
    match app.desk.storage().save(text, base) {
        Ok(()) => {
            // The plan of the new text begins at once.
            let look = app.desk.look();
            let wrong = || problems_of(app, &look).iter().any(Problem::is_error);
            let place = toward.or_else(|| wrong().then_some("problems"));
            let address = place.map_or_else(|| "/edit".to_owned(), |place| format!("/edit#{place}"));
            Redirect::to(&address).into_response()
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
            .snapshot()
            .ok()
            .flatten()
            .map_or_else(|| "".into(), |s| s.text.as_str().into()),
        hash: String::new(),
        stage: Stage::Stopped,
        turn: 0,
        outing: None,
        sound: None,
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

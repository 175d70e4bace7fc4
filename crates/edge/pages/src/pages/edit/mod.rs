//! Edit the outing: its main values in forms, and the whole file as text. The file stays the truth: comments and order are kept.

mod document;

use std::sync::Arc;

use axum::extract::{Form, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use farhop_outing::rows::{About, Section, form_keys};
use farhop_outing::{Channel, Conditions, Header, Message, Site, Station, Transceiver};
use farhop_outing_file::{Problem, STARTER_FILES};
use maud::{Markup, html};
use serde::Deserialize;
use toml_edit::Item;

use crate::app::App;
use crate::desk::{Look, Stage};
use document::{Placed, count, line_of, placed, shown, table, with_values};

use crate::shell::{Context, Here, Page, page, parts};
use crate::storage::SaveError;

/// The whole text, with the content on which it was based.
#[derive(Deserialize)]
pub struct Whole {
    text: String,
    base: String,
}

/// All keys that the forms show.
fn all_keys() -> Vec<&'static About> {
    [
        form_keys::<Header>(),
        form_keys::<Site>(),
        form_keys::<Station>(),
        form_keys::<Channel>(),
        form_keys::<Message>(),
        form_keys::<Transceiver>(),
        form_keys::<Conditions>(),
    ]
    .concat()
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

fn forms(look: &Look, problems: &[Problem], demo: bool) -> Markup {
    let Some(document) = placed(&look.text) else {
        return html! { p { "The text is no TOML yet; mend it below, then the forms come back." } };
    };
    let form = Forms {
        document: &document,
        text: &look.text,
        problems,
    };
    let many = |list: &str| 0..count(&document, "", list);
    html! {
        form.values method="post" action="/edit/values" {
            input type="hidden" name="base" value=(look.hash);
            (form.group::<Header>("Outing", "outing"))
            @for i in many("site") { (form.group::<Site>(&format!("Site {}", i + 1), &format!("site.{i}"))) }
            @for i in many("station") { (form.group::<Station>(&format!("Station {}", i + 1), &format!("station.{i}"))) }
            span #messages {}
            @for i in many("message") { (form.group::<Message>(&format!("Message {}", i + 1), &format!("message.{i}"))) }
            (form.group::<Transceiver>("Transceiver", "kit.transceiver"))
            (form.group::<Conditions>("Conditions", "conditions"))
            div.row { button.main disabled[demo] { "Save" } span.small { "An empty field takes its key out of the file. Everything else stays as it is." } }
        }
    }
}

/// What the forms are made from.
struct Forms<'a> {
    document: &'a Placed,
    text: &'a str,
    problems: &'a [Problem],
}

impl Forms<'_> {
    /// A table with its fields, folded unless something in it is wrong.
    fn group<T: Section>(&self, title: &str, path: &str) -> Markup {
        let keys = form_keys::<T>();
        let Some(here) = table(self.document, path) else {
            return html! {};
        };
        let id = here.get("id").and_then(Item::as_str).unwrap_or("");
        let channels = 0..count(self.document, path, "channels");
        let wrong = keys.iter().any(|about| self.problem(here.get(about.key)).is_some());
        html! {
            details.group open[path == "outing" || wrong] {
                summary { (title) @if !id.is_empty() { ": " (id) } }
                div.fields {
                    @for about in &keys { (self.field(path, about.key, about.form.unwrap_or_default(), here.get(about.key))) }
                    @for i in channels {
                        @let path = format!("{path}.channels.{i}");
                        @let channel = table(self.document, &path);
                        @for about in form_keys::<Channel>() {
                            @let label = format!("Channel {}: {}", i + 1, about.form.unwrap_or_default());
                            (self.field(&path, about.key, &label, channel.and_then(|c| c.get(about.key))))
                        }
                    }
                }
            }
        }
    }

    fn field(&self, path: &str, key: &str, label: &str, item: Option<&Item>) -> Markup {
        let wrong = self.problem(item);
        html! {
            label {
                (label)
                input name=(format!("{path}.{key}")) value=(item.map_or_else(String::new, shown)) aria-invalid=[wrong.map(|_| "true")];
                @if let Some(problem) = wrong { span.wrong { (problem.cause) ". " (problem.hint) } }
            }
        }
    }

    /// The problem that stands on the line of a value.
    fn problem(&self, item: Option<&Item>) -> Option<&Problem> {
        let line = line_of(self.text, item?)?;
        self.problems.iter().find(|p| p.line == line)
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
    if look.hash != base {
        // What was typed, on the text that it was typed for.
        let theirs = app.desk.folder().remembered(base);
        let mine = theirs.and_then(|text| with_values(&text, known(&fields)));
        return stale(&app, &context, mine.as_deref());
    }
    match with_values(&look.text, known(&fields)) {
        Some(text) => saved(&app, &context, &text, base),
        None => render(&app, &context, &look, None),
    }
}

/// The hash of the text from which a form was made.
fn base_of(fields: &[(String, String)]) -> &str {
    fields.iter().find(|(k, _)| k == "base").map_or("", |(_, v)| v.as_str())
}

/// The fields that the forms have.
fn known(fields: &[(String, String)]) -> impl Iterator<Item = (&str, &str)> {
    let all = all_keys();
    let pairs = fields.iter().map(|(name, value)| (name.as_str(), value.as_str()));
    pairs.filter(move |(name, _)| {
        let key = name.rsplit_once('.').map_or("", |(_, key)| key);
        all.iter().any(|known| known.key == key)
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

/// Makes the first file.
pub async fn start(State(app): State<Arc<App>>, context: Context) -> Response {
    match app.desk.storage().start(STARTER_FILES[0].text) {
        Ok(()) => Redirect::to("/edit").into_response(),
        Err(why) => {
            let look = app.desk.look();
            let note = html! { p.wrong { (why) } };
            render(&app, &context, &look, Some((StatusCode::CONFLICT, note)))
        }
    }
}

fn saved(app: &Arc<App>, context: &Context, text: &str, base: &str) -> Response {
    match app.desk.storage().save(text, base) {
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
            .snapshot()
            .ok()
            .flatten()
            .map_or_else(|| "".into(), |s| s.text.as_str().into()),
        hash: String::new(),
        stage: Stage::Stopped,
        turn: 0,
        outing: None,
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

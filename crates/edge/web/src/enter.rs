//! The door: the pass phrase, and the invitation with its QR code.

use std::sync::Arc;

use axum::extract::{ConnectInfo, Form, Query, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use fast_qr::qr::{QRBuilder, QRCode};
use maud::{Markup, html};
use serde::Deserialize;

use crate::app::App;
use crate::guard::{SESSION_COOKIE, Wire};
use farhop_pages::delivery::{Answer, Refused, wants_data};
use farhop_pages::shell::{Context, Here, Page, cookie, page};
use farhop_pages::{FIELD, code_svg};

/// Where to go after the door.
#[derive(Default, Deserialize)]
pub struct Way {
    #[serde(default)]
    to: String,
}

impl Way {
    fn address(&self) -> &'static str {
        if self.to == "field" { FIELD } else { "/" }
    }
}

/// The door.
pub async fn show(State(app): State<Arc<App>>, headers: HeaderMap, Query(way): Query<Way>) -> Response {
    if app.pages.share {
        door(&seen_by(&app, &headers), &way, None).into_response()
    } else {
        Redirect::to("/").into_response()
    }
}

fn seen_by(app: &App, headers: &HeaderMap) -> Context {
    Context::of(headers, app.pages.share)
}

fn door(context: &Context, way: &Way, wrong: Option<&str>) -> Markup {
    let body = html! {
        form #enter method="post" action="/enter" {
            @if let Some(wrong) = wrong { p.wrong role="alert" { (wrong) } }
            @if way.address() == FIELD { input type="hidden" name="to" value="field"; }
            label for="phrase" { "Pass phrase" }
            input #phrase name="phrase" autocomplete="off" autocapitalize="none" spellcheck="false" required;
            button { "Come in" }
        }
        p { "It stands where the server was started, and on every device that is in already, under “Let another device in”. Each phrase lets one device in." }
    };
    let answer = Some(html! { "Type the pass phrase, or point the camera at the code." });
    page(
        context,
        Page {
            here: Here::Elsewhere,
            question: "May this device come in?",
            answer,
            body,
        },
    )
}

/// What was typed.
#[derive(Deserialize)]
pub struct Typed {
    phrase: String,
    #[serde(default)]
    to: String,
}

/// Lets a device in that knows the phrase. A script is told in data, and stays on its page.
pub async fn enter(
    State(app): State<Arc<App>>,
    ConnectInfo(wire): ConnectInfo<Wire>,
    headers: HeaderMap,
    Form(typed): Form<Typed>,
) -> Response {
    let data = wants_data(&headers);
    let way = Way { to: typed.to };
    let inside = || {
        if data {
            axum::Json(Answer::default()).into_response()
        } else {
            Redirect::to(way.address()).into_response()
        }
    };
    if !app.pages.share {
        return inside();
    }
    match let_in(&app, wire, &typed.phrase) {
        Ok(cookie) => ([(header::SET_COOKIE, cookie)], inside()).into_response(),
        Err((status, why)) if data => {
            (status, axum::Json(Answer::refused(Refused::temporary(&why, "")))).into_response()
        }
        Err((status, why)) => (status, door(&seen_by(&app, &headers), &way, Some(&why))).into_response(),
    }
}

/// The cookie of a device that knows the phrase.
fn let_in(app: &App, wire: Wire, phrase: &str) -> Result<String, (StatusCode, String)> {
    if !app.tries.allows(wire.peer.ip()) {
        let words = "Too many tries. Wait half a minute.".to_owned();
        return Err((StatusCode::TOO_MANY_REQUESTS, words));
    }
    match app.phrase.spend(phrase) {
        Ok(true) => {}
        Ok(false) => return Err((StatusCode::FORBIDDEN, "That is not the phrase.".to_owned())),
        Err(why) => return Err((StatusCode::INTERNAL_SERVER_ERROR, why)),
    }
    let (cookie, trouble) = app
        .sessions
        .open()
        .map_err(|why| (StatusCode::SERVICE_UNAVAILABLE, why))?;
    (app.say)(&format!(
        "A device came in from {}. The phrase for the next one: {}",
        wire.peer.ip(),
        app.phrase.now()
    ));
    if let Some(trouble) = trouble {
        (app.say)(&format!(
            "It must enter a phrase again when this server begins anew: {trouble}."
        ));
    }
    Ok(cookie)
}

/// Puts every device out but the one that asks.
pub async fn alone(State(app): State<Arc<App>>, headers: HeaderMap) -> Response {
    let (gone, trouble) = app.sessions.only(cookie(&headers, SESSION_COOKIE));
    (app.say)(&format!("{gone} other devices were put out."));
    if let Some(trouble) = trouble {
        (app.say)(&format!(
            "They may be in again when this server begins anew: {trouble}."
        ));
    }
    Redirect::to("/invite").into_response()
}

/// The address with the phrase behind the #, which browsers keep to themselves.
fn link(app: &App, address: &str) -> String {
    format!("{address}/enter#{}", app.phrase.now())
}

/// For who is in: how to let another device in.
pub async fn invite(State(app): State<Arc<App>>, headers: HeaderMap) -> Response {
    if !app.pages.share {
        return Redirect::to("/").into_response();
    }
    let body = html! {
        @if app.addresses.is_empty() {
            p { "This machine has no address that others could reach: join a Wi-Fi or open one, then start the server again." }
        }
        @for address in &app.addresses {
            section.invite {
                h2 { (address) }
                @if let Ok(code) = QRBuilder::new(link(&app, address)).build() {
                    figure.code { (code_svg(&code, "QR code with address and pass phrase")) }
                }
            }
        }
        p { "Pass phrase: " b.phrase { (app.phrase.now()) } }
        p { "It lets one device in; then there is a new one here. A device stays in for a week, also when this server ends and begins again." }
        @if app.sessions.count() > 1 {
            form method="post" action="/invite/alone" { button { "Put the other devices out (" (app.sessions.count() - 1) ")" } }
        }
    };
    let answer = Some(html! { "Point its camera at the code, or open the address and type the phrase." });
    page(
        &seen_by(&app, &headers),
        Page {
            here: Here::Elsewhere,
            question: "How does another device come in?",
            answer,
            body,
        },
    )
    .into_response()
}

/// For the terminal: addresses, QR code, phrase.
#[must_use]
pub fn invitation(app: &App) -> String {
    let mut out = String::from("Other devices on the same network:\n");
    for address in &app.addresses {
        out.push_str(&format!("  {address}\n"));
    }
    if let Some(address) = app.addresses.first()
        && let Ok(code) = QRBuilder::new(link(app, address)).build()
    {
        out.push_str(&code_letters(&code));
    }
    out.push_str(&format!("Pass phrase for the next device: {}\n", app.phrase.now()));
    out.push_str(
        "It is plain http: who can listen on this network can read pages, phrase and log. Use a network of your own.\n",
    );
    out
}

/// A QR code in half blocks, two rows a line, light on dark terminals and dark on light ones by painting both.
fn code_letters(code: &QRCode) -> String {
    let dark = |x: isize, y: isize| {
        let inside = |v: isize| usize::try_from(v).ok().filter(|v| *v < code.size);
        inside(x).zip(inside(y)).is_some_and(|(x, y)| code[y][x].value())
    };
    let side = isize::try_from(code.size).unwrap_or(0);
    let mut out = String::new();
    for y in (-2..side + 2).step_by(2) {
        out.push_str("  \u{1b}[30;107m");
        for x in -2..side + 2 {
            out.push(match (dark(x, y), dark(x, y + 1)) {
                (true, true) => '█',
                (true, false) => '▀',
                (false, true) => '▄',
                (false, false) => ' ',
            });
        }
        out.push_str("\u{1b}[0m\n");
    }
    out
}

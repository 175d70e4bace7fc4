//! The door: the pass phrase, and the invitation with its QR code.

use std::sync::Arc;

use axum::extract::{ConnectInfo, Form, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use fast_qr::qr::{QRBuilder, QRCode};
use maud::{Markup, PreEscaped, html};
use serde::Deserialize;

use crate::app::App;
use crate::guard::Wire;
use crate::shell::{Context, Here, Page, page};

/// The door.
pub async fn show(State(app): State<Arc<App>>, context: Context) -> Response {
    if app.share {
        door(&context, None).into_response()
    } else {
        Redirect::to("/").into_response()
    }
}

fn door(context: &Context, wrong: Option<&str>) -> Markup {
    let body = html! {
        form #enter method="post" action="/enter" {
            @if let Some(wrong) = wrong { p.wrong role="alert" { (wrong) } }
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
}

/// Lets a device in that knows the phrase.
pub async fn enter(
    State(app): State<Arc<App>>,
    ConnectInfo(wire): ConnectInfo<Wire>,
    context: Context,
    Form(typed): Form<Typed>,
) -> Response {
    if !app.share {
        return Redirect::to("/").into_response();
    }
    // One store for all addresses: they are cheap to change.
    if !app.tries.allows([0, 0, 0, 0].into()) {
        let words = "Too many tries. Wait half a minute.";
        return (StatusCode::TOO_MANY_REQUESTS, door(&context, Some(words))).into_response();
    }
    match app.phrase.spend(&typed.phrase) {
        Ok(true) => {}
        Ok(false) => return (StatusCode::FORBIDDEN, door(&context, Some("That is not the phrase."))).into_response(),
        Err(why) => return (StatusCode::INTERNAL_SERVER_ERROR, door(&context, Some(&why))).into_response(),
    }
    match app.sessions.open() {
        Ok(cookie) => {
            (app.say)(&format!(
                "A device came in from {}. The phrase for the next one: {}",
                wire.peer.ip(),
                app.phrase.now()
            ));
            ([(header::SET_COOKIE, cookie)], Redirect::to("/")).into_response()
        }
        Err(why) => (StatusCode::SERVICE_UNAVAILABLE, door(&context, Some(&why))).into_response(),
    }
}

/// The address with the phrase behind the #, which browsers keep to themselves.
fn link(app: &App, address: &str) -> String {
    format!("{address}/enter#{}", app.phrase.now())
}

/// For who is in: how to let another device in.
pub async fn invite(State(app): State<Arc<App>>, context: Context) -> Response {
    if !app.share {
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
                    figure.code { (PreEscaped(code_svg(&code))) }
                }
            }
        }
        p { "Pass phrase: " b.phrase { (app.phrase.now()) } }
        p { "It lets one device in; then there is a new one here." }
    };
    let answer = Some(html! { "Point its camera at the code, or open the address and type the phrase." });
    page(
        &context,
        Page {
            here: Here::Elsewhere,
            question: "How does another device come in?",
            answer,
            body,
        },
    )
    .into_response()
}

/// A QR code as SVG, dark on light in every theme: cameras want it so.
fn code_svg(code: &QRCode) -> String {
    let mut path = String::new();
    for y in 0..code.size {
        for x in (0..code.size).filter(|x| code[y][*x].value()) {
            path.push_str(&format!("M{} {}h1v1h-1z", x + 4, y + 4));
        }
    }
    let side = code.size + 8;
    format!(
        r##"<svg viewBox="0 0 {side} {side}" role="img" aria-label="QR code with address and pass phrase" shape-rendering="crispEdges"><rect width="{side}" height="{side}" fill="#ffffff"/><path d="{path}" fill="#000000"/></svg>"##
    )
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

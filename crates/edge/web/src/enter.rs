//! The door: the pass phrase, and the invitation for the terminal.

use std::sync::Arc;

use axum::extract::{ConnectInfo, Form, Query, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use serde::Deserialize;

use crate::app::App;
use crate::guard::{SESSION_COOKIE, Wire};
use crate::qr;
use farhop_pages::delivery::{Answer, Refused, wants_data};
use farhop_pages::shell::{Context, Here, Page, cookie, page};
use farhop_pages::{FIELD, Role};

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

pub(crate) fn seen_by(app: &App, headers: &HeaderMap) -> Context {
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
    match let_in(&app, wire, &headers, &typed.phrase) {
        Ok(cookie) => ([(header::SET_COOKIE, cookie)], inside()).into_response(),
        Err((status, why)) if data => {
            (status, axum::Json(Answer::refused(Refused::temporary(&why, "")))).into_response()
        }
        Err((status, why)) => (status, door(&seen_by(&app, &headers), &way, Some(&why))).into_response(),
    }
}

/// The cookie of a device that knows the phrase.
fn let_in(app: &App, wire: Wire, headers: &HeaderMap, phrase: &str) -> Result<String, (StatusCode, String)> {
    if !app.tries.allows(wire.peer.ip()) {
        let words = "Too many tries. Wait half a minute.".to_owned();
        return Err((StatusCode::TOO_MANY_REQUESTS, words));
    }
    let role = match app.phrases.spend(phrase) {
        Ok(Some(role)) => role,
        Ok(None) => return Err((StatusCode::FORBIDDEN, "That is not the phrase.".to_owned())),
        Err(why) => return Err((StatusCode::INTERNAL_SERVER_ERROR, why)),
    };
    let (cookie, trouble) = app
        .sessions
        .open(role, cookie(headers, SESSION_COOKIE))
        .map_err(|why| (StatusCode::SERVICE_UNAVAILABLE, why))?;
    (app.say)(&format!(
        "A device came in from {}; it may {}. The next phrase to {}: {}",
        wire.peer.ip(),
        role.may(),
        role.word(),
        app.phrases.now(role)
    ));
    if let Some(trouble) = trouble {
        (app.say)(&format!(
            "It must enter a phrase again when this server begins anew: {trouble}."
        ));
    }
    Ok(cookie)
}

/// The address with the phrase behind the #, which browsers keep to themselves.
pub(crate) fn link(app: &App, address: &str, role: Role) -> String {
    format!("{address}/enter#{}", app.phrases.now(role))
}

/// For the terminal: addresses, QR code, phrases.
#[must_use]
pub fn invitation(app: &App) -> String {
    let mut out = String::from("Other devices on the same network:\n");
    for address in &app.addresses {
        out.push_str(&format!("  {address}\n"));
    }
    // The phone of who stands on the hill logs; for the others there are phrases.
    if let Some(address) = app.addresses.first()
        && let Some(code) = qr::letters_of(&link(app, address, Role::Log))
    {
        out.push_str(&code);
        out.push_str("The code lets a device in to look and log. ");
    }
    out.push_str("Pass phrases for the next device:\n");
    for role in Role::ALL {
        out.push_str(&format!("  to {:<5} {}\n", role.word(), app.phrases.now(role)));
    }
    out.push_str(
        "It is plain http: who can listen on this network can read pages, phrase and log. Use a network of your own.\n",
    );
    out
}

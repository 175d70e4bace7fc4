//! The devices that are in: how another comes in with a role, how each is called, and how one is thrown out.

use std::sync::Arc;

use axum::Extension;
use axum::extract::{Form, Query, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use farhop_pages::Role;
use farhop_pages::shell::{Context, Here, Page, cookie, page};
use maud::{Markup, html};
use serde::Deserialize;

use crate::app::App;
use crate::enter::{link, seen_by};
use crate::guard::{Listed, NAME, SESSION_COOKIE, now_s};
use crate::qr;

/// As what the next device is to come in.
#[derive(Default, Deserialize)]
pub struct Wanted {
    #[serde(default)]
    role: String,
}

/// For who is in: how to let another device in, with at most the own role; and who is in.
pub async fn show(
    State(app): State<Arc<App>>,
    Extension(own): Extension<Role>,
    headers: HeaderMap,
    Query(wanted): Query<Wanted>,
) -> Response {
    if !app.pages.share {
        return Redirect::to("/").into_response();
    }
    // Most who come in log; what one may not do oneself, one cannot give.
    let role = Role::from_word(&wanted.role).unwrap_or(Role::Log).min(own);
    let body = html! {
        (invitation(&app, own, role))
        (list(&app, own, &headers))
    };
    let context = Context {
        role: own,
        ..seen_by(&app, &headers)
    };
    page(
        &context,
        Page {
            here: Here::Elsewhere,
            question: "How does another device come in?",
            answer: Some(html! { "Point its camera at the code, or open the address and type the phrase." }),
            body,
        },
    )
    .into_response()
}

fn invitation(app: &App, own: Role, role: Role) -> Markup {
    html! {
        @if own > Role::Look {
            nav.row aria-label="What it may do" {
                @for choice in Role::ALL.into_iter().filter(|r| *r <= own) {
                    a.button href={ "/invite?role=" (choice.word()) } aria-current=[(choice == role).then_some("true")] { "To " (choice.may()) }
                }
            }
        }
        @if app.addresses.is_empty() {
            p { "This machine has no address that others could reach: join a Wi-Fi or open one, then start the server again." }
        }
        @for address in &app.addresses {
            section.invite {
                h2 { (address) }
                @if let Some(code) = qr::svg_of(&link(app, address, role)) { figure.code { (code) } }
            }
        }
        p { "Pass phrase to " (role.may()) ": " b.phrase { (app.phrases.now(role)) } }
        p { "It lets one device in; then there is a new one here. A device stays in for a week, also when this server ends and begins again." }
    }
}

fn list(app: &App, own: Role, headers: &HeaderMap) -> Markup {
    let devices = app.sessions.devices(cookie(headers, SESSION_COOKIE));
    let own_name = devices.iter().find(|l| l.own).map_or("", |l| l.device.name.as_str());
    html! {
        section #devices {
            h2 { "Devices that are in" }
            table.list {
                thead { tr { th { "Device" } th { "May" } th { "Last seen" } @if own == Role::Edit { th {} } } }
                tbody { @for listed in &devices { (row(listed, own)) } }
            }
            @if own == Role::Edit && devices.len() > 2 {
                form method="post" action="/invite/alone" { button { "Throw the other " (devices.len() - 1) " out" } }
            }
            form.row method="post" action=(NAME) {
                label for="name" { "Name of this device" }
                input #name name="name" value=(own_name) maxlength="40" autocomplete="off" required;
                button { "Keep" }
            }
        }
    }
}

fn row(listed: &Listed, own: Role) -> Markup {
    let device = &listed.device;
    html! {
        tr {
            th scope="row" { (device.name) @if listed.own { " (this device)" } }
            td { (device.role.may()) }
            td { (ago(now_s().saturating_sub(device.seen_s))) }
            @if own == Role::Edit {
                td {
                    @if !listed.own {
                        form method="post" action="/invite/out" {
                            input type="hidden" name="device" value=(listed.id);
                            button aria-label={ "Throw " (device.name) " out" } { "Throw out" }
                        }
                    }
                }
            }
        }
    }
}

/// How long ago, in whole units.
fn ago(s: u64) -> String {
    match s {
        0..60 => "now".to_owned(),
        60..3_600 => format!("{} min ago", s / 60),
        3_600..172_800 => format!("{} h ago", s / 3_600),
        _ => format!("{} days ago", s / 86_400),
    }
}

/// What a form of this page says.
#[derive(Deserialize)]
pub struct Said {
    #[serde(default)]
    device: String,
    #[serde(default)]
    name: String,
}

/// Throws one device out. From its next request on it stands before the door.
pub async fn out(State(app): State<Arc<App>>, Form(said): Form<Said>) -> Response {
    let (gone, trouble) = app.sessions.put_out(&said.device);
    let Some(name) = gone else {
        return (
            StatusCode::NOT_FOUND,
            farhop_pages::shell::plain_page("Not possible", "That device is not in any more."),
        )
            .into_response();
    };
    (app.say)(&format!("{name} was thrown out."));
    warn(&app, trouble);
    Redirect::to("/invite").into_response()
}

/// Throws every device out but the one that asks.
pub async fn alone(State(app): State<Arc<App>>, headers: HeaderMap) -> Redirect {
    let (gone, trouble) = app.sessions.only(cookie(&headers, SESSION_COOKIE));
    (app.say)(&format!("Thrown out: {gone} other devices."));
    warn(&app, trouble);
    Redirect::to("/invite")
}

/// What has been thrown out and may come back.
fn warn(app: &App, trouble: Option<String>) {
    if let Some(trouble) = trouble {
        (app.say)(&format!("It may be in again when this server begins anew: {trouble}."));
    }
}

/// Gives the device that asks a name.
pub async fn name(State(app): State<Arc<App>>, headers: HeaderMap, Form(said): Form<Said>) -> Redirect {
    app.sessions.rename(cookie(&headers, SESSION_COOKIE), &said.name);
    Redirect::to("/invite")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn how_long_ago_is_said_in_whole_units() {
        let told = [0, 59, 60, 3_599, 3_600, 172_799, 172_800].map(ago);
        assert_eq!(
            told,
            [
                "now",
                "now",
                "1 min ago",
                "59 min ago",
                "1 h ago",
                "47 h ago",
                "2 days ago"
            ]
        );
    }
}

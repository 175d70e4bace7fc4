//! Who may ask: host and origin checks, sessions, limits, and the headers of every answer.

mod device;
mod headers;
mod hosts;
mod phrase;
mod rate;
mod secret;
mod sessions;
mod sessions_file;

use std::net::SocketAddr;
use std::sync::Arc;

use axum::Json;
use axum::extract::{ConnectInfo, Request, State};
use axum::http::{HeaderMap, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};
use tokio::net::TcpStream;

pub use hosts::{host_of, same_origin};
pub use phrase::Phrases;
pub use rate::Rate;
pub(crate) use sessions::now_s;
pub use sessions::{COOKIE as SESSION_COOKIE, Listed, Sessions};
pub use sessions_file::SessionsFile;

use crate::app::App;
use farhop_pages::delivery::{Answer, Refused, wants_data};
use farhop_pages::shell::{cookie, plain_page};
use farhop_pages::{FIELD, Role, needed};

/// Both ends of a connection.
#[derive(Clone, Copy, Debug)]
pub struct Wire {
    /// Who asks.
    pub peer: SocketAddr,
    /// At which of our addresses.
    pub here: SocketAddr,
}

impl Wire {
    /// Of a connection.
    #[must_use]
    pub fn of(stream: &TcpStream, peer: SocketAddr) -> Self {
        Self {
            peer,
            // A connection that has no local address is none; the peer's stands in and matches no host.
            here: stream.local_addr().unwrap_or(peer),
        }
    }
}

/// Paths that may be asked for without a session.
const OPEN: [&str; 3] = ["/enter", "/assets/", "/worker.js"];

/// Every device may give itself a name.
pub(crate) const NAME: &str = "/invite/name";

/// Checks every request before anything else sees it.
pub async fn check(
    State(app): State<Arc<App>>,
    ConnectInfo(wire): ConnectInfo<Wire>,
    mut request: Request,
    next: Next,
) -> Response {
    let answer = match role_of(&app, wire, &request) {
        Err(refused) => *refused,
        Ok(role) => {
            // The pages show what this reader may do.
            request.extensions_mut().insert(role);
            next.run(request).await
        }
    };
    headers::with_safety(answer)
}

/// What who asks may do; or what is answered instead of the page.
fn role_of(app: &App, wire: Wire, request: &Request) -> Result<Role, Box<Response>> {
    let headers = request.headers();
    if !app.rate.allows(wire.peer.ip()) {
        let refused = Refused::temporary("Too many requests.", "Wait a few seconds.");
        return Err(refuse(StatusCode::TOO_MANY_REQUESTS, headers, refused).into());
    }
    let host = match host_of(headers, wire.here, app.port) {
        Ok(host) => host,
        Err(error) => {
            let refused = Refused::permanent(&error.to_string(), "");
            return Err(refuse(StatusCode::MISDIRECTED_REQUEST, headers, refused).into());
        }
    };
    if !same_origin(request.method(), headers, &host) {
        let refused = Refused::permanent(
            "This request came from another page than ours and was refused.",
            "Open the page itself and try again.",
        );
        return Err(refuse(StatusCode::FORBIDDEN, headers, refused).into());
    }
    let path = request.uri().path();
    let open = path == OPEN[0] || path.starts_with(OPEN[1]) || path == OPEN[2];
    if !app.pages.share {
        return Ok(Role::Edit);
    }
    match app.sessions.role_of(cookie(headers, sessions::COOKIE)) {
        None if open => Ok(Role::Look),
        None => Err(sent_to_enter(request).into()),
        Some(role) if open || path == NAME || role >= needed(request.method(), path) => Ok(role),
        Some(role) => {
            let refused = Refused::role(role, needed(request.method(), path));
            Err(refuse(StatusCode::FORBIDDEN, headers, refused).into())
        }
    }
}

/// A page sends the reader to the door; a script is told.
fn sent_to_enter(request: &Request) -> Response {
    let wants_page = request.method() == Method::GET
        && request
            .headers()
            .get(header::ACCEPT)
            .and_then(|v| v.to_str().ok())
            .is_some_and(|v| v.contains("text/html"));
    if wants_page {
        // Who was on the way to the field page goes on there: entries may wait on it.
        let to = if request.uri().path() == FIELD {
            "/enter?to=field"
        } else {
            "/enter"
        };
        Redirect::to(to).into_response()
    } else {
        refuse(StatusCode::UNAUTHORIZED, request.headers(), Refused::phrase())
    }
}

/// Words for a reader, the same as data for a script.
fn refuse(status: StatusCode, headers: &HeaderMap, refused: Refused) -> Response {
    if wants_data(headers) {
        return (status, Json(Answer::refused(refused))).into_response();
    }
    let words = format!("{} {}", refused.reason, refused.remedy);
    (status, plain_page("Not possible", words.trim())).into_response()
}

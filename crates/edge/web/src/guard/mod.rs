//! Who may ask: host and origin checks, sessions, limits, and the headers of every answer.

mod cookies;
mod headers;
mod hosts;
mod phrase;
mod rate;
mod secret;
mod sessions;

use std::net::SocketAddr;
use std::sync::Arc;

use axum::extract::connect_info::Connected;
use axum::extract::{ConnectInfo, Request, State};
use axum::http::{Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};
use axum::serve::IncomingStream;
use tokio::net::TcpListener;

pub use cookies::cookie;
pub use hosts::{host_of, same_origin};
pub use phrase::Phrase;
pub use rate::Rate;
pub use sessions::Sessions;

use crate::app::App;
use crate::shell::plain_page;

/// Both ends of a connection.
#[derive(Clone, Copy, Debug)]
pub struct Wire {
    /// Who asks.
    pub peer: SocketAddr,
    /// At which of our addresses.
    pub here: SocketAddr,
}

impl Connected<IncomingStream<'_, TcpListener>> for Wire {
    fn connect_info(stream: IncomingStream<'_, TcpListener>) -> Self {
        let peer = *stream.remote_addr();
        Self {
            peer,
            // A connection that has no local address is none; the peer's stands in and matches no host.
            here: stream.io().local_addr().unwrap_or(peer),
        }
    }
}

/// Paths that may be asked for without a session.
const OPEN: [&str; 2] = ["/enter", "/assets/"];

/// Checks every request before anything else sees it.
pub async fn check(
    State(app): State<Arc<App>>,
    ConnectInfo(wire): ConnectInfo<Wire>,
    request: Request,
    next: Next,
) -> Response {
    let answer = match refusal(&app, wire, &request) {
        Some(refused) => refused,
        None => next.run(request).await,
    };
    headers::with_safety(answer)
}

fn refusal(app: &App, wire: Wire, request: &Request) -> Option<Response> {
    if !app.rate.allows(wire.peer.ip()) {
        return Some(refuse(
            StatusCode::TOO_MANY_REQUESTS,
            "Too many requests. Wait a few seconds.",
        ));
    }
    let host = match host_of(request.headers(), wire.here, app.port) {
        Ok(host) => host,
        Err(error) => return Some(refuse(StatusCode::MISDIRECTED_REQUEST, &error.to_string())),
    };
    if !same_origin(request.method(), request.headers(), &host) {
        let why = "This request came from another page than ours and was refused. Open the page itself and try again.";
        return Some(refuse(StatusCode::FORBIDDEN, why));
    }
    let path = request.uri().path();
    let open = path == OPEN[0] || path.starts_with(OPEN[1]);
    if app.share && !open && !app.sessions.holds(cookie(request.headers(), sessions::COOKIE)) {
        return Some(sent_to_enter(request));
    }
    None
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
        Redirect::to("/enter").into_response()
    } else {
        refuse(StatusCode::UNAUTHORIZED, "Enter the pass phrase first.")
    }
}

fn refuse(status: StatusCode, why: &str) -> Response {
    (status, plain_page("Not possible", why)).into_response()
}

//! From a request to its answer, and the long work between.

use std::pin::pin;
use std::sync::Arc;
use std::task::{Context, Poll, Waker};

use axum::Router;
use axum::body::Body;
use axum::http::{HeaderMap, Request, Response, StatusCode, header};
use farhop_pages::{App, Desk, Storage as _, handle, router};
use farhop_plan::watch::Unwatched;
use farhop_plan::{Share, carried, prepare, wanting};

use crate::content::{Asked, Told};
use crate::machine::{Machine, Tell};
use crate::storage::BrowserStorage;
use crate::{months, phone};

/// Only our own files are loaded, nothing inline runs, the engine may be started, nobody frames us.
pub const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'; img-src 'self'; font-src 'self'; \
                          connect-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// Answers that need no waiting are there at the first question; nothing here waits for anybody.
const MOST_POLLS: usize = 64;

/// The pages in a browser.
pub struct Engine {
    router: Router,
    app: Arc<App>,
    storage: Arc<BrowserStorage>,
    machine: Arc<Machine>,
}

impl Engine {
    /// An engine that tells of long work.
    #[must_use]
    pub fn new(tell: Tell) -> Self {
        let storage = Arc::new(BrowserStorage::default());
        let machine = Arc::new(Machine::new(tell));
        let app = Arc::new(App {
            desk: Desk::new(
                Arc::clone(&storage) as Arc<dyn farhop_pages::Storage>,
                Arc::clone(&machine) as Arc<dyn farhop_pages::Runtime>,
            ),
            share: false,
            pocket: true,
        });
        let router = router(Arc::clone(&app)).merge(phone::router(&app, &storage));
        Self {
            router,
            app,
            storage,
            machine,
        }
    }

    /// The answer to a request. What it says is to be kept is not kept yet.
    #[must_use]
    pub fn handle(&self, asked: Asked, body: Vec<u8>) -> (Told, Vec<u8>) {
        let Asked {
            method,
            path,
            headers,
            now_ms,
            fresh,
            content,
        } = asked;
        self.machine.set(now_ms);
        self.storage.put(content, fresh);
        let wanting = self.wanting_months();
        if !wanting.is_empty() {
            let told = Told {
                wanting,
                ..Told::default()
            };
            return (told, Vec::new());
        }
        let mut request = Request::builder().method(method.as_str()).uri(path.as_str());
        for (name, value) in &headers {
            request = request.header(name, value);
        }
        let response = match request.body(Body::from(body)) {
            Ok(request) => at_once(handle(&self.router, request)),
            Err(_) => plain(StatusCode::BAD_REQUEST, "This address cannot be."),
        };
        let (parts, body) = response.into_parts();
        let changes = self.storage.changes();
        let told = Told {
            status: parts.status.as_u16(),
            headers: headers_of(&parts.headers),
            record: changes.record,
            added: changes.added,
            switch: changes.switch,
            planned: self.app.desk.planned(),
            ..Told::default()
        };
        (told, body)
    }

    /// Months that the outing of now needs and that were not brought, 1 for January.
    fn wanting_months(&self) -> Vec<usize> {
        let outing = self.app.desk.look().outing;
        outing.map_or_else(Vec::new, |outing| months::wanting(&outing))
    }

    /// Takes in what another engine made; says how many of it are whole.
    pub fn take(&self, bytes: &[u8]) -> usize {
        let items = carried::unpacked(bytes);
        items.iter().for_each(|item| self.storage.know(item));
        items.len()
    }

    /// What was made here since the last time, as bytes that travel.
    #[must_use]
    pub fn made(&self) -> Vec<u8> {
        carried::packed(&self.storage.fresh())
    }

    /// How many antennas and tables the outing of now still needs.
    #[must_use]
    pub fn wanting(&self) -> usize {
        let outing = self.app.desk.look().outing;
        outing.map_or(0, |outing| wanting(&outing, self.storage.solutions()))
    }

    /// Makes one of several equal shares of them.
    pub fn share(&self, index: usize, count: usize) {
        if let Some(outing) = self.app.desk.look().outing {
            let share = Share { index, count };
            prepare(&outing, share, self.storage.solutions(), &Unwatched);
        }
    }

    /// Does the long work that waits, if any.
    pub fn work(&self) {
        if let Some(work) = self.machine.waiting() {
            work();
        }
    }
}

fn at_once(answer: impl Future<Output = Response<Vec<u8>>>) -> Response<Vec<u8>> {
    let mut answer = pin!(answer);
    let mut context = Context::from_waker(Waker::noop());
    for _ in 0..MOST_POLLS {
        if let Poll::Ready(response) = answer.as_mut().poll(&mut context) {
            return response;
        }
    }
    plain(StatusCode::INTERNAL_SERVER_ERROR, "The answer did not come.")
}

fn plain(status: StatusCode, words: &str) -> Response<Vec<u8>> {
    let mut response = Response::new(words.as_bytes().to_vec());
    *response.status_mut() = status;
    response
}

/// The headers of an answer with those that keep strangers out.
fn headers_of(headers: &HeaderMap) -> Vec<(String, String)> {
    let own = headers
        .iter()
        .filter_map(|(name, value)| Some((name.to_string(), value.to_str().ok()?.to_owned())));
    let safety = [
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "same-origin"),
        (header::CACHE_CONTROL, "no-store"),
    ];
    let added = safety
        .into_iter()
        .filter(|(name, _)| !headers.contains_key(name))
        .map(|(name, value)| (name.to_string(), value.to_owned()));
    own.chain(added).collect()
}

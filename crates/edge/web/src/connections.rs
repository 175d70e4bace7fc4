//! Who may be connected: so many at once from one address and in all, and nobody who does not say what he wants.

use std::collections::HashMap;
use std::net::IpAddr;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use axum::extract::ConnectInfo;
use axum::http::Response;
use axum::{Extension, Router};
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::net::{TcpListener, TcpStream};
use tower_http::compression::CompressionLayer;
use tower_http::compression::predicate::Predicate;

use crate::guard::Wire;

/// Time for the head of a request to arrive, and for an idle connection to be used again.
const HEAD_TIME: Duration = Duration::from_secs(10);
/// Connections at once from one address, and in all: a browser opens six.
const MOST: (usize, usize) = (64, 512);
/// Pause after the system could not give a connection: it has none left for the moment.
const NONE_LEFT: Duration = Duration::from_millis(50);

/// Serves whoever connects, until the program ends.
pub async fn serve(listener: TcpListener, router: Router) {
    let router = router.layer(CompressionLayer::new().compress_when(Whole));
    let open = Arc::new(Open::default());
    loop {
        let Ok((stream, peer)) = listener.accept().await else {
            tokio::time::sleep(NONE_LEFT).await;
            continue;
        };
        // Beyond the limit the connection is closed at once.
        let Some(place) = open.place(peer.ip()) else { continue };
        let _ = stream.set_nodelay(true);
        let wire = Wire::of(&stream, peer);
        let router = router.clone().layer(Extension(ConnectInfo(wire)));
        tokio::spawn(async move {
            talk(stream, router).await;
            drop(place);
        });
    }
}

async fn talk(stream: TcpStream, router: Router) {
    let connection = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD_TIME)
        .serve_connection(TokioIo::new(stream), TowerToHyperService::new(router));
    // It ends when the other side leaves, or takes too long; both are usual.
    let _ = connection.await;
}

/// Only answers that are whole are compressed: a page in two pieces shows its first at once.
#[derive(Clone, Copy)]
struct Whole;

impl Predicate for Whole {
    fn should_compress<B: axum::body::HttpBody>(&self, response: &Response<B>) -> bool {
        let kind = response.headers().get(axum::http::header::CONTENT_TYPE);
        let kind = kind.and_then(|v| v.to_str().ok()).unwrap_or_default();
        let text = ["text/", "application/json", "image/svg"]
            .iter()
            .any(|k| kind.starts_with(k));
        text && response.body().size_hint().exact().is_some_and(|bytes| bytes > 512)
    }
}

/// The connections that are open, by address.
#[derive(Default)]
struct Open(Mutex<HashMap<IpAddr, usize>>);

impl Open {
    /// A place for one more; none where there are too many.
    fn place(self: &Arc<Self>, who: IpAddr) -> Option<Place> {
        let mut open = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let all: usize = open.values().sum();
        let own = open.entry(who).or_insert(0);
        if *own >= MOST.0 || all >= MOST.1 {
            return None;
        }
        *own += 1;
        Some(Place {
            open: Arc::clone(self),
            who,
        })
    }
}

/// A connection's place, given back when it ends.
struct Place {
    open: Arc<Open>,
    who: IpAddr,
}

impl Drop for Place {
    fn drop(&mut self) {
        let mut open = self.open.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(own) = open.get_mut(&self.who) {
            *own -= 1;
            if *own == 0 {
                open.remove(&self.who);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_address_takes_its_share_and_gives_it_back() {
        let open = Arc::new(Open::default());
        let (who, other) = (IpAddr::from([10, 0, 0, 1]), IpAddr::from([10, 0, 0, 2]));
        let mut places: Vec<Place> = (0..MOST.0).filter_map(|_| open.place(who)).collect();
        assert_eq!(places.len(), MOST.0);
        assert!(open.place(who).is_none() && open.place(other).is_some());
        places.pop();
        assert!(open.place(who).is_some());
    }
}

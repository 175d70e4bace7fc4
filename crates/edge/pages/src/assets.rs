//! Style, letters and scripts, embedded. Their address carries a hash of their content, so that a browser keeps them for good.

use std::sync::OnceLock;

use axum::extract::Path;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};

use crate::desk::hash_of;

struct Asset {
    name: &'static str,
    kind: &'static str,
    content: &'static [u8],
}

macro_rules! asset {
    ($name:literal, $kind:literal) => {
        Asset {
            name: $name,
            kind: $kind,
            content: include_bytes!(concat!("../assets/", $name)),
        }
    };
}

const ASSETS: [Asset; 15] = [
    asset!("style.css", "text/css; charset=utf-8"),
    asset!("app.js", "text/javascript; charset=utf-8"),
    asset!("edit.js", "text/javascript; charset=utf-8"),
    asset!("antennas.js", "text/javascript; charset=utf-8"),
    asset!("field.js", "text/javascript; charset=utf-8"),
    asset!("deliver.js", "text/javascript; charset=utf-8"),
    asset!("queue.js", "text/javascript; charset=utf-8"),
    asset!("tap.js", "text/javascript; charset=utf-8"),
    asset!("field-view.js", "text/javascript; charset=utf-8"),
    asset!("kit.js", "text/javascript; charset=utf-8"),
    asset!("handover.js", "text/javascript; charset=utf-8"),
    asset!("sans-400.woff2", "font/woff2"),
    asset!("sans-600.woff2", "font/woff2"),
    asset!("fonts-LICENSE.txt", "text/plain; charset=utf-8"),
    asset!("mark.svg", "image/svg+xml"),
];

/// The service worker, which stands at the root.
pub(crate) const WORKER: &[u8] = include_bytes!("../assets/worker.js");

/// The address of an asset.
#[must_use]
pub fn address(name: &str) -> String {
    format!("/assets/{}/{name}", edition())
}

/// Changes with any asset.
fn edition() -> &'static str {
    static EDITION: OnceLock<String> = OnceLock::new();
    EDITION.get_or_init(|| {
        let all: String = ASSETS
            .iter()
            .map(|a| hash_of(&String::from_utf8_lossy(a.content)))
            .collect();
        hash_of(&all).chars().take(12).collect()
    })
}

/// Serves an asset.
pub async fn serve(Path((_, name)): Path<(String, String)>) -> Response {
    match ASSETS.iter().find(|a| a.name == name) {
        Some(asset) => {
            let headers = [
                (header::CONTENT_TYPE, asset.kind),
                (header::CACHE_CONTROL, "public, max-age=31536000, immutable"),
            ];
            (headers, asset.content).into_response()
        }
        None => StatusCode::NOT_FOUND.into_response(),
    }
}

//! Style, letters and scripts, embedded. Their address carries a hash of their content, so that a browser keeps them for good.

use std::sync::OnceLock;

use axum::http::StatusCode;
#[cfg(not(target_arch = "wasm32"))]
use axum::{
    extract::Path,
    http::header,
    response::{IntoResponse, Response},
};

struct Asset {
    #[cfg(not(target_arch = "wasm32"))]
    name: &'static str,
    #[cfg(not(target_arch = "wasm32"))]
    kind: &'static str,
    content: &'static [u8],
}

macro_rules! asset {
    ($name:literal, $kind:literal) => {
        Asset {
            #[cfg(not(target_arch = "wasm32"))]
            name: $name,
            #[cfg(not(target_arch = "wasm32"))]
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
    static WORDS: OnceLock<String> = OnceLock::new();
    WORDS.get_or_init(|| format!("{EDITION:016x}"))
}

/// A sum over all assets, made while the program is compiled: that in a browser does not carry them, and has to name their addresses all
/// the same. Eight bytes at a time, each step turned and multiplied so that no change undoes another.
const EDITION: u64 = {
    let (mut sum, mut k) = (ASSETS.len() as u64, 0);
    while k < ASSETS.len() {
        let mut rest = ASSETS[k].content;
        while let Some((eight, more)) = rest.split_first_chunk::<8>() {
            sum = step(sum, u64::from_le_bytes(*eight));
            rest = more;
        }
        while let Some((one, more)) = rest.split_first() {
            sum = step(sum, *one as u64);
            rest = more;
        }
        sum = step(sum, ASSETS[k].content.len() as u64);
        k += 1;
    }
    sum
};

const fn step(sum: u64, value: u64) -> u64 {
    // 2⁶⁴ over the golden ratio, made odd.
    (sum.rotate_left(29) ^ value).wrapping_mul(0x9e37_79b9_7f4a_7c15)
}

/// Every asset with its address, for a host of static files.
#[cfg(not(target_arch = "wasm32"))]
pub fn all() -> impl Iterator<Item = (String, &'static [u8])> {
    ASSETS.iter().map(|asset| (address(asset.name), asset.content))
}

/// Nothing: in a browser they are files of their own.
#[cfg(target_arch = "wasm32")]
pub async fn serve() -> StatusCode {
    StatusCode::NOT_FOUND
}

/// Serves an asset.
#[cfg(not(target_arch = "wasm32"))]
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

//! Answers by their content: a browser that has a page already is told so and gets nothing more, and what many ask for is packed once.

use std::collections::VecDeque;
use std::io::Write as _;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use axum::body::{Body, Bytes, HttpBody as _, to_bytes};
use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use flate2::Compression;
use flate2::write::GzEncoder;
use sha2::{Digest as _, Sha256};

use crate::app::App;

/// Largest body that is looked at here, bytes; larger ones are sent as they are.
const MOST_BODY: u64 = 1_000_000;
/// Smallest body that is worth packing, bytes.
const LEAST_PACKED: usize = 512;
/// Packed bodies that are kept, bytes in all: some dozens of pages.
const MOST_KEPT: usize = 1_500_000;
/// Addresses that carry phrases, say what is true only now, or hold forms that must be those of now when one goes back to them: nobody
/// keeps them.
const FLEETING: [&str; 8] = [
    "/enter",
    "/invite",
    "/wait",
    "/field/here",
    "/log",
    "/pocket",
    "/edit",
    "/fault",
];

/// Bodies in their packed form, by their tags, the newest last.
#[derive(Default)]
pub struct Packed(Mutex<Kept>);

#[derive(Default)]
struct Kept {
    list: VecDeque<(HeaderValue, Bytes)>,
    bytes: usize,
}

impl Packed {
    fn kept(&self) -> MutexGuard<'_, Kept> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The packed form of a body; none where it cannot be packed.
    fn of(&self, tag: &HeaderValue, body: &[u8]) -> Option<Bytes> {
        let known = self.kept().list.iter().find(|(t, _)| t == tag).map(|(_, b)| b.clone());
        if known.is_some() {
            return known;
        }
        let mut packer = GzEncoder::new(Vec::new(), Compression::default());
        packer.write_all(body).ok()?;
        let packed = Bytes::from(packer.finish().ok()?);
        let mut kept = self.kept();
        kept.bytes += packed.len();
        kept.list.push_back((tag.clone(), packed.clone()));
        while kept.bytes > MOST_KEPT
            && let Some((_, gone)) = kept.list.pop_front()
        {
            kept.bytes -= gone.len();
        }
        Some(packed)
    }
}

/// What a request says about what is there already, and how the answer may come.
struct Asked {
    known: Option<HeaderValue>,
    packed: bool,
}

impl Asked {
    /// None where the answer is nobody's to keep.
    fn of(request: &Request) -> Option<Self> {
        let path = request.uri().path();
        if request.method() != Method::GET || FLEETING.iter().any(|f| path.starts_with(f)) {
            return None;
        }
        let headers = request.headers();
        Some(Self {
            known: headers.get(header::IF_NONE_MATCH).cloned(),
            packed: takes_packed(headers),
        })
    }

    /// Whether a tag is among those that the browser has (RFC 9110, section 13.1.2; weak comparison).
    fn knows(&self, tag: &HeaderValue) -> bool {
        let words = |v: &HeaderValue| v.to_str().unwrap_or_default().to_owned();
        let (known, tag) = (self.known.as_ref().map(words).unwrap_or_default(), words(tag));
        let plain = |t: &str| t.trim().trim_start_matches("W/").to_owned();
        known.split(',').any(|k| plain(k) == plain(&tag) || k.trim() == "*")
    }
}

/// Whether packed answers are taken (RFC 9110, section 12.5.3).
fn takes_packed(headers: &HeaderMap) -> bool {
    let accepted = headers.get(header::ACCEPT_ENCODING).and_then(|v| v.to_str().ok());
    let refused = |weight: &str| weight.trim().strip_prefix("q=").is_some_and(|q| q.parse() == Ok(0.0));
    accepted.unwrap_or_default().split(',').any(|word| {
        let mut parts = word.split(';');
        parts.next().map(str::trim) == Some("gzip") && !parts.any(refused)
    })
}

/// Whether an answer is whole, a success, and a page or a part of one.
fn is_kept(answer: &Response) -> bool {
    let kind = answer.headers().get(header::CONTENT_TYPE).and_then(|v| v.to_str().ok());
    let kind = kind.unwrap_or_default();
    let page = ["text/html", "text/css", "text/javascript", "image/svg", "font/"];
    answer.status() == StatusCode::OK
        && page.iter().any(|k| kind.starts_with(k))
        && !answer.headers().contains_key(header::CONTENT_DISPOSITION)
        && answer
            .body()
            .size_hint()
            .exact()
            .is_some_and(|bytes| bytes <= MOST_BODY)
}

/// Gives answers their tags.
pub async fn tag(State(app): State<Arc<App>>, request: Request, next: Next) -> Response {
    let asked = Asked::of(&request);
    let answer = next.run(request).await;
    match asked {
        Some(asked) if is_kept(&answer) => tagged(&app.packed, &asked, answer).await,
        _ => answer,
    }
}

async fn tagged(packed: &Packed, asked: &Asked, answer: Response) -> Response {
    let (mut parts, body) = answer.into_parts();
    let Ok(body) = to_bytes(body, MOST_BODY as usize).await else {
        // A body whose length is known is whole.
        return StatusCode::INTERNAL_SERVER_ERROR.into_response();
    };
    let Some(tag) = tag_of(&body) else {
        return Response::from_parts(parts, Body::from(body));
    };
    let headers = &mut parts.headers;
    headers.insert(header::ETAG, tag.clone());
    headers.insert(header::VARY, HeaderValue::from_static("accept-encoding"));
    // Asked for anew each time; a browser that has it is told so.
    let kept = HeaderValue::from_static("private, no-cache");
    headers.entry(header::CACHE_CONTROL).or_insert(kept);
    if asked.knows(&tag) {
        headers.remove(header::CONTENT_TYPE);
        parts.status = StatusCode::NOT_MODIFIED;
        return Response::from_parts(parts, Body::empty());
    }
    // Letters are packed already.
    let letters = headers
        .get(header::CONTENT_TYPE)
        .is_some_and(|k| k.as_bytes().starts_with(b"font/"));
    if asked.packed
        && !letters
        && body.len() > LEAST_PACKED
        && let Some(packed) = packed.of(&tag, &body)
    {
        headers.insert(header::CONTENT_ENCODING, HeaderValue::from_static("gzip"));
        return Response::from_parts(parts, Body::from(packed));
    }
    Response::from_parts(parts, Body::from(body))
}

/// The tag of a body: 128 bits of SHA-256 (FIPS 180-4). Weak, for packed and unpacked bodies have the same.
fn tag_of(body: &[u8]) -> Option<HeaderValue> {
    let sum: String = Sha256::digest(body)
        .iter()
        .take(16)
        .map(|b| format!("{b:02x}"))
        .collect();
    HeaderValue::from_str(&format!("W/\"{sum}\"")).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(known: &str) -> Asked {
        Asked {
            known: HeaderValue::from_str(known).ok(),
            packed: false,
        }
    }

    #[test]
    fn tags_are_compared_as_the_standard_says() {
        // RFC 9110, section 8.8.3.2, table 3: the weak comparison.
        let weak = HeaderValue::from_static("W/\"1\"");
        for (known, same) in [
            ("W/\"1\"", true),
            ("W/\"2\"", false),
            ("\"1\"", true),
            ("\"0\", W/\"1\"", true),
            ("*", true),
        ] {
            assert_eq!(asked(known).knows(&weak), same, "{known}");
        }
    }

    #[test]
    fn packed_answers_go_to_who_takes_them() {
        let takes = |text: &'static str| {
            let mut headers = HeaderMap::new();
            headers.insert(header::ACCEPT_ENCODING, HeaderValue::from_static(text));
            takes_packed(&headers)
        };
        assert!(takes("gzip") && takes("br, gzip;q=0.8") && takes("deflate,gzip"));
        assert!(
            !takes("br")
                && !takes("gzip;q=0")
                && !takes("gzip;q=0.0, br")
                && !takes("")
                && !takes_packed(&HeaderMap::new())
        );
    }

    #[test]
    fn what_is_kept_packed_has_a_bound() {
        let packed = Packed::default();
        let mut noise = 1u64;
        for _ in 0..60 {
            // Noise does not become shorter.
            let body: Vec<u8> = (0..100_000)
                .map(|_| {
                    noise = noise
                        .wrapping_mul(6_364_136_223_846_793_005)
                        .wrapping_add(1_442_695_040_888_963_407);
                    (noise >> 56) as u8
                })
                .collect();
            let tag = tag_of(&body).unwrap();
            let first = packed.of(&tag, &body).unwrap();
            assert_eq!(packed.of(&tag, &body).unwrap().as_ptr(), first.as_ptr());
            let kept = packed.kept();
            assert!(kept.bytes <= MOST_KEPT);
            assert_eq!(kept.bytes, kept.list.iter().map(|(_, b)| b.len()).sum::<usize>());
        }
        assert!(packed.kept().list.len() > 5);
    }
}

//! Headers that go with every answer.

use axum::http::{HeaderName, HeaderValue, header};
use axum::response::Response;

/// Only our own files are loaded, nothing inline runs, nobody frames us.
pub(crate) const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; font-src 'self'; \
                          connect-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// Adds the headers; what an answer has set itself stays.
pub(crate) fn with_safety(mut answer: Response) -> Response {
    let fixed: [(HeaderName, &'static str); 5] = [
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        // Not `no-referrer`: with it browsers hide the origin of our own forms.
        (header::REFERRER_POLICY, "same-origin"),
        (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
        (header::CACHE_CONTROL, "no-store"),
    ];
    for (name, value) in fixed {
        answer
            .headers_mut()
            .entry(name)
            .or_insert(HeaderValue::from_static(value));
    }
    answer
}

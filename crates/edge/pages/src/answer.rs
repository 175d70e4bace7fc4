//! One request, one answer, whole.

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, Response, StatusCode};
use tower_service::Service as _;

/// The answer of the pages to a request. It never fails: what goes wrong is an answer too.
pub async fn handle(pages: &Router, request: Request<Body>) -> Response<Vec<u8>> {
    let answer = match pages.clone().call(request).await {
        Ok(answer) => answer,
        Err(never) => match never {},
    };
    let (mut parts, body) = answer.into_parts();
    match to_bytes(body, usize::MAX).await {
        Ok(bytes) => Response::from_parts(parts, bytes.to_vec()),
        Err(_) => {
            parts.status = StatusCode::INTERNAL_SERVER_ERROR;
            Response::from_parts(parts, b"The answer broke off.".to_vec())
        }
    }
}

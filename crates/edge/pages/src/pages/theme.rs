//! Choosing how bright the pages are.

use axum::extract::Form;
use axum::http::header;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use crate::shell::Theme;

/// The choice.
#[derive(Deserialize)]
pub struct Choice {
    theme: String,
    #[serde(default)]
    back: String,
}

/// Keeps the choice in the browser and goes back.
pub async fn choose(Form(choice): Form<Choice>) -> Response {
    let theme = Theme::from_word(&choice.theme).unwrap_or_default();
    let cookie = format!(
        "farhop_theme={}; SameSite=Strict; Path=/; Max-Age=31536000",
        theme.word()
    );
    // Only our own pages: one slash, and no second that would name another host.
    let ours = choice.back.starts_with('/') && !choice.back.starts_with("//") && !choice.back.contains('\\');
    let back = if ours { choice.back.as_str() } else { "/" };
    ([(header::SET_COOKIE, cookie)], Redirect::to(back)).into_response()
}

//! What a page knows about who looks at it.

use std::convert::Infallible;
use std::sync::Arc;

use axum::extract::FromRequestParts;
use axum::http::HeaderMap;
use axum::http::request::Parts;

use crate::app::App;
use crate::role::Role;
use crate::shell::cookie;

/// Name of the cookie that keeps the theme.
pub(crate) const THEME_COOKIE: &str = "farhop_theme";

/// How bright the page is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Theme {
    /// Ink on paper.
    #[default]
    Paper,
    /// Black on white, nothing thin.
    Sun,
    /// Dim red on black.
    Night,
}

impl Theme {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Paper, Self::Sun, Self::Night];

    /// The word in cookie and style.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Paper => "paper",
            Self::Sun => "sun",
            Self::Night => "night",
        }
    }

    /// The word for people.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Paper => "Paper",
            Self::Sun => "Bright sun",
            Self::Night => "Night",
        }
    }

    /// From its word.
    #[must_use]
    pub(crate) fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|t| t.word() == word)
    }
}

/// What a page knows about who looks at it.
#[derive(Clone, Copy, Debug, Default)]
pub struct Context {
    /// The theme.
    pub theme: Theme,
    /// Other devices may come in.
    pub share: bool,
    /// What the reader may do.
    pub role: Role,
    /// The file is a draft with errors: what is shown is from before it.
    pub draft: bool,
    /// The pages stand in a browser of their own.
    pub pocket: bool,
}

impl Context {
    /// What happens may be entered.
    #[must_use]
    pub fn logs(&self) -> bool {
        self.role >= Role::Log
    }

    /// The outing may be changed.
    #[must_use]
    pub fn edits(&self) -> bool {
        self.role >= Role::Edit
    }

    /// From what a browser sends.
    #[must_use]
    pub fn of(headers: &HeaderMap, share: bool) -> Self {
        Self {
            theme: cookie(headers, THEME_COOKIE)
                .and_then(Theme::from_word)
                .unwrap_or_default(),
            share,
            // Alone on the own machine, everything; among others what the guard has found.
            role: if share { Role::Look } else { Role::Edit },
            draft: false,
            pocket: false,
        }
    }
}

impl FromRequestParts<Arc<App>> for Context {
    type Rejection = Infallible;

    async fn from_request_parts(parts: &mut Parts, app: &Arc<App>) -> Result<Self, Infallible> {
        let alone = Self::of(&parts.headers, app.share);
        Ok(Self {
            pocket: app.pocket,
            role: parts.extensions.get().copied().unwrap_or(alone.role),
            ..alone
        })
    }
}

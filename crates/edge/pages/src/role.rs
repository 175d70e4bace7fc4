//! What a device may do: look, log, edit. Each may do what those before it may.

use axum::http::Method;

/// What a device may do, the least first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// Every page can be read.
    #[default]
    Look,
    /// Also what happens on the day is entered.
    Log,
    /// Also the outing is changed, and devices are thrown out.
    Edit,
}

impl Role {
    /// All of them, the least first.
    pub const ALL: [Self; 3] = [Self::Look, Self::Log, Self::Edit];

    /// The word in addresses and files.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Look => "look",
            Self::Log => "log",
            Self::Edit => "edit",
        }
    }

    /// From its word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|role| role.word() == word)
    }

    /// What it allows, for people: stands behind "may".
    #[must_use]
    pub fn may(self) -> &'static str {
        match self {
            Self::Look => "look",
            Self::Log => "look and log",
            Self::Edit => "look, log and edit",
        }
    }
}

/// The least role that a request to the pages needs. What is not named here and changes something needs the highest.
#[must_use]
pub fn needed(method: &Method, path: &str) -> Role {
    match path {
        _ if method == Method::GET || method == Method::HEAD => Role::Look,
        // How bright the own screen is.
        "/theme" => Role::Look,
        "/field/entry" | "/log" | "/field/log" | "/field/undo" | "/fault" | "/stop" | "/again" => Role::Log,
        _ => Role::Edit,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reading_needs_least_and_what_nobody_named_needs_most() {
        assert_eq!(needed(&Method::GET, "/edit"), Role::Look);
        assert_eq!(needed(&Method::POST, "/field/entry"), Role::Log);
        for path in ["/edit/text", "/edit/values", "/field/entry/", "/new", "/"] {
            assert_eq!(needed(&Method::POST, path), Role::Edit, "{path}");
        }
        assert_eq!(needed(&Method::DELETE, "/field"), Role::Edit);
        assert!(Role::Look < Role::Log && Role::Log < Role::Edit);
        assert!(Role::ALL.iter().all(|r| Role::from_word(r.word()) == Some(*r)));
    }
}

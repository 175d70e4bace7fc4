//! How the program ends: 0 fine, 1 the user's input, 2 ours.

use std::fmt::Display;
use std::process::ExitCode;

/// Why a command could not do what was asked.
#[derive(Debug)]
pub enum Failure {
    /// Something in the input, the file or the surroundings that the user can mend.
    Input(String),
    /// Something that is wrong with the program.
    Ours(String),
}

impl Failure {
    /// A failure of the input, with what to do about it.
    pub fn input(message: impl Display) -> Self {
        Self::Input(message.to_string())
    }

    /// A failure of the program itself.
    pub fn ours(message: impl Display) -> Self {
        Self::Ours(message.to_string())
    }

    /// The same with the option that it came from: `--svg: …`.
    pub(crate) fn of_option(self, option: &str) -> Self {
        match self {
            Self::Input(message) => Self::Input(format!("{option}: {message}")),
            ours => ours,
        }
    }

    /// The exit code that goes with it.
    #[must_use]
    pub fn code(&self) -> ExitCode {
        match self {
            Self::Input(_) => ExitCode::from(1),
            Self::Ours(_) => ExitCode::from(2),
        }
    }
}

impl Display for Failure {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Input(message) => f.write_str(message),
            Self::Ours(message) => write!(f, "this is a fault of the program, please report it: {message}"),
        }
    }
}

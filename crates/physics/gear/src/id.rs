//! Names that other parts of the outing refer to.

/// Why a text cannot serve as a name.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NameError {
    /// An id is empty, too long, or has a sign that is hard to type on a command line.
    #[error("\"{0}\" is not an id: use 1 to 40 letters, digits, - or _")]
    Id(String),
    /// A callsign is empty, too long, has no digit or no letter, or has other signs.
    #[error("\"{0}\" is not a callsign: use 3 to 15 letters and digits with at least one of each, also / and -")]
    Callsign(String),
}

/// A short name that is unique among its kind: `ridge`, `gateway-2`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Id(String);

impl Id {
    /// A checked id: 1 to 40 letters (of any script), digits, `-` or `_`.
    ///
    /// # Errors
    /// Empty, too long, or any other sign.
    pub fn new(text: &str) -> Result<Self, NameError> {
        let length = text.chars().count();
        let plain = text.chars().all(|c| c.is_alphanumeric() || c == '-' || c == '_');
        if plain && (1..=40).contains(&length) {
            Ok(Self(text.to_owned()))
        } else {
            Err(NameError::Id(text.to_owned()))
        }
    }

    /// An id that the program itself gives, such as `transceiver`: taken as it is.
    #[must_use]
    pub fn ours(text: impl Into<String>) -> Self {
        Self(text.into())
    }

    /// The text of the id.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl Default for Id {
    /// Stands where nobody has given a name yet.
    fn default() -> Self {
        Self("nameless".to_owned())
    }
}

impl<T: AsRef<str> + ?Sized> PartialEq<T> for Id {
    fn eq(&self, other: &T) -> bool {
        self.0 == other.as_ref()
    }
}

impl std::fmt::Display for Id {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

/// A radio callsign in capitals, with an optional prefix, suffix or sub-address: `Q1AB`, `Q1AB/P`, `Q1AB-10`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Callsign(String);

impl Callsign {
    /// A checked callsign; small letters become capitals.
    ///
    /// # Errors
    /// Shorter than 3 or longer than 15 signs, without a letter or without a digit, or other signs than `/` and `-`.
    pub fn new(text: &str) -> Result<Self, NameError> {
        let upper = text.trim().to_ascii_uppercase();
        let plain = upper.chars().all(|c| c.is_ascii_alphanumeric() || c == '/' || c == '-');
        let digit = upper.chars().any(|c| c.is_ascii_digit());
        let letter = upper.chars().any(|c| c.is_ascii_uppercase());
        if plain && digit && letter && (3..=15).contains(&upper.len()) {
            Ok(Self(upper))
        } else {
            Err(NameError::Callsign(text.to_owned()))
        }
    }

    /// The text of the callsign.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl Default for Callsign {
    /// Stands where nobody has given a callsign yet; Q is never the first letter of a real one.
    fn default() -> Self {
        Self("Q0X".to_owned())
    }
}

impl std::fmt::Display for Callsign {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_short_and_plain() {
        assert_eq!(Id::new("ridge-2").unwrap().as_str(), "ridge-2");
        for bad in ["", "two words", "a/b", "a.b", &"x".repeat(41)] {
            assert!(Id::new(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn callsigns_hold_a_letter_and_a_digit() {
        assert_eq!(Callsign::new("q1ab/p").unwrap().as_str(), "Q1AB/P");
        for bad in ["", "QQ", "QABC", "123", "Q1 A", "Q1ABCDEFGHIJKLMN"] {
            assert!(Callsign::new(bad).is_err(), "{bad}");
        }
    }
}

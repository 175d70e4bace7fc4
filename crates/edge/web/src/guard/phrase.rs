//! The pass phrase: it lets one device in, then another takes its place.

use std::sync::{Mutex, PoisonError};

use crate::guard::secret::{random, same};

const CONSONANTS: [char; 16] = [
    'b', 'd', 'f', 'g', 'h', 'k', 'l', 'm', 'n', 'p', 'r', 's', 't', 'v', 'w', 'z',
];
const VOWELS: [char; 4] = ['a', 'e', 'i', 'o'];
/// Syllables of a consonant and a vowel, 6 bits each: 48 bits in all, with few tries a minute.
const SYLLABLES: usize = 8;

/// The phrase that holds now.
pub struct Phrase(Mutex<String>);

impl Phrase {
    /// A first phrase.
    ///
    /// # Errors
    /// In words: the system gives no random numbers.
    pub fn new() -> Result<Self, String> {
        Ok(Self(Mutex::new(fresh()?)))
    }

    /// The phrase that holds now.
    #[must_use]
    pub fn now(&self) -> String {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Uses the phrase up. Capital letters, blanks and other signs between do not matter.
    ///
    /// # Errors
    /// In words: the system gives no random numbers for the next phrase.
    pub fn spend(&self, typed: &str) -> Result<bool, String> {
        let mut phrase = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if !same(&letters(typed), &letters(&phrase)) {
            return Ok(false);
        }
        *phrase = fresh()?;
        Ok(true)
    }
}

fn letters(text: &str) -> String {
    let plain = text.chars().filter(char::is_ascii_alphabetic);
    plain.take(64).map(|c| c.to_ascii_lowercase()).collect()
}

fn fresh() -> Result<String, String> {
    let bytes = random::<SYLLABLES>()?;
    let mut phrase = String::new();
    for (index, byte) in bytes.into_iter().enumerate() {
        if index > 0 && index % 2 == 0 {
            phrase.push('-');
        }
        phrase.push(CONSONANTS[usize::from(byte % 16)]);
        phrase.push(VOWELS[usize::from(byte / 16 % 4)]);
    }
    Ok(phrase)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_phrase_opens_once() {
        let phrase = Phrase::new().unwrap();
        let first = phrase.now();
        assert_eq!(first.len(), 19, "{first}");
        assert!(!phrase.spend("").unwrap() && !phrase.spend("bada-bada-bada-bad").unwrap());
        assert_eq!(phrase.now(), first);
        assert!(phrase.spend(&first.to_uppercase().replace('-', " ")).unwrap());
        assert_ne!(phrase.now(), first);
        assert!(!phrase.spend(&first).unwrap());
    }
}

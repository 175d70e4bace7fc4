//! Pass phrases, one for each role: each lets one device in, then another takes its place.

use std::sync::{Mutex, PoisonError};

use farhop_pages::Role;

use crate::guard::secret::{random, same};

const CONSONANTS: [char; 16] = [
    'b', 'd', 'f', 'g', 'h', 'k', 'l', 'm', 'n', 'p', 'r', 's', 't', 'v', 'w', 'z',
];
const VOWELS: [char; 4] = ['a', 'e', 'i', 'o'];
/// Syllables of a consonant and a vowel, 6 bits each: 48 bits in all, with few tries a minute.
const SYLLABLES: usize = 8;

/// The phrases that hold now, in the order of the roles.
pub struct Phrases([Phrase; Role::ALL.len()]);

impl Phrases {
    /// First phrases.
    ///
    /// # Errors
    /// In words: the system gives no random numbers.
    pub fn new() -> Result<Self, String> {
        Ok(Self([Phrase::new()?, Phrase::new()?, Phrase::new()?]))
    }

    /// The phrase that lets the next device in with a role.
    #[must_use]
    pub fn now(&self, role: Role) -> String {
        self.0[role as usize].now()
    }

    /// Uses a phrase up: the role for which it stands; none where it is no phrase. All are compared, whichever fits.
    ///
    /// # Errors
    /// As [`Phrase::spend`].
    pub fn spend(&self, typed: &str) -> Result<Option<Role>, String> {
        let mut found = None;
        for (role, phrase) in Role::ALL.into_iter().zip(&self.0) {
            if phrase.spend(typed)? {
                found = Some(role);
            }
        }
        Ok(found)
    }
}

/// A phrase that holds now.
struct Phrase(Mutex<String>);

impl Phrase {
    /// A first phrase.
    ///
    /// # Errors
    /// In words: the system gives no random numbers.
    fn new() -> Result<Self, String> {
        Ok(Self(Mutex::new(fresh()?)))
    }

    /// The phrase that holds now.
    fn now(&self) -> String {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Uses the phrase up. Capital letters, blanks and other signs between do not matter.
    ///
    /// # Errors
    /// In words: the system gives no random numbers for the next phrase.
    fn spend(&self, typed: &str) -> Result<bool, String> {
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

    #[test]
    fn each_phrase_stands_for_its_role_and_only_it_is_used_up() {
        let phrases = Phrases::new().unwrap();
        let before = Role::ALL.map(|role| phrases.now(role));
        assert_eq!(phrases.spend(&before[1]).unwrap(), Some(Role::Log));
        assert_eq!(phrases.spend(&before[1]).unwrap(), None);
        assert_ne!(phrases.now(Role::Log), before[1]);
        assert_eq!(phrases.now(Role::Look), before[0]);
        assert_eq!(phrases.spend(&before[2]).unwrap(), Some(Role::Edit));
        assert_eq!(phrases.spend(&before[0]).unwrap(), Some(Role::Look));
    }
}

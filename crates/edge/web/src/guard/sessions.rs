//! Devices that have been let in. They stay in when the server ends and begins again: the hashes of their tokens are kept in a file.

use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};
use std::time::{SystemTime, UNIX_EPOCH};

use sha2::{Digest as _, Sha256};

use crate::guard::secret::{hex, random};
use crate::guard::sessions_file::SessionsFile;

/// Name of the cookie.
pub const COOKIE: &str = "farhop_session";
/// Devices that can be in at once.
const MOST: usize = 64;
/// How long a device stays in, s: a week, as long as the longest outing that one carries a phone through (judgement).
const KEPT_S: u64 = 7 * 24 * 3_600;

/// Hash of a token.
pub type TokenHash = [u8; 32];

/// Sessions by the hash of their token, each with its end in seconds since 1970.
pub struct Sessions {
    known: Mutex<BTreeMap<TokenHash, u64>>,
    file: Option<SessionsFile>,
}

impl Sessions {
    /// Sessions that end with the program where `file` is none; else those that the file has, kept there from now on.
    #[must_use]
    pub fn kept_in(file: Option<SessionsFile>) -> Self {
        let known = file.as_ref().map(SessionsFile::read).unwrap_or_default();
        Self {
            known: Mutex::new(known),
            file,
        }
    }

    /// Whether a token was given out and has not ended.
    #[must_use]
    pub fn holds(&self, token: Option<&str>) -> bool {
        self.holds_at(token, now_s())
    }

    fn holds_at(&self, token: Option<&str>, now_s: u64) -> bool {
        let Some(token) = token else { return false };
        let hash = TokenHash::from(Sha256::digest(token));
        let known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        known.get(&hash).is_some_and(|end_s| *end_s > now_s)
    }

    /// Lets a device in: the cookie to set, and why it will be out again when the server ends, if it will.
    ///
    /// # Errors
    /// In words: too many devices, or no random numbers.
    pub fn open(&self) -> Result<(String, Option<String>), String> {
        self.open_at(now_s())
    }

    fn open_at(&self, now_s: u64) -> Result<(String, Option<String>), String> {
        let token = hex(&random::<32>()?);
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        // Another server of the same user may have let devices in meanwhile.
        if let Some(file) = &self.file {
            known.extend(file.read());
        }
        known.retain(|_, end_s| *end_s > now_s);
        if known.len() >= MOST {
            return Err(format!(
                "{MOST} devices are in already; on one of them open “Let another device in” and put the others out"
            ));
        }
        known.insert(Sha256::digest(&token).into(), now_s + KEPT_S);
        let cookie = format!("{COOKIE}={token}; HttpOnly; SameSite=Strict; Path=/; Max-Age={KEPT_S}");
        Ok((cookie, self.keep(&known)))
    }

    /// Puts every device out but the one with this token. Gives how many went, and why they may come back when the server begins
    /// again, if the file could not be written.
    pub fn only(&self, token: Option<&str>) -> (usize, Option<String>) {
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        let before = known.len();
        let stays = token.map(|t| TokenHash::from(Sha256::digest(t)));
        known.retain(|hash, _| Some(*hash) == stays);
        (before - known.len(), self.keep(&known))
    }

    /// Devices that are in.
    #[must_use]
    pub fn count(&self) -> usize {
        let now_s = now_s();
        let known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        known.values().filter(|end_s| **end_s > now_s).count()
    }

    fn keep(&self, known: &BTreeMap<TokenHash, u64>) -> Option<String> {
        self.file.as_ref()?.write(known).err()
    }
}

/// Seconds since 1970; 0 on a clock before that.
fn now_s() -> u64 {
    SystemTime::now()
        .duration_since(UNIX_EPOCH)
        .map_or(0, |since| since.as_secs())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn token(cookie: &str) -> &str {
        cookie.split(['=', ';']).nth(1).unwrap()
    }

    #[test]
    fn only_tokens_that_were_given_out_hold() {
        let sessions = Sessions::kept_in(None);
        let (cookie, trouble) = sessions.open().unwrap();
        let token = token(&cookie);
        assert_eq!(trouble, None);
        assert!(sessions.holds(Some(token)));
        assert!(!sessions.holds(None) && !sessions.holds(Some("")) && !sessions.holds(Some(&token[1..])));
        assert!(cookie.contains("HttpOnly") && cookie.contains("SameSite=Strict"));
    }

    #[test]
    fn a_session_ends() {
        let sessions = Sessions::kept_in(None);
        let (cookie, _) = sessions.open_at(1_000).unwrap();
        assert!(sessions.holds_at(Some(token(&cookie)), 1_000 + KEPT_S - 1));
        assert!(!sessions.holds_at(Some(token(&cookie)), 1_000 + KEPT_S));
    }

    #[test]
    fn one_device_puts_the_others_out() {
        let sessions = Sessions::kept_in(None);
        let first = sessions.open().unwrap().0;
        let second = sessions.open().unwrap().0;
        assert_eq!(sessions.only(Some(token(&first))).0, 1);
        assert!(sessions.holds(Some(token(&first))) && !sessions.holds(Some(token(&second))));
    }
}

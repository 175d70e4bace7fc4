//! Devices that have been let in.

use std::collections::HashSet;
use std::sync::{Mutex, PoisonError};

use sha2::{Digest as _, Sha256};

use crate::guard::secret::{hex, random};

/// Name of the cookie.
pub const COOKIE: &str = "farhop_session";
/// Devices that can be in at once.
const MOST: usize = 64;
/// How long a browser keeps the cookie, s; the server forgets all when it ends.
const KEPT_S: u32 = 3 * 24 * 3_600;

/// Sessions by the hash of their token.
#[derive(Default)]
pub struct Sessions(Mutex<HashSet<[u8; 32]>>);

impl Sessions {
    /// Whether a token was given out.
    #[must_use]
    pub fn holds(&self, token: Option<&str>) -> bool {
        let known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        token.is_some_and(|token| known.contains(&<[u8; 32]>::from(Sha256::digest(token))))
    }

    /// Lets a device in: the cookie to set.
    ///
    /// # Errors
    /// In words: too many devices, or no random numbers.
    pub fn open(&self) -> Result<String, String> {
        let token = hex(&random::<32>()?);
        let mut known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if known.len() >= MOST {
            return Err(format!(
                "{MOST} devices are in already; start the server again to begin anew"
            ));
        }
        known.insert(Sha256::digest(&token).into());
        Ok(format!(
            "{COOKIE}={token}; HttpOnly; SameSite=Strict; Path=/; Max-Age={KEPT_S}"
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_tokens_that_were_given_out_hold() {
        let sessions = Sessions::default();
        let cookie = sessions.open().unwrap();
        let token = cookie.split(['=', ';']).nth(1).unwrap();
        assert!(sessions.holds(Some(token)));
        assert!(!sessions.holds(None) && !sessions.holds(Some("")) && !sessions.holds(Some(&token[1..])));
        assert!(cookie.contains("HttpOnly") && cookie.contains("SameSite=Strict"));
    }
}

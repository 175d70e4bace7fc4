//! Devices that have been let in. They stay in when the server ends and begins again: the hashes of their tokens are kept in a file.

use std::collections::BTreeMap;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{SystemTime, UNIX_EPOCH};

use farhop_pages::Role;
use sha2::{Digest as _, Sha256};

use crate::guard::device::{Device, clean_name};
use crate::guard::secret::{hex, random};
use crate::guard::sessions_file::SessionsFile;

/// Name of the cookie.
pub const COOKIE: &str = "farhop_session";
/// Devices that can be in at once.
const MOST: usize = 128;
/// How long a device stays in, s: a week, as long as the longest outing that one carries a phone through (judgement).
const KEPT_S: u64 = 7 * 24 * 3_600;
/// How old the file may grow over what only tells when a device was there last, s.
const STALE_S: u64 = 600;

/// Hash of a token.
pub type TokenHash = [u8; 32];

/// A device in the list of those that are in.
pub struct Listed {
    /// What names it in a form: a part of the hash of its token, from which nobody gets the token.
    pub id: String,
    /// The device.
    pub device: Device,
    /// It is the one that asks.
    pub own: bool,
}

/// What is known of the devices.
#[derive(Default)]
struct Known {
    devices: BTreeMap<TokenHash, Device>,
    /// What of the file has been read or written.
    stamp: Option<(SystemTime, u64)>,
    /// When it was, seconds since 1970.
    kept_s: u64,
}

/// Devices by the hash of their token.
pub struct Sessions {
    known: Mutex<Known>,
    file: Option<SessionsFile>,
}

impl Sessions {
    /// Sessions that end with the program where `file` is none; else those that the file has, kept there from now on.
    #[must_use]
    pub fn kept_in(file: Option<SessionsFile>) -> Self {
        Self {
            known: Mutex::new(Known::default()),
            file,
        }
    }

    /// What the device with a token may do; none where it was not let in, or is out again. That it was there is noted.
    #[must_use]
    pub fn role_of(&self, token: Option<&str>) -> Option<Role> {
        self.role_at(token, now_s())
    }

    fn role_at(&self, token: Option<&str>, now_s: u64) -> Option<Role> {
        let hash = hash_of(token?);
        let mut known = self.lock();
        let device = known.devices.get_mut(&hash).filter(|d| d.end_s > now_s)?;
        device.seen_s = now_s;
        let role = device.role;
        if now_s.saturating_sub(known.kept_s) > STALE_S {
            // It only tells when devices were there last: nothing is lost where it cannot be written.
            let _ = self.keep(&mut known, now_s);
        }
        Some(role)
    }

    /// Lets a device in, in place of what its old token stood for: the cookie to set, and why it will be out again when the server
    /// ends, if it will.
    ///
    /// # Errors
    /// In words: too many devices, or no random numbers.
    pub fn open(&self, role: Role, old: Option<&str>) -> Result<(String, Option<String>), String> {
        self.open_at(role, old, now_s())
    }

    fn open_at(&self, role: Role, old: Option<&str>, now_s: u64) -> Result<(String, Option<String>), String> {
        let token = hex(&random::<32>()?);
        let mut known = self.lock();
        known.devices.retain(|_, d| d.end_s > now_s);
        let before = old.and_then(|old| known.devices.remove(&hash_of(old)));
        if known.devices.len() >= MOST {
            return Err(format!(
                "{MOST} devices are in already; on one of them open “Let another device in” and throw some out"
            ));
        }
        let name = before.map_or_else(|| free_name(&known.devices), |d| d.name);
        let device = Device {
            end_s: now_s + KEPT_S,
            role,
            seen_s: now_s,
            name,
        };
        known.devices.insert(hash_of(&token), device);
        let cookie = format!("{COOKIE}={token}; HttpOnly; SameSite=Strict; Path=/; Max-Age={KEPT_S}");
        Ok((cookie, self.keep(&mut known, now_s)))
    }

    /// Devices that are in, as the one with a token sees them: itself first, then who was there last.
    #[must_use]
    pub fn devices(&self, token: Option<&str>) -> Vec<Listed> {
        let now_s = now_s();
        let own = token.map(hash_of);
        let known = self.lock();
        let standing = known.devices.iter().filter(|(_, d)| d.end_s > now_s);
        let mut list: Vec<Listed> = standing
            .map(|(hash, device)| Listed {
                id: id_of(hash),
                device: device.clone(),
                own: Some(*hash) == own,
            })
            .collect();
        list.sort_by_key(|l| (!l.own, std::cmp::Reverse(l.device.seen_s)));
        list
    }

    /// Throws the device with an id out. Gives its name, none where there is none of that id; and why it may come back when the
    /// server begins again, if the file could not be written.
    pub fn put_out(&self, id: &str) -> (Option<String>, Option<String>) {
        let mut known = self.lock();
        let Some(hash) = known.devices.keys().copied().find(|hash| id_of(hash) == id) else {
            return (None, None);
        };
        let gone = known.devices.remove(&hash);
        (gone.map(|d| d.name), self.keep(&mut known, now_s()))
    }

    /// Throws every device out but the one with this token. Gives how many went, and why they may come back when the server begins
    /// again, if the file could not be written.
    pub fn only(&self, token: Option<&str>) -> (usize, Option<String>) {
        let mut known = self.lock();
        let before = known.devices.len();
        let stays = token.map(hash_of);
        known.devices.retain(|hash, _| Some(*hash) == stays);
        (before - known.devices.len(), self.keep(&mut known, now_s()))
    }

    /// Gives the device with a token another name.
    pub fn rename(&self, token: Option<&str>, name: &str) {
        let mut known = self.lock();
        let device = token.and_then(|t| known.devices.get_mut(&hash_of(t)));
        if let (Some(device), Some(name)) = (device, clean_name(name)) {
            device.name = name;
            // A name that is lost when the server begins again is no harm.
            let _ = self.keep(&mut known, now_s());
        }
    }

    /// What is known, with what another server of the same user has written meanwhile: who was thrown out there is out here.
    fn lock(&self) -> MutexGuard<'_, Known> {
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(file) = &self.file {
            let stamp = file.stamp();
            if stamp.is_some() && stamp != known.stamp {
                let mut devices = file.read();
                for (hash, device) in &mut devices {
                    let seen_s = known.devices.get(hash).map_or(0, |d| d.seen_s);
                    device.seen_s = device.seen_s.max(seen_s);
                }
                known.devices = devices;
                known.stamp = stamp;
            }
        }
        known
    }

    fn keep(&self, known: &mut Known, now_s: u64) -> Option<String> {
        let file = self.file.as_ref()?;
        known.kept_s = now_s;
        let trouble = file.write(&known.devices).err();
        if trouble.is_none() {
            known.stamp = file.stamp();
        }
        trouble
    }
}

fn hash_of(token: &str) -> TokenHash {
    Sha256::digest(token).into()
}

fn id_of(hash: &TokenHash) -> String {
    hex(&hash[..8])
}

/// A name that no device has: the least number that is free.
fn free_name(devices: &BTreeMap<TokenHash, Device>) -> String {
    let name = |n: usize| format!("Device {n}");
    let taken = |n: &usize| devices.values().any(|d| d.name == name(*n));
    name((1..).find(|n| !taken(n)).unwrap_or(1))
}

/// Seconds since 1970; 0 on a clock before that.
pub(crate) fn now_s() -> u64 {
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
        let (cookie, trouble) = sessions.open(Role::Log, None).unwrap();
        let token = token(&cookie);
        assert_eq!(trouble, None);
        assert_eq!(sessions.role_of(Some(token)), Some(Role::Log));
        for wrong in [None, Some(""), Some(&token[1..])] {
            assert_eq!(sessions.role_of(wrong), None);
        }
        assert!(cookie.contains("HttpOnly") && cookie.contains("SameSite=Strict"));
    }

    #[test]
    fn a_session_ends() {
        let sessions = Sessions::kept_in(None);
        let (cookie, _) = sessions.open_at(Role::Look, None, 1_000).unwrap();
        assert!(sessions.role_at(Some(token(&cookie)), 1_000 + KEPT_S - 1).is_some());
        assert!(sessions.role_at(Some(token(&cookie)), 1_000 + KEPT_S).is_none());
    }

    #[test]
    fn one_device_puts_the_others_out() {
        let sessions = Sessions::kept_in(None);
        let first = sessions.open(Role::Edit, None).unwrap().0;
        let second = sessions.open(Role::Log, None).unwrap().0;
        assert_eq!(sessions.only(Some(token(&first))).0, 1);
        assert!(sessions.role_of(Some(token(&first))).is_some() && sessions.role_of(Some(token(&second))).is_none());
    }

    #[test]
    fn a_device_is_listed_named_changed_and_thrown_out() {
        let sessions = Sessions::kept_in(None);
        let first = sessions.open(Role::Edit, None).unwrap().0;
        let second = sessions.open(Role::Look, None).unwrap().0;
        sessions.rename(Some(token(&second)), " Blue\n phone ");
        // With another phrase the same device may do more, under the same name; the old token is out.
        let third = sessions.open(Role::Log, Some(token(&second))).unwrap().0;
        assert!(sessions.role_of(Some(token(&second))).is_none());
        let list = sessions.devices(Some(token(&first)));
        let told: Vec<(&str, Role, bool)> = list
            .iter()
            .map(|l| (l.device.name.as_str(), l.device.role, l.own))
            .collect();
        assert_eq!(told, [("Device 1", Role::Edit, true), ("Blue phone", Role::Log, false)]);
        assert_eq!(sessions.put_out("0").0, None);
        assert_eq!(sessions.put_out(&list[1].id).0.as_deref(), Some("Blue phone"));
        assert_eq!(sessions.role_of(Some(token(&third))), None);
    }
}

//! How often one address may ask, and how often a phrase may be tried.

use std::collections::HashMap;
use std::net::IpAddr;
use std::sync::{Mutex, PoisonError};
use std::time::Instant;

/// Addresses that are remembered; beyond that, all begin anew.
const MOST_ADDRESSES: usize = 1_000;

/// A store of permissions that fills up with time, one for each address.
pub struct Rate {
    most: f64,
    per_s: f64,
    stores: Mutex<HashMap<IpAddr, (f64, Instant)>>,
}

impl Rate {
    /// So many at once (dimensionless), and so many a second in the long run.
    #[must_use]
    pub fn new(most: f64, per_s: f64) -> Self {
        Self {
            most,
            per_s,
            stores: Mutex::new(HashMap::new()),
        }
    }

    /// Whether one more is allowed; it counts.
    #[must_use]
    pub fn allows(&self, who: IpAddr) -> bool {
        self.allows_at(who, Instant::now())
    }

    fn allows_at(&self, who: IpAddr, now: Instant) -> bool {
        let mut stores = self.stores.lock().unwrap_or_else(PoisonError::into_inner);
        if stores.len() > MOST_ADDRESSES {
            stores.clear();
        }
        let (left, since) = stores.entry(who).or_insert((self.most, now));
        let elapsed_s = now.saturating_duration_since(*since).as_secs_f64();
        *left = (*left + elapsed_s * self.per_s).min(self.most);
        *since = now;
        let allowed = *left >= 1.0;
        if allowed {
            *left -= 1.0;
        }
        allowed
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Duration;

    #[test]
    fn a_burst_is_allowed_and_then_the_long_run_holds() {
        let rate = Rate::new(3.0, 1.0);
        let (who, other) = ("10.0.0.1".parse().unwrap(), "10.0.0.2".parse().unwrap());
        let start = Instant::now();
        let tries: Vec<bool> = (0..5).map(|_| rate.allows_at(who, start)).collect();
        assert_eq!(tries, [true, true, true, false, false]);
        assert!(rate.allows_at(other, start));
        assert!(rate.allows_at(who, start + Duration::from_secs(1)));
        assert!(!rate.allows_at(who, start + Duration::from_secs(1)));
    }
}

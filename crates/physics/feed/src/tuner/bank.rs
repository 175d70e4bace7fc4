//! A bank of parts switched by relays: every sum that can be made.

use crate::error::{FeedError, positive};

/// Most relays accepted in one bank.
pub(crate) const MOST_RELAYS: usize = 12;

/// Every sum of a set of parts, in rising order, each with the relays that make it.
#[derive(Clone, Debug, PartialEq)]
pub struct RelayBank {
    sums: Vec<f64>,
    masks: Vec<u32>,
}

impl RelayBank {
    /// All sums of `parts` (any unit; all above zero, at most `MOST_RELAYS`). An empty list gives the sum zero only.
    ///
    /// # Errors
    /// [`FeedError::BadValue`] for a part that is not above zero, or too many parts.
    pub fn new(what: &'static str, parts: &[f64]) -> Result<Self, FeedError> {
        if parts.len() > MOST_RELAYS {
            return Err(FeedError::BadValue {
                what,
                value: parts.len() as f64,
                need: "at most 12 relays",
            });
        }
        for &part in parts {
            positive(what, part)?;
        }
        Ok(Self::of(parts))
    }

    /// The sums of parts known to be sound.
    pub(crate) fn of(parts: &[f64]) -> Self {
        let mut pairs = vec![(0.0, 0u32)];
        for (relay, &part) in parts.iter().enumerate() {
            let with_part: Vec<(f64, u32)> = pairs
                .iter()
                .map(|&(sum, mask)| (sum + part, mask | (1 << relay)))
                .collect();
            pairs.extend(with_part);
        }
        pairs.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        Self {
            sums: pairs.iter().map(|p| p.0).collect(),
            masks: pairs.iter().map(|p| p.1).collect(),
        }
    }

    /// Parts of `smallest` × 1, 2, 4, … for `relays` relays.
    ///
    /// # Errors
    /// As [`RelayBank::new`].
    pub fn binary(what: &'static str, smallest: f64, relays: usize) -> Result<Self, FeedError> {
        let parts: Vec<f64> = (0..relays.min(MOST_RELAYS + 1))
            .map(|n| smallest * (1u32 << n) as f64)
            .collect();
        Self::new(what, &parts)
    }

    /// The sums in rising order; the first is zero. Never empty.
    #[must_use]
    pub fn sums(&self) -> &[f64] {
        &self.sums
    }

    /// The sum at `index`, zero beyond the end.
    pub(crate) fn sum(&self, index: usize) -> f64 {
        self.sums.get(index).copied().unwrap_or(0.0)
    }

    /// The relays at `index`, none beyond the end.
    pub(crate) fn mask(&self, index: usize) -> u32 {
        self.masks.get(index).copied().unwrap_or(0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn binary_bank_counts_up() {
        let bank = RelayBank::binary("test", 0.5, 8).unwrap();
        assert_eq!(bank.sums().len(), 256);
        assert_eq!(bank.sum(255), 127.5);
        assert_eq!(bank.mask(5), 5);
        assert!(bank.sums().windows(2).all(|w| w[0] < w[1]));
    }

    #[test]
    fn uneven_parts_are_sorted_with_their_relays() {
        let bank = RelayBank::new("test", &[3.0, 1.0]).unwrap();
        assert_eq!(bank.sums(), &[0.0, 1.0, 3.0, 4.0]);
        assert_eq!((bank.mask(1), bank.mask(2)), (0b10, 0b01));
    }

    #[test]
    fn bad_parts_are_refused() {
        assert!(RelayBank::new("test", &[1.0, 0.0]).is_err());
        assert!(RelayBank::new("test", &[f64::NAN]).is_err());
        assert!(RelayBank::binary("test", 1.0, 13).is_err());
        assert_eq!(RelayBank::new("test", &[]).unwrap().sums(), &[0.0]);
    }
}

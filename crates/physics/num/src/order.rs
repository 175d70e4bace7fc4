//! Quantiles of sorted values.

/// The value at `share` (0 to 1, dimensionless) of sorted values, by straight lines between order statistics (type 7 of Hyndman &
/// Fan, American Statistician 50, 1996); NaN for none.
#[must_use]
pub fn sorted_quantile(sorted: &[f64], share: f64) -> f64 {
    let Some(last) = sorted.len().checked_sub(1) else {
        return f64::NAN;
    };
    let position = share.clamp(0.0, 1.0) * last as f64;
    let (low, high) = (position.floor() as usize, position.ceil() as usize);
    let at = |k: usize| sorted.get(k).copied().unwrap_or(f64::NAN);
    at(low) + (at(high) - at(low)) * (position - low as f64)
}

/// The smallest of sorted `(value, weight)` pairs at which the running weight reaches `share` (0 to 1, dimensionless) of all weight;
/// `None` for none.
#[must_use]
pub fn weighted_quantile(sorted: &[(f64, f64)], share: f64) -> Option<f64> {
    let total: f64 = sorted.iter().map(|pair| pair.1).sum();
    // A hair of room so that rounding of the running sum does not skip a value.
    let wanted = share * total * (1.0 - 1e-12);
    let mut running = 0.0;
    let reached = sorted.iter().find(|pair| {
        running += pair.1;
        running >= wanted
    });
    reached.or(sorted.last()).map(|pair| pair.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_quantiles_stand_between_their_neighbours() {
        let values = [1.0, 2.0, 4.0];
        assert_eq!(sorted_quantile(&values, 0.5), 2.0);
        assert_eq!(sorted_quantile(&values, 0.75), 3.0);
        assert_eq!(
            (sorted_quantile(&values, -1.0), sorted_quantile(&values, 2.0)),
            (1.0, 4.0)
        );
        assert!(sorted_quantile(&[], 0.5).is_nan());
    }

    #[test]
    fn weighted_quantiles_are_values_of_the_list() {
        let even: Vec<(f64, f64)> = (1..=10).map(|n| (f64::from(n), 0.1)).collect();
        let at = |share| weighted_quantile(&even, share).unwrap();
        assert_eq!([0.0, 0.1, 0.5, 0.9, 1.0].map(at), [1.0, 1.0, 5.0, 9.0, 10.0]);
        assert_eq!(weighted_quantile(&[(5.0, 0.05), (7.0, 0.95)], 0.1), Some(7.0));
        assert_eq!(weighted_quantile(&[], 0.5), None);
    }
}

//! Where a statement turns from true to false.

/// Halves the interval `turns` times and keeps the end where `holds` is true first and the other end second: the turn lies between
/// the two. `holds` is taken to be true at the first end and false at the second, and is not asked there; the ends may come in
/// either order. All numbers in the unit of the ends.
#[must_use]
pub fn bisect((mut inside, mut outside): (f64, f64), turns: u32, holds: impl Fn(f64) -> bool) -> (f64, f64) {
    for _ in 0..turns {
        let middle = 0.5 * (inside + outside);
        if holds(middle) {
            inside = middle;
        } else {
            outside = middle;
        }
    }
    (inside, outside)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_turn_is_kept_between_the_ends() {
        let (inside, outside) = bisect((0.0, 2.0), 52, |x| x * x < 2.0);
        assert!(inside < outside && outside - inside < 1e-15);
        assert!((inside - std::f64::consts::SQRT_2).abs() < 1e-15);
        let (inside, outside) = bisect((2.0, 0.0), 10, |x| x * x > 2.0);
        assert!(inside > outside && (inside - outside - 2.0 / 1024.0).abs() < 1e-12);
        assert_eq!(bisect((1.0, 4.0), 0, |_| true), (1.0, 4.0));
    }
}

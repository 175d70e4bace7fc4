//! Words and numbers of the kit.

/// Points gained: `+14 points`, `+0.4 points`.
pub fn gain(points: f64) -> String {
    if points >= 9.95 {
        format!("+{points:.0} points")
    } else if points >= 0.05 {
        format!("+{points:.1} points")
    } else {
        "less than 0.1 point".to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gain_has_the_digits_that_mean_something() {
        assert_eq!(gain(14.2), "+14 points");
        assert_eq!(gain(0.42), "+0.4 points");
        assert_eq!(gain(0.01), "less than 0.1 point");
    }
}

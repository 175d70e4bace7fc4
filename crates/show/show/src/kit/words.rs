//! Words and numbers of the kit.

/// A mass in the reader's units: `0.35 kg`, `40 g`, `0.8 lb`.
#[must_use]
pub fn mass(mass_kg: f64, imperial: bool) -> String {
    if imperial {
        let pounds = farhop_earth::units::lb_from_kg(mass_kg);
        if pounds < 1.0 {
            format!("{:.1} oz", pounds * 16.0)
        } else {
            format!("{pounds:.1} lb")
        }
    } else if mass_kg < 0.0995 {
        format!("{:.0} g", mass_kg * 1_000.0)
    } else {
        format!("{mass_kg:.2} kg")
    }
}

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
    fn masses_read_well_in_both_systems() {
        assert_eq!(mass(0.005, false), "5 g");
        assert_eq!(mass(0.0996, false), "0.10 kg");
        assert_eq!(mass(1.9, false), "1.90 kg");
        assert_eq!(mass(1.0, true), "2.2 lb");
        assert_eq!(mass(0.1, true), "3.5 oz");
    }

    #[test]
    fn a_gain_has_the_digits_that_mean_something() {
        assert_eq!(gain(14.2), "+14 points");
        assert_eq!(gain(0.42), "+0.4 points");
        assert_eq!(gain(0.01), "less than 0.1 point");
    }
}

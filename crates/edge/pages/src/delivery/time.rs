//! When an entry was made: the clock of the computer less the age of the entry. Clocks of phones are not believed.

use farhop_earth::UtcTime;

use crate::delivery::Refused;

/// Oldest entry that is taken, s: two weeks, longer than a phone waits on any outing (judgement).
const OLDEST_S: f64 = 14.0 * 86_400.0;
/// Clocks that differ by more than this are told, s.
const APART_S: i64 = 120;

/// When an entry of an age was made.
///
/// # Errors
/// The age is no number of seconds between nothing and two weeks.
pub fn made_at(now: UtcTime, age_s: Option<f64>) -> Result<UtcTime, Refused> {
    let age_s = age_s.unwrap_or(0.0);
    // NaN is in no range.
    if !(0.0..=OLDEST_S).contains(&age_s) {
        return Err(Refused::permanent(
            &format!("The age of the entry, {age_s} s, cannot be."),
            "Enter it again with its time in front, for example: 14:35 volt 12.4",
        ));
    }
    Ok(now.add_s(-(age_s.round() as i64)))
}

/// What to say about two clocks, if anything: `clock_ms` is that of the phone, in milliseconds since 1970.
#[must_use]
pub(crate) fn clocks_apart(clock_ms: Option<f64>, now: UtcTime) -> Option<String> {
    let phone_s = clock_ms.filter(|ms| ms.is_finite())? / 1_000.0;
    let ahead_s = (phone_s - now.unix_s() as f64).round() as i64;
    if ahead_s.abs() <= APART_S {
        return None;
    }
    let side = if ahead_s > 0 { "ahead of" } else { "behind" };
    Some(format!(
        "The clock of this phone is {} {side} the computer's. Entries get the computer's time; set the one that is wrong.",
        span(ahead_s.unsigned_abs())
    ))
}

/// A span in the unit that fits.
fn span(seconds: u64) -> String {
    match seconds {
        0..7_200 => format!("{} minutes", (seconds + 30) / 60),
        7_200..172_800 => format!("{} hours", (seconds + 1_800) / 3_600),
        _ => format!("{} days", (seconds + 43_200) / 86_400),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn noon() -> UtcTime {
        UtcTime::from_unix_s(1_797_000_000).unwrap()
    }

    #[test]
    fn an_entry_is_as_old_as_it_says_and_ages_that_cannot_be_are_refused() {
        assert_eq!(made_at(noon(), None).unwrap(), noon());
        assert_eq!(made_at(noon(), Some(89.6)).unwrap(), noon().add_s(-90));
        for bad in [-1.0, f64::NAN, f64::INFINITY, 1e9] {
            let refused = made_at(noon(), Some(bad)).unwrap_err();
            assert_eq!(refused.kind, crate::delivery::RefusedKind::Permanent);
        }
    }

    #[test]
    fn clocks_that_differ_by_more_than_two_minutes_are_told() {
        let phone = |ahead_s: f64| clocks_apart(Some((noon().unix_s() as f64 + ahead_s) * 1_000.0), noon());
        assert_eq!(clocks_apart(None, noon()), None);
        assert_eq!(clocks_apart(Some(f64::NAN), noon()), None);
        assert_eq!(phone(119.0), None);
        assert!(phone(3_600.0).unwrap().contains("60 minutes ahead of"));
        assert!(phone(-86_400.0).unwrap().contains("24 hours behind"));
        assert!(phone(3.0 * 365.25 * 86_400.0).unwrap().contains("1096 days ahead of"));
    }
}

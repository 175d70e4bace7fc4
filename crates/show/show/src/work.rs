//! How long a plan takes and how much memory, in a sentence that is read before it is made.

use farhop_plan::estimate::Work;

/// Shorter work is not told: it is done before the sentence is read, s.
const WORTH_TELLING_S: f64 = 2.0;

/// About how long it takes and how much memory; none where it is done at once.
#[must_use]
pub fn about(work: &Work, cores: usize) -> Option<String> {
    let about_s = work.about_s(cores);
    if about_s < WORTH_TELLING_S {
        return None;
    }
    let counts = [
        (work.antennas, "antenna", "to solve"),
        (work.near_fields, "near field", "at most"),
        (work.tables, "table", "of links"),
        (work.route_hours, "hour", "of routes"),
    ];
    let told: Vec<String> = counts
        .iter()
        .filter(|(count, ..)| *count > 0)
        .map(|(count, what, more)| format!("{count} {what}{} {more}", if *count == 1 { "" } else { "s" }))
        .collect();
    Some(format!(
        "About {} and {} MB, a rough guess from {}.",
        span(about_s),
        round_up(work.about_mb(), 10.0),
        told.join(", ")
    ))
}

/// A length of time as roughly as it is known.
fn span(seconds: f64) -> String {
    match seconds {
        s if s < 10.0 => format!("{} s", s.ceil()),
        s if s < 90.0 => format!("{} s", round_up(s, 10.0)),
        s => format!("{} min", (s / 60.0).round()),
    }
}

fn round_up(value: f64, step: f64) -> f64 {
    (value / step).ceil() * step
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_plan_is_told_and_a_short_one_is_not() {
        let short = Work {
            route_hours: 400,
            days: 1,
            ..Work::default()
        };
        assert_eq!(about(&short, 2), None);
        let long = Work {
            antennas: 12,
            near_fields: 1,
            tables: 0,
            route_hours: 53_568,
            days: 31,
        };
        let told = about(&long, 2).unwrap();
        assert!(
            told.starts_with("About ")
                && told.contains(
                    " MB, a rough guess from 12 antennas to solve, 1 near field at most, 53568 hours of routes."
                ),
            "{told}"
        );
        assert_eq!(
            [3.2, 41.0, 89.0, 91.0, 150.0].map(span),
            ["4 s", "50 s", "90 s", "2 min", "3 min"]
        );
    }
}

//! Cross-checks of an outing that is sound by itself: numbers that are possible, yet usually a slip.
//!
//! Each check is a row of [`CHECKS`]: its id, why what it sees is odd, what to do, and where it looks. What it says is a [`Question`]:
//! nothing is repaired, nothing is refused. What is logged during the day is asked about with the same rows, by whoever knows the day.
//!
//! ```
//! let check = farhop_plausible::check_of("no-battery");
//! assert!(check.is_some_and(|c| c.to_do.contains("[[kit.battery]]")));
//! ```

mod bands;
mod checks;
mod kit;
mod place;
mod power;
mod radiator;
mod sky;
mod station;
mod time;

use farhop_earth::{IgrfEpoch, Place, UtcTime};
use farhop_ionosphere::Ionosphere;
use farhop_outing::Outing;

pub use checks::{CHECKS, Check, check_of};
pub use kit::{EVEREST_M, HIGH_MAST_M, HOT_C, LARGEST_MESSAGE_BYTES, SMALLEST_MESSAGE_BYTES};
pub use sky::{K_APART, LOUD_NOISE_DBM, Odd, SILENT_NOISE_DBM, fof2_odd, k_of_a};

/// What stands in the file, by the words of its paths: `site[0].place`.
pub trait Written {
    /// Whether a value stands there.
    fn has(&self, path: &str) -> bool;
    /// The value as it is written; none where nothing stands there.
    fn text(&self, path: &str) -> Option<String>;
}

/// Something that is possible and odd.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    /// The check that asks.
    pub check: &'static Check,
    /// Where, in the words of the outing file; empty for what is logged.
    pub path: String,
    /// What was seen, with the value.
    pub seen: String,
}

impl Question {
    /// What was seen and why it is odd: `the modem is nowhere in the kit: …`.
    #[must_use]
    pub fn cause(&self) -> String {
        format!("{}: {}", self.seen, self.check.why)
    }
}

impl std::fmt::Display for Question {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let to_do = self.check.to_do.trim_end_matches('.');
        write!(f, "is it meant? {}. {to_do}", self.cause())
    }
}

/// All questions about an outing, in the order of [`CHECKS`].
#[must_use]
pub fn ask(outing: &Outing, written: &dyn Written) -> Vec<Question> {
    let case = Case {
        outing,
        written,
        field: IgrfEpoch::at(outing.header.start.decimal_year()).ok(),
    };
    let mut found = Vec::new();
    for check in &CHECKS {
        if let Some(look) = check.look {
            look(&case, &mut |path, seen| found.push(Question { check, path, seen }));
        }
    }
    found
}

/// A question about what is logged: the check by its id, and what was seen.
#[must_use]
pub fn about_entry(id: &str, seen: String) -> Option<Question> {
    let check = check_of(id)?;
    Some(Question {
        check,
        path: String::new(),
        seen,
    })
}

/// Takes a path and what was seen there.
pub(crate) type Say<'a> = dyn FnMut(String, String) + 'a;

/// What a check looks at.
pub struct Case<'a> {
    outing: &'a Outing,
    written: &'a dyn Written,
    field: Option<IgrfEpoch>,
}

impl Case<'_> {
    /// Median foF2 that the maps give, MHz; none outside the years of the field model.
    fn fof2_mhz(&self, place: Place, time: UtcTime) -> Option<f64> {
        sky::fof2_mhz(Ionosphere::embedded(), self.field.as_ref()?, self.outing, place, time)
    }
}

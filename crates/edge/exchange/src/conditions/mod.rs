//! What the sky is said to do: the public forms in which government forecasters give solar flux, A and K, and a form of our own.
//!
//! The foreign forms are taken by their published description; how they look in detail is from memory (November 2026), so reading is
//! forgiving about everything but the numbers. What was understood is always shown before it is used.

mod alert;
mod edit;
mod lists;
mod outlook;
mod own;
mod proposal;
mod scales;
#[cfg(test)]
mod tests;
mod time;

use farhop_earth::clock::rfc3339;
use farhop_earth::{Place, UtcTime};
use farhop_outing::limits::{A_INDEX, FLUX_SFU, K_INDEX, SUNSPOTS};

pub use edit::{EditError, edited};
pub use proposal::{Proposal, ProposedFlare, ProposedProtons, propose};
pub use scales::{Level, Scale, Timing};

/// The form in which the conditions came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// The text that is read out on a standard-frequency station: flux, A and K of the day.
    Alert,
    /// The table of the next 27 days: flux, A and largest K for each.
    Outlook,
    /// A list with times: K, flux or both.
    List,
    /// The form of our own: the keys of `[conditions]` as JSON.
    Own,
}

impl Form {
    /// Its name for people.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Alert => "geophysical alert text",
            Self::Outlook => "27-day outlook table",
            Self::List => "list of measured or forecast values with times",
            Self::Own => "conditions as JSON",
        }
    }
}

/// A value with the time for which it holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dated {
    /// The value, in the unit of the field that holds it.
    pub value_own_unit: f64,
    /// For when; none where that is not said.
    pub at: Option<UtcTime>,
}

/// One row of a forecast: values for a span of time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Forecast {
    /// First instant.
    pub from: UtcTime,
    /// First instant after it.
    pub until: UtcTime,
    /// Solar flux, sfu.
    pub flux_sfu: Option<f64>,
    /// Planetary A index (dimensionless).
    pub a_index: Option<f64>,
    /// Planetary K index (dimensionless).
    pub k_index: Option<f64>,
}

/// An ionosonde reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sounded {
    /// Critical frequency, MHz.
    pub fof2_mhz: f64,
    /// When.
    pub at: UtcTime,
    /// Where.
    pub place: Place,
}

/// What was understood of a text.
#[derive(Clone, Debug, PartialEq)]
pub struct Understood {
    /// The form in which it came.
    pub form: Form,
    /// When it was issued, where it says so.
    pub issued: Option<UtcTime>,
    /// Twelve-month smoothed sunspot number (dimensionless).
    pub ssn: Option<Dated>,
    /// Solar flux of a day, sfu.
    pub flux_sfu: Option<Dated>,
    /// Mean flux of the last ninety days, sfu.
    pub flux_mean_sfu: Option<f64>,
    /// Planetary A index (dimensionless).
    pub a_index: Option<Dated>,
    /// Planetary K index (dimensionless).
    pub k_index: Option<Dated>,
    /// What is forecast, by time.
    pub forecast: Vec<Forecast>,
    /// Ionosonde readings.
    pub fof2: Vec<Sounded>,
    /// Radio blackouts, magnetic storms and proton storms.
    pub levels: Vec<Level>,
}

impl Understood {
    fn nothing(form: Form) -> Self {
        Self {
            form,
            issued: None,
            ssn: None,
            flux_sfu: None,
            flux_mean_sfu: None,
            a_index: None,
            k_index: None,
            forecast: Vec::new(),
            fof2: Vec::new(),
            levels: Vec::new(),
        }
    }

    fn is_empty(&self) -> bool {
        let values = [self.ssn, self.flux_sfu, self.a_index, self.k_index];
        values.iter().all(Option::is_none) && self.forecast.is_empty() && self.fof2.is_empty() && self.levels.is_empty()
    }
}

/// Why a text gives no conditions.
#[derive(Debug, thiserror::Error)]
pub enum ConditionsError {
    /// None of the forms.
    #[error(
        "no solar flux, A or K is found in this. Understood are the geophysical alert text, bulletins with levels G, R and S, the 27-day outlook table, JSON lists of \
         the planetary K index or of the 10.7 cm flux, and JSON with the keys of [conditions]. It begins: {0}"
    )]
    Nothing(String),
    /// JSON that is broken or has keys that mean nothing.
    #[error("this is not readable as JSON: {0}")]
    Json(String),
    /// A number outside what can be.
    #[error("{what} is {value}, and must be {limit}; the text is damaged, or of another kind than it looks")]
    Range {
        /// What it is said to be.
        what: &'static str,
        /// The number.
        value: f64,
        /// What it may be.
        limit: String,
    },
    /// Issued later than now.
    #[error(
        "this says that it was issued at {issued}, and it is {now}: look at the text and at the clock of this machine"
    )]
    Future {
        /// When it says.
        issued: String,
        /// The time of this machine.
        now: String,
    },
    /// A part of our own form that cannot be.
    #[error("{0}")]
    Own(String),
}

/// Understands a text in one of the known forms.
///
/// # Errors
/// Nothing in it is understood, or a number is outside what can be.
pub fn understand(text: &str) -> Result<Understood, ConditionsError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let understood = if text.trim_start().starts_with(['{', '[']) {
        lists::read(text)?
    } else {
        outlook::read(text).or_else(|| alert::read(text))
    };
    match understood.filter(|u| !u.is_empty()) {
        Some(understood) => checked(understood),
        None => Err(ConditionsError::Nothing(beginning(text))),
    }
}

/// Clocks differ; a text may be issued this much after now, s.
const CLOCK_SLACK_S: i64 = 3_600;

impl Understood {
    /// Nothing can have been issued after now.
    ///
    /// # Errors
    /// It says that it was.
    pub fn not_from_the_future(&self, now: UtcTime) -> Result<(), ConditionsError> {
        match self.issued {
            Some(issued) if issued > now.add_s(CLOCK_SLACK_S) => Err(ConditionsError::Future {
                issued: rfc3339(issued),
                now: rfc3339(now),
            }),
            _ => Ok(()),
        }
    }
}

fn checked(understood: Understood) -> Result<Understood, ConditionsError> {
    let one = |what, value: Option<f64>, limit: farhop_outing::Limit| match value {
        Some(value) if !limit.allows(value) => Err(ConditionsError::Range {
            what,
            value,
            limit: limit.to_string(),
        }),
        _ => Ok(()),
    };
    let value = |dated: Option<Dated>| dated.map(|d| d.value_own_unit);
    one("the sunspot number", value(understood.ssn), SUNSPOTS)?;
    one("the solar flux", value(understood.flux_sfu), FLUX_SFU)?;
    one("the mean flux", understood.flux_mean_sfu, FLUX_SFU)?;
    one("the A index", value(understood.a_index), A_INDEX)?;
    one("the K index", value(understood.k_index), K_INDEX)?;
    for row in &understood.forecast {
        one("a forecast solar flux", row.flux_sfu, FLUX_SFU)?;
        one("a forecast A index", row.a_index, A_INDEX)?;
        one("a forecast K index", row.k_index, K_INDEX)?;
    }
    Ok(understood)
}

/// The first words of a text, without signs that a terminal would act upon.
fn beginning(text: &str) -> String {
    let plain: String = text
        .chars()
        .take(400)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    let words = plain.split_whitespace().collect::<Vec<_>>().join(" ");
    let start: String = words.chars().take(60).collect();
    if start.is_empty() {
        "(nothing)".to_owned()
    } else {
        format!("\"{start}\"")
    }
}

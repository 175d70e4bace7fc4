//! Every check that a checked outing has passed.
//!
//! A [`Flaw`] names its place as a path in the words of the outing file (`site[1].horizon[0]`, counted from 0), so that
//! whoever holds the text can point at it. Limits of single numbers come from the rows of the keys ([`crate::rows`]); here stand the
//! checks of numbers and names against each other.

mod antennas;
mod kit;
mod parts;
mod references;
mod schedule;
mod sites;
mod sky;
mod stations;

use crate::limits::Limit;
use crate::outing::OutingParts;

/// Whether a flaw forbids the outing or only deserves a second look.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// It cannot be worked with.
    Error,
    /// It can be worked with, but is unusual.
    Caution,
    /// It can be worked with, yet is usually a slip: is it meant?
    Question,
}

/// Something wrong or odd in an outing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Flaw {
    /// How bad.
    pub severity: Severity,
    /// Where, in the words of the outing file: `station[2].power_w`.
    pub path: String,
    /// What is wrong, with the value.
    pub cause: String,
    /// What to do about it.
    pub hint: String,
}

/// All flaws of an outing, in the order of the file's sections.
#[must_use]
pub fn all(parts: &OutingParts) -> Vec<Flaw> {
    let mut check = Check::default();
    schedule::header(&mut check, &parts.header);
    sites::all(&mut check, parts);
    stations::all(&mut check, parts);
    kit::all(&mut check, &parts.kit);
    parts::all(&mut check, &parts.kit);
    schedule::messages(&mut check, parts);
    sky::all(&mut check, parts);
    check.flaws
}

/// Collects flaws while it walks through the parts.
#[derive(Default)]
pub(crate) struct Check {
    path: Vec<String>,
    /// A table between braces whose keys are being checked.
    inline: Option<&'static str>,
    flaws: Vec<Flaw>,
}

impl Check {
    /// Runs checks one step deeper.
    pub(crate) fn inside(&mut self, step: impl Into<String>, checks: impl FnOnce(&mut Self)) {
        self.path.push(step.into());
        checks(self);
        self.path.pop();
    }

    /// Runs checks of a table that is written between braces: errors name it with its keys.
    pub(crate) fn table(&mut self, key: &'static str, checks: impl FnOnce(&mut Self)) {
        let around = self.inline.replace(key);
        self.inside(key, checks);
        self.inline = around;
    }

    /// Runs checks for each item of a list.
    pub(crate) fn each<T>(&mut self, list: &str, items: &[T], mut checks: impl FnMut(&mut Self, &T)) {
        for (i, item) in items.iter().enumerate() {
            self.inside(format!("{list}[{i}]"), |c| checks(c, item));
        }
    }

    fn at(&self, key: &str) -> String {
        let mut path = self.path.join(".");
        if !path.is_empty() && !key.is_empty() && !key.starts_with('[') {
            path.push('.');
        }
        path + key
    }

    fn push(&mut self, severity: Severity, key: &str, cause: String, hint: impl Into<String>) {
        let (path, hint) = (self.at(key), hint.into());
        self.flaws.push(Flaw {
            severity,
            path,
            cause,
            hint,
        });
    }

    pub(crate) fn error(&mut self, key: &str, cause: impl Into<String>, hint: impl Into<String>) {
        self.push(Severity::Error, key, cause.into(), hint);
    }

    pub(crate) fn caution(&mut self, key: &str, cause: impl Into<String>, hint: impl Into<String>) {
        self.push(Severity::Caution, key, cause.into(), hint);
    }

    /// A number must be inside its limit.
    pub(crate) fn number(&mut self, key: &str, value_own_unit: f64, limit: Limit) {
        if !limit.allows(value_own_unit) {
            let own = key.split('[').next().unwrap_or(key);
            let name = self
                .inline
                .map_or_else(|| own.to_owned(), |table| format!("{table}.{own}"));
            self.error(
                key,
                format!("{name} is {value_own_unit}"),
                format!("It must be {limit}."),
            );
        }
    }

    fn maybe(&mut self, key: &str, value_own_unit: Option<f64>, limit: Limit) {
        if let Some(value) = value_own_unit {
            self.number(key, value, limit);
        }
    }
}

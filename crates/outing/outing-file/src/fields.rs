//! A table of the file, read key by key; what nobody asked for is unknown.

use std::collections::BTreeSet;
use std::ops::Range;

use farhop_outing::rows::Topic;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::defaults::DefaultUsed;
use crate::session::{Session, Spot};
use crate::suggest;

/// A value of the file with its span.
pub(crate) type Value<'t> = Spanned<DeValue<'t>>;

/// A table being read.
pub(crate) struct Fields<'t> {
    top: &'t DeTable<'t>,
    /// Read where the top one has no such key (an antenna of the kit under a site's own numbers).
    base: Option<&'t DeTable<'t>>,
    path: String,
    span: Range<usize>,
    source: usize,
    label: String,
    asked: BTreeSet<String>,
}

impl<'t> Fields<'t> {
    pub(crate) fn new(top: &'t DeTable<'t>, path: String, span: Range<usize>, source: usize) -> Self {
        Self {
            top,
            base: None,
            path,
            span,
            source,
            label: String::new(),
            asked: BTreeSet::new(),
        }
    }

    /// The same table over another one; defaults and missing keys are then the business of the other.
    pub(crate) fn over(mut self, base: &'t DeTable<'t>) -> Self {
        self.base = Some(base);
        self
    }

    /// Name of the item in the list of defaults.
    pub(crate) fn label(&mut self, label: &str) {
        label.clone_into(&mut self.label);
    }

    pub(crate) fn path(&self) -> &str {
        &self.path
    }

    pub(crate) fn path_of(&self, key: &str) -> String {
        if self.path.is_empty() {
            key.to_owned()
        } else {
            format!("{}.{key}", self.path)
        }
    }

    /// Place of the table itself.
    pub(crate) fn own_spot(&self) -> Spot {
        Spot {
            source: self.source,
            span: self.span.clone(),
        }
    }

    pub(crate) fn spot_of(&self, value: &Value<'_>) -> Spot {
        Spot {
            source: self.source,
            span: value.span(),
        }
    }

    pub(crate) fn table(&self) -> &'t DeTable<'t> {
        self.top
    }

    /// Whether a key stands in the table, without asking for it.
    pub(crate) fn has(&self, key: &str) -> bool {
        self.top.contains_key(key) || self.base.is_some_and(|b| b.contains_key(key))
    }

    /// Whether defaults and missing keys are to be reported here.
    fn first_reading(&self) -> bool {
        self.base.is_none()
    }

    /// The value of a key, if it is there.
    pub(crate) fn get(&mut self, s: &mut Session, key: &str) -> Option<&'t Value<'t>> {
        self.asked.insert(key.to_owned());
        let value = self.top.get(key).or_else(|| self.base.and_then(|b| b.get(key)))?;
        s.mark(self.path_of(key), self.spot_of(value));
        Some(value)
    }

    /// Reports that a key is missing.
    pub(crate) fn missing(&self, s: &mut Session, key: &str, hint: &str) {
        if !self.first_reading() {
            s.silence(self.path_of(key));
            return;
        }
        let what = if self.label.is_empty() {
            String::new()
        } else {
            format!(" for \"{}\"", self.label)
        };
        let cause = format!("`{key}` is missing in {}{what}", self.spoken_path());
        s.unsure_error(self.own_spot(), &self.path_of(key), cause, hint);
    }

    /// The table in words.
    fn spoken_path(&self) -> String {
        if self.path.is_empty() {
            "the file".to_owned()
        } else {
            format!("[{}]", plain(&self.path))
        }
    }

    /// Reports a value of the wrong kind.
    pub(crate) fn wrong_kind(&self, s: &mut Session, key: &str, value: &Value<'_>, wanted: &str) {
        let cause = format!("`{key}` is {}", spoken(value.get_ref()));
        s.error(
            self.spot_of(value),
            &self.path_of(key),
            cause,
            format!("It must be {wanted}."),
        );
    }

    /// States a default that bears on the forecast.
    pub(crate) fn default(&self, s: &mut Session, key: &str, value: impl ToString, why: &str) {
        self.default_about(s, key, &value.to_string(), why, Topic::Forecast);
    }

    /// States a default.
    pub(crate) fn default_about(&self, s: &mut Session, key: &str, value: &str, why: &str, topic: Topic) {
        if self.first_reading() {
            let items = if self.label.is_empty() {
                Vec::new()
            } else {
                vec![self.label.clone()]
            };
            s.default_used(DefaultUsed {
                key: plain(&self.path_of(key)),
                items,
                value: value.to_owned(),
                why: why.to_owned(),
                topic,
            });
        }
    }

    /// Reports every key that nobody asked for.
    pub(crate) fn finish(self, s: &mut Session) {
        let known: Vec<&str> = self.asked.iter().map(String::as_str).collect();
        for key in self.top.keys() {
            let name = key.get_ref().as_ref();
            if !self.asked.contains(name) {
                let spot = Spot {
                    source: self.source,
                    span: key.span(),
                };
                let cause = format!("unknown key `{name}` in {}", self.spoken_path());
                s.unsure_error(spot, &self.path_of(name), cause, suggest::hint(name, &known));
            }
        }
        #[cfg(test)]
        crate::guide::note_keys(&plain(&self.path), &self.asked);
    }

    /// Adds a key to the known ones without reading it.
    pub(crate) fn known(&mut self, key: &str) {
        self.asked.insert(key.to_owned());
    }
}

/// A path without its numbering: `site[3].place` is `site.place`.
pub(crate) fn plain(path: &str) -> String {
    let mut text = String::new();
    let mut inside = false;
    for c in path.chars() {
        match c {
            '[' => inside = true,
            ']' => inside = false,
            _ if !inside => text.push(c),
            _ => {}
        }
    }
    text
}

/// A value in words, for messages.
pub(crate) fn spoken(value: &DeValue<'_>) -> String {
    match value {
        DeValue::String(text) => {
            let short: String = text.chars().take(40).collect();
            format!("the text \"{short}\"")
        }
        DeValue::Integer(number) => format!("the number {number}"),
        DeValue::Float(number) => format!("the number {number}"),
        DeValue::Boolean(truth) => format!("{truth}"),
        DeValue::Datetime(time) => format!("the time {time}"),
        DeValue::Array(_) => "a list".to_owned(),
        DeValue::Table(_) => "a table".to_owned(),
    }
}

//! Lists of values and of tables.

use farhop_outing::{DailyHours, HoursError, Id, MinuteSpan, Need};
use toml::de::DeValue;

use crate::fields::{Fields, Value, spoken};
use crate::session::{Session, Spot};
use crate::values::number_of;

/// What stands in a list of tables.
pub(crate) enum Listed<'t> {
    /// A table.
    Table(Fields<'t>),
    /// A number that stands for a table, with the path of that.
    Bare(String, &'t Value<'t>),
}

impl<'t> Fields<'t> {
    /// The items of a list; a single value stands for a list of one. Missing gives none.
    fn items(&mut self, s: &mut Session, key: &str) -> Option<Vec<(String, &'t Value<'t>)>> {
        let value = self.get(s, key)?;
        Some(self.items_of(s, key, value))
    }

    fn items_of(&self, s: &mut Session, key: &str, value: &'t Value<'t>) -> Vec<(String, &'t Value<'t>)> {
        let list: Vec<&Value<'t>> = match value.get_ref() {
            DeValue::Array(items) => items.iter().collect(),
            _ => vec![value],
        };
        let path = self.path_of(key);
        let numbered: Vec<(String, &Value<'t>)> = list
            .into_iter()
            .enumerate()
            .map(|(i, v)| (format!("{path}[{i}]"), v))
            .collect();
        for (path, item) in &numbered {
            s.mark(path.clone(), self.spot_of(item));
        }
        numbered
    }

    /// A list of numbers (metric key or its imperial twin); broken ones become NaN.
    pub(crate) fn numbers(&mut self, s: &mut Session, key: &str) -> Option<Vec<f64>> {
        let (value, convert) = self.either(s, key)?;
        let items = self.items_of(s, key, value);
        Some(
            items
                .into_iter()
                .map(|(path, item)| convert(self.number_item(s, &path, item)))
                .collect(),
        )
    }

    fn number_item(&self, s: &mut Session, path: &str, item: &Value<'_>) -> f64 {
        number_of(item.get_ref()).unwrap_or_else(|| {
            let cause = format!("here stands {}", spoken(item.get_ref()));
            s.error(self.spot_of(item), path, cause, "It must be a number without quotes.");
            f64::NAN
        })
    }

    /// A list of groups of `N` numbers; broken ones are reported and become NaN.
    pub(crate) fn groups<const N: usize>(&mut self, s: &mut Session, key: &str, wanted: &str) -> Option<Vec<[f64; N]>> {
        let items = self.items(s, key)?;
        let mut groups = Vec::new();
        for (path, item) in items {
            let inner = match item.get_ref() {
                DeValue::Array(inner) if inner.len() == N => inner,
                other => {
                    let cause = match other {
                        DeValue::Array(short) => format!("here stand {} values", short.len()),
                        _ => format!("here stands {}", spoken(other)),
                    };
                    s.error(self.spot_of(item), &path, cause, format!("Write {wanted}."));
                    groups.push([f64::NAN; N]);
                    continue;
                }
            };
            let mut group = [f64::NAN; N];
            for (slot, value) in group.iter_mut().zip(inner.iter()) {
                *slot = self.number_item(s, &path, value);
            }
            groups.push(group);
        }
        Some(groups)
    }

    /// A list of texts; missing gives an empty one.
    pub(crate) fn texts(&mut self, s: &mut Session, key: &str) -> Vec<String> {
        let items = self.items(s, key).unwrap_or_default();
        items
            .into_iter()
            .filter_map(|(path, item)| self.text_item(s, &path, item))
            .collect()
    }

    fn text_item(&self, s: &mut Session, path: &str, item: &Value<'_>) -> Option<String> {
        if let DeValue::String(text) = item.get_ref() {
            return Some(text.to_string());
        }
        let cause = format!("here stands {}", spoken(item.get_ref()));
        s.error(self.spot_of(item), path, cause, "It must be a text in quotes.");
        None
    }

    /// A list of ids; missing gives an empty one.
    pub(crate) fn ids(&mut self, s: &mut Session, key: &str) -> Vec<Id> {
        let items = self.items(s, key).unwrap_or_default();
        items
            .into_iter()
            .filter_map(|(path, item)| self.id_item(s, &path, item))
            .collect()
    }

    fn id_item(&self, s: &mut Session, path: &str, item: &Value<'_>) -> Option<Id> {
        let text = self.text_item(s, path, item)?;
        let id = Id::new(&text);
        if let Err(error) = &id {
            s.error(
                self.spot_of(item),
                path,
                error.to_string(),
                "For example: ridge, hut-2, wire_a.",
            );
        }
        id.ok()
    }

    /// Needs: ids, or lists of ids of which one is enough.
    pub(crate) fn needs(&mut self, s: &mut Session, key: &str) -> Vec<Need> {
        let mut needs = Vec::new();
        for (path, item) in self.items(s, key).unwrap_or_default() {
            let any_of = match item.get_ref() {
                DeValue::Array(choices) => choices
                    .iter()
                    .filter_map(|choice| self.id_item(s, &path, choice))
                    .collect(),
                _ => self.id_item(s, &path, item).into_iter().collect(),
            };
            needs.push(Need { any_of });
        }
        needs
    }

    /// Spans of hours; missing means always.
    pub(crate) fn hours(&mut self, s: &mut Session, key: &str) -> DailyHours {
        let mut spans = Vec::new();
        for (path, item) in self.items(s, key).unwrap_or_default() {
            let Some(text) = self.text_item(s, &path, item) else {
                continue;
            };
            let spot = self.spot_of(item);
            spans.extend(parse_hours(&text, &mut |error| {
                hours_error(s, spot.clone(), &path, &error)
            }));
        }
        DailyHours::new(spans)
    }

    /// The single words of a list of words from a set, with reports.
    pub(crate) fn words<T: Copy>(&mut self, s: &mut Session, key: &str, words: &[(&'static str, T)]) -> Vec<T> {
        let mut found = Vec::new();
        let known: Vec<&str> = words.iter().map(|w| w.0).collect();
        for (path, item) in self.items(s, key).unwrap_or_default() {
            let Some(text) = self.text_item(s, &path, item) else {
                continue;
            };
            match words.iter().find(|w| w.0 == text.trim()) {
                Some(word) => found.push(word.1),
                None => {
                    let cause = format!("`{key}` has \"{text}\"");
                    s.error(self.spot_of(item), &path, cause, crate::suggest::hint(&text, &known));
                }
            }
        }
        found
    }

    /// The tables of a list, numbered; anything else is reported and left out. A single table stands for a list of one.
    pub(crate) fn tables(&mut self, s: &mut Session, key: &str) -> Vec<Fields<'t>> {
        let tables = self.listed(s, key, false).into_iter().filter_map(|item| match item {
            Listed::Table(table) => Some(table),
            Listed::Bare(..) => None,
        });
        tables.collect()
    }

    /// The same, with the numbers among them where these may stand for a table.
    pub(crate) fn listed(&mut self, s: &mut Session, key: &str, bare: bool) -> Vec<Listed<'t>> {
        let mut tables = Vec::new();
        let source = self.own_spot().source;
        for (_, item) in self.items(s, key).unwrap_or_default() {
            let path = format!("{}[{}]", self.path_of(key), tables.len());
            match item.get_ref() {
                DeValue::Table(table) => {
                    tables.push(Listed::Table(Fields::new(table, path, item.span(), source)));
                }
                value if bare && number_of(value).is_some() => tables.push(Listed::Bare(path, item)),
                other => {
                    let cause = format!("in `{key}` stands {}", spoken(other));
                    let hint = format!(
                        "Write [[{}]] and its keys below.",
                        crate::fields::plain(&self.path_of(key))
                    );
                    s.error(self.spot_of(item), &self.path_of(key), cause, hint);
                }
            }
        }
        tables
    }

    /// A table inside this one, if it is there.
    pub(crate) fn inner(&mut self, s: &mut Session, key: &str) -> Option<Fields<'t>> {
        let value = self.get(s, key)?;
        match value.get_ref() {
            DeValue::Table(table) => Some(Fields::new(
                table,
                self.path_of(key),
                value.span(),
                self.own_spot().source,
            )),
            _ => {
                self.wrong_kind(s, key, value, &format!("a section [{}]", self.path_of(key)));
                None
            }
        }
    }
}

/// Spans of hours from a text, several separated by commas; errors go to the reporter.
pub(crate) fn parse_hours(text: &str, report: &mut dyn FnMut(HoursError)) -> Vec<MinuteSpan> {
    let mut spans = Vec::new();
    for piece in text.split(',') {
        match MinuteSpan::parse(piece.trim()) {
            Ok(span) => spans.push(span),
            Err(error) => report(error),
        }
    }
    spans
}

/// Reports broken hours.
pub(crate) fn hours_error(s: &mut Session, spot: Spot, path: &str, error: &HoursError) {
    s.error(
        spot,
        path,
        error.to_string(),
        "Write times UTC as \"06:00-22:00\"; a span may run over midnight.",
    );
}

//! A table of the outing as a group of fields.

use std::ops::Range;

use farhop_earth::units::Units;
use farhop_outing::rows::{About, Section, Shape, form_keys};
use farhop_outing::{
    AntennaKind, Battery, Channel, Computer, Conditions, Converter, FeedLine, Header, Load, Message, Modem, Panel,
    Part, Site, Station, Transceiver, Tuner,
};
use farhop_outing_file::Problem;
use maud::{Markup, PreEscaped, html};
use toml_edit::{Item, TableLike};

use super::document::{Placed, count, place_of, shown, table};
use super::fields::{input, words_of};
use super::hanging::drawn;
use super::places::understood;
use super::summary::{Shown, list_of};

/// All keys that the forms show, besides the measures of antennas.
pub(crate) fn all_keys() -> Vec<&'static About> {
    [
        form_keys::<Header>(),
        form_keys::<Site>(),
        form_keys::<Station>(),
        form_keys::<Channel>(),
        form_keys::<Message>(),
        form_keys::<Transceiver>(),
        form_keys::<Modem>(),
        form_keys::<Tuner>(),
        form_keys::<Computer>(),
        form_keys::<FeedLine>(),
        form_keys::<Battery>(),
        form_keys::<Panel>(),
        form_keys::<Converter>(),
        form_keys::<Load>(),
        form_keys::<Part>(),
        form_keys::<Conditions>(),
    ]
    .concat()
}

/// What the groups are made from.
pub(super) struct Groups<'a> {
    pub document: &'a Placed,
    pub text: &'a str,
    pub problems: &'a [Problem],
    /// Lines and paths of the tables.
    pub headings: &'a [(usize, String)],
    pub shown: &'a Shown,
    pub units: Units,
}

impl Groups<'_> {
    /// A table with its fields, folded unless something in it is wrong.
    pub fn group<T: Section>(&self, title: &str, path: &str, removable: bool) -> Markup {
        let keys = form_keys::<T>();
        let Some(here) = table(self.document, path) else {
            return html! {};
        };
        let channels = 0..count(self.document, path, "channels");
        let is_station = path.starts_with("station.");
        let wrong = keys.iter().any(|about| self.problem(here.get(about.key)).is_some());
        let wanting = self.at_heading(path);
        html! {
            details.group open[path == "outing" || wrong || wanting.is_some() || self.empty(here, &keys)] {
                summary { (title) @if let Some(name) = name_of(here) { ": " (name) } }
                div.fields #(path) {
                    @for about in &keys { (self.field(path, about, about.form.unwrap_or_default(), here.get(about.key))) }
                    @for i in channels {
                        @let path = format!("{path}.channels.{i}");
                        @let channel = table(self.document, &path);
                        @for about in form_keys::<Channel>() {
                            @let label = format!("Channel {}: {}", i + 1, about.form.unwrap_or_default());
                            (self.field(&path, about, &label, channel.and_then(|c| c.get(about.key))))
                        }
                    }
                }
                @if let Some(problem) = wanting { p.wrong { (problem.cause) ". " (problem.hint) } }
                @if path.starts_with("site.") || is_station { (point_at(path)) }
                div.row {
                    @if is_station { button formaction="/edit/change" name="add" value=(format!("{path}.channels")) { "Add a frequency" } }
                    @if removable { button formaction="/edit/change" name="remove" value=(path) { "Remove" } }
                }
            }
        }
    }

    /// An antenna with the measures of its kind, and how it looks with them.
    pub fn antenna(&self, path: &str, lines: &[String]) -> Markup {
        let Some(here) = table(self.document, path) else {
            return html! {};
        };
        let kind = here.get("kind").and_then(Item::as_str).unwrap_or_default();
        let mut usual = AntennaKind::usual(kind);
        let keys: Vec<&'static str> = usual
            .as_mut()
            .map_or_else(Vec::new, |k| k.measures().iter().map(|m| m.key).collect());
        let wrong = keys.iter().any(|key| self.problem(here.get(key)).is_some());
        let wanting = self.at_heading(path);
        let line = here.get("feedline").map(shown).unwrap_or_default();
        html! {
            details.group open[wrong || wanting.is_some()] {
                summary { "Antenna: " (name_of(here).unwrap_or_default()) " (" (kind.replace('-', " ")) ")" }
                @if let Some(svg) = drawn(here, self.units) { figure.picture.hung { (PreEscaped(svg)) figcaption { "As saved. Change a measure and save: the drawing follows." } } }
                div.fields #(path) {
                    (self.plain(path, "name", "Name", here.get("name")))
                    @for key in &keys { (self.plain(path, key, &words_of(key), here.get(key))) }
                    (self.plain(path, "azimuth_deg", "Runs toward, ° true", here.get("azimuth_deg")))
                    (self.plain(path, "mhz", "Made for, MHz (none: all that can be matched)", here.get("mhz")))
                    @if !lines.is_empty() {
                        label { "Feed line"
                            select name=(format!("{path}.feedline")) {
                                option value="" selected[line.is_empty()] { "none" }
                                @for id in lines { option value=(id) selected[*id == line] { (id) } }
                            }
                        }
                    }
                }
                @if let Some(problem) = wanting { p.wrong { (problem.cause) ". " (problem.hint) } }
                div.row { button formaction="/edit/change" name="remove" value=(path) { "Remove" } }
            }
        }
    }

    /// Whether something that must be given is missing.
    fn empty(&self, here: &dyn TableLike, keys: &[&'static About]) -> bool {
        let given = |key: &str| here.get(key).map(shown).is_some_and(|v| !v.is_empty());
        keys.iter().any(|about| about.must.is_some() && !given(about.key))
    }

    fn field(&self, path: &str, about: &About, label: &str, item: Option<&Item>) -> Markup {
        let name = format!("{path}.{}", about.key);
        let value = item.map_or_else(String::new, shown);
        let wrong = self.problem(item).or_else(|| self.missing(path, about.key));
        let missing = about.must.filter(|_| value.is_empty());
        if let Some((index, _)) = wrong {
            let label = missing.map(|_| label);
            self.shown.at(index, &name, label);
        }
        let wrong = wrong.filter(|_| missing.is_none());
        let place = matches!((about.shape)(), Shape::Place)
            .then(|| understood(&value))
            .flatten();
        html! {
            label {
                (label)
                (input(&name, &value, &(about.shape)(), wrong.is_some() || missing.is_some()))
                @if let Some((_, problem)) = wrong { span.wrong { (problem.cause) ". " (problem.hint) } }
                @if let Some(hint) = missing { span.wrong { "Missing. " (hint) } }
                @if let Some(place) = place { span.small { (place) } }
            }
        }
    }

    fn plain(&self, path: &str, key: &str, label: &str, item: Option<&Item>) -> Markup {
        let name = format!("{path}.{key}");
        let wrong = self.problem(item).or_else(|| self.missing(path, key));
        if let Some((index, _)) = wrong {
            self.shown.at(index, &name, None);
        }
        html! {
            label {
                (label)
                (input(&name, &item.map_or_else(String::new, shown), &Shape::Text, wrong.is_some()))
                @if let Some((_, problem)) = wrong { span.wrong { (problem.cause) ". " (problem.hint) } }
            }
        }
    }

    /// The problem that stands at a value, with its place in the list.
    fn problem(&self, item: Option<&Item>) -> Option<(usize, &Problem)> {
        let span = item?.span()?;
        let line_start = self.text.get(..span.start)?.rfind('\n').map_or(0, |at| at + 1);
        let line = self.text.get(..span.start)?.matches('\n').count() + 1;
        // Of several values on one line only the one that is meant.
        let alone = !self.text.get(line_start..)?.trim_start().starts_with('{');
        let meant = |p: &&Problem| {
            let at = place_of(self.text, p).is_some_and(|range| meet(&range, &span));
            at || alone && p.line == line
        };
        self.found(meant)
    }

    /// The problem that a key of a table is not there.
    fn missing(&self, path: &str, key: &str) -> Option<(usize, &Problem)> {
        let line = self.line_of(path)?;
        self.found(|p| p.line == line && p.is_error() && p.cause.contains(&format!("`{key}` is missing")))
    }

    /// An error of a whole table that no field of it shows; it is shown at the group.
    fn at_heading(&self, path: &str) -> Option<&Problem> {
        let line = self.line_of(path)?;
        let (index, problem) =
            self.found(|p| p.line == line && p.is_error() && !p.cause.contains("is missing") && list_of(p).is_none())?;
        self.shown.at(index, path, None);
        Some(problem)
    }

    fn line_of(&self, path: &str) -> Option<usize> {
        self.headings
            .iter()
            .find(|(_, known)| known == path)
            .map(|(line, _)| *line)
    }

    fn found(&self, meant: impl Fn(&&Problem) -> bool) -> Option<(usize, &Problem)> {
        self.problems.iter().enumerate().find(|(_, p)| meant(p))
    }
}

fn meet(a: &Range<usize>, b: &Range<usize>) -> bool {
    a.start < b.end && b.start < a.end
}

/// The place of a group by pointing at a map; a script shows it.
fn point_at(path: &str) -> Markup {
    html! {
        details.group.point hidden data-place-of=(format!("{path}.place")) {
            summary { "Point at the place on a map" }
            div {}
        }
    }
}

/// What a table is called by.
fn name_of(here: &dyn TableLike) -> Option<&str> {
    let keys = ["name", "callsign", "id"];
    keys.into_iter()
        .find_map(|key| here.get(key).and_then(Item::as_str).filter(|n| !n.is_empty()))
}

/// Measures that some kind of antenna has, and what else its form shows.
pub(crate) fn antenna_key(key: &str) -> bool {
    let mut kinds = AntennaKind::WORDS.iter().filter_map(|word| AntennaKind::usual(word));
    ["name", "azimuth_deg", "feedline", "mhz"].contains(&key)
        || kinds.any(|mut kind| kind.measures().iter().any(|m| m.key == key))
}

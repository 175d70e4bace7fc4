//! The outing in forms: a table a group, with native inputs, and buttons that add and remove.

use farhop_outing::rows::{About, Section, Shape, form_keys};
use farhop_outing::{
    AntennaKind, Battery, Channel, Conditions, Header, Load, Message, Panel, Site, Station, Transceiver,
};
use farhop_outing_file::Problem;
use maud::{Markup, html};
use toml_edit::{Item, TableLike};

use super::document::{Placed, count, line_of, placed, shown, table};
use crate::desk::Look;

/// All keys that the forms show, besides the measures of antennas.
pub(crate) fn all_keys() -> Vec<&'static About> {
    [
        form_keys::<Header>(),
        form_keys::<Site>(),
        form_keys::<Station>(),
        form_keys::<Channel>(),
        form_keys::<Message>(),
        form_keys::<Transceiver>(),
        form_keys::<Battery>(),
        form_keys::<Panel>(),
        form_keys::<Load>(),
        form_keys::<Conditions>(),
    ]
    .concat()
}

/// The forms of an outing's text, with its problems in place.
pub fn forms(look: &Look, problems: &[Problem], demo: bool) -> Markup {
    let Some(document) = placed(&look.text) else {
        return html! { p { "The text is no TOML yet; mend it below, then the forms come back." } };
    };
    let form = Forms {
        document: &document,
        text: &look.text,
        problems,
    };
    let many = |path: &str, list: &str| 0..count(&document, path, list);
    html! {
        form.values method="post" action="/edit/values" {
            input type="hidden" name="base" value=(look.hash);
            // The enter key presses the first button of a form: it saves.
            button.skip tabindex="-1" aria-hidden="true" disabled[demo] { "Save" }
            (form.group::<Header>("Outing", "outing", false))
            h2 { "Places" }
            @for i in many("", "site") { (form.group::<Site>("Place", &format!("site.{i}"), true)) }
            (add("site", "Add a place", demo))
            h2 { "Stations" }
            @for i in many("", "station") { (form.group::<Station>("Station", &format!("station.{i}"), true)) }
            (add("station", "Add a station", demo))
            h2 #messages { "Messages" }
            @for i in many("", "message") { (form.group::<Message>("Message", &format!("message.{i}"), true)) }
            (add("message", "Add a message", demo))
            h2 { "Antennas" }
            @for i in many("kit", "antenna") { (form.antenna(&format!("kit.antenna.{i}"))) }
            div.row {
                label { "Kind " select name="kind" { @for kind in AntennaKind::WORDS { option value=(kind) { (kind.replace('-', " ")) } } } }
                (add("kit.antenna", "Add an antenna", demo))
            }
            h2 { "Power" }
            (form.group::<Transceiver>("Transceiver", "kit.transceiver", false))
            @for i in many("kit", "battery") { (form.group::<Battery>("Battery", &format!("kit.battery.{i}"), true)) }
            @for i in many("kit", "panel") { (form.group::<Panel>("Panel", &format!("kit.panel.{i}"), true)) }
            @for i in many("kit", "load") { (form.group::<Load>("Load", &format!("kit.load.{i}"), true)) }
            div.row { (add("kit.battery", "Add a battery", demo)) (add("kit.panel", "Add a panel", demo)) (add("kit.load", "Add a load", demo)) }
            (form.group::<Conditions>("Conditions", "conditions", false))
            div.row { button.main disabled[demo] { "Save" } span.small { "An empty field takes its key out of the file. Everything else stays as it is." } }
        }
        (paste(look, demo))
    }
}

/// A button that adds, with what was typed.
fn add(what: &str, label: &str, demo: bool) -> Markup {
    html! { button formaction="/edit/change" name="add" value=(what) disabled[demo] { (label) } }
}

/// Stations as a table from elsewhere.
fn paste(look: &Look, demo: bool) -> Markup {
    html! {
        details.group {
            summary { "Paste a table of stations" }
            form method="post" action="/edit/stations" {
                input type="hidden" name="base" value=(look.hash);
                label for="table" { "A header row, then one frequency a row. Commas, semicolons or tabs: callsign, name, lat, lon (or place), khz (or mhz), bandwidth_hz." }
                textarea.file #table name="table" rows="6" spellcheck="false" {}
                div.row { button disabled[demo] { "Add these stations" } }
            }
        }
    }
}

/// What the forms are made from.
struct Forms<'a> {
    document: &'a Placed,
    text: &'a str,
    problems: &'a [Problem],
}

impl Forms<'_> {
    /// A table with its fields, folded unless something in it is wrong.
    fn group<T: Section>(&self, title: &str, path: &str, removable: bool) -> Markup {
        let keys = form_keys::<T>();
        let Some(here) = table(self.document, path) else {
            return html! {};
        };
        let channels = 0..count(self.document, path, "channels");
        let is_station = path.starts_with("station.");
        let wrong = keys.iter().any(|about| self.problem(here.get(about.key)).is_some());
        html! {
            details.group open[path == "outing" || wrong || self.empty(here, &keys)] {
                summary { (title) @if let Some(name) = name_of(here) { ": " (name) } }
                div.fields {
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
                div.row {
                    @if is_station { button formaction="/edit/change" name="add" value=(format!("{path}.channels")) { "Add a frequency" } }
                    @if removable { button formaction="/edit/change" name="remove" value=(path) { "Remove" } }
                }
            }
        }
    }

    /// An antenna with the measures of its kind.
    fn antenna(&self, path: &str) -> Markup {
        let Some(here) = table(self.document, path) else {
            return html! {};
        };
        let kind = here.get("kind").and_then(Item::as_str).unwrap_or_default();
        let mut usual = AntennaKind::usual(kind);
        let keys: Vec<&'static str> = usual
            .as_mut()
            .map_or_else(Vec::new, |k| k.measures().iter().map(|m| m.key).collect());
        let wrong = keys.iter().any(|key| self.problem(here.get(key)).is_some());
        html! {
            details.group open[wrong] {
                summary { "Antenna: " (name_of(here).unwrap_or_default()) " (" (kind.replace('-', " ")) ")" }
                div.fields {
                    (self.plain(path, "name", "Name", here.get("name")))
                    @for key in &keys { (self.plain(path, key, &words_of(key), here.get(key))) }
                    (self.plain(path, "azimuth_deg", "Runs toward, ° true", here.get("azimuth_deg")))
                }
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
        let wrong = self.problem(item);
        let missing = about.must.filter(|_| value.is_empty() && wrong.is_none());
        html! {
            label {
                (label)
                (input(&name, &value, &(about.shape)(), wrong.is_some() || missing.is_some()))
                @if let Some(problem) = wrong { span.wrong { (problem.cause) ". " (problem.hint) } }
                @if let Some(hint) = missing { span.wrong { "Missing. " (hint) } }
            }
        }
    }

    fn plain(&self, path: &str, key: &str, label: &str, item: Option<&Item>) -> Markup {
        let wrong = self.problem(item);
        html! {
            label {
                (label)
                (input(&format!("{path}.{key}"), &item.map_or_else(String::new, shown), &Shape::Text, wrong.is_some()))
                @if let Some(problem) = wrong { span.wrong { (problem.cause) ". " (problem.hint) } }
            }
        }
    }

    /// The problem that stands on the line of a value.
    fn problem(&self, item: Option<&Item>) -> Option<&Problem> {
        let line = line_of(self.text, item?)?;
        self.problems.iter().find(|p| p.line == line)
    }
}

/// What a table is called by.
fn name_of(here: &dyn TableLike) -> Option<&str> {
    let keys = ["name", "callsign", "id"];
    keys.into_iter()
        .find_map(|key| here.get(key).and_then(Item::as_str).filter(|n| !n.is_empty()))
}

/// The input that fits a value: a date, a choice, a number, else a line of text.
fn input(name: &str, value: &str, shape: &Shape, wrong: bool) -> Markup {
    let wrong = wrong.then_some("true");
    let a_time = value.is_empty()
        || (value.len() >= 16
            && value.as_bytes().get(10) == Some(&b'T')
            && !value.ends_with('Z')
            && !value[16..].contains(['+', '-']));
    match shape {
        Shape::Time if a_time => html! { input type="datetime-local" name=(name) value=(value) aria-invalid=[wrong]; },
        Shape::Word(words) if value.is_empty() || words.contains(&value) => html! {
            select name=(name) aria-invalid=[wrong] {
                option value="" selected[value.is_empty()] { "as usual" }
                @for word in words { option value=(word) selected[*word == value] { (word) } }
            }
        },
        Shape::Truth if ["", "true", "false"].contains(&value) => html! {
            select name=(name) aria-invalid=[wrong] {
                @for (word, label) in [("", "as usual"), ("true", "yes"), ("false", "no")] { option value=(word) selected[word == value] { (label) } }
            }
        },
        Shape::Number | Shape::Count => {
            html! { input inputmode="decimal" name=(name) value=(value) aria-invalid=[wrong]; }
        }
        _ => html! { input name=(name) value=(value) aria-invalid=[wrong]; },
    }
}

/// `apex_height_m` in words: `Apex height, m`.
fn words_of(key: &str) -> String {
    let (name, unit) = match key.rsplit_once('_') {
        Some((name, unit @ ("m" | "mm" | "mhz" | "pf" | "uh" | "ohm"))) => (name, format!(", {unit}")),
        Some((name, "deg")) => (name, ", °".to_owned()),
        _ => (key, String::new()),
    };
    let mut words = name.replace('_', " ");
    if let Some(first) = words.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    words + &unit
}

/// Measures that some kind of antenna has, and what else its form shows.
pub(crate) fn antenna_key(key: &str) -> bool {
    let mut kinds = AntennaKind::WORDS.iter().filter_map(|word| AntennaKind::usual(word));
    ["name", "azimuth_deg"].contains(&key) || kinds.any(|mut kind| kind.measures().iter().any(|m| m.key == key))
}

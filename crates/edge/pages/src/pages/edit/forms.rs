//! The outing in forms: a table a group, with native inputs, and buttons that add and remove.

use farhop_outing::{
    Battery, Computer, Conditions, Converter, FeedLine, Header, Load, Message, Modem, Panel, Part, Site, Station,
    Transceiver, Tuner,
};
use farhop_outing_file::Problem;
use maud::{Markup, PreEscaped, html};

use super::common::COMMON;
use super::document::{count, headings, placed, shown, table};
use super::groups::Groups;
use super::hanging::offered;
use super::places::units_in;
use super::summary::{Shown, summary};
use crate::desk::Look;

/// The forms of an outing's text, its problems in place and listed above.
pub fn forms(look: &Look, problems: &[Problem], demo: bool) -> Markup {
    let seen = Shown::default();
    let Some(document) = placed(&look.text) else {
        return html! {
            (summary(problems, &seen))
            p { "The text is no TOML yet; mend it below, then the forms come back." }
        };
    };
    let form = Groups {
        document: &document,
        text: &look.text,
        problems,
        headings: &headings(&look.text),
        shown: &seen,
        units: units_in(&look.text),
    };
    let many = |path: &str, list: &str| 0..count(&document, path, list);
    let is_there = |path: &str| table(&document, path).is_some();
    let lines: Vec<String> = many("kit", "feedline")
        .filter_map(|i| table(&document, &format!("kit.feedline.{i}"))?.get("id").map(shown))
        .collect();
    let body = html! {
        form.values method="post" action="/edit/values" {
            input type="hidden" name="base" value=(look.hash);
            // The enter key presses the first button of a form: it saves.
            button.skip tabindex="-1" aria-hidden="true" disabled[demo] { "Save" }
            (form.group::<Header>("Outing", "outing", false))
            h2 #places tabindex="-1" { "Places" }
            @for i in many("", "site") { (form.group::<Site>("Place", &format!("site.{i}"), true)) }
            (add("site", "Add a place", demo))
            h2 #stations tabindex="-1" { "Stations" }
            @for i in many("", "station") { (form.group::<Station>("Station", &format!("station.{i}"), true)) }
            (add("station", "Add a station", demo))
            h2 #messages tabindex="-1" { "Messages" }
            @for i in many("", "message") { (form.group::<Message>("Message", &format!("message.{i}"), true)) }
            (add("message", "Add a message", demo))
            h2 #antennas tabindex="-1" { "Antennas" }
            @for i in many("kit", "antenna") { (form.antenna(&format!("kit.antenna.{i}"), &lines)) }
            (kinds(demo))
            h2 { "Radio and power" }
            (form.group::<Transceiver>("Transceiver", "kit.transceiver", false))
            (form.group::<Modem>("Modem", "kit.modem", true))
            (form.group::<Tuner>("Tuner", "kit.tuner", true))
            (form.group::<Computer>("Computer", "kit.computer", true))
            @for i in many("kit", "feedline") { (form.group::<FeedLine>("Feed line", &format!("kit.feedline.{i}"), true)) }
            @for i in many("kit", "battery") { (form.group::<Battery>("Battery", &format!("kit.battery.{i}"), true)) }
            @for i in many("kit", "panel") { (form.group::<Panel>("Panel", &format!("kit.panel.{i}"), true)) }
            @for i in many("kit", "converter") { (form.group::<Converter>("Converter", &format!("kit.converter.{i}"), true)) }
            @for i in many("kit", "load") { (form.group::<Load>("Load", &format!("kit.load.{i}"), true)) }
            div.row {
                @if !is_there("kit.transceiver") { (add("kit.transceiver", "Add the transceiver", demo)) }
                @if !is_there("kit.modem") { (add("kit.modem", "Add the modem", demo)) }
                (add("kit.battery", "Add a battery", demo)) (add("kit.panel", "Add a panel", demo)) (add("kit.load", "Add a load", demo))
            }
            @if !many("kit", "part").is_empty() { h2 { "Parts to pack" } }
            @for i in many("kit", "part") { (form.group::<Part>("Part", &format!("kit.part.{i}"), true)) }
            div.row {
                label { "What most carry " select name="common" { @for common in &COMMON { option value=(common.word) { (common.label) } } } }
                (add("common", "Put it into the kit", demo))
            }
            (form.group::<Conditions>("Conditions", "conditions", false))
            div.row { button.main disabled[demo] { "Save" } span.small { "An empty field takes its key out of the file. Everything else stays as it is." } }
        }
        (paste(look, demo))
    };
    html! { (summary(problems, &seen)) (body) }
}

/// A button that adds, with what was typed.
fn add(what: &str, label: &str, demo: bool) -> Markup {
    html! { button formaction="/edit/change" name="add" value=(what) disabled[demo] { (label) } }
}

/// The kinds of antenna, each as it usually hangs.
fn kinds(demo: bool) -> Markup {
    html! {
        details.group.off-paper {
            summary { "Add an antenna: which kind?" }
            fieldset.kinds {
                legend.small { "Each is drawn with usual measures, to be changed to yours." }
                @for (index, kind) in offered().iter().enumerate() {
                    label.kind {
                        input type="radio" name="kind" value=(kind.word) checked[index == 0];
                        span { b { (kind.word.replace('-', " ")) } }
                        @if let Some(svg) = &kind.drawing { (PreEscaped(svg)) }
                        span.small { (kind.told) }
                    }
                }
            }
            div.row { (add("kit.antenna", "Add this antenna", demo)) }
        }
    }
}

/// Stations as a table, and places as waypoints, from elsewhere.
fn paste(look: &Look, demo: bool) -> Markup {
    let stations = Pasted {
        summary: "Stations from a table",
        action: "/edit/stations",
        field: "table",
        file: "A file of this device (CSV) ",
        accept: ".csv,.tsv,.txt,text/csv",
        label: "A header row, then one frequency a row. Commas, semicolons or tabs: callsign, name, lat, lon (or place), khz (or mhz), bandwidth_hz.",
        button: "Add these stations",
    };
    let places = Pasted {
        summary: "Places from a GPX file",
        action: "/edit/places",
        field: "gpx",
        file: "A file of this device (GPX) ",
        accept: ".gpx,.xml,application/gpx+xml",
        label: "The text of a GPX file: its waypoints become places. Tracks and routes are passed over.",
        button: "Add these places",
    };
    html! { (stations.form(look, demo)) (places.form(look, demo)) }
}

/// Something that is taken from elsewhere, as text or from a file of the device.
struct Pasted {
    summary: &'static str,
    action: &'static str,
    field: &'static str,
    file: &'static str,
    accept: &'static str,
    label: &'static str,
    button: &'static str,
}

impl Pasted {
    fn form(&self, look: &Look, demo: bool) -> Markup {
        html! {
            details.group.off-paper {
                summary { (self.summary) }
                form method="post" action=(self.action) {
                    input type="hidden" name="base" value=(look.hash);
                    label.file-in hidden { (self.file) input type="file" accept=(self.accept) data-fill=(self.field); }
                    label for=(self.field) { (self.label) }
                    textarea.file #(self.field) name=(self.field) rows="6" spellcheck="false" {}
                    div.row { button disabled[demo] { (self.button) } }
                }
            }
        }
    }
}

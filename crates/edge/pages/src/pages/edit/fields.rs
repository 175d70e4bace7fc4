//! The input that fits a value.

use farhop_outing::rows::Shape;
use maud::{Markup, html};

/// The input that fits a value: a date, a choice, a number, else a line of text.
pub(super) fn input(name: &str, value: &str, shape: &Shape, wrong: bool) -> Markup {
    let wrong = wrong.then_some("true");
    let a_time = value.is_empty()
        || (value.len() >= 16
            && value.as_bytes().get(10) == Some(&b'T')
            && !value.ends_with('Z')
            && !value[16..].contains(['+', '-']));
    match shape {
        Shape::Time if a_time => {
            html! { input type="datetime-local" id=(name) name=(name) value=(value) aria-invalid=[wrong]; }
        }
        Shape::Word(words) if value.is_empty() || words.contains(&value) => html! {
            select id=(name) name=(name) aria-invalid=[wrong] {
                option value="" selected[value.is_empty()] { "as usual" }
                @for word in words { option value=(word) selected[*word == value] { (word) } }
            }
        },
        Shape::Truth if ["", "true", "false"].contains(&value) => html! {
            select id=(name) name=(name) aria-invalid=[wrong] {
                @for (word, label) in [("", "as usual"), ("true", "yes"), ("false", "no")] { option value=(word) selected[word == value] { (label) } }
            }
        },
        Shape::Number | Shape::Count => {
            html! { input inputmode="decimal" id=(name) name=(name) value=(value) aria-invalid=[wrong]; }
        }
        _ => html! { input id=(name) name=(name) value=(value) aria-invalid=[wrong]; },
    }
}

/// `apex_height_m` in words: `Apex height, m`.
pub(super) fn words_of(key: &str) -> String {
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

//! Readings, places, anything in a short form; and the line that says what was kept.

use farhop_journal::LONGEST_WORDS;
use farhop_journal::short::help;
use farhop_outing::Outing;
use maud::{Markup, html};
use serde_json::json;

use crate::delivery::Kept;
use crate::shell::parts;

/// What was read off a meter, without typing words. Noise and SWR belong to the frequency that is tried, or to the first channel.
pub fn reading(outing: &Outing, freq_mhz: Option<f64>) -> Markup {
    let first = || {
        let channels = outing.stations.iter().flat_map(|s| &s.channels);
        channels.map(|c| c.freq_mhz).next()
    };
    let mut kinds = vec![("volt {}".to_owned(), "Battery, V".to_owned())];
    if let Some(mhz) = freq_mhz.or_else(first) {
        kinds.push((format!("swr {mhz} {{}}"), format!("SWR on {mhz} MHz")));
        kinds.push((format!("noise {mhz} S{{}}"), format!("Noise on {mhz} MHz, S units")));
    }
    kinds.push(("panel {}".to_owned(), "Panel, A".to_owned()));
    html! {
        section.off-paper {
            h2 { "A reading" }
            form #reading.entry.row.reading method="post" action="/field/log" data-kind="reading" {
                select #reading-kind name="reading" aria-label="What was read" { @for (form, label) in &kinds { option value=(form) { (label) } } }
                input #reading-value name="value" inputmode="decimal" autocomplete="off" aria-label="Value" required;
                button { "Enter" }
            }
        }
    }
}

/// Anything in a short form, and where one is.
pub fn anything(outing: &Outing) -> Markup {
    html! {
        section.off-paper {
            h2 { "Anything else" }
            form #say.entry.words method="post" action="/field/log" data-kind="words" {
                label for="words" { "Shortly: " code { "noise 7 S4" } ", " code { "volt 12.4" } ", " code { "swr 7 2.1" } }
                div.row { input #words name="words" autocomplete="off" autocapitalize="off" enterkeyhint="send" maxlength=(LONGEST_WORDS) required; button { "Enter" } }
            }
            div.row {
                @for site in &outing.sites {
                    @let event = json!({"moved": {"site": site.id.as_str()}}).to_string();
                    form #{ "at-" (site.id) }.entry method="post" action="/field/log" data-kind="event" data-name=(format!("At {}", site.name)) {
                        input type="hidden" name="event" value=(event);
                        button { "At " (site.name) }
                    }
                }
            }
            (parts::why("All short forms", &html! { pre tabindex="0" { (help(outing)) } }))
        }
    }
}

/// In place of the forms, on a device that may not enter anything.
pub fn only_looks() -> Markup {
    html! {
        p.note #looks { "This device may look, not log. " a href="/enter?to=field" { "Enter a phrase that lets it log" } }
    }
}

/// The line above the navigation: what was kept, what waits, and the way back. A script fills it; without one it says what the last
/// form brought.
pub fn status(kept: Option<&Kept>) -> Markup {
    html! {
        section #status aria-label="Entries" {
            div #told role="status" {
                @if let Some(kept) = kept { "Kept. " (kept.sentence) } @else { "Nothing waits." }
            }
            form #back.undo method="post" action="/field/undo" hidden[kept.is_none()] {
                input type="hidden" name="of" value=(kept.map_or("", |k| k.key.as_str()));
                button { "Undo" }
            }
            form #come-in method="post" action="/enter" hidden {
                label for="phrase" { "Pass phrase" }
                div.row { input #phrase name="phrase" autocomplete="off" autocapitalize="none" spellcheck="false" required; button { "Come in" } }
                p.wrong role="alert" {}
            }
        }
        details #waiting-list.group hidden {
            summary { "Waiting on this phone" }
            ul.cards-list {}
            p { button #send-now type="button" { "Try now" } }
        }
        p #holds.small {}
    }
}

/// A line of the journal with the way to take it back, for who may log.
pub fn stored(key: &str, line: &str, logs: bool) -> Markup {
    html! {
        li {
            span { (line) }
            @if logs {
                form.entry.undo method="post" action="/field/undo" data-kind="undo" data-name=(line) {
                    input type="hidden" name="of" value=(key);
                    button aria-label={ "Take back: " (line) } { "Take back" }
                }
            }
        }
    }
}

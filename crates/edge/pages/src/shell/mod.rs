//! The frame around every page: question, answer, ways to the other pages, theme.

mod context;
mod cookies;
pub mod parts;

use maud::{DOCTYPE, Markup, PreEscaped, html};

pub use context::{Context, Theme};
pub use cookies::cookie;

use crate::assets::address;

/// The pages.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "each is named after its page")]
pub enum Here {
    Outing,
    Hours,
    Antennas,
    Energy,
    Kit,
    Field,
    Fault,
    Debrief,
    Edit,
    Elsewhere,
}

impl Here {
    /// Pages that one hand reaches first, and the others.
    const NEAR: [Self; 4] = [Self::Outing, Self::Hours, Self::Field, Self::Fault];
    const MORE: [Self; 5] = [Self::Antennas, Self::Energy, Self::Kit, Self::Debrief, Self::Edit];

    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Outing => "Outing",
            Self::Hours => "Hours",
            Self::Antennas => "Antennas",
            Self::Energy => "Energy",
            Self::Kit => "Kit",
            Self::Field => "Field",
            Self::Fault => "Fault",
            Self::Debrief => "Debrief",
            Self::Edit => "Edit",
            Self::Elsewhere => "",
        }
    }

    /// Its address.
    #[must_use]
    pub fn address(self) -> &'static str {
        match self {
            Self::Outing | Self::Elsewhere => "/",
            Self::Hours => "/hours",
            Self::Antennas => "/antennas",
            Self::Energy => "/energy",
            Self::Kit => "/kit",
            Self::Field => "/field",
            Self::Fault => "/fault",
            Self::Debrief => "/debrief",
            Self::Edit => "/edit",
        }
    }
}

/// A page.
pub struct Page<'a> {
    /// Which.
    pub here: Here,
    /// The question it answers.
    pub question: &'a str,
    /// The answer in one sentence; none while there is none.
    pub answer: Option<Markup>,
    /// Everything else.
    pub body: Markup,
}

/// The whole document.
#[must_use]
pub fn page(context: &Context, page: Page<'_>) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" data-theme=(context.theme.word()) {
            (head(page.question, page.here.name(), context.pocket))
            body class={ "page-" (page.here.name().to_lowercase()) } {
                a.skip href="#main" { "Skip to the page" }
                (navigation(context, page.here))
                main #main {
                    @if context.draft { p.note { "The file has errors. This is the last sound version. " (parts::to_edit(context, "/edit", "To the draft")) } }
                    h1 { (page.question) }
                    @if let Some(answer) = page.answer { p.answer { (held_together(&answer)) } }
                    (page.body)
                }
                (foot(context, page.here))
            }
        }
    }
}

/// Stands in a page where the rest is cut in.
const CUT: &str = "<!--cut-->";

/// A page in two pieces, for an answer that takes a moment: the first shows the question and that work goes on, then comes what
/// [`answered`] makes, then the second piece.
#[must_use]
pub(crate) fn in_two(context: &Context, here: Here, question: &str, meanwhile: &str) -> (String, String) {
    let body = html! {
        p.answer.meanwhile { (meanwhile) }
        (PreEscaped(CUT))
    };
    let whole = page(
        context,
        Page {
            here,
            question,
            answer: None,
            body,
        },
    );
    let (before, after) = whole.0.split_once(CUT).unwrap_or((&whole.0, ""));
    (before.to_owned(), after.to_owned())
}

/// What a page in two pieces was waiting for.
#[must_use]
pub fn answered(answer: &Markup, body: &Markup) -> Markup {
    html! {
        p.answer { (held_together(answer)) }
        (body)
    }
}

/// A number stays on the line of its unit.
fn held_together(answer: &Markup) -> Markup {
    let units = ["%", "MHz", "dB", "Wh", "W", "km", "mi", "min", "h", "s", "V"];
    let mut parts = answer.0.split(' ');
    let mut text = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let word = part.trim_end_matches(|c: char| !c.is_alphanumeric() && c != '%');
        let word = word.split(['<', ',', ':']).next().unwrap_or(word);
        let holds = text.ends_with(|c: char| c.is_ascii_digit()) && units.contains(&word);
        text.push(if holds { '\u{a0}' } else { ' ' });
        text.push_str(part);
    }
    PreEscaped(text)
}

fn head(question: &str, name: &str, pocket: bool) -> Markup {
    html! {
        head {
            meta charset="utf-8";
            meta name="viewport" content="width=device-width, initial-scale=1";
            title { (question) @if !name.is_empty() { " · " (name) } " · Farhop" }
            @for letters in ["sans-400.woff2", "sans-600.woff2"] {
                link rel="preload" href=(address(letters)) as="font" type="font/woff2" crossorigin;
            }
            link rel="stylesheet" href=(address("style.css"));
            link rel="icon" href=(address("mark.svg")) type="image/svg+xml";
            script src=(address("app.js")) type="module" {}
            @if pocket {
                link rel="manifest" href="/manifest.webmanifest";
                script src="/pocket.js" type="module" {}
            }
        }
    }
}

fn navigation(context: &Context, here: Here) -> Markup {
    let item = |page: Here| {
        html! {
            li { a href=(page.address()) aria-current=[(page == here).then_some("page")] { (page.name()) } }
        }
    };
    html! {
        nav.ways aria-label="Pages" {
            ul { @for page in Here::NEAR { (item(page)) } }
            button.more popovertarget="more" aria-label="More pages" { "More" }
            ul #more popover {
                @for page in Here::MORE {
                    @if page != Here::Edit || context.edits() { (item(page)) }
                }
                li.lights { (themes(context, here)) }
            }
        }
    }
}

/// How bright the page is.
fn themes(context: &Context, here: Here) -> Markup {
    html! {
        form.themes method="post" action="/theme" {
            input type="hidden" name="back" value=(here.address());
            span { "Light" }
            @for theme in Theme::ALL {
                button name="theme" value=(theme.word()) aria-pressed=(theme == context.theme) { (theme.name()) }
            }
        }
    }
}

fn foot(context: &Context, here: Here) -> Markup {
    html! {
        footer {
            (themes(context, here))
            @if context.pocket {
                p { a href="/phone" { "On this phone: copies, other outings" } }
                p { a href="/here" { "Where am I, and which way is north?" } }
            }
            p { a href="/log" { "Hand the log over, or bring another in" } }
            @if !context.pocket { p { a href="/pocket" { "Put it on this phone" } } }
            @if context.share {
                p { a href="/invite" { "Let another device in" } }
            }
            p.small { "Farhop works offline. Your licence and local rules decide what you may send." }
        }
    }
}

/// A page without a way anywhere, for refusals.
#[must_use]
pub fn plain_page(title: &str, words: &str) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" data-theme="paper" {
            (head(title, "", false))
            body.plain { main { h1 { (title) } p.answer { (words) } p { a href="/" { "To the outing" } } } }
        }
    }
}

/// A picture made by the report, to be laid into a page.
#[must_use]
pub fn picture(svg: String, caption: &str) -> Markup {
    html! {
        figure.picture {
            (PreEscaped(svg))
            @if !caption.is_empty() { figcaption { (caption) } }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_stay_with_their_units_and_nothing_else_changes() {
        let text = "Sat 13:00 on 5.356 MHz to Q0LAR: 90 %, <b>at 3 dB</b> for 2 hours, 4 h.";
        let held = held_together(&PreEscaped(text.to_owned())).0;
        assert_eq!(held.replace('\u{a0}', " "), text);
        for kept in [
            "5.356\u{a0}MHz",
            "90\u{a0}%",
            "3\u{a0}dB",
            "4\u{a0}h.",
            "2 hours",
            "Sat 13:00",
        ] {
            assert!(held.contains(kept), "{kept}: {held}");
        }
    }
}

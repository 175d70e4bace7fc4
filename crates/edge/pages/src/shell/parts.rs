//! Pieces that many pages are made of.

use farhop_outing::Severity;
use farhop_outing_file::Problem;
use farhop_plan::Chance;
use maud::{Markup, html};

use crate::shell::Context;

/// A chance as a number and a word.
#[must_use]
pub fn chance(chance: Chance) -> Markup {
    html! {
        span.chance { b { (chance.percent()) " %" } " " (chance.word().word()) }
    }
}

/// A way to the form of the outing, for who may change it.
#[must_use]
pub fn to_edit(context: &Context, address: &str, words: &str) -> Markup {
    html! {
        @if context.edits() { a href=(address) { (words) } }
    }
}

/// The same as a button in a line of its own.
#[must_use]
pub fn edit_button(context: &Context, address: &str, words: &str) -> Markup {
    html! {
        @if context.edits() { p { a.button href=(address) { (words) } } }
    }
}

/// The working, folded.
#[must_use]
pub fn why(summary: &str, body: &Markup) -> Markup {
    html! {
        details.why { summary { (summary) } div { (body) } }
    }
}

/// Cautions, beside what they concern, folded below a line that names them.
#[must_use]
pub fn cautions(named: &str, list: &[String]) -> Markup {
    html! {
        @if !list.is_empty() {
            section.mind aria-label="Cautions" {
                details.why { summary { (named) } div { ul { @for caution in list { li { (caution) } } } } }
            }
        }
    }
}

/// Whom to keep how far from what sends, beside the cautions.
#[must_use]
pub fn distances(lines: &[String]) -> Markup {
    html! {
        @if !lines.is_empty() {
            section.mind aria-label="Distances while sending" {
                h2 { "Distances while sending" }
                ul { @for line in lines { li { (with_commands(line)) } } }
            }
        }
    }
}

/// Words with what stands between backticks as something to type.
fn with_commands(line: &str) -> Markup {
    html! {
        @for (index, piece) in line.split('`').enumerate() {
            @if index % 2 == 1 { code { (piece) } } @else { (piece) }
        }
    }
}

/// What a problem is, in a word or two.
#[must_use]
pub fn said(problem: &Problem) -> &'static str {
    match problem.severity {
        Severity::Error => "Error",
        Severity::Caution => "Caution",
        Severity::Question => "Is it meant?",
    }
}

/// Problems of the file, each with its place.
#[must_use]
pub fn problems(list: &[Problem]) -> Markup {
    html! {
        ol.problems {
            @for problem in list {
                li class=(if problem.is_error() { "error" } else { "caution" }) {
                    p { b { (said(problem)) ", line " (problem.line) ": " } (problem.cause) "." }
                    @if !problem.source_line.trim().is_empty() { pre { (problem.source_line.trim()) } }
                    @if !problem.hint.is_empty() { p.hint { (problem.hint) } }
                }
            }
        }
    }
}

//! What is missing or wrong, in one list above the forms: each with a way to the field that it is about.

use std::cell::RefCell;
use std::collections::BTreeMap;

use farhop_outing_file::Problem;
use maud::{Markup, html};

use crate::shell::parts::said;

/// Which problem was shown at which field, by its place in the list.
#[derive(Default)]
pub struct Shown(RefCell<BTreeMap<usize, String>>);

impl Shown {
    /// A problem stands at a field.
    pub fn at(&self, problem: usize, field: &str) {
        self.0.borrow_mut().entry(problem).or_insert_with(|| field.to_owned());
    }

    fn field_of(&self, problem: usize) -> Option<String> {
        self.0.borrow().get(&problem).cloned()
    }
}

/// The list; nothing where nothing is to be said. Errors take the focus when a save led here.
pub fn summary(problems: &[Problem], shown: &Shown) -> Markup {
    let errors = problems.iter().filter(|p| p.is_error()).count();
    let heading = match errors {
        0 => "About the file".to_owned(),
        1 => "One thing is missing or wrong".to_owned(),
        count => format!("{count} things are missing or wrong"),
    };
    html! {
        @if !problems.is_empty() {
            section #problems.mind[errors > 0] tabindex="-1" aria-labelledby="problems-head" {
                h2 #problems-head { (heading) }
                ol.problems {
                    @for (index, problem) in problems.iter().enumerate() {
                        li class=(if problem.is_error() { "error" } else { "caution" }) {
                            p {
                                b { (said(problem)) ": " }
                                @match shown.field_of(index) {
                                    Some(field) => a href={ "#" (field) } { (problem.cause) },
                                    None => { (problem.cause) ", " a href="#file" { "line " (problem.line) " of the file" } },
                                }
                                "."
                            }
                            @if !problem.hint.is_empty() { p.hint { (problem.hint) } }
                        }
                    }
                }
            }
        }
    }
}

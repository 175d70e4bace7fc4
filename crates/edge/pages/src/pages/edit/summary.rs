//! What is missing or wrong, in one list above the forms: each with a way to the field that it is about.

use std::cell::RefCell;
use std::collections::BTreeMap;

use farhop_outing_file::Problem;
use maud::{Markup, html};

use crate::shell::parts::said;

/// Where a problem is shown.
#[derive(Clone)]
struct Field {
    /// Id of the field.
    id: String,
    /// Its label, where nothing stands in it yet.
    missing: Option<String>,
}

/// Which problem was shown at which field, by its place in the list.
#[derive(Default)]
pub struct Shown(RefCell<BTreeMap<usize, Field>>);

impl Shown {
    /// A problem stands at a field; the label of one in which nothing stands yet.
    pub fn at(&self, problem: usize, field: &str, missing: Option<&str>) {
        self.0.borrow_mut().entry(problem).or_insert_with(|| Field {
            id: field.to_owned(),
            missing: missing.map(str::to_owned),
        });
    }

    fn field_of(&self, problem: usize) -> Option<Field> {
        self.0.borrow().get(&problem).cloned()
    }
}

/// A list of the outing that is empty and must not be: id of its part of the page, and what to do there.
pub fn list_of(problem: &Problem) -> Option<(&'static str, &'static str)> {
    let lists = [
        (
            "[[site]]",
            ("places", "Add a place there, or take places from a GPX file."),
        ),
        (
            "[[station]]",
            ("stations", "Add a station there, or take a table of them."),
        ),
        ("[[kit.antenna]]", ("antennas", "Choose its kind there.")),
    ];
    let wants = |heading: &str| problem.hint.starts_with("Add a ") && problem.hint.contains(heading);
    lists
        .into_iter()
        .find(|(heading, _)| wants(heading))
        .map(|(_, list)| list)
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
                            @let field = shown.field_of(index);
                            @let list = list_of(problem);
                            p {
                                b { (said(problem)) ": " }
                                @match (&field, list) {
                                    (_, Some((id, _))) => a href={ "#" (id) } { (problem.cause) },
                                    (Some(Field { id, missing: Some(label) }), _) => a href={ "#" (id) } { (label) " is missing" },
                                    (Some(Field { id, .. }), _) => a href={ "#" (id) } { (problem.cause) },
                                    (None, None) => { (problem.cause) ", " a href="#file" { "line " (problem.line) " of the file" } },
                                }
                                "."
                            }
                            @match list {
                                Some((_, way)) => p.hint { (way) },
                                None => @if !problem.hint.is_empty() { p.hint { (problem.hint) } },
                            }
                        }
                    }
                }
            }
        }
    }
}

//! Broken TOML in plain words.

use toml::de::Error;

use crate::session::{SYNTAX, Session, Spot};

/// What the parser says (the beginning of it), and what that means at the kitchen table.
const WORDS: [(&str, &str, &str); 24] = [
    (
        "invalid basic string",
        "a text is not closed, or has a \\ in it",
        "Close it with \" on the same line; with a \\ inside, use 'single quotes'.",
    ),
    (
        "invalid literal string",
        "a text is not closed",
        "Close it with ' on the same line.",
    ),
    (
        "duplicate key",
        "this key or section is written twice",
        "Keep one of the two. Lists of things are written [[site]], with double brackets.",
    ),
    (
        "string values must be quoted",
        "this text has no quotes",
        "Write it as \"text\" with quotes on both sides.",
    ),
    (
        "invalid unquoted key",
        "this is no name for a key",
        "Keys are letters, digits, _ and -, then =.",
    ),
    (
        "unclosed array table",
        "the brackets of this section are not closed",
        "Write [[name]] on a line of its own.",
    ),
    (
        "unclosed array",
        "a list is opened with [ but never closed",
        "Close it with ].",
    ),
    ("unclosed inline table", "a { is never closed", "Close it with }."),
    (
        "unclosed table",
        "the bracket of this section is not closed",
        "Write [name] on a line of its own.",
    ),
    (
        "missing comma",
        "a comma is missing between two values",
        "Put a , between them.",
    ),
    ("extra comma", "there is one comma too many", "Remove it."),
    (
        "extra `=`",
        "there is one = too many",
        "Write key = value, once a line.",
    ),
    (
        "extra assignment",
        "there is one = too many",
        "Write key = value, once a line.",
    ),
    (
        "key with no value",
        "this key has no value",
        "Write key = value, and texts in quotes.",
    ),
    ("missing value", "this key has no value", "Write a value after the =."),
    ("missing assignment", "the = is missing", "Write key = value."),
    (
        "unexpected leading zero",
        "a number starts with 0",
        "Write 7 instead of 07; times of day go into quotes: \"07:30\".",
    ),
    (
        "redundant",
        "a number has a sign or prefix too many",
        "Write plain digits, for example -43.5.",
    ),
    (
        "unexpected sign",
        "a number has a sign where none can be",
        "Write plain digits, for example -43.5.",
    ),
    (
        "`_` may only",
        "a _ stands where it cannot",
        "Inside numbers _ may only stand between two digits.",
    ),
    (
        "invalid value",
        "this is no value that TOML knows",
        "Texts go into quotes; numbers use a point: 7.1, not 7,1.",
    ),
    (
        "unexpected content",
        "something stands after the value",
        "One key = value a line; comments begin with #.",
    ),
    (
        "unexpected key or value",
        "something stands where it does not belong",
        "One key = value a line; numbers have a point and no comma: 1200, 7.1.",
    ),
    (
        "carriage return",
        "a line ends in an unusual way",
        "Save the file as plain text with ordinary line ends.",
    ),
];

/// Reports all syntax errors; gives the lines (from 1) on which they stand.
pub(crate) fn report(s: &mut Session, source: usize, errors: &[Error], length: usize) -> Vec<usize> {
    let mut lines = Vec::new();
    for error in errors {
        let span = error.span().unwrap_or(length..length);
        let line = s.line_of(span.start);
        // One slip often breaks the parser several times on its line; the first tells most.
        if lines.contains(&line) && source == 0 {
            continue;
        }
        lines.push(line);
        let known = WORDS.iter().find(|(start, _, _)| error.message().starts_with(start));
        let (cause, hint) = match known {
            Some(&(_, cause, hint)) => (cause.to_owned(), hint),
            None => (
                format!("not readable as TOML: {}", error.message()),
                "One key = value a line, texts in quotes, sections in [brackets].",
            ),
        };
        s.error(Spot { source, span }, SYNTAX, cause, hint);
    }
    lines
}

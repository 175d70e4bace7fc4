//! A problem and how it is shown.

use farhop_outing::Severity;

/// One thing that is wrong or odd in a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Error or caution.
    pub severity: Severity,
    /// File in which it stands.
    pub file: String,
    /// Line, counted from 1.
    pub line: usize,
    /// Column in characters, counted from 1.
    pub column: usize,
    /// Number of characters concerned, at least 1.
    pub length: usize,
    /// The whole line.
    pub source_line: String,
    /// What is wrong, with the value.
    pub cause: String,
    /// What to do; may be empty.
    pub hint: String,
}

impl Problem {
    /// Whether it forbids the outing.
    #[must_use]
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }
}

/// Longest piece of a source line that is shown, in characters.
const SHOWN_CHARS: usize = 72;

/// A problem as text: place, line with a mark under what is meant, cause, hint.
#[must_use]
pub fn render(problem: &Problem) -> String {
    let word = if problem.is_error() { "error" } else { "caution" };
    let mut text = format!(
        "{}, line {}, column {}: {word}\n",
        problem.file, problem.line, problem.column
    );
    let (shown, mark_at) = excerpt(&problem.source_line, problem.column);
    if !shown.trim().is_empty() {
        let room = shown.chars().count().saturating_sub(mark_at).max(1);
        let marks = "^".repeat(problem.length.clamp(1, room));
        text += &format!("    {shown}\n    {}{marks}\n", " ".repeat(mark_at));
    }
    text += &format!("  {}.\n", problem.cause.trim_end_matches('.'));
    if !problem.hint.is_empty() {
        text += &format!("  > {}\n", problem.hint);
    }
    text
}

/// All problems, errors first, each in the order of the file, with a count at the end.
#[must_use]
pub fn render_all(problems: &[Problem]) -> String {
    let (errors, cautions): (Vec<&Problem>, Vec<&Problem>) = problems.iter().partition(|p| p.is_error());
    let blocks: Vec<String> = errors.iter().chain(&cautions).map(|p| render(p)).collect();
    let count = |n: usize, word: &str| format!("{n} {word}{}", if n == 1 { "" } else { "s" });
    let summary = match (errors.len(), cautions.len()) {
        (0, 0) => return String::new(),
        (0, c) => count(c, "caution"),
        (e, 0) => count(e, "error"),
        (e, c) => format!("{}, {}", count(e, "error"), count(c, "caution")),
    };
    format!("{}\n{summary}.\n", blocks.join("\n"))
}

/// The part of a line around a column, and where the column is in it (from 0). Tabs become single spaces, other
/// control signs are left out of sight.
fn excerpt(line: &str, column: usize) -> (String, usize) {
    let plain: Vec<char> = line.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    let at = column.saturating_sub(1).min(plain.len());
    let start = if at < SHOWN_CHARS { 0 } else { at - SHOWN_CHARS / 2 };
    let shown: String = plain.iter().skip(start).take(SHOWN_CHARS).collect();
    (shown.trim_end().to_owned(), at - start)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn problem(column: usize, length: usize, line: &str) -> Problem {
        Problem {
            severity: Severity::Error,
            file: "a.toml".to_owned(),
            line: 3,
            column,
            length,
            source_line: line.to_owned(),
            cause: "power_w is -5".to_owned(),
            hint: "It must be 0.001 to 2000 W.".to_owned(),
        }
    }

    #[test]
    fn the_mark_stands_under_the_value() {
        let text = render(&problem(11, 2, "power_w = -5"));
        let expected = "a.toml, line 3, column 11: error\n    power_w = -5\n              ^^\n  power_w is -5.\n  \
                        > It must be 0.001 to 2000 W.\n";
        assert_eq!(text, expected);
    }

    #[test]
    fn long_and_odd_lines_do_not_break_it() {
        let long = format!("x = \"{}\"", "é".repeat(500));
        for column in [0, 1, 72, 300, 507, 9_999] {
            let text = render(&problem(column, 9_999, &long));
            assert!(text.lines().all(|l| l.chars().count() < 90), "{text}");
        }
        assert!(render(&problem(1, 1, "")).starts_with("a.toml"));
    }
}

//! A problem and how it is shown.

use farhop_outing::Severity;

/// One thing that is wrong or odd in a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Error, caution or question.
    pub severity: Severity,
    /// Short name of the cross-check that asks; none for errors and cautions.
    pub check: Option<&'static str>,
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

    /// What it is, in a word.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self.severity {
            Severity::Error => "error",
            Severity::Caution => "caution",
            Severity::Question => "question",
        }
    }

    /// On one line, without what to do: `mine.toml, line 4: is it meant? …`.
    #[must_use]
    pub fn line(&self) -> String {
        let word = match self.severity {
            Severity::Question => "is it meant?".to_owned(),
            _ => format!("{}:", self.word()),
        };
        format!("{}, line {}: {word} {}", self.file, self.line, self.cause)
    }
}

/// Longest piece of a source line that is shown, in characters.
const SHOWN_CHARS: usize = 72;

/// A problem as text: place, line with a mark under what is meant, cause, hint.
#[must_use]
pub fn render(problem: &Problem) -> String {
    let word = problem.word();
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

/// All problems, errors first, questions last, each in the order of the file, with a count at the end.
#[must_use]
pub fn render_all(problems: &[Problem]) -> String {
    let (mut blocks, mut counts) = (Vec::new(), Vec::new());
    for severity in [Severity::Error, Severity::Caution, Severity::Question] {
        let of_this: Vec<&Problem> = problems.iter().filter(|p| p.severity == severity).collect();
        if let Some(first) = of_this.first() {
            let plural = if of_this.len() == 1 { "" } else { "s" };
            counts.push(format!("{} {}{plural}", of_this.len(), first.word()));
        }
        blocks.extend(of_this.into_iter().map(render));
    }
    if blocks.is_empty() {
        return String::new();
    }
    format!("{}\n{}.\n", blocks.join("\n"), counts.join(", "))
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
            check: None,
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

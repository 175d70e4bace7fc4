//! What a reading collects: sources, places of values, problems, defaults.

use std::collections::{HashMap, HashSet};
use std::ops::Range;

use farhop_outing::{Flaw, Severity};
use farhop_plausible::{Question, Written};
use jiff::tz::TimeZone;

use crate::defaults::DefaultUsed;
use crate::problem::Problem;

/// A place in one of the files.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Spot {
    /// Number of the source.
    pub(crate) source: usize,
    /// Bytes of its text.
    pub(crate) span: Range<usize>,
}

struct Source {
    name: String,
    text: String,
}

/// A problem with what is needed to sort and sift it.
struct Found {
    severity: Severity,
    check: Option<&'static str>,
    spot: Spot,
    path: String,
    /// Still sure when the syntax around it is broken.
    sure: bool,
    cause: String,
    hint: String,
}

/// Collects while the file is read.
pub(crate) struct Session {
    sources: Vec<Source>,
    spots: HashMap<String, Spot>,
    found: Vec<Found>,
    seen: HashSet<(usize, usize, String)>,
    /// Paths that are broken for a reason reported elsewhere.
    silent: Vec<String>,
    defaults: Vec<DefaultUsed>,
    /// Zone in which local times are read.
    pub(crate) zone: TimeZone,
    /// The outing's own dates are broken, so nothing can be compared with them.
    pub(crate) dates_broken: bool,
}

impl Session {
    pub(crate) fn new(name: &str, text: &str) -> Self {
        Self {
            sources: vec![Source {
                name: name.to_owned(),
                text: text.to_owned(),
            }],
            spots: HashMap::new(),
            found: Vec::new(),
            seen: HashSet::new(),
            silent: Vec::new(),
            defaults: Vec::new(),
            zone: TimeZone::UTC,
            dates_broken: false,
        }
    }

    /// Adds another file; gives its number.
    pub(crate) fn add_source(&mut self, name: &str, text: &str) -> usize {
        self.sources.push(Source {
            name: name.to_owned(),
            text: text.to_owned(),
        });
        self.sources.len() - 1
    }

    /// Remembers where the value of a path stands.
    pub(crate) fn mark(&mut self, path: String, spot: Spot) {
        self.spots.entry(path).or_insert(spot);
    }

    /// A path is broken for a reason that is reported elsewhere: its flaws are echoes.
    pub(crate) fn silence(&mut self, path: String) {
        self.silent.push(path);
    }

    /// Whether an error stands at a path, or it is missing.
    pub(crate) fn is_broken(&self, path: &str) -> bool {
        self.found
            .iter()
            .any(|f| f.severity == Severity::Error && f.path == path)
            || self.silent.iter().any(|p| p == path)
    }

    /// Whether there is any error yet.
    pub(crate) fn has_errors(&self) -> bool {
        self.found.iter().any(|f| f.severity == Severity::Error)
    }

    pub(crate) fn error(&mut self, spot: Spot, path: &str, cause: impl Into<String>, hint: impl Into<String>) {
        self.report(Severity::Error, spot, path, true, (cause.into(), hint.into()));
    }

    /// An error that may only be the echo of broken syntax elsewhere.
    pub(crate) fn unsure_error(&mut self, spot: Spot, path: &str, cause: impl Into<String>, hint: impl Into<String>) {
        self.report(Severity::Error, spot, path, false, (cause.into(), hint.into()));
    }

    pub(crate) fn caution(&mut self, spot: Spot, path: &str, cause: impl Into<String>, hint: impl Into<String>) {
        self.report(Severity::Caution, spot, path, true, (cause.into(), hint.into()));
    }

    fn report(&mut self, severity: Severity, spot: Spot, path: &str, sure: bool, words: (String, String)) {
        let (cause, hint) = words;
        if self.seen.insert((spot.source, spot.span.start, cause.clone())) {
            self.found.push(Found {
                severity,
                check: None,
                spot,
                path: path.to_owned(),
                sure,
                cause,
                hint,
            });
        }
    }

    pub(crate) fn default_used(&mut self, used: DefaultUsed) {
        match self
            .defaults
            .iter_mut()
            .find(|d| d.key == used.key && d.value == used.value && d.why == used.why)
        {
            Some(same) => same.items.extend(used.items),
            None => self.defaults.push(used),
        }
    }

    /// Takes over the flaws of the checked types, except where the text itself already has a problem.
    pub(crate) fn add_flaws(&mut self, flaws: Vec<Flaw>) {
        let errors = || self.found.iter().filter(|f| f.severity == Severity::Error);
        let broken: Vec<String> = errors().map(|f| f.path.clone()).chain(self.silent.clone()).collect();
        let spots: Vec<Spot> = errors()
            .filter(|f| f.sure && !f.spot.span.is_empty())
            .map(|f| f.spot.clone())
            .collect();
        for flaw in flaws {
            let echo = broken.iter().any(|path| related(path, &flaw.path));
            let dated = ["deadline", "ready", "from", "until", "at", "start", "end"];
            let muted = self.dates_broken && dated.iter().any(|key| flaw.path.ends_with(&format!(".{key}")));
            let spot = self.spot_of(&flaw.path);
            if !echo && !muted && !spots.contains(&spot) {
                self.report(flaw.severity, spot, &flaw.path, false, (flaw.cause, flaw.hint));
            }
        }
    }

    /// Asks about what is possible and odd.
    pub(crate) fn add_questions(&mut self, questions: Vec<Question>) {
        for question in questions {
            let spot = self.spot_of(&question.path);
            self.found.push(Found {
                severity: Severity::Question,
                check: Some(question.check.id),
                cause: question.cause(),
                hint: question.check.to_do.to_owned(),
                path: question.path,
                spot,
                sure: false,
            });
        }
    }

    /// The place of a path, or of the nearest thing around it.
    fn spot_of(&self, path: &str) -> Spot {
        let mut path = path;
        loop {
            if let Some(spot) = self.spots.get(path) {
                return spot.clone();
            }
            match path.rfind(['.', '[']) {
                Some(cut) => path = &path[..cut],
                None => return Spot { source: 0, span: 0..0 },
            }
        }
    }

    /// Problems in the order of the files, and the defaults.
    pub(crate) fn finish(mut self, syntax_lines: &[usize]) -> (Vec<Problem>, Vec<DefaultUsed>) {
        self.found.sort_by_key(|f| (f.spot.source, f.spot.span.start));
        let mut problems = Vec::new();
        for found in &self.found {
            let problem = self.located(found);
            let in_doubt = found.spot.source == 0 && !syntax_lines.is_empty() && found.path != SYNTAX;
            let after_break = syntax_lines.iter().any(|&line| line <= problem.line);
            if !(in_doubt && (!found.sure || after_break)) {
                problems.push(problem);
            }
        }
        (problems, self.defaults)
    }

    fn located(&self, found: &Found) -> Problem {
        let (name, text) = self
            .sources
            .get(found.spot.source)
            .map_or(("", ""), |s| (s.name.as_str(), s.text.as_str()));
        let start = floor_char(text, found.spot.span.start);
        let end = floor_char(text, found.spot.span.end.max(start));
        let before = text.get(..start).unwrap_or_default();
        let line_start = before.rfind('\n').map_or(0, |i| i + 1);
        let rest = text.get(line_start..).unwrap_or_default();
        let source_line = rest
            .split('\n')
            .next()
            .unwrap_or_default()
            .trim_end_matches('\r')
            .to_owned();
        let line_end = line_start + source_line.len();
        let marked = text.get(start..end.min(line_end.max(start))).unwrap_or_default();
        Problem {
            severity: found.severity,
            check: found.check,
            file: name.to_owned(),
            line: before.matches('\n').count() + 1,
            column: before.get(line_start..).unwrap_or_default().chars().count() + 1,
            length: marked.chars().count().max(1),
            source_line,
            cause: found.cause.clone(),
            hint: found.hint.clone(),
        }
    }

    /// Line (from 1) of a byte of the main file.
    pub(crate) fn line_of(&self, byte: usize) -> usize {
        let text = self.sources.first().map_or("", |s| s.text.as_str());
        let before = text.get(..floor_char(text, byte)).unwrap_or_default();
        before.matches('\n').count() + 1
    }
}

impl Written for Session {
    fn has(&self, path: &str) -> bool {
        self.spots.contains_key(path)
    }

    fn text(&self, path: &str) -> Option<String> {
        let spot = self.spots.get(path)?;
        let text = self.sources.get(spot.source)?.text.get(spot.span.clone())?;
        Some(text.to_owned())
    }
}

/// Path of syntax problems.
pub(crate) const SYNTAX: &str = "(syntax)";

fn floor_char(text: &str, byte: usize) -> usize {
    let mut at = byte.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// Whether one path is the other or lies inside it.
fn related(a: &str, b: &str) -> bool {
    let (short, long) = if a.len() <= b.len() { (a, b) } else { (b, a) };
    long.strip_prefix(short)
        .is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[']))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_inside_each_other_are_related() {
        assert!(related("site[0]", "site[0].place") && related("site", "site[0]") && related("a.b", "a.b"));
        assert!(!related("site[1]", "site[10]") && !related("site[0].place", "site[0].places"));
    }

    #[test]
    fn a_place_inside_a_letter_is_moved_to_its_start() {
        let mut session = Session::new("x", "ä = \u{1F600}\n");
        session.error(Spot { source: 0, span: 1..6 }, "a", "odd", "");
        let (problems, _) = session.finish(&[]);
        assert_eq!((problems[0].line, problems[0].column), (1, 1));
    }
}

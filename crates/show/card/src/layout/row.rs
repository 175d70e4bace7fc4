//! Pieces that are stacked: marks with a height, measured from their own upper left corner.

use crate::letters::{Letters, Style};
use crate::page::{Anchor, Mark};

/// A piece that is placed as a whole or not at all.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Row {
    /// Its height, pt.
    pub height_pt: f64,
    /// Its marks.
    pub marks: Vec<Mark>,
}

impl Row {
    /// Nothing, of a height in pt.
    #[cfg(test)]
    pub fn gap(height_pt: f64) -> Self {
        Self {
            height_pt,
            marks: Vec::new(),
        }
    }

    /// A paragraph; its first line may begin with bold words.
    #[must_use]
    pub fn paragraph(letters: &Letters, lead: &str, text: &str, size_pt: f64, width_pt: f64) -> Self {
        let (plain, bold) = (Style::plain(size_pt), Style::bold(size_pt));
        let lead_lines = if lead.is_empty() {
            Vec::new()
        } else {
            letters.wrapped(lead, bold, width_pt)
        };
        let mut marks = Vec::new();
        let mut line = 0usize;
        let mut indent = 0.0;
        let mut put = |line: usize, x: f64, style: Style, text: &str| {
            if !text.is_empty() {
                let y = line as f64 * style.line_pt() + style.baseline_pt();
                marks.push(Mark::text([x, y], Anchor::Start, style, text));
            }
        };
        for (k, words) in lead_lines.iter().enumerate() {
            line = k;
            put(k, 0.0, bold, words);
            indent = letters.width_pt(words, bold) + letters.width_pt(" ", bold);
        }
        let mut lines = lead_lines.len();
        let mut rest = text;
        if indent > 0.0 && !text.is_empty() {
            let (first, after) = first_line(letters, text, plain, width_pt - indent);
            put(line, indent, plain, &first);
            rest = after;
        }
        if !rest.is_empty() || lines == 0 {
            for words in letters.wrapped(rest, plain, width_pt) {
                put(lines, 0.0, plain, &words);
                lines += 1;
            }
        }
        Self {
            height_pt: lines as f64 * plain.line_pt() + 1.0,
            marks,
        }
    }

    /// The marks where the piece is placed.
    pub fn placed(&self, at_pt: [f64; 2]) -> impl Iterator<Item = Mark> + '_ {
        self.marks.iter().map(move |m| m.clone().moved(at_pt))
    }
}

/// What of a text fits on a line, and the rest.
fn first_line<'t>(letters: &Letters, text: &'t str, style: Style, width_pt: f64) -> (String, &'t str) {
    let mut end = 0;
    for (at, _) in text.match_indices(' ').chain(std::iter::once((text.len(), ""))) {
        let fits = text.get(..at).is_some_and(|t| letters.width_pt(t, style) <= width_pt);
        if !fits {
            break;
        }
        end = at;
    }
    let (first, rest) = text.split_at(end);
    (first.to_owned(), rest.trim_start())
}

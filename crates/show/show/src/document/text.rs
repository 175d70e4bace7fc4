//! A report in 80 columns.

use crate::document::{Block, Document, Section};
use crate::wrap::paragraph;

impl Document {
    /// The whole report.
    #[must_use]
    pub fn text(&self) -> String {
        self.text_of(&self.sections.iter().collect::<Vec<_>>())
    }

    /// The report in at most so many lines: sections give way by their rank until it fits, and a last line names them and says
    /// where they are (`elsewhere`).
    #[must_use]
    pub fn text_within(&self, most_lines: usize, elsewhere: &str) -> String {
        let mut kept: Vec<&Section> = self.sections.iter().collect();
        let mut ranks: Vec<u8> = kept.iter().filter_map(|s| Some(s.gives_way?.0)).collect();
        ranks.sort_unstable();
        let mut left_out: Vec<&str> = Vec::new();
        for rank in ranks {
            let lines = self.text_of(&kept).lines().count();
            if lines + usize::from(!left_out.is_empty()) * 2 <= most_lines {
                break;
            }
            let goes = kept.iter().position(|s| s.gives_way.is_some_and(|(r, _)| r == rank));
            if let Some(index) = goes {
                left_out.extend(kept.remove(index).gives_way.map(|(_, name)| name));
            }
        }
        let mut out = self.text_of(&kept);
        if !left_out.is_empty() {
            out.push('\n');
            out.push_str(&paragraph(
                &format!("No room here for {}: {elsewhere}.", left_out.join(", ")),
                "",
                "",
            ));
        }
        out
    }

    fn text_of(&self, sections: &[&Section]) -> String {
        let mut out: String = self.lead.iter().map(|line| paragraph(line, "", "")).collect();
        for section in sections {
            if section.blocks.is_empty() && section.heading.is_empty() {
                continue;
            }
            if !out.is_empty() {
                out.push('\n');
            }
            if !section.heading.is_empty() {
                out.push_str(&paragraph(&section.heading, "", ""));
            }
            section.blocks.iter().for_each(|block| block.text(&mut out));
        }
        out
    }
}

impl Block {
    fn text(&self, out: &mut String) {
        match self {
            Self::Sentence(text) => out.push_str(&paragraph(text, "", "")),
            Self::Noted(text) => out.push_str(&paragraph(text, "", "  ")),
            Self::Items(items) => items.iter().for_each(|text| out.push_str(&paragraph(text, "- ", "  "))),
            Self::Steps(first, steps) => {
                for (number, text) in (*first..).zip(steps) {
                    out.push_str(&paragraph(text, &format!("{number}. "), "   "));
                }
            }
            Self::Table(table) => out.push_str(&table.text()),
            Self::Figure(figure) => {
                if !figure.letters.is_empty() {
                    if !figure.caption.is_empty() {
                        out.push_str(&paragraph(&figure.caption, "", ""));
                    }
                    out.push_str(&figure.letters);
                    if !figure.letters.ends_with('\n') {
                        out.push('\n');
                    }
                }
            }
            Self::Verbatim(lines) => lines.lines().for_each(|line| {
                out.push_str(format!("    {line}").trim_end());
                out.push('\n');
            }),
        }
    }
}

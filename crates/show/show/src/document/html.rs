//! A report as the body of a page.

use std::fmt::Write as _;

use crate::document::{Block, Document, Figure, Section, Table};
use crate::sheet::escaped;

/// Look of a report that stands alone as one file.
const STYLE: &str = "body{font:17px/1.5 system-ui,sans-serif;max-width:46rem;margin:2rem auto;padding:0 1rem;color:#111;background:#fff}\
pre{white-space:pre-wrap;font:15px/1.45 ui-monospace,monospace}figure{margin:1rem 0}svg{width:100%;max-width:30rem;height:auto}\
table{border-collapse:collapse}th,td{text-align:left;padding:.15rem .8rem .15rem 0;vertical-align:top}.number{text-align:right}\
div.scroll{overflow-x:auto}@media print{body{margin:0}}";

impl Document {
    /// The sections, each with its heading (second level); without the verdict, which is the answer of the page.
    #[must_use]
    pub fn html(&self) -> String {
        self.sections.iter().map(Section::html).collect()
    }

    /// One section by its id, with its heading; empty where the report has none of that name.
    #[must_use]
    pub fn section_html(&self, id: &str) -> String {
        self.sections.iter().filter(|s| s.id == id).map(Section::html).collect()
    }

    /// The report as one file that stands alone: no script, nothing from outside.
    #[must_use]
    pub fn page(&self, title: &str, question: &str) -> String {
        let lead: String = self
            .lead
            .iter()
            .map(|l| format!("<p><strong>{}</strong></p>", escaped(l)))
            .collect();
        format!(
            "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\"><title>{}</title><style>{STYLE}</style></head><body><h1>{}</h1>{lead}{}</body></html>\n",
            escaped(title),
            escaped(question),
            self.html()
        )
    }
}

impl Section {
    fn html(&self) -> String {
        if self.blocks.is_empty() {
            return String::new();
        }
        let mut out = String::from("<section>");
        if !self.heading.is_empty() {
            let _ = write!(out, "<h2>{}</h2>", escaped(&self.heading));
        }
        self.blocks.iter().for_each(|block| block.html(&mut out));
        out.push_str("</section>");
        out
    }
}

/// Words with what stands between backticks as something to type.
fn words(text: &str) -> String {
    let piece = |(index, piece): (usize, &str)| match index % 2 {
        1 => format!("<code>{}</code>", escaped(piece)),
        _ => escaped(piece),
    };
    text.split('`').enumerate().map(piece).collect()
}

fn list(out: &mut String, tag: &str, items: &[String]) {
    let items: String = items.iter().map(|text| format!("<li>{}</li>", words(text))).collect();
    let name = tag.split(' ').next().unwrap_or(tag);
    let _ = write!(out, "<{tag}>{items}</{name}>");
}

impl Block {
    fn html(&self, out: &mut String) {
        match self {
            Self::Sentence(text) | Self::Noted(text) => {
                let _ = write!(out, "<p>{}</p>", words(text));
            }
            Self::Items(items) => list(out, "ul", items),
            Self::Steps(first, steps) => list(out, &format!("ol start=\"{first}\""), steps),
            Self::Table(table) => table.html(out),
            Self::Figure(figure) => figure.html(out),
            Self::Verbatim(lines) => {
                let _ = write!(out, "<pre>{}</pre>", escaped(lines));
            }
        }
    }
}

impl Figure {
    fn html(&self, out: &mut String) {
        let caption = escaped(&self.caption);
        let drawing = if self.svg.is_empty() {
            format!("<pre>{}</pre>", escaped(&self.letters))
        } else {
            self.svg.clone()
        };
        let _ = write!(
            out,
            "<figure class=\"picture\">{drawing}<figcaption>{caption}</figcaption></figure>"
        );
    }
}

impl Table {
    fn html(&self, out: &mut String) {
        let class = |right: bool| if right { " class=\"number\"" } else { "" };
        out.push_str("<div class=\"scroll\" tabindex=\"0\"><table class=\"list\"><thead><tr>");
        for column in &self.columns {
            let head = escaped(column.head.trim()).replace('\n', " ");
            let _ = write!(out, "<th scope=\"col\"{}>{head}</th>", class(column.right));
        }
        out.push_str("</tr></thead><tbody>");
        for row in &self.rows {
            out.push_str("<tr>");
            for (index, (cell, column)) in row.iter().zip(&self.columns).enumerate() {
                let (tag, scope) = if index == 0 {
                    ("th", " scope=\"row\"")
                } else {
                    ("td", "")
                };
                let _ = write!(
                    out,
                    "<{tag}{scope}{}>{}</{tag}>",
                    class(column.right),
                    escaped(cell.trim())
                );
            }
            out.push_str("</tr>");
        }
        out.push_str("</tbody></table></div>");
    }
}

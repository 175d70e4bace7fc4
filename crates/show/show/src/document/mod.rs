//! What a report says, once: a verdict, then sections of sentences, lists, tables and figures.
//!
//! Every report makes one [`Document`]; [`Document::text`] sets it in 80 columns, [`Document::html`] as the body of a page,
//! and a page that shows only a part takes [`Document::section_html`]. Nothing is computed here and nothing is parsed back.
//!
//! ```
//! use farhop_show::document::Document;
//!
//! let mut report = Document::new("It holds.");
//! report.section("why", "Why");
//! report.item("the battery is full");
//! assert_eq!(report.text(), "It holds.\n\nWhy\n- the battery is full\n");
//! assert!(report.html().contains("<li>the battery is full</li>"));
//! ```

mod html;
mod table;
mod text;

pub use table::{Column, Table};

/// A report: the verdict and its sections.
#[derive(Clone, Debug, Default)]
pub struct Document {
    lead: Vec<String>,
    sections: Vec<Section>,
}

/// A part of a report with a heading.
#[derive(Clone, Debug)]
struct Section {
    /// By which a page asks for it.
    id: &'static str,
    /// Empty where it goes on without one.
    heading: String,
    blocks: Vec<Block>,
    /// Where room is short: the smallest rank goes first, with the name under which it is said to be missing.
    gives_way: Option<(u8, &'static str)>,
}

/// What stands in a section.
#[derive(Clone, Debug)]
enum Block {
    Sentence(String),
    /// A sentence with a word before it that says what kind it is; further lines stand in.
    Noted(String),
    Items(Vec<String>),
    /// Numbered from the first number on.
    Steps(usize, Vec<String>),
    Table(Table),
    Figure(Figure),
    Verbatim(String),
}

/// A picture for pages, and what stands in its place where only letters can be set.
#[derive(Clone, Debug)]
pub struct Figure {
    /// A drawing as SVG; empty where there is none.
    pub svg: String,
    /// The same in letters, with line ends; empty where there is none.
    pub letters: String,
    /// What is to be seen, and how it is read.
    pub caption: String,
}

impl Document {
    /// A report that begins with its verdict.
    #[must_use]
    pub fn new(verdict: impl Into<String>) -> Self {
        Self {
            lead: vec![verdict.into()],
            sections: Vec::new(),
        }
    }

    /// A further sentence of the verdict.
    pub fn lead(&mut self, sentence: impl Into<String>) {
        self.lead.push(sentence.into());
    }

    /// Begins a section; `id` is the name by which a page asks for it.
    pub fn section(&mut self, id: &'static str, heading: impl Into<String>) {
        self.sections.push(Section {
            id,
            heading: heading.into(),
            blocks: Vec::new(),
            gives_way: None,
        });
    }

    /// Lets the section that was begun last go where room is short: the smallest rank first, `name` in the line that says so.
    pub fn gives_way(&mut self, rank: u8, name: &'static str) {
        if let Some(section) = self.sections.last_mut() {
            section.gives_way = Some((rank, name));
        }
    }

    /// A sentence or several.
    pub fn say(&mut self, text: impl Into<String>) {
        self.push(Block::Sentence(text.into()));
    }

    /// A sentence that begins with what kind it is, such as `Note:` or `Mind:`.
    pub fn note(&mut self, text: impl Into<String>) {
        self.push(Block::Noted(text.into()));
    }

    /// A point of a list.
    pub fn item(&mut self, text: impl Into<String>) {
        if let Some(Block::Items(items)) = self.last() {
            items.push(text.into());
        } else {
            self.push(Block::Items(vec![text.into()]));
        }
    }

    /// Points of a list.
    pub fn items<T: Into<String>>(&mut self, texts: impl IntoIterator<Item = T>) {
        texts.into_iter().for_each(|text| self.item(text));
    }

    /// A numbered step; the numbers go on through the section, whatever stands between.
    pub fn step(&mut self, text: impl Into<String>) {
        if let Some(Block::Steps(_, steps)) = self.last() {
            steps.push(text.into());
            return;
        }
        let blocks = self.sections.last().map_or(&[][..], |s| &s.blocks);
        let before: usize = blocks
            .iter()
            .map(|b| if let Block::Steps(_, s) = b { s.len() } else { 0 })
            .sum();
        self.push(Block::Steps(before + 1, vec![text.into()]));
    }

    /// A table; one without rows is left out.
    pub fn table(&mut self, table: Table) {
        if !table.is_empty() {
            self.push(Block::Table(table));
        }
    }

    /// A figure.
    pub fn figure(&mut self, figure: Figure) {
        self.push(Block::Figure(figure));
    }

    /// Lines of a file, to be taken over letter by letter.
    pub(crate) fn verbatim(&mut self, lines: impl Into<String>) {
        self.push(Block::Verbatim(lines.into()));
    }

    fn last(&mut self) -> Option<&mut Block> {
        self.sections.last_mut()?.blocks.last_mut()
    }

    fn push(&mut self, block: Block) {
        if self.sections.is_empty() {
            self.section("", "");
        }
        if let Some(section) = self.sections.last_mut() {
            section.blocks.push(block);
        }
    }

    /// Takes another report in as a section: its verdict first, then what it says.
    pub(crate) fn absorb(&mut self, id: &'static str, heading: &str, other: Self) {
        self.section(id, heading);
        self.items(other.lead);
        for block in other.sections.into_iter().flat_map(|s| s.blocks) {
            self.push(block);
        }
    }
}

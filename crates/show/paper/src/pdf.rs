//! The sides as a tagged PDF: drawn from SVG, with the fonts embedded, the text selectable, and an order in which it is read aloud.

use std::num::NonZeroU16;
use std::sync::Arc;

use farhop_card::letters::FAMILY;
use farhop_card::page::{Mark, Page, Part, Role};
use farhop_card::svg::picture;
use farhop_earth::UtcTime;
use farhop_earth::clock::{TimeZone, in_zone};
use krilla::geom::Size;
use krilla::metadata::{DateTime, Metadata};
use krilla::page::PageSettings;
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, ContentTag, Identifier, SpanTag, TableHeaderScope, Tag, TagGroup, TagKind, TagTree,
};
use krilla_svg::{SurfaceExt as _, SvgSettings};
use usvg::fontdb::Database;

use crate::fonts::{BOLD, REGULAR};

/// Why no PDF came out; a fault of the program.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PdfError {
    /// A side is no picture.
    #[error("a side cannot be drawn: {0}")]
    Drawing(String),
    /// The sides are no document.
    #[error("the document cannot be written: {0}")]
    Writing(String),
}

/// What the document says of itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct About {
    /// Its title.
    pub title: String,
    /// Who goes: the own callsign; empty where none is stated.
    pub author: String,
    /// When it was made.
    pub made: Option<UtcTime>,
}

/// How a picture is read: with the card's own fonts and no others.
#[must_use]
pub fn options() -> usvg::Options<'static> {
    let mut fonts = Database::new();
    fonts.load_font_data(REGULAR.to_vec());
    fonts.load_font_data(BOLD.to_vec());
    fonts.set_sans_serif_family(FAMILY);
    usvg::Options {
        font_family: FAMILY.to_owned(),
        fontdb: Arc::new(fonts),
        ..usvg::Options::default()
    }
}

/// The sides as one tagged PDF. Equal sides and words about them give equal bytes.
///
/// # Errors
/// A side cannot be drawn or the document cannot be written.
pub fn pdf(pages: &[Page], about: &About) -> Result<Vec<u8>, PdfError> {
    let options = options();
    let mut document = krilla::Document::new();
    document.set_metadata(metadata(about));
    let mut tree = Tree::default();
    for page in pages {
        let (width_pt, height_pt) = (page.size_pt.0 as f32, page.size_pt.1 as f32);
        let no_size = || PdfError::Drawing("it has no size".to_owned());
        let settings = PageSettings::from_wh(width_pt, height_pt).ok_or_else(no_size)?;
        let size = Size::from_wh(width_pt, height_pt).ok_or_else(no_size)?;
        let mut side = document.start_page_with(settings);
        let mut surface = side.surface();
        let draw = |surface: &mut Surface<'_>, marks: &[Mark]| {
            let svg = picture(page.size_pt, marks.iter(), &about.title);
            let drawn = usvg::Tree::from_str(&svg, &options).map_err(|e| PdfError::Drawing(e.to_string()))?;
            surface
                .draw_svg(&drawn, size, SvgSettings::default())
                .ok_or_else(|| PdfError::Drawing("the picture was refused".to_owned()))
        };
        // Everything that nothing is read of lies below the rest.
        surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)));
        let bare = page.parts.iter().filter(|p| p.role == Role::Decoration);
        let bare: Vec<Mark> = page.folds.iter().chain(bare.flat_map(|p| &p.marks)).cloned().collect();
        let drawn = draw(&mut surface, &bare);
        surface.end_tagged();
        drawn?;
        for part in page
            .parts
            .iter()
            .filter(|p| p.role != Role::Decoration && !p.marks.is_empty())
        {
            let id = surface.start_tagged(ContentTag::Span(SpanTag::empty()));
            let drawn = draw(&mut surface, &part.marks);
            surface.end_tagged();
            drawn?;
            tree.add(part, id);
        }
        tree.end_table();
        surface.finish();
        side.finish();
    }
    document.set_tag_tree(tree.finish());
    document.finish().map_err(|e| PdfError::Writing(format!("{e:?}")))
}

fn metadata(about: &About) -> Metadata {
    let mut metadata = Metadata::new()
        .title(about.title.clone())
        .language("en".to_owned())
        .creator("Farhop".to_owned());
    if !about.author.is_empty() {
        metadata = metadata.authors(vec![about.author.clone()]);
    }
    match about.made {
        Some(made) => metadata.creation_date(date(made)),
        None => metadata,
    }
}

fn date(made: UtcTime) -> DateTime {
    let at = in_zone(made, &TimeZone::UTC);
    let whole = |v: i8| v.unsigned_abs();
    DateTime::new(at.year().unsigned_abs())
        .month(whole(at.month()))
        .day(whole(at.day()))
        .hour(whole(at.hour()))
        .minute(whole(at.minute()))
        .second(whole(at.second()))
        .utc_offset_hour(0)
}

/// The order of reading, table by table and row by row.
#[derive(Default)]
struct Tree {
    whole: TagTree,
    table: Option<(usize, TagGroup)>,
    row: Option<(usize, TagGroup)>,
}

impl Tree {
    fn add(&mut self, part: &Part, id: Identifier) {
        let level = |n: u16| Tag::Hn(NonZeroU16::MIN.saturating_add(n - 1), None);
        let leaf = |tag: TagKind| TagGroup::with_children(tag, vec![id.into()]);
        match &part.role {
            Role::Cell { table, row, head } => {
                let cell: TagKind = if *head {
                    Tag::TH(TableHeaderScope::Column).into()
                } else {
                    Tag::TD.into()
                };
                self.cell(*table, *row, leaf(cell));
            }
            Role::Title => self.plain(leaf(level(1).into())),
            Role::Heading => self.plain(leaf(level(2).into())),
            Role::Text | Role::Decoration => self.plain(leaf(Tag::P.into())),
            Role::Figure(words) => self.plain(leaf(Tag::Figure(Some(words.clone())).into())),
        }
    }

    fn plain(&mut self, group: TagGroup) {
        self.end_table();
        self.whole.push(group);
    }

    fn cell(&mut self, table: usize, row: usize, cell: TagGroup) {
        if self.table.as_ref().is_some_and(|(t, _)| *t != table) {
            self.end_table();
        }
        if self.row.as_ref().is_some_and(|(r, _)| *r != row) {
            self.end_row();
        }
        self.table.get_or_insert_with(|| (table, TagGroup::new(Tag::Table)));
        let (_, of) = self.row.get_or_insert_with(|| (row, TagGroup::new(Tag::TR)));
        of.push(cell);
    }

    fn end_row(&mut self) {
        if let (Some((_, row)), Some((_, table))) = (self.row.take(), self.table.as_mut()) {
            table.push(row);
        }
    }

    fn end_table(&mut self) {
        self.end_row();
        if let Some((_, table)) = self.table.take() {
            self.whole.push(table);
        }
    }

    fn finish(mut self) -> TagTree {
        self.end_table();
        self.whole
    }
}

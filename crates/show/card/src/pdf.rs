//! The sides as PDF: drawn from the same SVG, with the fonts embedded and the text selectable.

use std::sync::Arc;

use krilla::geom::Size;
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla_svg::{SurfaceExt as _, SvgSettings};
use usvg::fontdb::Database;

use crate::letters::{BOLD, FAMILY, REGULAR};
use crate::page::Page;
use crate::svg::svg;

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

/// The sides as one PDF. Equal sides give equal bytes: it states no date.
///
/// # Errors
/// A side cannot be drawn or the document cannot be written.
pub fn pdf(pages: &[Page], title: &str) -> Result<Vec<u8>, PdfError> {
    let options = options();
    let mut document = krilla::Document::new();
    document.set_metadata(
        Metadata::new()
            .title(title.to_owned())
            .language("en".to_owned())
            .creator("Farhop".to_owned()),
    );
    for page in pages {
        let tree = usvg::Tree::from_str(&svg(page, title), &options).map_err(|e| PdfError::Drawing(e.to_string()))?;
        let (width_pt, height_pt) = (page.size_pt.0 as f32, page.size_pt.1 as f32);
        let no_size = || PdfError::Drawing("it has no size".to_owned());
        let settings = PageSettings::from_wh(width_pt, height_pt).ok_or_else(no_size)?;
        let size = Size::from_wh(width_pt, height_pt).ok_or_else(no_size)?;
        let mut side = document.start_page_with(settings);
        let mut surface = side.surface();
        surface
            .draw_svg(&tree, size, SvgSettings::default())
            .ok_or_else(|| PdfError::Drawing("the picture was refused".to_owned()))?;
        surface.finish();
        side.finish();
    }
    document.finish().map_err(|e| PdfError::Writing(format!("{e:?}")))
}

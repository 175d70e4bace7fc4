//! The field card as a PDF, and its letters: everything about the card that needs the fonts themselves and a library for PDF. The card
//! as content, layout and drawing stands in `farhop-card`, which needs neither.

pub mod fonts;
mod pdf;

pub use pdf::{About, PdfError, options, pdf};

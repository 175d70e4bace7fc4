//! The field card: sheets to be read in rain and by headlamp without any device.
//!
//! [`Card`] is what stands on it, checked and in words; [`layout::sheets`] finds out on how many sheets; [`sides::sides`] draws them
//! for a browser that prints, `farhop-paper` as a PDF, and [`html::html`] sets the same content for a phone. `docs/guide/card.md` explains the card to its reader.
//!
//! ```
//! use farhop_card::page::Paper;
//!
//! // ISO 216.
//! assert_eq!(Paper::A4.size_mm(), (210.0, 297.0));
//! ```

pub mod clock;
pub mod content;
pub mod html;
pub mod layout;
pub mod letters;
pub mod page;
pub mod qr;
pub mod sides;
mod source;
pub mod svg;

pub use content::Card;
pub use page::Paper;
pub use source::{KeepAway, Source, keep_away};

//! Codes beside each other, each with its light border.

use super::row::{Row, Sizes};
use crate::page::{Mark, Part, Role};
use crate::qr::{QUIET_MODULES, picture};

/// Side of a module, pt: 0.6 mm, and 0.42 mm on a copy at 70 %.
pub(super) const MODULE_PT: f64 = 1.7;

/// Rows of codes over a width in pt; none where a text is too long for any code, which its maker rules out.
pub(super) fn rows(sizes: Sizes<'_>, texts: &[String], width_pt: f64) -> Vec<Row> {
    let intro = "Point a phone's camera at a code: the rows and the list to send as text, no network needed.";
    let mut rows = vec![Row::sentence(sizes.letters, ("", intro), sizes.pt(12.0), 0.0, width_pt)];
    let mut row = Row::default();
    let mut x = 0.0;
    for (k, text) in texts.iter().enumerate() {
        let Some(code) = picture(text) else { continue };
        let quiet_pt = QUIET_MODULES as f64 * MODULE_PT;
        let side_pt = code.side_modules() as f64 * MODULE_PT;
        if x > 0.0 && x + side_pt > width_pt {
            rows.push(std::mem::take(&mut row));
            x = 0.0;
        }
        let words = format!("Code {} of {}: the rows and messages as text", k + 1, texts.len());
        let modules = Mark::Modules {
            at_pt: [x + quiet_pt, quiet_pt],
            module_pt: MODULE_PT,
            rows: code.rows,
        };
        row.parts.push(Part::new(Role::Figure(words), vec![modules]));
        row.height_pt = row.height_pt.max(side_pt);
        x += side_pt;
    }
    if !row.parts.is_empty() {
        rows.push(row);
    }
    rows
}

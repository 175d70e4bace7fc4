//! The text as a picture.

use fast_qr::{ECL, Mode, QRBuilder};

/// Light modules around a code (ISO/IEC 18004).
pub const QUIET_MODULES: usize = 4;

/// The modules of a code.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CodePicture {
    /// Rows of modules, true where dark; no quiet zone.
    pub rows: Vec<Vec<bool>>,
}

impl CodePicture {
    /// Modules a side, quiet zone included.
    #[must_use]
    pub(crate) fn side_modules(&self) -> usize {
        self.rows.len() + 2 * QUIET_MODULES
    }
}

/// The picture of a text in the alphanumeric set with medium correction (15 % of the code may be dirty or wet); none where the
/// text is too long for any code.
#[must_use]
pub fn picture(text: &str) -> Option<CodePicture> {
    let code = QRBuilder::new(text).mode(Mode::Alphanumeric).ecl(ECL::M).build().ok()?;
    let row = |y: usize| code[y].iter().take(code.size).map(|m| m.value()).collect::<Vec<bool>>();
    Some(CodePicture {
        rows: (0..code.size).map(row).collect(),
    })
}

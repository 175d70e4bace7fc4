//! A side of the card as a list of marks in points, y downward from the upper left corner.

use crate::letters::Style;

/// Paper sizes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    /// 210 × 297 mm (ISO 216).
    #[default]
    A4,
    /// 148 × 210 mm (ISO 216).
    A5,
    /// 8.5 × 11 in.
    Letter,
}

/// Points in a millimetre: 72 points are an inch of 25.4 mm.
const PT_PER_MM: f64 = 72.0 / 25.4;

impl Paper {
    /// All sizes.
    pub const ALL: [Self; 3] = [Self::A4, Self::A5, Self::Letter];

    /// Width and height, mm.
    #[must_use]
    pub fn size_mm(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::A5 => (148.0, 210.0),
            Self::Letter => (215.9, 279.4),
        }
    }

    /// Width and height, pt.
    #[must_use]
    pub fn size_pt(self) -> (f64, f64) {
        let (width_mm, height_mm) = self.size_mm();
        (width_mm * PT_PER_MM, height_mm * PT_PER_MM)
    }

    /// Margin on all sides, pt: what common printers leave blank is at most 6 mm.
    #[must_use]
    pub fn margin_pt(self) -> f64 {
        match self {
            Self::A5 => 6.5 * PT_PER_MM,
            Self::A4 | Self::Letter => 9.0 * PT_PER_MM,
        }
    }
}

pub use farhop_show::sheet::Anchor;

/// Thinnest stroke, pt: 0.4 mm outlives a copy of a copy.
pub(crate) const THIN_PT: f64 = 0.4 * PT_PER_MM;

/// Ink: a copy has no greys.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// Letters, wires, tables.
    Black,
    /// Letters on a black ground.
    White,
}

/// What a part of a side is to somebody who has it read aloud.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Role {
    /// The title of a chapter.
    Title,
    /// The heading of a panel.
    Heading,
    /// A sentence.
    Text,
    /// A cell of a table, by numbers that tell tables and rows apart.
    Cell {
        /// Number of the table on its side.
        table: usize,
        /// Number of the row in it.
        row: usize,
        /// It stands above the others.
        head: bool,
    },
    /// A picture, and what it shows in words.
    Figure(String),
    /// Nothing that is read: rules, fold marks.
    Decoration,
}

/// Marks that belong together.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// What they are.
    pub role: Role,
    /// The marks.
    pub marks: Vec<Mark>,
}

impl Part {
    /// Marks in a role.
    #[must_use]
    pub fn new(role: Role, marks: Vec<Mark>) -> Self {
        Self { role, marks }
    }

    /// The part moved, pt.
    #[must_use]
    pub fn moved(mut self, by_pt: [f64; 2]) -> Self {
        self.marks = self.marks.into_iter().map(|m| m.moved(by_pt)).collect();
        self
    }
}

/// One mark.
#[derive(Clone, Debug, PartialEq)]
pub enum Mark {
    /// Letters on one line.
    Text {
        /// Where, pt; y is the line that letters stand on.
        at_pt: [f64; 2],
        /// Which point of the text stands there.
        anchor: Anchor,
        /// Size and weight.
        style: Style,
        /// Ink.
        ink: Ink,
        /// The letters.
        text: String,
    },
    /// A straight stroke.
    Line {
        /// From, pt.
        from_pt: [f64; 2],
        /// To, pt.
        to_pt: [f64; 2],
        /// Width, pt.
        width_pt: f64,
        /// Ink.
        ink: Ink,
        /// Broken.
        broken: bool,
    },
    /// A box with sides along the paper.
    Box {
        /// Upper left corner, pt.
        at_pt: [f64; 2],
        /// Width and height, pt.
        size_pt: [f64; 2],
        /// Ink inside.
        fill: Option<Ink>,
        /// Width of a black outline, pt; 0 for none.
        outline_pt: f64,
    },
    /// A circle.
    Circle {
        /// Centre, pt.
        at_pt: [f64; 2],
        /// Radius, pt.
        radius_pt: f64,
        /// Full rather than an outline.
        full: bool,
    },
    /// The dark modules of a QR code: boxes that touch and make one shape.
    Modules {
        /// Upper left corner of the code, without its quiet zone, pt.
        at_pt: [f64; 2],
        /// Width of a module, pt.
        module_pt: f64,
        /// Rows of modules, true where dark.
        rows: Vec<Vec<bool>>,
    },
}

impl Mark {
    /// Black letters.
    pub fn text(at_pt: [f64; 2], anchor: Anchor, style: Style, text: impl Into<String>) -> Self {
        Self::Text {
            at_pt,
            anchor,
            style,
            ink: Ink::Black,
            text: text.into(),
        }
    }

    /// A black stroke.
    #[must_use]
    pub fn line(from_pt: [f64; 2], to_pt: [f64; 2], width_pt: f64) -> Self {
        Self::Line {
            from_pt,
            to_pt,
            width_pt,
            ink: Ink::Black,
            broken: false,
        }
    }

    /// The mark moved, pt.
    #[must_use]
    pub fn moved(mut self, [dx, dy]: [f64; 2]) -> Self {
        let shift = |p: &mut [f64; 2]| *p = [p[0] + dx, p[1] + dy];
        match &mut self {
            Self::Text { at_pt, .. }
            | Self::Box { at_pt, .. }
            | Self::Circle { at_pt, .. }
            | Self::Modules { at_pt, .. } => {
                shift(at_pt);
            }
            Self::Line { from_pt, to_pt, .. } => {
                shift(from_pt);
                shift(to_pt);
            }
        }
        self
    }
}

/// One side.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// Width and height, pt.
    pub size_pt: (f64, f64),
    /// Margin on all sides that nothing but fold marks enters, pt.
    pub margin_pt: f64,
    /// What stands on it, in the order of reading.
    pub parts: Vec<Part>,
    /// Short lines at the edge that show where to fold; they lie in the margin.
    pub folds: Vec<Mark>,
}

impl Page {
    /// All marks within the margins.
    pub fn marks(&self) -> impl Iterator<Item = &Mark> {
        self.parts.iter().flat_map(|p| &p.marks)
    }
}

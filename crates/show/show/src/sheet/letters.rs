//! How letters stand in a picture.

use crate::sheet::INK;

/// Which end of the letters stands at the point.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Anchor {
    /// They begin there.
    #[default]
    Start,
    /// They lie around it.
    Middle,
    /// They end there.
    End,
}

impl Anchor {
    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Middle => "middle",
            Self::End => "end",
        }
    }
}

/// How letters look.
#[derive(Clone, Copy, Debug)]
pub struct Letters {
    /// Size, user units.
    pub size: f64,
    /// Where they stand.
    pub anchor: Anchor,
    /// Colour.
    pub colour: &'static str,
    /// Half-bold.
    pub strong: bool,
    /// Over a halo of paper, so that they are read above lines.
    pub halo: bool,
}

impl Letters {
    /// Plain letters in ink that begin at the point.
    #[must_use]
    pub fn plain(size: f64) -> Self {
        Self {
            size,
            anchor: Anchor::Start,
            colour: INK,
            strong: false,
            halo: true,
        }
    }

    /// The same without a halo: for many letters on plain paper.
    #[must_use]
    pub fn bare(size: f64) -> Self {
        Self {
            halo: false,
            ..Self::plain(size)
        }
    }

    /// The same around or before the point.
    #[must_use]
    pub fn at(self, anchor: Anchor) -> Self {
        Self { anchor, ..self }
    }

    /// The same in another colour.
    #[must_use]
    pub(crate) fn in_colour(self, colour: &'static str) -> Self {
        Self { colour, ..self }
    }

    /// The same half-bold.
    #[must_use]
    pub fn strong(self) -> Self {
        Self { strong: true, ..self }
    }
}

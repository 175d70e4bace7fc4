//! A measure of an antenna: its key, where it is kept, what it may be, what holds where nothing is said, what it is for.

use crate::limit::{Limit, WIRE_COORDINATE_M, WIRE_HEIGHT_M, WIRE_LENGTH_M};
use crate::words::Choice;

/// Hint for a measure in metres that is missing.
pub const METRES: &str = "In metres; a key ending in _ft is feet.";

/// Where a measure is kept.
pub enum Slot<'a> {
    /// A number in the unit that ends its key.
    Number(&'a mut f64),
    /// A number that the engine finds itself where none is given.
    Maybe(&'a mut Option<f64>),
    /// A whole number.
    Count(&'a mut u32),
    /// A word of a list.
    Word(&'a mut dyn Choice),
    /// Lengths, the shortest first, metres.
    Lengths(&'a mut Vec<f64>),
    /// Straight wires from x, y, z to x, y, z, metres: x east, y north, z up.
    Wires(&'a mut Vec<[f64; 6]>),
}

/// What holds where a file says nothing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Absent {
    /// It must be given; how, says the hint.
    Needed(&'static str),
    /// A usual value in the measure's unit, told to the operator with its reason. Of a list of words, the first.
    Usual(f64, &'static str),
    /// A value in the measure's unit that needs no word, or nothing where nothing is a value.
    Silent(f64),
    /// The same as another measure named before it, and goes on following that one.
    Follows(&'static str),
    /// At first the same as another measure named before it; what it is said to be, and why.
    Like(&'static str, &'static str, &'static str),
}

/// What makes a measure larger or smaller when the antenna hangs a bit otherwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scale {
    /// It does not vary.
    Fixed,
    /// Lengths of wire.
    Length,
    /// Heights.
    Height,
}

/// A knob with which a measure is tried larger or smaller.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Slider {
    /// Height of the high points.
    Height,
    /// Length of the wire.
    Length,
    /// Length of what lies under it; the name for people.
    Under(&'static str),
    /// Lean from upright.
    Lean,
}

/// What a measure is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Purpose {
    /// The word by which it is measured anew on the spot.
    pub said: Option<&'static str>,
    /// How it varies.
    pub scale: Scale,
    /// Whether a higher mast or branch raises it.
    pub raised: bool,
    /// The knob that tries it.
    pub slider: Option<Slider>,
}

const fn purpose(said: Option<&'static str>, scale: Scale, raised: bool, slider: Option<Slider>) -> Purpose {
    Purpose {
        said,
        scale,
        raised,
        slider,
    }
}

/// Nothing is done with it but computing.
pub const PLAIN: Purpose = purpose(None, Scale::Fixed, false, None);
/// Length of the whole wire.
pub const LENGTH: Purpose = purpose(Some("length"), Scale::Length, false, Some(Slider::Length));
/// Diameter of a loop that is carried whole.
pub(crate) const ACROSS: Purpose = purpose(None, Scale::Length, false, None);
/// Height of a level antenna.
pub(crate) const HEIGHT: Purpose = purpose(Some("height"), Scale::Height, true, Some(Slider::Height));
/// Height of something on a stand.
pub(crate) const STAND: Purpose = purpose(Some("height"), Scale::Height, false, Some(Slider::Height));
/// A height that is only stated.
pub(crate) const STATED_HEIGHT: Purpose = purpose(Some("height"), Scale::Height, false, None);
/// Height of the middle.
pub(crate) const APEX: Purpose = purpose(Some("apex"), Scale::Height, true, Some(Slider::Height));
/// Height of the ends, which stay where they are tied.
pub const ENDS: Purpose = purpose(Some("ends"), Scale::Height, false, None);
/// Height of the feed.
pub(crate) const FEED: Purpose = purpose(Some("feed"), Scale::Height, false, None);
/// Height of the far end.
pub(crate) const FAR_END: Purpose = purpose(Some("far end"), Scale::Height, true, Some(Slider::Height));
/// Height of a corner.
pub(crate) const CORNER: Purpose = purpose(Some("corner"), Scale::Height, true, Some(Slider::Height));
/// Height of the foot.
pub(crate) const FOOT: Purpose = purpose(Some("base"), Scale::Height, false, None);
/// Height of the base of a triangle that goes up with its apex.
pub const BASE: Purpose = purpose(Some("base"), Scale::Height, true, None);
/// Length of a mast below the radiator.
pub(crate) const MAST: Purpose = purpose(Some("base"), Scale::Fixed, false, Some(Slider::Height));
/// Height of wires laid low.
pub(crate) const LAID: Purpose = purpose(None, Scale::Height, false, None);
/// Length of a counterpoise.
pub(crate) const COUNTERPOISE: Purpose = purpose(None, Scale::Fixed, false, Some(Slider::Under("Counterpoise")));
/// Length of radials.
pub(crate) const RADIALS: Purpose = purpose(None, Scale::Fixed, false, Some(Slider::Under("Radials")));
/// Lean from upright.
pub(crate) const LEAN: Purpose = purpose(None, Scale::Fixed, false, Some(Slider::Lean));

/// One measure of an antenna.
pub struct Measure<'a> {
    /// The key of the outing file; its ending is the unit.
    pub key: &'static str,
    /// Where it is kept.
    pub slot: Slot<'a>,
    /// What it may be; of a list, each of its numbers.
    pub limit: Limit,
    /// What holds where nothing is said.
    pub absent: Absent,
    /// What it is for.
    pub purpose: Purpose,
    /// Whether a wire at height 0 would lie on the ground, which cannot be computed.
    pub aloft: bool,
}

impl<'a> Measure<'a> {
    /// A measure of a unit of its own.
    #[must_use]
    pub fn new(key: &'static str, slot: Slot<'a>, limit: Limit, absent: Absent) -> Self {
        Self {
            key,
            slot,
            limit,
            absent,
            purpose: PLAIN,
            aloft: false,
        }
    }

    /// A number within a limit.
    #[must_use]
    pub fn number(key: &'static str, value: &'a mut f64, limit: Limit, absent: Absent) -> Self {
        Self::new(key, Slot::Number(value), limit, absent)
    }

    /// A length of wire, metres.
    #[must_use]
    pub fn length(key: &'static str, value_m: &'a mut f64, absent: Absent) -> Self {
        Self::number(key, value_m, WIRE_LENGTH_M, absent)
    }

    /// A height above ground, metres, that may be 0.
    #[must_use]
    pub fn height(key: &'static str, value_m: &'a mut f64, absent: Absent) -> Self {
        Self::number(key, value_m, WIRE_HEIGHT_M, absent)
    }

    /// A height of a wire above ground, metres, above 0.
    #[must_use]
    pub fn aloft(key: &'static str, value_m: &'a mut f64, absent: Absent) -> Self {
        Self {
            aloft: true,
            ..Self::height(key, value_m, absent)
        }
    }

    /// A count from the least to the most.
    #[must_use]
    pub fn count(key: &'static str, value: &'a mut u32, (least, most): (u32, u32), absent: Absent) -> Self {
        let limit = Limit::new(f64::from(least), f64::from(most), "");
        Self::new(key, Slot::Count(value), limit, absent)
    }

    /// A word of a list, usually the first; why that one.
    #[must_use]
    pub fn word(key: &'static str, choice: &'a mut dyn Choice, why: &'static str) -> Self {
        let any = Limit::new(f64::NEG_INFINITY, f64::INFINITY, "");
        Self::new(key, Slot::Word(choice), any, Absent::Usual(0.0, why))
    }

    /// A list of straight wires.
    #[must_use]
    pub fn wires(key: &'static str, wires_m: &'a mut Vec<[f64; 6]>, hint: &'static str) -> Self {
        Self::new(key, Slot::Wires(wires_m), WIRE_COORDINATE_M, Absent::Needed(hint))
    }

    /// The same for a purpose.
    #[must_use]
    pub fn is(self, purpose: Purpose) -> Self {
        Self { purpose, ..self }
    }
}

//! The rows as lists: for the guide, the schema and the edit forms.

use super::row::{About, Row, Section, Shape};
use super::station::AntennaTable;
use super::values::OwnGround;
use crate::conditions::{
    Conditions, Learned, LearnedNoise, LearnedStation, MeasuredNoise, ObservedFoes, ObservedFof2, StatedFlare,
    StatedPolarCap,
};
use crate::kit::{Computer, FeedLine, Kit, Modem, Transceiver, Tuner};
use crate::ladder::Ladder;
use crate::message::Message;
use crate::outing::Header;
use crate::power::{Battery, Converter, Load, Panel, Protection};
use crate::site::Site;
use crate::station::{Channel, Station};
use farhop_gear::{Function, Part};

/// A section with its keys.
pub struct Chapter {
    /// Its name, without numbering.
    pub path: &'static str,
    /// Whether there may be several.
    pub many: bool,
    /// Its keys.
    pub lines: Vec<KeyLine>,
}

/// A key as the guide tells it.
pub struct KeyLine {
    /// What is said of it.
    pub about: &'static About,
    /// What holds when it is left out.
    pub left_out: String,
}

fn chapter<T: Section>(many: bool) -> Chapter {
    let line = |row: &'static Row<T>| KeyLine {
        about: &row.about,
        left_out: match row.about.must {
            Some(_) => row.about.left_out.unwrap_or("must be given").to_owned(),
            None => row.default_words(),
        },
    };
    Chapter {
        path: T::PATH,
        many,
        lines: T::ROWS.iter().map(line).collect(),
    }
}

/// All sections that have rows, in the order of the guide.
#[must_use]
pub fn chapters() -> Vec<Chapter> {
    vec![
        chapter::<Header>(false),
        chapter::<Site>(true),
        chapter::<OwnGround>(false),
        chapter::<Station>(true),
        chapter::<Channel>(true),
        chapter::<AntennaTable>(false),
        chapter::<Message>(true),
        chapter::<Kit>(false),
        chapter::<Transceiver>(false),
        chapter::<FeedLine>(true),
        chapter::<Tuner>(false),
        chapter::<Modem>(false),
        chapter::<Computer>(false),
        chapter::<Battery>(true),
        chapter::<Protection>(false),
        chapter::<Panel>(true),
        chapter::<Converter>(true),
        chapter::<Load>(true),
        chapter::<Part>(true),
        chapter::<Function>(true),
        chapter::<Conditions>(false),
        chapter::<StatedFlare>(true),
        chapter::<StatedPolarCap>(true),
        chapter::<ObservedFof2>(true),
        chapter::<ObservedFoes>(true),
        chapter::<MeasuredNoise>(true),
        chapter::<Learned>(false),
        chapter::<LearnedNoise>(true),
        chapter::<LearnedStation>(true),
        chapter::<Ladder>(true),
    ]
}

/// The keys of a section that the edit form shows.
#[must_use]
pub fn form_keys<T: Section>() -> Vec<&'static About> {
    let all = T::ROWS.iter().map(|row| &row.about);
    all.filter(|about| about.form.is_some()).collect()
}

impl About {
    /// Whether the value is written in quotes, whatever it looks like.
    #[must_use]
    pub fn is_text(&self) -> bool {
        matches!(
            (self.shape)(),
            Shape::Text | Shape::Word(_) | Shape::WordOrTable(..) | Shape::Place
        )
    }
}

//! A row, and what is done with rows.

use farhop_earth::UtcTime;

use super::reader::TableReader;
use crate::check::Check;
use crate::id::{Callsign, Id};
use crate::limits::Limit;

/// What a default bears on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Topic {
    /// The forecast: sky, noise, antennas, stations, messages.
    Forecast,
    /// Charge through the day.
    Energy,
    /// Parts, weak points, packing.
    Kit,
    /// Names and wording only.
    Wording,
}

/// How a value stands in the file.
#[derive(Clone, Debug)]
pub enum Shape {
    /// A number.
    Number,
    /// A whole number.
    Count,
    /// Numbers in a list.
    Numbers,
    /// Pairs of numbers in a list.
    Pairs,
    /// A value and its standard deviation.
    Spread,
    /// A text.
    Text,
    /// Texts in a list.
    Texts,
    /// One of these words.
    Word(Vec<&'static str>),
    /// Some of these words in a list.
    Words(Vec<&'static str>),
    /// True or false.
    Truth,
    /// A date, with or without a time of day.
    Time,
    /// A position.
    Place,
    /// Spans of hours, universal time.
    Hours,
    /// Ids, or lists of ids of which one is enough.
    Needs,
    /// One of these words, or a table of its own with these keys.
    WordOrTable(Vec<&'static str>, Vec<&'static About>),
    /// A table with these keys.
    Table(Vec<&'static About>),
    /// A list of tables with these keys.
    Tables(Vec<&'static About>),
    /// Antennas: their keys hang on their kind.
    Antennas,
}

/// What is said of a key, whatever holds it.
#[derive(Debug)]
pub struct About {
    /// The key.
    pub key: &'static str,
    /// How its value stands in the file.
    pub shape: fn() -> Shape,
    /// What it means, for the guide.
    pub means: &'static str,
    /// What a number may be.
    pub limit: Option<Limit>,
    /// It must be given; the hint says how.
    pub must: Option<&'static str>,
    /// Why its default is what it is; a default with a reason is told to people.
    pub why: Option<&'static str>,
    /// Its default in words, where the value does not say it.
    pub left_out: Option<&'static str>,
    /// What the guide says of a default that follows from other keys.
    pub follows: Option<&'static str>,
    /// What its default bears on, where that differs from its section.
    pub topic: Option<Topic>,
    /// Its name in the edit form; none keeps it out of the form.
    pub form: Option<&'static str>,
    /// Its value names the item in lists of defaults and in errors.
    pub names: bool,
    /// A bare date lasts until the midnight after.
    pub date_ends: bool,
    /// It is there only with some values of the keys above it.
    pub sometimes: bool,
    /// A table that is written between braces, so that errors name it with its keys.
    pub inline: bool,
    /// A value that stands in a list of tables without a table gives this key of one.
    pub bare: Option<&'static str>,
}

/// What a default may follow from besides the keys of its own table.
#[derive(Clone, Debug, Default)]
pub struct Around {
    /// A short name that stands in for a missing one.
    pub nameless: Id,
    /// Number of the table in its list, from 0.
    pub number: usize,
    /// End of the outing.
    pub end: UtcTime,
}

impl Around {
    /// A callsign that stands in for a missing one.
    pub(super) fn nobody(&self) -> Callsign {
        Callsign::new(&format!("Q0X{}", self.number)).unwrap_or_default()
    }
}

/// What came of looking for a key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Found {
    /// Read.
    Given,
    /// There, but not readable; that is reported.
    Broken,
    /// Not there.
    Absent,
}

/// A key of the outing file and the field of `T` that holds it.
pub struct Row<T: 'static> {
    /// What is said of the key.
    pub about: About,
    read: fn(&mut T, &mut dyn TableReader, &About) -> Found,
    usual: Option<fn(&mut T, &Around)>,
    /// Whether the default is worth telling here.
    when: fn(&T) -> bool,
    /// Whether the key exists here.
    only: fn(&T) -> bool,
    shown: fn(&T) -> String,
    check: fn(&T, &mut Check, &About),
}

/// A section of the outing file.
pub trait Section: Default + 'static {
    /// Its name in the file, without numbering: `kit.battery`.
    const PATH: &'static str;
    /// What its defaults bear on.
    const TOPIC: Topic;
    /// Its keys, in the order in which they are read and shown.
    const ROWS: &'static [Row<Self>];
}

impl<T: 'static> Row<T> {
    pub(super) const fn new(
        key: &'static str,
        read: fn(&mut T, &mut dyn TableReader, &About) -> Found,
        shown: fn(&T) -> String,
        check: fn(&T, &mut Check, &About),
        shape: fn() -> Shape,
    ) -> Self {
        Self {
            about: About {
                key,
                shape,
                means: "",
                limit: None,
                must: None,
                why: None,
                left_out: None,
                follows: None,
                topic: None,
                form: None,
                names: false,
                date_ends: false,
                sometimes: false,
                inline: false,
                bare: None,
            },
            read,
            usual: None,
            when: |_| true,
            only: |_| true,
            shown,
            check,
        }
    }

    /// A key that another row reads, or that is read by hand.
    pub(super) const fn beside(key: &'static str, shape: fn() -> Shape) -> Self {
        Self::new(key, |_, _, _| Found::Given, |_| String::new(), |_, _, _| {}, shape)
    }

    pub(super) const fn means(mut self, means: &'static str) -> Self {
        self.about.means = means;
        self
    }

    pub(super) const fn within(mut self, limit: Limit) -> Self {
        self.about.limit = Some(limit);
        self
    }

    pub(super) const fn must(mut self, hint: &'static str) -> Self {
        self.about.must = Some(hint);
        self
    }

    pub(super) const fn why(mut self, why: &'static str) -> Self {
        self.about.why = Some(why);
        self
    }

    pub(super) const fn left_out(mut self, words: &'static str) -> Self {
        self.about.left_out = Some(words);
        self
    }

    pub(super) const fn follows(mut self, words: &'static str) -> Self {
        self.about.follows = Some(words);
        self
    }

    pub(super) const fn topic(mut self, topic: Topic) -> Self {
        self.about.topic = Some(topic);
        self
    }

    pub(super) const fn form(mut self, label: &'static str) -> Self {
        self.about.form = Some(label);
        self
    }

    pub(super) const fn names(mut self) -> Self {
        self.about.names = true;
        self
    }

    pub(super) const fn date_ends(mut self) -> Self {
        self.about.date_ends = true;
        self
    }

    pub(super) const fn inline(mut self) -> Self {
        self.about.inline = true;
        self
    }

    pub(super) const fn bare(mut self, key: &'static str) -> Self {
        self.about.bare = Some(key);
        self
    }

    pub(super) const fn usual(mut self, usual: fn(&mut T, &Around)) -> Self {
        self.usual = Some(usual);
        self
    }

    /// The default is told only where this holds.
    pub(super) const fn when(mut self, when: fn(&T) -> bool) -> Self {
        self.when = when;
        self
    }

    /// The key exists only where this holds.
    pub(super) const fn only(mut self, only: fn(&T) -> bool) -> Self {
        self.only = only;
        self.sometimes()
    }

    /// A key that must be there must be so only with some values of other keys.
    pub(super) const fn sometimes(mut self) -> Self {
        self.about.sometimes = true;
        self
    }

    pub(super) const fn reading(mut self, read: fn(&mut T, &mut dyn TableReader, &About) -> Found) -> Self {
        self.read = read;
        self
    }

    pub(super) const fn checked(mut self, check: fn(&T, &mut Check, &About)) -> Self {
        self.check = check;
        self
    }

    /// Takes the default and says it in words.
    fn take_usual(&self, own: &mut T, around: &Around) -> String {
        if let Some(usual) = self.usual {
            usual(own, around);
        }
        match self.about.left_out {
            Some(words) => words.to_owned(),
            None if matches!(
                (self.about.shape)(),
                Shape::Text | Shape::Word(_) | Shape::WordOrTable(..)
            ) =>
            {
                format!("\"{}\"", (self.shown)(own))
            }
            None => (self.shown)(own),
        }
    }

    /// The default of the row on a blank section, in words; empty where there is none.
    pub(super) fn default_words(&self) -> String
    where
        T: Default,
    {
        match (self.about.follows, self.about.left_out, self.usual) {
            (Some(words), ..) => words.to_owned(),
            (None, None, None) => String::new(),
            _ => self.take_usual(&mut T::default(), &Around::default()),
        }
    }
}

/// Reads a section.
pub fn section<T: Section>(from: &mut dyn TableReader) -> T {
    let mut own = T::default();
    fill(&mut own, from);
    own
}

/// Reads every key of a section into it: what is missing takes its default or is reported.
pub fn fill<T: Section>(own: &mut T, from: &mut dyn TableReader) {
    for row in T::ROWS {
        if !(row.only)(own) {
            continue;
        }
        let about = &row.about;
        let found = (row.read)(own, from, about);
        if found != Found::Given {
            let words = row.take_usual(own, &from.around());
            if found == Found::Absent {
                match (about.must, about.why) {
                    (Some(hint), _) => from.missing(about.key, hint),
                    (None, Some(why)) if (row.when)(own) => {
                        from.default_used(about.key, &words, why, about.topic.unwrap_or(T::TOPIC));
                    }
                    _ => {}
                }
            }
        }
        if about.names && (found == Found::Given || row.usual.is_some()) {
            let unit = about.limit.map_or("", |l| l.unit);
            from.label(format!("{} {unit}", (row.shown)(own)).trim_end());
        }
    }
}

/// Checks every number of a section against its limit.
pub(crate) fn check<T: Section>(c: &mut Check, own: &T) {
    for row in T::ROWS.iter().filter(|row| (row.only)(own)) {
        (row.check)(own, c, &row.about);
    }
}

/// A default as it is told.
pub struct Told {
    /// The value in words.
    pub value: String,
    /// Why this one.
    pub why: &'static str,
    /// What it bears on.
    pub topic: Topic,
}

/// Takes the default of one key; none where there is no such key.
pub fn usual_of<T: Section>(own: &mut T, key: &str) -> Option<Told> {
    let row = T::ROWS.iter().find(|r| r.about.key == key)?;
    Some(Told {
        value: row.take_usual(own, &Around::default()),
        why: row.about.why.unwrap_or_default(),
        topic: row.about.topic.unwrap_or(T::TOPIC),
    })
}

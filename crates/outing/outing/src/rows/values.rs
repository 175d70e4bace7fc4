//! How each type of field is read, shown and checked.

use farhop_earth::{Ground, GroundClass, GroundConstants, Place, UtcTime};

use super::reader::TableReader;
use super::row::{About, Found, Section, Shape, check, section};
use crate::antenna::Antenna;
use crate::check::Check;
use crate::conditions::{Occupancy, Spread};
use crate::hours::DailyHours;
use crate::id::{Callsign, Id};
use crate::kit::TunerKind;
use crate::limits::{self, Limit};
use crate::message::Priority;
use crate::power::Release;
use farhop_earth::units::Units;
use farhop_gear::{Chemistry, LineType, NoiseClass};
use farhop_gear::{Need, PartClass, WeakTo};

/// A type that a key of the file can fill.
pub(crate) trait Value: Sized {
    /// How it stands in the file.
    fn shape() -> Shape;
    /// Reads it; none where it is missing or broken.
    fn read(from: &mut dyn TableReader, about: &About) -> Option<Self>;
    /// In words, for lists of defaults; empty where it has no short form.
    fn shown(&self) -> String {
        String::new()
    }
    /// Checks it against its limit.
    fn check(&self, _c: &mut Check, _about: &About) {}
}

/// Reads a key into a field.
pub(super) fn take<V: Value>(field: &mut V, from: &mut dyn TableReader, about: &About) -> Found {
    let there = from.has(about.key);
    let value = V::read(from, about);
    let found = match (there, &value) {
        (false, _) => Found::Absent,
        (true, None) => Found::Broken,
        (true, Some(_)) => Found::Given,
    };
    if let Some(value) = value {
        *field = value;
    }
    found
}

/// The shape of the field that a function picks.
pub(super) fn shape_of<T, V: Value>(_pick: fn(&T) -> &V) -> Shape {
    V::shape()
}

/// Types that the reader knows by itself.
macro_rules! values {
    ($($type:ty: $shape:ident, $from:ident, $about:ident => $read:expr, $value:ident => $shown:expr;)+) => {$(
        impl Value for $type {
            fn shape() -> Shape {
                Shape::$shape
            }
            fn read($from: &mut dyn TableReader, $about: &About) -> Option<Self> {
                $read
            }
            fn shown(&self) -> String {
                let $value = self;
                $shown
            }
        }
    )+};
}

values! {
    bool: Truth, f, about => f.truth(about.key), v => v.to_string();
    String: Text, f, about => f.text(about.key), v => v.clone();
    Option<String>: Text, f, about => f.text(about.key).map(Some), v => v.clone().unwrap_or_default();
    Vec<String>: Texts, f, about => Some(f.texts(about.key)), v => v.join(", ");
    Id: Text, f, about => f.id(about.key), v => v.to_string();
    Option<Id>: Text, f, about => f.id(about.key).map(Some), _v => String::new();
    Vec<Id>: Texts, f, about => Some(f.ids(about.key)), _v => String::new();
    Callsign: Text, f, about => f.callsign(about.key), v => v.to_string();
    Option<Callsign>: Text, f, about => f.callsign(about.key).map(Some), _v => String::new();
    Place: Place, f, about => f.place(about.key), _v => String::new();
    UtcTime: Time, f, about => f.time(about.key, about.date_ends), _v => String::new();
    Option<UtcTime>: Time, f, about => f.time(about.key, about.date_ends).map(Some), _v => String::new();
    DailyHours: Hours, f, about => Some(f.hours(about.key)), _v => String::new();
    Vec<Need>: Needs, f, about => Some(f.needs(about.key)), _v => String::new();
    Vec<Antenna>: Antennas, f, about => Some(f.antennas(about.key)), _v => String::new();
}

/// Numbers that have a limit.
macro_rules! numbers {
    ($($type:ty: $shape:ident, $from:ident, $about:ident => $read:expr, $value:ident => $number:expr;)+) => {$(
        impl Value for $type {
            fn shape() -> Shape {
                Shape::$shape
            }
            fn read($from: &mut dyn TableReader, $about: &About) -> Option<Self> {
                $read
            }
            fn shown(&self) -> String {
                let $value = self;
                let number: Option<f64> = $number;
                number.map_or_else(String::new, |n| n.to_string())
            }
            fn check(&self, c: &mut Check, about: &About) {
                let $value = self;
                let number: Option<f64> = $number;
                if let (Some(number), Some(limit)) = (number, about.limit) {
                    c.number(about.key, number, limit);
                }
            }
        }
    )+};
}

numbers! {
    // A number that is missing is none that a check lets through.
    f64: Number, f, about => Some(f.number(about.key).unwrap_or(f64::NAN)), v => Some(*v);
    Option<f64>: Number, f, about => f.number(about.key).map(Some), v => *v;
    u32: Count, f, about => f.count(about.key).map(|n| u32::try_from(n).unwrap_or(u32::MAX)), v => Some(f64::from(*v));
    u64: Count, f, about => f.count(about.key), v => Some(*v as f64);
}

impl Value for Vec<f64> {
    fn shape() -> Shape {
        Shape::Numbers
    }

    fn read(from: &mut dyn TableReader, about: &About) -> Option<Self> {
        from.numbers(about.key)
    }

    fn shown(&self) -> String {
        let items: Vec<String> = self.iter().map(f64::to_string).collect();
        format!("[{}]", items.join(", "))
    }

    fn check(&self, c: &mut Check, about: &About) {
        for (i, &number) in self.iter().enumerate() {
            if let Some(limit) = about.limit {
                c.number(&format!("{}[{i}]", about.key), number, limit);
            }
        }
    }
}

/// Smallest standard deviation that a learned number may have, in its own unit.
const LEAST_SD: f64 = 1e-6;

impl Value for Spread {
    fn shape() -> Shape {
        Shape::Spread
    }

    fn read(from: &mut dyn TableReader, about: &About) -> Option<Self> {
        let pair = from.numbers(about.key)?;
        if let [value_own_unit, sd_own_unit] = pair[..] {
            return Some(Self {
                value_own_unit,
                sd_own_unit,
            });
        }
        from.wrong_kind(about.key, "a value and its standard deviation: [1.05, 0.1]");
        None
    }

    fn check(&self, c: &mut Check, about: &About) {
        if let Some(limit) = about.limit {
            c.number(about.key, self.value_own_unit, limit);
            c.number(about.key, self.sd_own_unit, Limit { low: LEAST_SD, ..limit });
        }
    }
}

impl Value for Option<Spread> {
    fn shape() -> Shape {
        Shape::Spread
    }

    fn read(from: &mut dyn TableReader, about: &About) -> Option<Self> {
        Spread::read(from, about).map(Some)
    }

    fn check(&self, c: &mut Check, about: &About) {
        if let Some(spread) = self {
            spread.check(c, about);
        }
    }
}

/// Enums with a word for each variant.
macro_rules! words {
    ($($type:ty),+) => {$(
        impl Value for $type {
            fn shape() -> Shape {
                Shape::Word(Self::WORDS.iter().map(|w| w.0).collect())
            }
            fn read(from: &mut dyn TableReader, about: &About) -> Option<Self> {
                let known = Self::WORDS.map(|w| w.0);
                let number = from.word(about.key, &known)?;
                Self::WORDS.get(number).map(|w| w.1)
            }
            fn shown(&self) -> String {
                let word = Self::WORDS.iter().find(|w| w.1 == *self);
                word.map_or_else(String::new, |w| w.0.to_owned())
            }
        }
    )+};
}

words!(
    Units, NoiseClass, LineType, TunerKind, Chemistry, Release, PartClass, Priority, Occupancy
);

impl Value for Vec<WeakTo> {
    fn shape() -> Shape {
        Shape::Words(WeakTo::WORDS.iter().map(|w| w.0).collect())
    }

    fn read(from: &mut dyn TableReader, about: &About) -> Option<Self> {
        let found = from.words(about.key, &WeakTo::WORDS.map(|w| w.0));
        Some(
            found
                .into_iter()
                .filter_map(|n| Some(WeakTo::WORDS.get(n)?.1))
                .collect(),
        )
    }
}

/// Ground constants as the file gives them.
#[derive(Default)]
pub(super) struct OwnGround {
    eps_r: f64,
    sigma_s_per_m: f64,
}

rows! { OwnGround, "ground", Forecast;
    eps_r => .must("Relative permittivity, for example 13.").within(limits::PERMITTIVITY).means("relative permittivity");
    sigma_s_per_m => .must("Conductivity, for example 0.005.").within(limits::CONDUCTIVITY_S_PER_M)
        .means("conductivity");
}

impl Value for Ground {
    fn shape() -> Shape {
        Shape::WordOrTable(GroundClass::WORDS.iter().map(|w| w.0).collect(), keys::<OwnGround>())
    }

    fn read(from: &mut dyn TableReader, about: &About) -> Option<Self> {
        if from.is_table(about.key) {
            let mut own = OwnGround::default();
            from.table(about.key, &mut |inner| own = section(inner));
            let OwnGround { eps_r, sigma_s_per_m } = own;
            return Some(Self::Own(GroundConstants { eps_r, sigma_s_per_m }));
        }
        let number = from.word(about.key, &GroundClass::WORDS.map(|w| w.0))?;
        GroundClass::WORDS.get(number).map(|w| Self::Class(w.1))
    }

    fn shown(&self) -> String {
        let word = GroundClass::WORDS.iter().find(|w| Self::Class(w.1) == *self);
        word.map_or_else(String::new, |w| w.0.to_owned())
    }

    fn check(&self, c: &mut Check, about: &About) {
        if let &Self::Own(GroundConstants { eps_r, sigma_s_per_m }) = self {
            c.table(about.key, |c| check(c, &OwnGround { eps_r, sigma_s_per_m }));
        }
    }
}

/// What is said of the keys of a section.
pub(super) fn keys<T: Section>() -> Vec<&'static About> {
    T::ROWS.iter().map(|row| &row.about).collect()
}

impl<T: Section> Value for T {
    fn shape() -> Shape {
        Shape::Table(keys::<T>())
    }

    fn read(from: &mut dyn TableReader, about: &About) -> Option<Self> {
        let mut own = None;
        from.table_or_empty(about.key, &mut |inner| own = Some(section(inner)));
        own
    }

    fn check(&self, c: &mut Check, about: &About) {
        if about.inline {
            c.table(about.key, |c| check(c, self));
        } else {
            c.inside(about.key, |c| check(c, self));
        }
    }
}

impl<T: Section> Value for Option<T> {
    fn shape() -> Shape {
        T::shape()
    }

    fn read(from: &mut dyn TableReader, about: &About) -> Option<Self> {
        let mut own = None;
        from.table(about.key, &mut |inner| own = Some(section(inner)));
        own.map(Some)
    }

    fn check(&self, c: &mut Check, about: &About) {
        if let Some(own) = self {
            own.check(c, about);
        }
    }
}

impl<T: Section> Value for Vec<T> {
    fn shape() -> Shape {
        Shape::Tables(keys::<T>())
    }

    fn read(from: &mut dyn TableReader, about: &About) -> Option<Self> {
        let mut list = Vec::new();
        from.tables(about.key, about.bare, &mut |inner| list.push(section(inner)));
        Some(list)
    }

    fn check(&self, c: &mut Check, about: &About) {
        c.each(about.key, self, check);
    }
}

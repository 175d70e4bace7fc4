//! A table of the file as the rows of its keys see it.

use farhop_earth::{Place, UtcTime};
use farhop_outing::rows::{Around, TableReader, Topic};
use farhop_outing::{Antenna, Callsign, DailyHours, Id, Need};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::antenna;
use crate::fields::Fields;
use crate::lists::Listed;
use crate::session::{Session, Spot};
use crate::time::DateMeans;
use crate::values::twin;

/// What the whole file has to say about any of its tables.
#[derive(Clone, Copy)]
pub(crate) struct Whole<'t> {
    /// The antennas of the kit as tables, for sites that hang them differently.
    pub(crate) kit_antennas: &'t [&'t DeTable<'t>],
    /// End of the outing.
    pub(crate) end: UtcTime,
}

/// A table being read.
pub(crate) struct Reader<'a, 't> {
    s: &'a mut Session,
    f: Fields<'t>,
    whole: Whole<'t>,
    number: usize,
    any_key: bool,
}

impl<'a, 't> Reader<'a, 't> {
    pub(crate) fn new(s: &'a mut Session, f: Fields<'t>, whole: Whole<'t>) -> Self {
        Self {
            s,
            f,
            whole,
            number: 0,
            any_key: false,
        }
    }

    /// Reads a table inside this one, then reports the keys that nobody asked for.
    fn inside(&mut self, f: Fields<'t>, number: usize, read: &mut dyn FnMut(&mut dyn TableReader)) {
        let mut inner = Reader {
            number,
            ..Reader::new(self.s, f, self.whole)
        };
        read(&mut inner);
        inner.finish();
    }

    /// Gives a table, if it is there, to whoever reads it without rows.
    pub(crate) fn by_hand(&mut self, key: &str, read: impl FnOnce(&mut Session, Fields<'t>)) {
        if let Some(inner) = self.f.inner(self.s, key) {
            read(self.s, inner);
        }
    }

    /// Remembers that what stands nowhere else stands at the beginning of the file.
    pub(crate) fn mark_whole(&mut self) {
        self.s.mark(String::new(), Spot { source: 0, span: 0..0 });
    }

    /// Reports the keys that nobody asked for.
    pub(crate) fn finish(self) {
        if !self.any_key {
            self.f.finish(self.s);
        }
    }
}

impl TableReader for Reader<'_, '_> {
    fn has(&self, key: &str) -> bool {
        self.f.has(key) || twin(key).is_some_and(|(other, _)| self.f.has(&other))
    }

    fn number(&mut self, key: &str) -> Option<f64> {
        self.f.number(self.s, key)
    }

    fn count(&mut self, key: &str) -> Option<u64> {
        self.f.count(self.s, key)
    }

    fn text(&mut self, key: &str) -> Option<String> {
        self.f.text(self.s, key)
    }

    fn truth(&mut self, key: &str) -> Option<bool> {
        self.f.truth(self.s, key)
    }

    fn word(&mut self, key: &str, known: &[&'static str]) -> Option<usize> {
        self.f.word(self.s, key, &numbered(known))
    }

    fn words(&mut self, key: &str, known: &[&'static str]) -> Vec<usize> {
        self.f.words(self.s, key, &numbered(known))
    }

    fn id(&mut self, key: &str) -> Option<Id> {
        self.f.id(self.s, key)
    }

    fn callsign(&mut self, key: &str) -> Option<Callsign> {
        self.f.callsign(self.s, key)
    }

    fn place(&mut self, key: &str) -> Option<Place> {
        self.f.place(self.s, key)
    }

    fn time(&mut self, key: &str, date_ends: bool) -> Option<UtcTime> {
        let means = if date_ends { DateMeans::End } else { DateMeans::Start };
        self.f.time(self.s, key, means)
    }

    fn hours(&mut self, key: &str) -> DailyHours {
        self.f.hours(self.s, key)
    }

    fn numbers(&mut self, key: &str) -> Option<Vec<f64>> {
        self.f.numbers(self.s, key)
    }

    fn pairs(&mut self, key: &str, wanted: &str) -> Option<Vec<[f64; 2]>> {
        self.f.groups(self.s, key, wanted)
    }

    fn texts(&mut self, key: &str) -> Vec<String> {
        self.f.texts(self.s, key)
    }

    fn ids(&mut self, key: &str) -> Vec<Id> {
        self.f.ids(self.s, key)
    }

    fn needs(&mut self, key: &str) -> Vec<Need> {
        self.f.needs(self.s, key)
    }

    fn antennas(&mut self, key: &str) -> Vec<Antenna> {
        let hung = self.f.path().starts_with("site");
        let tables = self.f.tables(self.s, key).into_iter().enumerate();
        let one = |(i, own)| {
            if hung {
                antenna::hung(self.s, own, self.whole.kit_antennas)
            } else {
                antenna::read(self.s, own, i)
            }
        };
        tables.filter_map(one).collect()
    }

    fn is_table(&self, key: &str) -> bool {
        let value = self.f.table().get(key);
        value.is_some_and(|v| matches!(v.get_ref(), DeValue::Table(_)))
    }

    fn table(&mut self, key: &str, read: &mut dyn FnMut(&mut dyn TableReader)) -> bool {
        let inner = self.f.inner(self.s, key);
        let there = inner.is_some();
        if let Some(inner) = inner {
            self.inside(inner, 0, read);
        }
        there
    }

    fn table_or_empty(&mut self, key: &str, read: &mut dyn FnMut(&mut dyn TableReader)) {
        if self.table(key, read) {
            return;
        }
        let nothing = DeTable::new();
        let spot = self.f.own_spot();
        let empty = Fields::new(&nothing, self.f.path_of(key), spot.span, spot.source);
        let mut inner = Reader::new(self.s, empty, self.whole);
        read(&mut inner);
        inner.finish();
    }

    fn tables(&mut self, key: &str, bare: Option<&'static str>, read: &mut dyn FnMut(&mut dyn TableReader)) {
        for (i, item) in self.f.listed(self.s, key, bare.is_some()).into_iter().enumerate() {
            match (item, bare) {
                (Listed::Table(own), _) => self.inside(own, i, read),
                (Listed::Bare(path, value), Some(bare)) => {
                    let mut table = DeTable::new();
                    table.insert(Spanned::new(value.span(), bare.into()), value.clone());
                    let own = Fields::new(&table, path, value.span(), self.f.own_spot().source);
                    let mut inner = Reader {
                        number: i,
                        ..Reader::new(self.s, own, self.whole)
                    };
                    read(&mut inner);
                    inner.finish();
                }
                (Listed::Bare(..), None) => {}
            }
        }
    }

    fn missing(&mut self, key: &str, hint: &str) {
        self.f.missing(self.s, key, hint);
    }

    fn wrong_kind(&mut self, key: &str, wanted: &str) {
        if let Some(value) = self.f.get(self.s, key) {
            self.f.wrong_kind(self.s, key, value, wanted);
        }
    }

    fn error(&mut self, key: &str, cause: &str, hint: &str) {
        let value = self.f.get(self.s, key);
        let spot = value.map_or_else(|| self.f.own_spot(), |v| self.f.spot_of(v));
        self.s.error(spot, &self.f.path_of(key), cause, hint);
    }

    fn error_here(&mut self, key: &str, cause: &str, hint: &str) {
        self.s.error(self.f.own_spot(), &self.f.path_of(key), cause, hint);
    }

    fn default_used(&mut self, key: &str, value: &str, why: &str, topic: Topic) {
        self.f.default_about(self.s, key, value, why, topic);
    }

    fn label(&mut self, label: &str) {
        self.f.label(label);
    }

    fn any_key(&mut self) {
        self.any_key = true;
    }

    fn around(&self) -> Around {
        Around {
            nameless: self.f.nameless(self.number),
            number: self.number,
            end: self.whole.end,
        }
    }
}

/// Words with their numbers.
fn numbered(known: &[&'static str]) -> Vec<(&'static str, usize)> {
    known.iter().enumerate().map(|(i, word)| (*word, i)).collect()
}

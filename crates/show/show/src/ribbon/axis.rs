//! The axis of time, along which everything is drawn: to the right, or downward.

use farhop_earth::UtcTime;
use farhop_earth::clock::in_zone;

use super::rows::Row;
use crate::reader::Reader;
use crate::sheet::{Anchor, CHANCE, INK, Letters, MUTED, NIGHT, SOFT, Sheet};
use crate::wrap::cut;

/// Which way the hours run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shape {
    /// To the right: a laptop, paper.
    Wide,
    /// Downward: a phone.
    Tall,
}

/// Size of letters, user units: no smaller on a phone of 390 px.
pub(super) const LETTERS: f64 = 13.0;
/// Width of the picture, user units: wide, tall.
const WIDTH: (f64, f64) = (1_000.0, 342.0);
/// Room for the names of rows, or of hours when they run downward.
const NAMES: (f64, f64) = (150.0, 56.0);
/// Height of the legend with the scale.
const LEGEND: f64 = 26.0;
/// Height of a line of the key that names the columns of a tall picture.
const KEY: f64 = 18.0;
/// Room for days and hours above the rows.
const HOURS: f64 = 36.0;
/// Least and greatest length of an hour when hours run downward, and the length that all of them may have together.
const TALL_HOUR: (f64, f64, f64) = (9.0, 24.0, 900.0);
/// Between two written hours at least.
const BETWEEN: (f64, f64) = (26.0, 17.0);

/// A picture in the making on an axis of time.
pub(super) struct Axis {
    pub(super) sheet: Sheet,
    pub(super) shape: Shape,
    from_s: f64,
    until_s: f64,
    /// Where time begins and ends.
    along: (f64, f64),
    /// Where each row begins, and where the last one ends.
    edges: Vec<f64>,
}

impl Axis {
    pub(super) fn new(shape: Shape, (from, until): (UtcTime, UtcTime), rows: &[Row]) -> Self {
        let (from_s, until_s) = (
            from.unix_s() as f64,
            (until.unix_s() as f64).max(from.unix_s() as f64 + 3_600.0),
        );
        let hours = (until_s - from_s) / 3_600.0;
        let mut edges = Vec::new();
        let (width, height, along);
        match shape {
            Shape::Wide => {
                let mut top = LEGEND + HOURS;
                for row in rows {
                    edges.push(top);
                    top += row.height();
                }
                edges.push(top);
                (width, height) = (WIDTH.0, top + 8.0);
                along = (NAMES.0, WIDTH.0 - 14.0);
            }
            Shape::Tall => {
                let top = 2.0 * LEGEND + KEY * rows.len() as f64 + HOURS;
                let hour = (TALL_HOUR.2 / hours).clamp(TALL_HOUR.0, TALL_HOUR.1);
                let each = (WIDTH.1 - NAMES.1 - 8.0) / rows.iter().map(Row::breadth).sum::<f64>().max(1.0);
                let mut left = NAMES.1;
                for row in rows {
                    edges.push(left);
                    left += each * row.breadth();
                }
                edges.push(left);
                (width, height) = (WIDTH.1, top + hour * hours + 14.0);
                along = (top, top + hour * hours);
            }
        }
        let mut axis = Self {
            sheet: Sheet::new(
                width,
                height,
                "The outing along time: night, messages with their calls, charge, place, chances",
            ),
            shape,
            from_s,
            until_s,
            along,
            edges,
        };
        axis.legend();
        axis
    }

    /// Where an instant stands along the axis.
    pub(super) fn at(&self, time: UtcTime) -> f64 {
        let share = (time.unix_s() as f64 - self.from_s) / (self.until_s - self.from_s);
        self.along.0 + share.clamp(0.0, 1.0) * (self.along.1 - self.along.0)
    }

    /// Whether an instant lies on the axis.
    pub(super) fn holds(&self, time: UtcTime) -> bool {
        (self.from_s..=self.until_s).contains(&(time.unix_s() as f64))
    }

    /// A point at a place along the axis and a share of a row, 0 at its foot and 1 at its top.
    pub(super) fn point(&self, along: f64, row: usize, up: f64) -> (f64, f64) {
        let (near, far) = self.row(row);
        match self.shape {
            Shape::Wide => (along, far - 4.0 - up * (far - near - 8.0)),
            Shape::Tall => (near + 3.0 + up * (far - near - 6.0), along),
        }
    }

    fn row(&self, row: usize) -> (f64, f64) {
        let edge = |index: usize| self.edges.get(index).copied().unwrap_or(0.0);
        (edge(row), edge(row + 1))
    }

    /// A box over a span of time and of a row.
    pub(super) fn block(&mut self, (from, until): (f64, f64), row: usize, (low, high): (f64, f64), colour: &str) {
        let (a, b) = (self.point(from, row, low), self.point(until, row, high));
        let (at, size) = corner(a, b);
        self.sheet.block(at, size, colour);
    }

    /// The outline of such a box.
    pub(super) fn frame(&mut self, (from, until): (f64, f64), row: usize, (low, high): (f64, f64), colour: &str) {
        let (a, b) = (self.point(from, row, low), self.point(until, row, high));
        let (at, size) = corner(a, b);
        self.sheet.frame(at, size, colour, 1.2);
    }

    /// A box that nobody can use: hatched.
    pub(super) fn hatch(&mut self, (from, until): (f64, f64), row: usize) {
        let mut strokes = Vec::new();
        let mut at = from;
        while at < until {
            let end = (at + 10.0).min(until);
            strokes.push((self.point(at, row, 0.0), self.point(end, row, 0.45 * (end - at) / 10.0)));
            at += 7.0;
        }
        self.sheet.lines(&strokes, SOFT, 1.4);
    }

    /// Words that begin at a place along the axis, in the middle of a row.
    pub(super) fn words(&mut self, along: f64, row: usize, up: f64, letters: Letters, words: &str) {
        let (x, y) = self.point(along, row, up);
        let shift = if self.shape == Shape::Wide { 4.5 } else { LETTERS };
        self.sheet.text((x, y + shift), letters, words);
    }

    /// The names of a row: beside it, or in the key above.
    pub(super) fn name(&mut self, row: usize, name: &str, more: &str) {
        match self.shape {
            Shape::Wide => {
                let (near, far) = self.row(row);
                let middle = 0.5 * (near + far);
                let letters = Letters::bare(LETTERS);
                if more.is_empty() {
                    self.sheet.text((6.0, middle + 4.5), letters, &cut(name, 20));
                } else {
                    self.sheet.text((6.0, middle - 3.0), letters, &cut(name, 20));
                    self.sheet.text(
                        (6.0, middle + 11.0),
                        Letters::bare(12.0).in_colour(MUTED),
                        &cut(more, 22),
                    );
                }
                self.sheet.line((0.0, near), (self.along.1, near), SOFT, 0.8);
            }
            Shape::Tall => {
                let letter = char::from(b'A' + u8::try_from(row % 26).unwrap_or(0));
                let top = 2.0 * LEGEND + KEY * row as f64 + 12.0;
                let said = if more.is_empty() {
                    name.to_owned()
                } else {
                    format!("{name}, {more}")
                };
                self.sheet
                    .text((6.0, top), Letters::bare(LETTERS).strong(), &letter.to_string());
                self.sheet.text((24.0, top), Letters::bare(LETTERS), &cut(&said, 50));
                let (near, far) = self.row(row);
                let head = Letters::bare(LETTERS).strong().at(Anchor::Middle);
                self.sheet
                    .text((0.5 * (near + far), self.along.0 - 8.0), head, &letter.to_string());
                self.sheet.line((near, self.along.0), (near, self.along.1), SOFT, 0.8);
            }
        }
    }

    /// Night through all rows.
    pub(super) fn nights(&mut self, nights: &[(UtcTime, UtcTime)]) {
        let last = self.edges.last().copied().unwrap_or(0.0);
        for (from, until) in nights {
            let (a, b) = (self.at(*from), self.at(*until));
            match self.shape {
                Shape::Wide => self.sheet.block((a, LEGEND), (b - a, last - LEGEND), NIGHT),
                Shape::Tall => self.sheet.block((0.0, a), (last, b - a), NIGHT),
            }
        }
    }

    /// Days, hours, and a rule at midnight.
    pub(super) fn hours(&mut self, reader: &Reader, (from, until): (UtcTime, UtcTime)) {
        let hour = (self.along.1 - self.along.0) / ((self.until_s - self.from_s) / 3_600.0);
        let between = if self.shape == Shape::Wide {
            BETWEEN.0
        } else {
            BETWEEN.1
        };
        let step = [1, 2, 3, 6, 12, 24]
            .into_iter()
            .find(|s| f64::from(*s) * hour >= between)
            .unwrap_or(24);
        let into_hour =
            i64::from(in_zone(from, &reader.zone).minute()) * 60 + i64::from(in_zone(from, &reader.zone).second());
        let mut at = if into_hour == 0 {
            from
        } else {
            from.add_s(3_600 - into_hour)
        };
        let mut day = String::new();
        while at <= until {
            let local = in_zone(at, &reader.zone);
            let along = self.at(at);
            let today = reader.day(at);
            let fresh = today != day;
            if local.hour() == 0 || fresh {
                self.rule(along, local.hour() == 0);
            }
            match self.shape {
                Shape::Wide => {
                    if fresh && along < self.along.1 - 70.0 {
                        self.sheet
                            .text((along + 2.0, LEGEND + 14.0), Letters::bare(LETTERS).strong(), &today);
                    }
                    if i32::from(local.hour()) % step == 0 {
                        let letters = Letters::bare(12.0).at(Anchor::Middle).in_colour(MUTED);
                        self.sheet
                            .text((along, LEGEND + 30.0), letters, &format!("{:02}", local.hour()));
                    }
                }
                Shape::Tall => {
                    if fresh {
                        let words = today.rsplit_once(' ').map_or(today.as_str(), |(day, _)| day);
                        self.sheet
                            .text((4.0, along + 4.5), Letters::bare(LETTERS).strong(), words);
                    } else if i32::from(local.hour()) % step == 0 {
                        let letters = Letters::bare(12.0).in_colour(MUTED);
                        self.sheet
                            .text((18.0, along + 4.5), letters, &format!("{:02}", local.hour()));
                    }
                }
            }
            day = today;
            at = at.add_s(3_600);
        }
    }

    fn rule(&mut self, along: f64, midnight: bool) {
        let last = self.edges.last().copied().unwrap_or(0.0);
        let width = if midnight { 1.2 } else { 0.6 };
        match self.shape {
            Shape::Wide => self.sheet.line((along, LEGEND + 18.0), (along, last), SOFT, width),
            Shape::Tall => self.sheet.line((NAMES.1, along), (last, along), SOFT, width),
        }
    }

    /// The line for now.
    pub(super) fn now(&mut self, now: UtcTime, hm: &str) {
        let along = self.at(now);
        let last = self.edges.last().copied().unwrap_or(0.0);
        let letters = Letters::plain(LETTERS).strong();
        match self.shape {
            Shape::Wide => {
                self.sheet.dashed((along, LEGEND + 16.0), (along, last), INK, 1.8);
                let (anchor, shift) = if along > 900.0 {
                    (Anchor::End, -5.0)
                } else {
                    (Anchor::Start, 5.0)
                };
                self.sheet
                    .text((along + shift, last - 4.0), letters.at(anchor), &format!("now {hm}"));
            }
            Shape::Tall => {
                self.sheet.dashed((NAMES.1 - 8.0, along), (last, along), INK, 1.8);
                self.sheet
                    .text((last, along - 4.0), letters.at(Anchor::End), &format!("now {hm}"));
            }
        }
    }

    /// Scale and legend, before anything else.
    fn legend(&mut self) {
        let mut x = 6.0;
        for (step, percent) in [(0, "0"), (2, "33"), (4, "66"), (6, "100 %")] {
            let height = 4.0 + 2.4 * step as f64;
            self.sheet.block((x, 20.0 - height), (12.0, height), CHANCE[step]);
            self.sheet
                .text((x + 15.0, 20.0), Letters::bare(12.0).in_colour(MUTED), percent);
            x += 40.0;
        }
        let letters = Letters::bare(12.0).in_colour(MUTED);
        let words = "taller, darker: likelier";
        self.sheet.text((x + 16.0, 20.0), letters, words);
        let (x, y) = if self.shape == Shape::Wide {
            (x + 180.0, 0.0)
        } else {
            (6.0, LEGEND)
        };
        self.sheet.block((x, y + 8.0), (14.0, 12.0), NIGHT);
        self.sheet.text((x + 19.0, y + 19.0), letters, "night");
        for line in 0..3 {
            let left = x + 70.0 + 5.0 * f64::from(line);
            self.sheet.line((left, y + 20.0), (left + 6.0, y + 9.0), SOFT, 1.2);
        }
        self.sheet
            .text((x + 92.0, y + 19.0), letters, "closed, or nobody there");
        self.sheet.line((x + 236.0, y + 7.0), (x + 236.0, y + 21.0), INK, 2.4);
        self.sheet.text((x + 242.0, y + 19.0), letters, "deadline");
    }

    pub(super) fn finished(self) -> String {
        self.sheet.finished()
    }
}

fn corner(a: (f64, f64), b: (f64, f64)) -> ((f64, f64), (f64, f64)) {
    ((a.0.min(b.0), a.1.min(b.1)), ((a.0 - b.0).abs(), (a.1 - b.1).abs()))
}

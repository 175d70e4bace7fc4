//! The table of hours: what to try now.

use super::row::{Row, Sizes, boxed, dots, dots_pt, hatched};
use crate::content::{Call, HourLine, HourRow, HourTable};
use crate::letters::Style;
use crate::page::{Anchor, Mark, Part, Role, THIN_PT};

/// Width of the strip that is hatched at night, pt.
const STRIP_PT: f64 = 9.0;
/// Room beside letters in a cell, pt.
const SIDE_PT: f64 = 5.0;
/// Room above and below letters in a cell, pt.
const PAD_PT: f64 = 2.5;
/// What stands above the columns.
const HEADS: [&str; 4] = ["NOW IS", "1 CALL", "2 AFTER 10 MIN", "3 THEN"];
/// Width of the first call over that of the others (dimensionless).
const FIRST_WIDER: f64 = 1.14;

/// The table as rows: its head, which stands on each side again, and its lines.
pub(super) struct Laid {
    pub(super) head: Row,
    pub(super) rows: Vec<Row>,
}

/// Measures of the columns.
struct Columns<'a> {
    sizes: Sizes<'a>,
    width_pt: f64,
    /// Left edges of time and calls, and the right edge, pt.
    edges_pt: [f64; 5],
    /// From the left of each call's cell to the decimal point, pt.
    point_pt: [f64; 3],
    /// Callsigns stand beside the frequency; below it where one does not fit.
    beside: bool,
    /// Nothing runs over the edge of its cell.
    fits: bool,
    /// What the frequencies are.
    told: String,
    table: usize,
}

pub(super) fn laid(sizes: Sizes<'_>, table: &HourTable, number: usize, width_pt: f64) -> Laid {
    // Letters of the table stop growing where callsigns would no longer stand beside their frequencies, or cells would run over.
    let tried: Vec<Columns<'_>> = sizes
        .smaller()
        .map(|s| Columns::new(s, table, number, width_pt))
        .collect();
    let beside = tried.iter().position(|c| c.fits && c.beside);
    let fits = beside.or(tried.iter().position(|c| c.fits));
    let chosen = fits.unwrap_or(tried.len() - 1);
    let columns = &tried[chosen];
    let mut count = 0;
    let rows = table.lines.iter().map(|line| {
        count += 1;
        columns.line(line, count)
    });
    let rows = rows.collect();
    Laid {
        head: columns.head(),
        rows,
    }
}

fn frequency_style(sizes: &Sizes<'_>, place: usize) -> Style {
    Style::bold(sizes.pt(if place == 0 { 23.0 } else { 20.0 }))
}

fn callsign_style(sizes: &Sizes<'_>, place: usize) -> Style {
    Style::bold(sizes.pt(if place == 0 { 16.0 } else { 14.0 }))
}

fn time_style(sizes: &Sizes<'_>) -> Style {
    Style::bold(sizes.pt(18.0))
}

impl<'a> Columns<'a> {
    fn new(sizes: Sizes<'a>, table: &HourTable, number: usize, width_pt: f64) -> Self {
        let letters = sizes.letters;
        let time = |r: &HourRow| letters.width_pt(&r.local, time_style(&sizes));
        let usual_pt = letters.width_pt("Wed 23–24 UTC", sizes.text());
        let least_pt = usual_pt.max(letters.width_pt(HEADS[0], sizes.strong()));
        let time_pt = STRIP_PT + 2.0 * SIDE_PT + table.rows().map(time).fold(least_pt, f64::max);
        let other_pt = (width_pt - time_pt) / (2.0 + FIRST_WIDER);
        let first_pt = FIRST_WIDER * other_pt;
        let edges_pt = [
            0.0,
            time_pt,
            time_pt + first_pt,
            time_pt + first_pt + other_pt,
            width_pt,
        ];
        let mut this = Self {
            sizes,
            width_pt,
            edges_pt,
            point_pt: [0.0; 3],
            beside: true,
            fits: true,
            told: table.dial.told(),
            table: number,
        };
        for place in 0..3 {
            let calls: Vec<&Call> = table.rows().filter_map(|r| r.calls.get(place)).collect();
            let style = frequency_style(&sizes, place);
            let whole = |c: &&Call| letters.width_pt(whole_part(&c.khz), style);
            this.point_pt[place] = SIDE_PT + calls.iter().map(whole).fold(0.0, f64::max);
            let ends = |c: &&Call| {
                let rest = c.khz.get(whole_part(&c.khz).len()..).unwrap_or_default();
                this.point_pt[place]
                    + letters.width_pt(rest, style)
                    + this.gap_pt()
                    + letters.width_pt(&c.callsign, callsign_style(&sizes, place))
            };
            let room_pt = this.cell_pt(place) - 2.0;
            this.beside &= calls.iter().all(|c| ends(c) + SIDE_PT <= room_pt);
            let strong = sizes.strong();
            let widest = |c: &&Call| {
                let rest = c.khz.get(whole_part(&c.khz).len()..).unwrap_or_default();
                let freq_pt = this.point_pt[place] + letters.width_pt(rest, style);
                let name_pt = SIDE_PT + letters.width_pt(&c.callsign, callsign_style(&sizes, place));
                let box_pt = letters.width_pt("W", strong) + 0.5 * strong.size_pt;
                let signs_pt = dots_pt(strong.size_pt) + box_pt + letters.width_pt(&c.compass, sizes.text());
                freq_pt.max(name_pt).max(SIDE_PT + signs_pt + 2.0 * this.gap_pt())
            };
            let head_pt = SIDE_PT + letters.width_pt(HEADS[place + 1], strong);
            this.fits &= calls.iter().map(widest).fold(head_pt, f64::max) <= room_pt;
        }
        this
    }

    fn gap_pt(&self) -> f64 {
        self.sizes.pt(5.0)
    }

    fn cell_pt(&self, place: usize) -> f64 {
        self.edges_pt[place + 2] - self.edges_pt[place + 1]
    }

    fn role(&self, row: usize, head: bool) -> Role {
        Role::Cell {
            table: self.table,
            row,
            head,
        }
    }

    fn head(&self) -> Row {
        let style = self.sizes.strong();
        let left = [STRIP_PT + SIDE_PT, SIDE_PT, SIDE_PT, SIDE_PT];
        let cell = |k: usize| {
            let at = [self.edges_pt[k] + left[k], style.baseline_pt()];
            Part::new(self.role(0, true), vec![Mark::text(at, Anchor::Start, style, HEADS[k])])
        };
        let heads = Row {
            height_pt: style.line_pt(),
            parts: (0..4).map(cell).collect(),
        };
        self.legend()
            .with_below(heads)
            .with_below(Row::rule(self.width_pt, 2.2))
    }

    /// What the signs mean.
    fn legend(&self) -> Row {
        let style = self.sizes.text();
        let letters = self.sizes.letters;
        let size_pt = style.size_pt;
        let mut marks = Vec::new();
        let (mut x, mut line) = (0.0, 0);
        let middle_pt = |line: usize| line as f64 * style.line_pt() + style.baseline_pt();
        let signs = [
            (None, self.told.as_str()),
            (None, "Degrees: on the compass."),
            (Some(3), "likely"),
            (Some(2), "about even"),
            (Some(1), "unlikely"),
            (Some(0), "very unlikely"),
            (Some(9), "night"),
        ];
        for (sign, words) in signs {
            let sign_pt = if sign.is_some() { dots_pt(size_pt) + 3.0 } else { 0.0 };
            let wide_pt = sign_pt + letters.width_pt(words, style);
            if x > 0.0 && x + wide_pt > self.width_pt {
                (x, line) = (0.0, line + 1);
            }
            let y = middle_pt(line);
            match sign {
                Some(9) => marks.extend(hatched([x, y - 0.7 * size_pt], [dots_pt(size_pt) - 3.0, 0.8 * size_pt])),
                Some(full) => marks.extend(dots(full, [x, y - 0.33 * size_pt], size_pt)),
                None => {}
            }
            marks.push(Mark::text([x + sign_pt, y], Anchor::Start, style, words));
            x += wide_pt + 1.1 * size_pt;
        }
        Row::of(Role::Text, (line + 1) as f64 * style.line_pt() + 2.0, marks)
    }

    fn line(&self, line: &HourLine, number: usize) -> Row {
        match line {
            HourLine::Day { day, zone } => {
                let size_pt = self.sizes.pt(14.0);
                Row::sentence(self.sizes.letters, (day, zone), size_pt, 0.0, self.width_pt)
                    .with_below(Row::rule(self.width_pt, THIN_PT))
            }
            HourLine::Note(words) => {
                let size_pt = self.sizes.pt(12.0);
                Row::sentence(self.sizes.letters, (words, ""), size_pt, 0.0, self.width_pt)
                    .with_below(Row::rule(self.width_pt, THIN_PT))
            }
            HourLine::Row(row) => self.row(row, number),
        }
    }

    fn row(&self, row: &HourRow, number: usize) -> Row {
        let first = frequency_style(&self.sizes, 0);
        let text = self.sizes.text();
        let own_line_pt = if self.beside {
            0.0
        } else {
            callsign_style(&self.sizes, 0).line_pt()
        };
        let utc = self.utc(row);
        let time_pt = time_style(&self.sizes).line_pt() + utc.len() as f64 * text.line_pt();
        let call_pt = 1.08 * first.size_pt + own_line_pt + text.line_pt();
        let height_pt = 2.0 * PAD_PT + call_pt.max(time_pt);
        let mut parts = vec![self.time(row, number, height_pt)];
        for place in 0..3 {
            parts.push(match row.calls.get(place) {
                Some(call) => self.call(call, place, number, height_pt),
                None => self.none(row.calls.is_empty(), place, number),
            });
        }
        let y = height_pt;
        let mut rules = vec![Mark::line([0.0, y], [self.width_pt, y], THIN_PT)];
        for x in self.edges_pt.iter().skip(1).take(2) {
            rules.push(Mark::line([*x, 0.0], [*x, y], 2.2));
        }
        parts.push(Part::new(Role::Decoration, rules));
        Row {
            height_pt: height_pt + THIN_PT,
            parts,
        }
    }

    /// The universal time of a row in as many lines as it needs.
    fn utc(&self, row: &HourRow) -> Vec<String> {
        let room_pt = self.edges_pt[1] - STRIP_PT - SIDE_PT - 2.0;
        self.sizes.letters.wrapped(&row.utc, self.sizes.text(), room_pt)
    }

    fn time(&self, row: &HourRow, number: usize, height_pt: f64) -> Part {
        let (local, utc) = (time_style(&self.sizes), self.sizes.text());
        let mut marks = Vec::new();
        for (from, to) in &row.night {
            let at = [0.5, from * height_pt];
            marks.extend(hatched(at, [STRIP_PT - 2.0, (to - from) * height_pt]));
        }
        let x = STRIP_PT + SIDE_PT;
        let y = PAD_PT + local.baseline_pt();
        marks.push(Mark::text([x, y], Anchor::Start, local, row.local.as_str()));
        let lines = self.utc(row);
        for (k, words) in lines.iter().enumerate() {
            let up = (lines.len() - k) as f64 * utc.line_pt();
            let y = height_pt - PAD_PT - up + utc.baseline_pt();
            marks.push(Mark::text([x, y], Anchor::Start, utc, words.as_str()));
        }
        Part::new(self.role(number, false), marks)
    }

    fn call(&self, call: &Call, place: usize, number: usize, height_pt: f64) -> Part {
        let letters = self.sizes.letters;
        let (freq, name, text) = (
            frequency_style(&self.sizes, place),
            callsign_style(&self.sizes, place),
            self.sizes.text(),
        );
        let left = self.edges_pt[place + 1];
        let strong = self.sizes.strong();
        // Points of one column stand below each other.
        let x = left + self.point_pt[place] - letters.width_pt(whole_part(&call.khz), freq);
        let y = PAD_PT + 0.86 * frequency_style(&self.sizes, 0).size_pt;
        let mut marks = vec![Mark::text([x, y], Anchor::Start, freq, call.khz.as_str())];
        let after = x + letters.width_pt(&call.khz, freq) + self.gap_pt();
        let bottom = height_pt - PAD_PT - text.line_pt() + text.baseline_pt();
        if self.beside {
            marks.push(Mark::text([after, y], Anchor::Start, name, call.callsign.as_str()));
        } else {
            let y = bottom - text.line_pt();
            marks.push(Mark::text(
                [left + SIDE_PT, y],
                Anchor::Start,
                name,
                call.callsign.as_str(),
            ));
        }
        let mut x = left + SIDE_PT;
        marks.extend(dots(call.dots(), [x, bottom - 0.33 * text.size_pt], text.size_pt));
        x += dots_pt(text.size_pt) + self.gap_pt();
        let (letter, wide_pt) = boxed(letters, call.antenna, [x, bottom], strong);
        marks.extend(letter);
        x += wide_pt + self.gap_pt();
        marks.push(Mark::text([x, bottom], Anchor::Start, text, call.compass.as_str()));
        Part::new(self.role(number, false), marks)
    }

    fn none(&self, alone: bool, place: usize, number: usize) -> Part {
        let style = self.sizes.strong();
        let at = [self.edges_pt[place + 1] + SIDE_PT, PAD_PT + style.baseline_pt()];
        let words = match (alone, place) {
            (true, 0) => "no call has a chance",
            // The words of the first cell reach into the others.
            (true, _) => return Part::new(self.role(number, false), Vec::new()),
            (false, _) => "–",
        };
        Part::new(
            self.role(number, false),
            vec![Mark::text(at, Anchor::Start, style, words)],
        )
    }
}

/// The figures before the point.
fn whole_part(khz: &str) -> &str {
    khz.split_once('.').map_or(khz, |(whole, _)| whole)
}

//! Charge through time in letters.

use farhop_plan::power::{Doing, Mode};

use crate::energy::EnergyReport;
use farhop_earth::clock::{in_zone, local_day};

/// Columns of the chart; the labels beside it take the rest of 80.
const WIDTH: usize = 72;
/// Rows of the chart, each a tenth of the charge.
const ROWS: usize = 10;
/// Heights of the sun, low to high.
const BARS: [char; 5] = ['▁', '▃', '▅', '▆', '█'];

impl EnergyReport<'_> {
    /// The chart: band `░`, median `●`, reserve `┄`, the hour to stop `│`; below it sun, sending, what is done, and the time.
    pub(super) fn chart(&self) -> String {
        let mut out = String::new();
        for row in (0..ROWS).rev() {
            let label = format!("{:>4} % ", 10 * (row + 1));
            let cells: String = (0..WIDTH).map(|column| self.cell(row, column)).collect();
            out.push_str(&format!("{label}{}\n", cells.trim_end()));
        }
        self.line(&mut out, "sun", |s, column| s.sun_mark(column));
        self.line(&mut out, "call", |s, column| s.call_mark(column));
        self.line(&mut out, "day", |s, column| s.day_mark(column));
        out.push_str(&format!("{:7}{}\n", "", self.hour_marks().trim_end()));
        out
    }

    fn line(&self, out: &mut String, name: &str, mark: impl Fn(&Self, usize) -> char) {
        let cells: String = (0..WIDTH).map(|column| mark(self, column)).collect();
        out.push_str(&format!("{name:<7}{}\n", cells.trim_end()));
    }

    /// From when to when a column stands for, s after the start.
    fn span(&self, column: usize) -> (f64, f64) {
        let width_s = self.forecast.input().duration_s / WIDTH as f64;
        (column as f64 * width_s, (column + 1) as f64 * width_s)
    }

    fn middle(&self, column: usize) -> f64 {
        let (from_s, to_s) = self.span(column);
        0.5 * (from_s + to_s)
    }

    fn cell(&self, row: usize, column: usize) -> char {
        let share = self.forecast.share_at(self.middle(column));
        let row_of = |share: f64| ((share * ROWS as f64).ceil() as i64 - 1).clamp(0, ROWS as i64 - 1);
        let here = row as i64;
        if row_of(share.p50) == here {
            return '●';
        }
        if (row_of(share.p10)..=row_of(share.p90)).contains(&here) {
            return '░';
        }
        let (from_s, to_s) = self.span(column);
        if self.stop_s().is_some_and(|s| from_s <= s && s < to_s) {
            return '│';
        }
        if row_of(self.reserve_charge()) == here {
            '┄'
        } else {
            ' '
        }
    }

    fn sun_mark(&self, column: usize) -> char {
        let elevation_deg = self
            .forecast
            .moment(self.middle(column))
            .map_or(-90.0, |m| m.sun_elevation_deg);
        if elevation_deg < 0.0 {
            return ' ';
        }
        let step = (elevation_deg / 90.0 * BARS.len() as f64) as usize;
        BARS.get(step).copied().unwrap_or('█')
    }

    fn call_mark(&self, column: usize) -> char {
        let (from_s, to_s) = self.span(column);
        let sends = self
            .forecast
            .messages
            .iter()
            .any(|m| m.call.send_s < to_s && m.call.end_s > from_s);
        if sends { '▮' } else { ' ' }
    }

    fn day_mark(&self, column: usize) -> char {
        let middle_s = self.middle(column);
        let now = self
            .forecast
            .segments
            .iter()
            .find(|s| s.start_s <= middle_s && middle_s < s.end_s);
        match now.map(|s| s.doing) {
            Some(Doing::Day(Mode::Way)) => '→',
            Some(Doing::Day(Mode::Asleep)) => 'z',
            Some(Doing::Day(Mode::Watch)) => 'l',
            Some(_) => 'w',
            None => ' ',
        }
    }

    /// Marks of time: the hour, and at a new day its name, where there is room.
    fn hour_marks(&self) -> String {
        let mut cells = vec![' '; WIDTH];
        let mut free_from = 0;
        let mut last_day = String::new();
        for column in 0..WIDTH {
            let at = in_zone(self.forecast.at(self.span(column).0), &self.reader.zone);
            let before = in_zone(
                self.forecast.at(self.span(column).0 - self.span(1).0),
                &self.reader.zone,
            );
            let turns = column == 0 || at.hour() / 6 != before.hour() / 6 || at.date() != before.date();
            let day = local_day(self.forecast.at(self.span(column).0), &self.reader.zone);
            let label = match (day == last_day, column) {
                (true, _) => at.strftime("%H").to_string(),
                (false, 0) => format!("{day} {}", at.strftime("%H")),
                (false, _) => day.clone(),
            };
            let length = label.chars().count();
            if !turns || column < free_from || column + length > WIDTH {
                continue;
            }
            for (cell, letter) in cells.iter_mut().skip(column).zip(label.chars()) {
                *cell = letter;
            }
            free_from = column + length + 1;
            last_day = day;
        }
        cells.into_iter().collect()
    }
}

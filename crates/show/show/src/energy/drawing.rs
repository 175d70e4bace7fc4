//! The charge line as a picture: sun above, charge with its band, the hour to stop, blocks for what draws below.

use farhop_plan::power::{Doing, EnergyForecast, Segment, Spread3};

use crate::energy::EnergyReport;
use crate::energy::words::percent;
use crate::sheet::{Anchor, Fill, INK, Letters, MUTED, NIGHT, SOFT, SUN, Sheet, TINT, thinned};
use farhop_earth::clock::{in_zone, local_day};

const SUN_TOP: f64 = 112.0;
const SUN_BASE: f64 = 162.0;
const CHARGE_TOP: f64 = 178.0;
const CHARGE_BASE: f64 = 398.0;
const BLOCKS_TOP: f64 = 440.0;
/// A gap between two blocks that no eye sees, in units of the picture.
const UNSEEN: f64 = 0.5;
/// Height of the strongest block.
const BLOCK_HEIGHT: f64 = 17.0;
/// Columns of letters in a line of the head.
const HEAD_COLUMNS: usize = 108;
/// Columns of the name of a load.
const NAME_COLUMNS: usize = 22;
/// Draws below this are not shown, Wh over the outing.
const WORTH_SHOWING_WH: f64 = 0.05;

impl EnergyReport<'_> {
    /// The picture with its head, as SVG: stands by itself.
    #[must_use]
    pub fn drawing(&self) -> String {
        Drawn {
            report: self,
            before: None,
            look: Look::WHOLE,
        }
        .picture()
    }

    /// The picture without its head, to stand below a title.
    #[must_use]
    pub fn drawing_below_title(&self) -> String {
        Drawn {
            report: self,
            before: None,
            look: Look::BELOW_TITLE,
        }
        .picture()
    }

    /// The picture below a title, or the narrow one, with the charge of another schedule as a broken line behind it: what it was before.
    #[must_use]
    pub fn drawing_beside(&self, before: &EnergyForecast, narrow: bool) -> String {
        Drawn {
            report: self,
            before: Some(before),
            look: if narrow { Look::NARROW } else { Look::BELOW_TITLE },
        }
        .picture()
    }

    /// The same for a narrow screen or column: names stand above what they name.
    #[must_use]
    pub fn drawing_narrow(&self) -> String {
        Drawn {
            report: self,
            before: None,
            look: Look::NARROW,
        }
        .picture()
    }
}

/// Where things stand, user units.
#[derive(Clone, Copy)]
struct Look {
    width: f64,
    left: f64,
    right: f64,
    /// Height of a row of blocks.
    block: f64,
    /// From where the picture is shown; what lies above is left out.
    top: f64,
    /// Names above the blocks instead of beside them.
    narrow: bool,
    /// Most marks of time.
    marks: f64,
}

impl Look {
    const WHOLE: Self = Self {
        width: 900.0,
        left: 214.0,
        right: 868.0,
        block: 24.0,
        top: 0.0,
        narrow: false,
        marks: 13.0,
    };
    const BELOW_TITLE: Self = Self {
        top: SUN_TOP - 12.0,
        ..Self::WHOLE
    };
    const NARROW: Self = Self {
        width: 350.0,
        left: 50.0,
        right: 340.0,
        block: 36.0,
        top: SUN_TOP - 18.0,
        narrow: true,
        marks: 5.0,
    };
}

/// A report as it is drawn.
struct Drawn<'a> {
    report: &'a EnergyReport<'a>,
    before: Option<&'a EnergyForecast>,
    look: Look,
}

impl Drawn<'_> {
    fn picture(&self) -> String {
        let rows = self.block_rows();
        let look = self.look;
        let height = BLOCKS_TOP + look.block * rows.len() as f64 + 26.0;
        let (width, top) = (look.width, look.top);
        let shown = height - top;
        let mut out = Sheet::from_top(top, width, shown, "Charge through the outing");
        if look.top == 0.0 {
            self.head(&mut out);
        }
        self.nights(&mut out, height - 20.0);
        self.sun(&mut out);
        self.times(&mut out);
        self.charge(&mut out);
        self.marks(&mut out, height - 20.0);
        for (index, row) in rows.iter().enumerate() {
            self.blocks(&mut out, BLOCKS_TOP + look.block * index as f64, row);
        }
        out.finished()
    }

    fn x(&self, time_s: f64) -> f64 {
        self.look.left
            + (self.look.right - self.look.left) * (time_s / self.report.forecast.input().duration_s).clamp(0.0, 1.0)
    }

    fn head(&self, out: &mut Sheet) {
        text(
            out,
            (24.0, 36.0),
            (20.0, Anchor::Start),
            "How long does the battery last?",
        );
        let mut lines: Vec<String> = vec![String::new()];
        for word in self.report.verdict().split_whitespace() {
            let full = lines
                .last()
                .is_some_and(|l| l.chars().count() + 1 + word.chars().count() > HEAD_COLUMNS);
            if full {
                lines.push(String::new());
            }
            if let Some(line) = lines.last_mut() {
                if !line.is_empty() {
                    line.push(' ');
                }
                line.push_str(word);
            }
        }
        for (index, line) in lines.iter().take(2).enumerate() {
            text(out, (24.0, 62.0 + 20.0 * index as f64), (14.0, Anchor::Start), line);
        }
    }

    /// Night, shaded behind everything.
    fn nights(&self, out: &mut Sheet, base: f64) {
        let dark: Vec<bool> = self
            .report
            .forecast
            .moments
            .iter()
            .map(|m| m.sun_elevation_deg < -0.833)
            .collect();
        let mut first = 0;
        for run in dark.chunk_by(|a, b| a == b) {
            let time = |k: usize| self.report.forecast.moments.get(k).map_or(f64::INFINITY, |m| m.time_s);
            let (from, to) = (self.x(time(first)), self.x(time(first + run.len())));
            if run[0] {
                out.block((from, SUN_TOP), (to - from, base - SUN_TOP), NIGHT);
            }
            first += run.len();
        }
    }

    fn sun(&self, out: &mut Sheet) {
        let (left, right) = (self.look.left, self.look.right);
        let mut points = vec![(left, SUN_BASE)];
        for moment in &self.report.forecast.moments {
            let height = (SUN_BASE - SUN_TOP) * (moment.sun_elevation_deg / 90.0).max(0.0);
            points.push((self.x(moment.time_s), SUN_BASE - height));
        }
        let last_deg = self
            .report
            .forecast
            .moments
            .last()
            .map_or(0.0, |m| m.sun_elevation_deg.max(0.0));
        points.push((right, SUN_BASE - (SUN_BASE - SUN_TOP) * last_deg / 90.0));
        points.push((right, SUN_BASE));
        out.faint(&points, Fill::faint(SUN, 0.45));
        out.line((self.look.left, SUN_BASE), (self.look.right, SUN_BASE), SUN, 1.0);
        let (at, anchor) = if self.look.narrow {
            ((self.look.left, SUN_TOP - 4.0), Anchor::Start)
        } else {
            ((self.look.left - 10.0, SUN_BASE - 4.0), Anchor::End)
        };
        text(out, at, (13.0, anchor), "height of the sun");
    }

    /// Marks of time below the charge, every three, six or more hours.
    fn times(&self, out: &mut Sheet) {
        let duration_h = self.report.forecast.input().duration_s / 3_600.0;
        let every_h = [3, 6, 12, 24, 72]
            .into_iter()
            .find(|h| duration_h / f64::from(*h) <= self.look.marks)
            .unwrap_or(120);
        let mut hour_s = 0.0;
        let first = in_zone(self.report.forecast.start, &self.report.reader.zone);
        let past_s = 60.0 * f64::from(first.minute()) + f64::from(first.second());
        if past_s > 0.0 {
            hour_s += 3_600.0 - past_s;
        }
        let mut last_day = String::new();
        while hour_s <= self.report.forecast.input().duration_s {
            let at = self.report.forecast.at(hour_s);
            let local = in_zone(at, &self.report.reader.zone);
            let of_year = i32::from(local.day_of_year()) * 24 + i32::from(local.hour());
            if of_year % every_h == 0 {
                let x = self.x(hour_s);
                out.line((x, CHARGE_BASE), (x, CHARGE_BASE + 5.0), INK, 1.0);
                text(
                    out,
                    (x, CHARGE_BASE + 19.0),
                    (12.0, Anchor::Middle),
                    &local.strftime("%H:%M").to_string(),
                );
                let day = local_day(at, &self.report.reader.zone);
                if day != last_day && x < self.look.right - 60.0 {
                    text(out, (x, CHARGE_BASE + 34.0), (12.0, Anchor::Middle), &day);
                    last_day = day;
                }
            }
            hour_s += 3_600.0;
        }
    }

    fn charge(&self, out: &mut Sheet) {
        for tenth in [0, 25, 50, 75, 100] {
            let y = y_of(f64::from(tenth) / 100.0);
            out.line((self.look.left, y), (self.look.right, y), SOFT, 0.7);
            text(
                out,
                (self.look.left - 10.0, y + 4.0),
                (13.0, Anchor::End),
                &format!("{tenth} %"),
            );
        }
        if !self.look.narrow {
            text(out, (24.0, CHARGE_TOP + 4.0), (13.0, Anchor::Start), "charge");
        }
        let times = &self.report.forecast.outcome.times_s;
        let shares = self.report.forecast.share();
        let point = |(time_s, share): (&f64, f64)| (self.x(*time_s), y_of(share));
        let curve = |pick: fn(&Spread3) -> f64| -> Vec<(f64, f64)> {
            thinned(times.iter().zip(shares.iter().map(pick)).map(point))
        };
        let mut band = curve(|s| s.p90);
        band.extend(curve(|s| s.p10).into_iter().rev());
        out.faint(&band, Fill::faint(TINT, 0.25));
        self.each_battery(out);
        if let Some(before) = self.before {
            let was = times.iter().map(|t| (self.x(*t), y_of(before.share_at(*t).p50)));
            out.broken(&thinned(was), MUTED, 1.8);
        }
        out.stroke(&curve(|s| s.p50), TINT, 2.5);
    }

    /// Where there are several batteries, each by itself, thin and named at its end.
    fn each_battery(&self, out: &mut Sheet) {
        let forecast = &self.report.forecast;
        let sources = &forecast.input().sources;
        if sources.len() < 2 {
            return;
        }
        for (index, source) in sources.iter().enumerate() {
            let times = &forecast.outcome.times_s;
            let share = |t: &f64| (self.x(*t), y_of(forecast.share_of(index, *t).p50));
            let points = thinned(times.iter().map(share));
            out.stroke(&points, MUTED, 1.0);
            if let Some(middle) = points.get(points.len() * (index + 1) / (sources.len() + 1)) {
                let name: String = source.id.chars().take(NAME_COLUMNS).collect();
                text(out, (middle.0, middle.1 - 5.0), (12.0, Anchor::Middle), &name);
            }
        }
    }

    /// The reserve across, the hour to stop upright, the charge at the end in figures.
    fn marks(&self, out: &mut Sheet, base: f64) {
        let y = y_of(self.report.reserve_charge());
        out.dashed((self.look.left, y), (self.look.right, y), INK, 1.0);
        let reserve = format!(
            "reserve: {} % of what is usable",
            percent(self.report.forecast.input().reserve_share)
        );
        text(out, (self.look.left + 6.0, y - 5.0), (12.0, Anchor::Start), &reserve);
        let end = self.report.forecast.end_share();
        // Above the line, or below it where it runs along the top.
        let y = y_of(end.p50);
        let label_y = if y < CHARGE_TOP + 24.0 {
            y + 20.0
        } else {
            (y - 8.0).min(CHARGE_BASE - 6.0)
        };
        text(
            out,
            (self.look.right - 4.0, label_y),
            (14.0, Anchor::End),
            &format!("{} % left", percent(end.p50)),
        );
        let stop = self.report.stop_s().map(|s| (s, "stop sending"));
        let below = self
            .report
            .forecast
            .below_reserve_s
            .map(|s| (s, "one case in ten below the reserve"));
        if let Some((time_s, words)) = stop.or(below) {
            let x = self.x(time_s);
            out.line((x, CHARGE_TOP), (x, base), INK, 1.6);
            let (anchor, dx) = if x > 0.5 * (self.look.left + self.look.right) {
                (Anchor::End, -6.0)
            } else {
                (Anchor::Start, 6.0)
            };
            let label = format!("{words}: {}", self.report.moment(time_s));
            text(out, (x + dx, CHARGE_TOP + 14.0), (13.0, anchor), &label);
        }
    }

    /// What draws, the largest first: index of the load and Wh. Calls come as their own row at the end.
    fn block_rows(&self) -> Vec<(Option<usize>, String)> {
        let energies = self.report.forecast.nominal_wh();
        let mut rows: Vec<(usize, f64)> = energies
            .into_iter()
            .enumerate()
            .filter(|(_, wh)| *wh >= WORTH_SHOWING_WH)
            .collect();
        rows.sort_by(|a, b| b.1.total_cmp(&a.1));
        let named = rows.into_iter().map(|(index, wh)| {
            let id = self
                .report
                .forecast
                .input()
                .loads
                .get(index)
                .map_or("", |l| l.id.as_str());
            let name: String = self.report.load_name(id).chars().take(NAME_COLUMNS).collect();
            let most_w = draws_of(&self.report.forecast.segments, Some(index)).fold(0.0, f64::max);
            (Some(index), format!("{name} {wh:.1} Wh, {most_w:.1} W"))
        });
        named.chain([(None, "messages".to_owned())]).collect()
    }

    fn blocks(&self, out: &mut Sheet, top: f64, (load, label): &(Option<usize>, String)) {
        let (at, anchor) = if self.look.narrow {
            ((self.look.left, top + 14.0), Anchor::Start)
        } else {
            ((self.look.left - 10.0, top + 16.0), Anchor::End)
        };
        out.line(
            (self.look.left, top + self.look.block - 3.0),
            (self.look.right, top + self.look.block - 3.0),
            SOFT,
            0.5,
        );
        let segments = &self.report.forecast.segments;
        let most_w = draws_of(segments, *load).fold(1e-9, f64::max);
        let mut spans: Vec<(f64, f64, f64)> = Vec::new();
        for (segment, draw_w) in segments.iter().zip(draws_of(segments, *load)) {
            let strength = match load {
                Some(_) => draw_w / most_w,
                None => f64::from(matches!(segment.doing, Doing::Send(_))),
            };
            if strength <= 0.0 {
                continue;
            }
            let (from, to) = (self.x(segment.start_s), self.x(segment.end_s));
            match spans.last_mut() {
                // As strong, and nothing to be seen between them: one block.
                Some(last) if (last.2 - strength).abs() < 1e-3 && from - last.1 < UNSEEN => last.1 = to,
                _ => spans.push((from, to, strength)),
            }
        }
        for (from, to, strength) in spans {
            let height = BLOCK_HEIGHT * strength;
            let place = (from, top + self.look.block - 3.0 - height);
            out.tinted(
                place,
                ((to - from).max(1.2), height),
                Fill::faint(TINT, 0.35 + 0.6 * strength),
            );
        }
        text(out, at, (12.0, anchor), label);
    }
}

/// What a load draws in each segment, W; nothing without a load.
fn draws_of(segments: &[Segment], load: Option<usize>) -> impl Iterator<Item = f64> + '_ {
    segments
        .iter()
        .map(move |s| load.and_then(|k| s.draws_w.get(k).copied()).unwrap_or(0.0))
}

fn y_of(share: f64) -> f64 {
    CHARGE_BASE - (CHARGE_BASE - CHARGE_TOP) * share.clamp(0.0, 1.0)
}

/// Letters over a halo.
fn text(out: &mut Sheet, at: (f64, f64), (size, anchor): (f64, Anchor), words: &str) {
    out.text(at, Letters::plain(size).at(anchor), words);
}

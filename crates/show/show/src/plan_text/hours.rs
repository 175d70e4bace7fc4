//! Hour by hour: one line a station, shades by chance, or the percent on request.

use std::fmt::Write as _;

use farhop_earth::UtcTime;
use farhop_plan::Chance;
use farhop_plan::station_strip::StationStrip;

use super::PlanText;
use crate::document::{Document, Figure};
use crate::plan_view::is_night;
use farhop_earth::clock::in_zone;

impl PlanText<'_> {
    pub(super) fn strips(&self, doc: &mut Document) {
        let hours = self.all_hours();
        if hours.is_empty() {
            return;
        }
        let what = self.plan.bottom.map_or("a link".to_owned(), |b| {
            format!("\"{}\" in one call", self.message_name(b.message))
        });
        let table = Table { percent: self.percent };
        doc.section("hours", format!("Hour by hour: {what}, {}", table.legend()));
        doc.gives_way(3, "the hours");
        let mut lines = String::new();
        let out = &mut lines;
        let mut told: Option<Day> = None;
        let mut whole_days = 0;
        for day in hours.chunk_by(|a, b| self.reader.day(*a) == self.reader.day(*b)) {
            let Some(first) = day.first() else { continue };
            let this = self.day_of(day);
            if let Some(like) = told.as_ref().filter(|t| t.like(&this)) {
                table.line(out, &self.reader.day(*first), &format!("the same as {}", like.name));
                continue;
            }
            let hours = day
                .iter()
                .map(|t| in_zone(*t, &self.reader.zone).strftime("%H").to_string());
            table.line(out, &self.reader.day(*first), &table.row(hours));
            if day.iter().any(|t| self.dark(*t)) {
                let night = day.iter().map(|t| if self.dark(*t) { "▪" } else { "" }.to_owned());
                table.line(out, "night", &table.row(night));
            }
            if whole_days > 0 && (whole_days + 1) * self.plan.station_strips.len() > MOST_ROWS {
                table.line(
                    out,
                    if self.percent { "any" } else { "any station" },
                    &table.row(self.any(day).map(|c| table.mark(c))),
                );
                continue;
            }
            whole_days += 1;
            for strip in &self.plan.station_strips {
                let at = |time: &UtcTime| strip.hours.iter().find(|h| h.at == *time).map(|h| h.chance);
                let marks = day.iter().map(|time| table.mark(at(time)));
                table.line(out, &self.station_name(strip), &table.row(marks));
            }
            told = Some(this);
        }
        doc.figure(Figure {
            svg: String::new(),
            letters: lines,
            caption: String::new(),
        });
    }

    fn day_of(&self, day: &[UtcTime]) -> Day {
        let hour = |t: &UtcTime| i64::from(in_zone(*t, &self.reader.zone).hour());
        let of = |strip: &StationStrip| {
            let at = |t: &UtcTime| strip.hours.iter().find(|h| h.at == *t);
            day.iter()
                .filter_map(|t| Some((hour(t), i64::from(at(t)?.chance.percent()))))
                .collect()
        };
        Day {
            name: day.first().map_or_else(String::new, |t| self.reader.day(*t)),
            stations: self.plan.station_strips.iter().map(of).collect(),
        }
    }

    /// The best of all stations through a day; none where nobody is there.
    fn any(&self, day: &[UtcTime]) -> impl Iterator<Item = Option<Chance>> {
        let strips = &self.plan.station_strips;
        day.iter().map(move |time| {
            let chances = strips.iter().filter_map(|s| s.hours.iter().find(|h| h.at == *time));
            chances
                .map(|h| h.chance)
                .max_by(|a, b| a.probability().total_cmp(&b.probability()))
        })
    }

    fn station_name(&self, strip: &StationStrip) -> String {
        let Some(station) = self.outing.stations.get(strip.station) else {
            return String::new();
        };
        if self.percent {
            return station.callsign.to_string();
        }
        format!("{} {}", station.callsign, station.name)
    }

    fn all_hours(&self) -> Vec<UtcTime> {
        let all = self
            .plan
            .station_strips
            .iter()
            .flat_map(|s| s.hours.iter().map(|h| h.at));
        let set: std::collections::BTreeSet<UtcTime> = all.collect();
        set.into_iter().collect()
    }

    fn dark(&self, time: UtcTime) -> bool {
        self.outing.sites.first().is_some_and(|site| is_night(site.place, time))
    }
}

/// Lines for stations on all days together; further days have one line for all stations.
const MOST_ROWS: usize = 9;
/// Days differ when an hour differs by more than this, percentage points: less than a tenth cannot be read from the table.
const SAME_POINTS: i64 = 10;

/// The percentages of a day by station and hour of the day.
struct Day {
    name: String,
    stations: Vec<std::collections::BTreeMap<i64, i64>>,
}

impl Day {
    /// Whether every hour of another day stands here too, with nearly the same chance.
    fn like(&self, other: &Self) -> bool {
        let pairs = self.stations.iter().zip(&other.stations);
        let same = |(hour, percent): (&i64, &i64), mine: &std::collections::BTreeMap<i64, i64>| {
            mine.get(hour).is_some_and(|m| (m - percent).abs() <= SAME_POINTS)
        };
        pairs
            .into_iter()
            .all(|(mine, theirs)| theirs.iter().all(|entry| same(entry, mine)))
    }
}

/// Shades by the lowest percent that each stands for.
const SHADES: [(u8, char); 4] = [(75, '█'), (50, '▓'), (25, '▒'), (5, '░')];

/// How an hour is written.
#[derive(Clone, Copy)]
struct Table {
    percent: bool,
}

impl Table {
    fn legend(self) -> &'static str {
        if self.percent {
            "in percent"
        } else {
            "░ 5, ▒ 25, ▓ 50, █ 75 % or more"
        }
    }

    /// Characters of an hour, and of the names before them: a whole day stays within 80.
    fn widths(self) -> (usize, usize) {
        if self.percent { (3, 8) } else { (2, 18) }
    }

    fn mark(self, chance: Option<Chance>) -> String {
        let Some(percent) = chance.map(Chance::percent) else {
            return String::new();
        };
        if self.percent {
            return percent.min(99).to_string();
        }
        let shade = SHADES.iter().find(|(low, _)| percent >= *low);
        shade.map_or_else(|| "·".to_owned(), |(_, block)| block.to_string().repeat(2))
    }

    fn row(self, marks: impl Iterator<Item = String>) -> String {
        let (hour, _) = self.widths();
        marks.map(|mark| format!("{mark:<hour$}")).collect()
    }

    fn line(self, out: &mut String, name: &str, row: &str) {
        let (_, names) = self.widths();
        let name: String = name.chars().take(names - 1).collect();
        let _ = writeln!(out, "{name:<names$}{}", row.trim_end());
    }
}

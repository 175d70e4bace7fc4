//! Hour by hour: one line a station, two characters an hour.

use std::fmt::Write as _;

use farhop_earth::UtcTime;
use farhop_plan::Chance;
use farhop_plan::station_strip::StationStrip;

use super::PlanText;
use crate::plan_view::is_night;
use crate::wrap::paragraph;
use farhop_earth::clock::{in_zone, local_day};

impl PlanText<'_> {
    pub(super) fn strips(&self, out: &mut String) {
        let hours = self.all_hours();
        if hours.is_empty() {
            return;
        }
        let what = self.plan.bottom.map_or("a link".to_owned(), |b| {
            format!("\"{}\" in one call", self.message_name(b.message))
        });
        let head = format!("Hour by hour: {what}, in tenths (9 is 90 % or more)");
        out.push_str(&paragraph(&head, "", ""));
        let mut told: Option<Day> = None;
        let mut whole_days = 0;
        for day in hours.chunk_by(|a, b| local_day(*a, &self.zone) == local_day(*b, &self.zone)) {
            let Some(first) = day.first() else { continue };
            let this = self.day_of(day);
            if let Some(like) = told.as_ref().filter(|t| t.like(&this)) {
                let _ = writeln!(out, "{:<18}the same as {}", local_day(*first, &self.zone), like.name);
                continue;
            }
            let marks: String = day
                .iter()
                .map(|t| format!("{:<2}", in_zone(*t, &self.zone).strftime("%H")))
                .collect();
            let _ = writeln!(out, "{:<18}{marks}", local_day(*first, &self.zone));
            let night: String = day.iter().map(|t| if self.dark(*t) { "▪ " } else { "  " }).collect();
            if night.trim().is_empty() {
                // No line for a day without night.
            } else {
                let _ = writeln!(out, "{:<18}{}", "night", night.trim_end());
            }
            if whole_days > 0 && (whole_days + 1) * self.plan.station_strips.len() > MOST_ROWS {
                let _ = writeln!(out, "{:<18}{}", "any station", self.any(day).trim_end());
                continue;
            }
            whole_days += 1;
            for strip in &self.plan.station_strips {
                let _ = writeln!(out, "{:<18}{}", self.station_name(strip), digits(strip, day).trim_end());
            }
            told = Some(this);
        }
        out.push('\n');
    }

    fn day_of(&self, day: &[UtcTime]) -> Day {
        let hour = |t: &UtcTime| i64::from(in_zone(*t, &self.zone).hour());
        let of = |strip: &StationStrip| {
            let at = |t: &UtcTime| strip.hours.iter().find(|h| h.at == *t);
            day.iter()
                .filter_map(|t| Some((hour(t), i64::from(at(t)?.chance.percent()))))
                .collect()
        };
        Day {
            name: day.first().map_or_else(String::new, |t| local_day(*t, &self.zone)),
            stations: self.plan.station_strips.iter().map(of).collect(),
        }
    }

    /// The best of all stations through a day.
    fn any(&self, day: &[UtcTime]) -> String {
        let best = |time: &UtcTime| {
            let strips = self.plan.station_strips.iter();
            let chances = strips.filter_map(|s| s.hours.iter().find(|h| h.at == *time).map(|h| h.chance));
            chances.max_by(|a, b| a.probability().total_cmp(&b.probability()))
        };
        let one = |time: &UtcTime| best(time).map_or("  ".to_owned(), |chance| format!("{} ", tenth(chance)));
        day.iter().map(one).collect()
    }

    fn station_name(&self, strip: &StationStrip) -> String {
        let Some(station) = self.outing.stations.get(strip.station) else {
            return String::new();
        };
        let label = format!("{} {}", station.callsign, station.name);
        label.chars().take(17).collect()
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

/// The hours of a day as tenths, two characters an hour; a dot where the chance is below 5 %, a blank where nobody is there.
fn digits(strip: &StationStrip, day: &[UtcTime]) -> String {
    let at = |time: &UtcTime| strip.hours.iter().find(|h| h.at == *time).map(|h| h.chance);
    day.iter()
        .map(|time| at(time).map_or("  ".to_owned(), |chance| format!("{} ", tenth(chance))))
        .collect()
}

fn tenth(chance: Chance) -> char {
    let percent = chance.percent();
    if percent < 5 {
        return '·';
    }
    char::from_digit(u32::from(percent / 10).min(9), 10).unwrap_or('·')
}

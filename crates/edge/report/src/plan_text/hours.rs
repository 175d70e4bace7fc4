//! Hour by hour: one line a station, two characters an hour.

use std::fmt::Write as _;

use farhop_earth::UtcTime;
use farhop_plan::Chance;
use farhop_plan::station_strip::StationStrip;

use super::PlanText;
use crate::clock::{in_zone, local_day};
use crate::plan_view::is_night;

impl PlanText<'_> {
    pub(super) fn strips(&self, out: &mut String) {
        let hours = self.all_hours();
        if hours.is_empty() {
            return;
        }
        out.push_str("Hour by hour: the best chance to each station, in tenths (9 is 90 % or more)\n");
        for day in hours.chunk_by(|a, b| local_day(*a, &self.zone) == local_day(*b, &self.zone)) {
            let Some(first) = day.first() else { continue };
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
            for strip in &self.plan.station_strips {
                let _ = writeln!(out, "{:<18}{}", self.station_name(strip), digits(strip, day).trim_end());
            }
        }
        out.push('\n');
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

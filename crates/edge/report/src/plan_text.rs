//! A plan as text of at most 80 columns, read from the top down.

use std::fmt::Write as _;

use farhop_earth::UtcTime;
use farhop_forecast::Chance;
use farhop_forecast::alternatives::{Alternative, Difference};
use farhop_forecast::plan::Plan;
use farhop_forecast::station_strip::StationStrip;
use farhop_forecast::window::Window;
use farhop_outing::Outing;
use jiff::tz::TimeZone;

use crate::clock::{in_zone, local_day, local_hm, utc_hm, zone_word};
use crate::numbers::kilometres;
use crate::plan_view::{RouteView, Viewer, is_night};
use crate::words;
use crate::wrap::paragraph;

/// What the text is made from.
pub struct PlanText<'a> {
    /// The outing.
    pub outing: &'a Outing,
    /// The plan.
    pub plan: &'a Plan,
    /// Zone in which people read times.
    pub zone: TimeZone,
    /// Feet and miles instead of metres and kilometres.
    pub imperial: bool,
    /// Defaults worth telling.
    pub defaults: Vec<String>,
}

impl PlanText<'_> {
    /// The verdict in one sentence.
    #[must_use]
    pub fn verdict(&self) -> String {
        let Some(best) = self.plan.windows.first() else {
            return format!(
                "{}: no window. No station is likely to be reached in these days with this kit (every chance is below 10 %).",
                self.outing.header.name
            );
        };
        let route = self.viewer().route(&best.route);
        format!(
            "{} on {} MHz from {} to {} ({}): {}.",
            self.span(best),
            route.freq_mhz,
            route.site_name,
            route.callsign,
            route.station_name,
            best.chance
        )
    }

    /// The whole text.
    #[must_use]
    pub fn text(&self) -> String {
        let mut out = paragraph(&self.verdict(), "", "");
        out.push('\n');
        self.windows(&mut out);
        self.strips(&mut out);
        self.changes(&mut out);
        self.basis(&mut out);
        self.cautions(&mut out);
        out
    }

    fn viewer(&self) -> Viewer<'_> {
        Viewer {
            outing: self.outing,
            plan: self.plan,
        }
    }

    /// `Sat 12 Dec 18:00–20:00 NZDT`.
    fn span(&self, window: &Window) -> String {
        let zone = &self.zone;
        let end_day = local_day(window.end, zone);
        let start_day = local_day(window.start, zone);
        let day = if end_day == start_day {
            String::new()
        } else {
            format!("{end_day} ")
        };
        format!(
            "{start_day} {}–{day}{} {}",
            local_hm(window.start, zone),
            local_hm(window.end, zone),
            zone_word(window.start, zone)
        )
    }

    fn windows(&self, out: &mut String) {
        if self.plan.windows.is_empty() {
            return;
        }
        out.push_str("Best windows\n");
        for (index, window) in self.plan.windows.iter().enumerate() {
            self.window(out, index + 1, window);
        }
        out.push('\n');
    }

    fn window(&self, out: &mut String, number: usize, window: &Window) {
        let route = self.viewer().route(&window.route);
        let head = format!(
            "{number}. {} ({}–{} UTC)",
            self.span(window),
            utc_hm(window.start),
            utc_hm(window.end)
        );
        let chance = window.chance.to_string();
        let gap = 80usize
            .saturating_sub(head.chars().count() + chance.chars().count())
            .max(1);
        let _ = writeln!(out, "{head}{}{chance}", " ".repeat(gap));
        out.push_str(&paragraph(&self.route_words(&route), "   ", "   "));
        let Some(cell) = self.plan.best_cell(window) else {
            return;
        };
        if let Some(carrier) = &cell.carrier {
            let line = format!(
                "{}, leaves at {:.0}° above the horizon; antenna {:+.0} dBi that way; signal over noise {:+.0} dB there, {:+.0} dB back",
                words::carrier(carrier),
                carrier.elevation_deg,
                carrier.site_gain_dbi,
                cell.forward.snr_p50_db,
                cell.reverse.snr_p50_db
            );
            out.push_str(&paragraph(&line, "   ", "   "));
        }
        out.push_str(&paragraph(
            &format!("limit: {}", words::limit(&cell.limit)),
            "   ",
            "   ",
        ));
    }

    fn route_words(&self, route: &RouteView) -> String {
        format!(
            "{} MHz, {} to {} ({}), {}, bearing {:.0}° true, {:.0}° magnetic; {}",
            route.freq_mhz,
            route.site_name,
            route.callsign,
            route.station_name,
            kilometres(route.distance_km, self.imperial),
            route.bearing_true_deg,
            route.bearing_magnetic_deg,
            route.antenna_name
        )
    }

    fn strips(&self, out: &mut String) {
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

    fn changes(&self, out: &mut String) {
        if self.plan.alternatives.is_empty() {
            return;
        }
        out.push_str("What would change the answer\n");
        for alternative in &self.plan.alternatives {
            out.push_str(&paragraph(&self.change(alternative), "- ", "  "));
        }
        out.push('\n');
    }

    fn change(&self, alternative: &Alternative) -> String {
        let route = self.viewer().route(&alternative.window.route);
        let lead = match alternative.difference {
            Difference::Hour => "Another time".to_owned(),
            Difference::Band => format!("Another band, {} MHz", route.freq_mhz),
            Difference::Site => format!("From {}", route.site_name),
            Difference::Station => format!("To {} ({})", route.callsign, route.station_name),
            Difference::Antenna => format!("With the {}", route.antenna_name),
        };
        format!(
            "{lead}: {} ({:+.0} points), {}, {} MHz from {} to {}",
            alternative.window.chance,
            alternative.change * 100.0,
            self.span(&alternative.window),
            route.freq_mhz,
            route.site_name,
            route.callsign
        )
    }

    fn basis(&self, out: &mut String) {
        let conditions = &self.plan.setting.conditions;
        out.push_str("What it rests on\n");
        let activity = &conditions.activity;
        let k = conditions
            .k_index
            .map_or("K not given, taken as quiet".to_owned(), |k| format!("K {k:.0}"));
        let sky = format!(
            "Sunspot number R12 {:.0} ± {:.0} ({}), {k}. Odds are over days of the month, for a link that holds in both directions.",
            activity.r12(),
            activity.r12_sd(),
            crate::sky::activity_source(activity)
        );
        out.push_str(&paragraph(&sky, "- ", "  "));
        for default in &self.defaults {
            out.push_str(&paragraph(default, "- ", "  "));
        }
        for left in &self.plan.left_out {
            out.push_str(&paragraph(
                &format!("Left out: {}: {}", left.what, left.why),
                "- ",
                "  ",
            ));
        }
        out.push('\n');
    }

    fn cautions(&self, out: &mut String) {
        out.push_str("Mind\n");
        for caution in crate::cautions::cautions(self.outing) {
            out.push_str(&paragraph(&caution, "- ", "  "));
        }
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

//! A plan as text of at most 80 columns, read from the top down.

mod headline;
mod hours;
mod messages;

use farhop_earth::UtcTime;
use farhop_outing::Outing;
use farhop_plan::analysis::{Analysis, Elsewhere};
use farhop_plan::power::EnergyForecast;
use farhop_plan::readiness::{KitModel, Readiness};
use farhop_plan::schedule::Send;
use jiff::tz::TimeZone;

use crate::antenna::in_plan::{antenna_words, unmatched};
use crate::energy::EnergyReport;
use crate::kit::KitReport;
use crate::numbers::kilometres;
use crate::plan_view::{RouteView, Viewer};
use crate::safety::in_plan::antenna_lines;
use crate::words;
use crate::wrap::paragraph;
use farhop_earth::clock::{local_day, utc_hm, zone_word};

/// Most lines of the text: what does not fit is named and left to the pages.
const MOST_LINES: usize = 80;
/// Most lines about what could not be computed.
const MOST_LEFT_OUT: usize = 4;

/// What the text is made from.
pub struct PlanText<'a> {
    /// The outing.
    pub outing: &'a Outing,
    /// The plan.
    pub plan: &'a Analysis,
    /// Zone in which people read times.
    pub zone: TimeZone,
    /// The hour table in percent instead of shades.
    pub percent: bool,
    /// Feet and miles instead of metres and kilometres.
    pub imperial: bool,
    /// Defaults worth telling.
    pub defaults: Vec<String>,
    /// Stations (ids) whose chance of being off is a default.
    pub guessed_on: Vec<String>,
    /// Charge through the outing on this plan; none where it cannot be computed.
    pub energy: Option<&'a EnergyForecast>,
    /// The kit as a graph and what follows; none where it cannot be worked out.
    pub kit: Option<(&'a KitModel, &'a Readiness)>,
}

impl PlanText<'_> {
    fn message_name(&self, index: usize) -> String {
        self.outing
            .messages
            .get(index)
            .map_or_else(String::new, |m| m.id.to_string())
    }

    /// The whole text.
    #[must_use]
    pub fn text(&self) -> String {
        let mut head = paragraph(&self.verdict(), "", "");
        if let Some(first) = self.first() {
            head.push_str(&paragraph(&first, "", ""));
        }
        head.push('\n');
        let section = |write: fn(&Self, &mut String)| {
            let mut out = String::new();
            write(self, &mut out);
            out
        };
        // Each with the rank in which it goes when there is no room, the smallest first; 0 stays.
        let mut sections = vec![
            (0, "", head),
            (0, "", section(Self::messages)),
            (4, "the order to try", section(Self::order)),
            (2, "how the first call goes", section(Self::working)),
            (3, "the hours", section(Self::strips)),
            (0, "", section(Self::energy)),
            (5, "the kit", section(Self::kit)),
            (1, "other places", section(Self::changes)),
            (0, "", section(Self::basis)),
            (0, "", section(Self::cautions)),
        ];
        let mut left_out: Vec<&str> = Vec::new();
        for rank in 1..=5 {
            let lines: usize = sections.iter().map(|(_, _, text)| text.lines().count()).sum();
            if lines + usize::from(!left_out.is_empty()) <= MOST_LINES {
                break;
            }
            if let Some((_, name, text)) = sections.iter_mut().find(|(r, _, t)| *r == rank && !t.is_empty()) {
                text.clear();
                left_out.push(name);
            }
        }
        let mut out: String = sections.into_iter().map(|(_, _, text)| text).collect();
        if !left_out.is_empty() {
            let line = format!(
                "No room here for {}: `farhop serve` and `--json` have all.",
                left_out.join(", ")
            );
            out.push_str(&paragraph(&line, "", ""));
        }
        out
    }

    fn viewer(&self) -> Viewer<'_> {
        Viewer {
            outing: self.outing,
            plan: self.plan,
        }
    }

    /// `Sat 12 Dec 18:00–20:00 NZDT`.
    fn stretch(&self, start: UtcTime, end: UtcTime) -> String {
        let zone = &self.zone;
        let end_day = local_day(end, zone);
        let start_day = local_day(start, zone);
        let day = if end_day == start_day {
            String::new()
        } else {
            format!("{end_day} ")
        };
        format!(
            "{start_day} {}–{day}{} {}",
            self.hm(start),
            self.hm(end),
            zone_word(start, zone)
        )
    }

    /// The report of the charge through the outing.
    #[must_use]
    pub fn energy_report(&self) -> Option<EnergyReport<'_>> {
        self.energy.map(|forecast| EnergyReport {
            outing: self.outing,
            forecast,
            zone: self.zone.clone(),
            defaults: Vec::new(),
        })
    }

    fn energy(&self, out: &mut String) {
        if let Some(report) = self.energy_report() {
            out.push_str(&report.paragraph());
            out.push('\n');
        }
    }

    /// The report of the kit.
    #[must_use]
    pub fn kit_report(&self) -> Option<KitReport<'_>> {
        self.kit.map(|(model, readiness)| KitReport {
            outing: self.outing,
            model,
            readiness,
            limit_kg: self.outing.kit.spares_limit_kg,
            imperial: self.imperial,
        })
    }

    fn kit(&self, out: &mut String) {
        if let Some(report) = self.kit_report() {
            out.push_str(&report.paragraph());
            out.push('\n');
        }
    }

    /// `Sat 12 Dec 20:00`.
    fn moment(&self, time: UtcTime) -> String {
        format!("{} {}", local_day(time, &self.zone), self.hm(time))
    }

    /// How the first call of the most urgent message goes.
    fn working(&self, out: &mut String) {
        let lead = self.plan.bottom.map(|b| b.message);
        let send = lead.and_then(|m| self.plan.first_send_of(m)).or(self.plan.first_send());
        if let Some(send) = send {
            out.push_str("How the first call goes\n");
            self.call_working(out, send);
            out.push('\n');
        }
    }

    fn call_working(&self, out: &mut String, send: &Send) {
        let route = self.viewer().route(&send.route);
        out.push_str(&paragraph(
            &format!("{} UTC: {}", utc_hm(send.start), self.route_words(&route)),
            "- ",
            "  ",
        ));
        let Some(cell) = self.plan.cell_at(&send.route, send.start) else {
            return;
        };
        if let Some(carrier) = cell.carrier() {
            let line = format!(
                "{}, leaves at {:.0}° above the horizon; signal over noise {:+.0} dB there, {:+.0} dB back; a link holds with {} %",
                words::carrier(carrier),
                carrier.elevation_deg,
                cell.forward.snr_p50_db,
                cell.reverse.snr_p50_db,
                cell.link_chance.percent()
            );
            out.push_str(&paragraph(&line, "- ", "  "));
        }
        if let Some(line) = antenna_words(self.plan, &send.route, send.start) {
            out.push_str(&paragraph(&line, "- ", "  "));
        }
        if !matches!(cell.limit, farhop_plan::limit::Limit::Nothing) {
            out.push_str(&paragraph(&format!("limit: {}", words::limit(&cell.limit)), "- ", "  "));
        }
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

    fn changes(&self, out: &mut String) {
        let told: Vec<&Elsewhere> = self.plan.elsewhere.iter().filter(|e| self.worth_telling(e)).collect();
        if told.is_empty() {
            return;
        }
        out.push_str("From another place\n");
        for other in told {
            out.push_str(&paragraph(&self.change(other), "- ", "  "));
        }
        out.push('\n');
    }

    /// Whether another place is better, and not in the plan already.
    #[must_use]
    pub fn worth_telling(&self, other: &Elsewhere) -> bool {
        let planned = self.plan.stays.iter().any(|s| s.site == other.site);
        let now = self.plan.bottom.map_or(0.0, |b| b.chance.chance.probability());
        !planned && other.chance.probability() >= now + 0.01
    }

    /// What another place would change, in one sentence.
    #[must_use]
    pub fn change(&self, other: &Elsewhere) -> String {
        let site = self.outing.sites.get(other.site).map_or("", |s| s.name.as_str());
        let Some(bottom) = self.plan.bottom else {
            return format!("From {site}");
        };
        let change = other.chance.probability() - bottom.chance.chance.probability();
        format!(
            "From {site}, on the air there from {}: \"{}\" {} ({})",
            self.moment(other.from),
            self.message_name(bottom.message),
            other.chance,
            points(change)
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
            "Sunspot number R12 {:.0} ± {:.0} ({}), {k}. Odds are over {} drawn days, own faults and stations that are off among them, with {:.0} dB for what the method itself gets wrong (a judgement).",
            activity.r12(),
            activity.r12_sd(),
            crate::sky::activity_source(activity),
            self.plan.days.days.count,
            farhop_plan::link::MODEL_ERROR_SD_DB
        );
        out.push_str(&paragraph(&sky, "- ", "  "));
        if !self.defaults.is_empty() {
            let line = format!(
                "{} values are taken as usual, because the file does not say them; `--json` lists them with the reasons.",
                self.defaults.len()
            );
            out.push_str(&paragraph(&line, "- ", "  "));
        }
        let missing = unmatched(self.outing, self.plan);
        if !missing.is_empty() {
            let line = format!(
                "No match, and less power for it: {}. `farhop feed` says what to change.",
                missing.join("; ")
            );
            out.push_str(&paragraph(&line, "- ", "  "));
        }
        for left in self.plan.left_out.iter().take(MOST_LEFT_OUT) {
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
        let antennas = antenna_lines(self.outing, &self.plan.safety, self.imperial);
        for caution in antennas.into_iter().chain(crate::cautions::in_short(self.outing)) {
            out.push_str(&paragraph(&caution, "- ", "  "));
        }
    }
}

/// `12 points less`, `no worse`.
fn points(change: f64) -> String {
    let points = (change * 100.0).round();
    if points == 0.0 {
        "as good".to_owned()
    } else {
        let word = if points.abs() == 1.0 { "point" } else { "points" };
        format!(
            "{:.0} {word} {}",
            points.abs(),
            if points < 0.0 { "less" } else { "more" }
        )
    }
}

/// `40 s`, `7 min`, `2 h 10 min`.
#[must_use]
pub fn minutes_text(minutes_min: f64) -> String {
    let minutes = minutes_min;
    if minutes < 1.0 {
        format!("{:.0} s", minutes * 60.0)
    } else if minutes < 60.0 {
        format!("{minutes:.0} min")
    } else {
        format!("{:.0} h {:.0} min", (minutes / 60.0).floor(), minutes % 60.0)
    }
}

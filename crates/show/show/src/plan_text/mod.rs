//! What is said of a plan, read from the top down.

mod headline;
mod hours;
mod messages;

use farhop_outing::Outing;
use farhop_plan::analysis::{Analysis, Elsewhere};
use farhop_plan::schedule::Send;

use crate::antenna::in_plan::{antenna_words, unmatched};
use crate::document::Document;
use crate::energy::EnergyReport;
use crate::kit::KitReport;
use crate::plan_view::{RouteView, Viewer};
use crate::reader::Reader;
use crate::safety::in_plan::antenna_lines;
use crate::words;
use farhop_earth::clock::utc_hm;

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
    /// Who reads.
    pub reader: Reader,
    /// The hour table in percent instead of shades.
    pub percent: bool,
    /// Defaults worth telling.
    pub defaults: Vec<String>,
    /// Stations (ids) whose chance of being off is a default.
    pub guessed_on: Vec<String>,
}

impl PlanText<'_> {
    fn message_name(&self, index: usize) -> String {
        self.outing
            .messages
            .get(index)
            .map_or_else(String::new, |m| m.id.to_string())
    }

    /// The whole report.
    #[must_use]
    pub fn document(&self) -> Document {
        let mut doc = Document::new(self.verdict());
        if let Some(first) = self.first() {
            doc.lead(first);
        }
        self.messages(&mut doc);
        self.order(&mut doc);
        self.working(&mut doc);
        self.strips(&mut doc);
        if let Some(report) = self.energy_report() {
            doc.absorb("energy", "Energy", report.in_short());
        }
        if let Some(report) = self.kit_report() {
            doc.absorb("kit", "Kit", report.in_short());
            doc.gives_way(5, "the kit");
        }
        self.changes(&mut doc);
        self.basis(&mut doc);
        self.cautions(&mut doc);
        doc
    }

    /// The report in letters, as long as a person reads.
    #[must_use]
    pub fn text(&self) -> String {
        self.document()
            .text_within(MOST_LINES, "`farhop serve` and `--json` have all")
    }

    fn viewer(&self) -> Viewer<'_> {
        Viewer {
            outing: self.outing,
            plan: self.plan,
        }
    }

    /// The report of the charge through the outing.
    #[must_use]
    pub fn energy_report(&self) -> Option<EnergyReport<'_>> {
        self.plan.energy.as_ref().ok().map(|forecast| EnergyReport {
            outing: self.outing,
            forecast,
            reader: self.reader.clone(),
            defaults: Vec::new(),
        })
    }

    /// The report of the kit.
    #[must_use]
    pub fn kit_report(&self) -> Option<KitReport<'_>> {
        self.plan.kit.as_ref().ok().map(|kit| KitReport {
            outing: self.outing,
            model: &kit.model,
            readiness: &kit.readiness,
            limit_kg: self.outing.kit.spares_limit_kg,
            units: self.reader.units,
        })
    }

    /// How the first call of the most urgent message goes.
    fn working(&self, doc: &mut Document) {
        let lead = self.plan.bottom.map(|b| b.message);
        let send = lead.and_then(|m| self.plan.first_send_of(m)).or(self.plan.first_send());
        if let Some(send) = send {
            doc.section("working", "How the first call goes");
            doc.gives_way(2, "how the first call goes");
            self.call_working(doc, send);
        }
    }

    fn call_working(&self, doc: &mut Document, send: &Send) {
        let route = self.viewer().route(&send.route);
        doc.item(format!("{} UTC: {}", utc_hm(send.start), self.route_words(&route)));
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
            doc.item(line);
        }
        if let Some(line) = antenna_words(self.plan, &send.route, send.start) {
            doc.item(line);
        }
        if !matches!(cell.limit, farhop_plan::limit::Limit::Nothing) {
            doc.item(format!("limit: {}", words::limit(&cell.limit)));
        }
    }

    fn route_words(&self, route: &RouteView) -> String {
        format!(
            "{} MHz, {} to {} ({}), {}, bearing {:.0}° true, {:.0}° magnetic; {}",
            route.freq_mhz,
            route.site_name,
            route.callsign,
            route.station_name,
            self.reader.units.distance(route.distance_km),
            route.bearing_true_deg,
            route.bearing_magnetic_deg,
            route.antenna_name
        )
    }

    fn changes(&self, doc: &mut Document) {
        let told: Vec<&Elsewhere> = self.plan.elsewhere.iter().filter(|e| self.worth_telling(e)).collect();
        if told.is_empty() {
            return;
        }
        doc.section("elsewhere", "From another place");
        doc.gives_way(1, "other places");
        for other in told {
            doc.item(self.change(other));
        }
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
            self.reader.moment(other.from),
            self.message_name(bottom.message),
            other.chance,
            points(change)
        )
    }

    fn basis(&self, doc: &mut Document) {
        let conditions = &self.plan.setting.conditions;
        doc.section("basis", "What it rests on");
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
        doc.item(sky);
        if !self.defaults.is_empty() {
            let line = format!(
                "{} values are taken as usual, because the file does not say them; `--json` lists them with the reasons.",
                self.defaults.len()
            );
            doc.item(line);
        }
        let missing = unmatched(self.outing, self.plan);
        if !missing.is_empty() {
            let line = format!(
                "No match, and less power for it: {}. `farhop feed` says what to change.",
                missing.join("; ")
            );
            doc.item(line);
        }
        for left in self.plan.left_out.iter().take(MOST_LEFT_OUT) {
            doc.item(format!("Left out: {}: {}", left.what, left.why));
        }
    }

    fn cautions(&self, doc: &mut Document) {
        doc.section("mind", "Mind");
        let antennas = antenna_lines(self.outing, &self.plan.safety, self.reader.units);
        for caution in antennas.into_iter().chain(crate::cautions::in_short(self.outing)) {
            doc.item(caution);
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

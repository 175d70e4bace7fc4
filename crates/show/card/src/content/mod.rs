//! What stands on a card: checked words and numbers in rows, before anybody asks whether they fit.

pub mod antennas;
pub mod cautions;
pub mod energy;
pub mod faults;
pub mod hang;
pub mod messages;
pub mod packing;
pub mod sites;
pub mod tuner;
pub mod windows;

use farhop_earth::clock::{in_zone, zone_word};
use farhop_show::plan_text::PlanText;

pub use antennas::AntennaRow;
pub use energy::EnergyRows;
pub use faults::{FaultRow, RecoveryRow};
pub use messages::{MessageRow, OrderCell};
pub use packing::BagRow;
pub use sites::{SiteRow, SunRow};
pub use tuner::TunerRow;
pub use windows::WindowRow;

use crate::qr::PlanCode;
use crate::source::Source;

/// The content of a card.
#[derive(Clone, Debug)]
pub struct Card {
    /// Name of the outing.
    pub title: String,
    /// Own callsign, dates, zone, power: `Q3HUT · Sat 12 Dec 07:00 to Sun 13 Dec 16:00 NZDT · 5 W`.
    pub subtitle: String,
    /// The answer in one sentence.
    pub verdict: String,
    /// Short name of the zone of all local times.
    pub zone_word: String,
    /// Windows, the most needed first.
    pub windows: Vec<WindowRow>,
    /// Messages, the most urgent first.
    pub messages: Vec<MessageRow>,
    /// Antennas as they hang, in the order of first need.
    pub antennas: Vec<AntennaRow>,
    /// The tuner on each antenna and band.
    pub tuner: Vec<TunerRow>,
    /// The charge.
    pub energy: Option<EnergyRows>,
    /// Sites, the fallback last.
    pub sites: Vec<SiteRow>,
    /// Sun by day.
    pub sun: Vec<SunRow>,
    /// Finding a fault, in at most ten lines.
    pub faults: Vec<FaultRow>,
    /// How parts are brought back, the most important first.
    pub recovery: Vec<RecoveryRow>,
    /// What goes into which bag.
    pub packing: Vec<BagRow>,
    /// What to mind beside the table of windows.
    pub cautions_rules: Vec<String>,
    /// What to mind beside the antennas.
    pub cautions_wires: Vec<String>,
    /// What to mind beside energy and body.
    pub cautions_body: Vec<String>,
    /// The plan for another device.
    pub code: PlanCode,
}

impl Card {
    /// The content that follows from an outing and its plan.
    #[must_use]
    pub fn new(source: &Source<'_>) -> Self {
        let windows = windows::rows(source);
        let antennas = antennas::rows(source, &windows);
        let split = cautions::split(source);
        Self {
            title: source.outing.header.name.clone(),
            subtitle: subtitle(source),
            verdict: verdict(source),
            zone_word: zone_word(source.outing.header.start, &source.reader.zone),
            messages: messages::rows(source),
            tuner: tuner::rows(source, &antennas),
            energy: source
                .plan
                .energy
                .as_ref()
                .ok()
                .map(|forecast| energy::rows(source, forecast)),
            sites: sites::rows(source),
            sun: sites::sun(source),
            faults: faults::rows(source),
            recovery: faults::recovery(source),
            packing: packing::rows(source),
            cautions_rules: split.rules,
            cautions_wires: split.wires,
            cautions_body: split.body,
            code: PlanCode::new(source, &windows),
            windows,
            antennas,
        }
    }
}

fn subtitle(source: &Source<'_>) -> String {
    let header = &source.outing.header;
    let day = |time| in_zone(time, &source.reader.zone).strftime("%a %-d %b %Y").to_string();
    let (start, end) = (day(header.start), day(header.end));
    let days = if start == end {
        start
    } else {
        format!("{start} to {end}")
    };
    let mut parts = Vec::new();
    parts.extend(header.operator.callsign.as_ref().map(|c| c.to_string()));
    parts.push(days);
    parts.push(format!("local times {}", zone_word(header.start, &source.reader.zone)));
    parts.push(format!("{} W", source.outing.kit.transceiver.power_w));
    parts.join(" · ")
}

/// The same sentence as the plan's.
fn verdict(source: &Source<'_>) -> String {
    let text = PlanText {
        outing: source.outing,
        plan: source.plan,
        reader: source.reader.clone(),
        percent: false,
        defaults: Vec::new(),
        guessed_on: source.guessed_on.clone(),
    };
    text.verdict()
}

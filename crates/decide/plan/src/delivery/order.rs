//! Primary, alternate, contingency, emergency: entries that fail for different reasons.

use farhop_message::pace::{Candidate, Protects, Shares, Traits, draw};
use farhop_outing::Outing;

use crate::chance::Chance;
use crate::delivery::messages::{Attempted, preference};

/// Candidates looked at, best first: enough for variety, few enough to stay quick.
const CANDIDATES: usize = 60;

/// Place in the order, by the emergency-communication trade's terms.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PaceRank {
    /// First.
    Primary,
    /// Second.
    Alternate,
    /// Third.
    Contingency,
    /// Last.
    Emergency,
}

impl PaceRank {
    /// All ranks in order.
    pub const ALL: [Self; 4] = [Self::Primary, Self::Alternate, Self::Contingency, Self::Emergency];

    /// The trade's word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Primary => "primary",
            Self::Alternate => "alternate",
            Self::Contingency => "contingency",
            Self::Emergency => "emergency",
        }
    }
}

/// One entry of the order.
#[derive(Clone, Debug, PartialEq)]
pub struct PaceEntry {
    /// Its rank.
    pub rank: PaceRank,
    /// Index into the list of windows.
    pub window: usize,
    /// Index of the message it is drawn for.
    pub message: usize,
    /// Chance of the entry alone.
    pub chance: Chance,
    /// Chance when all entries before it have failed.
    pub after_failures: Chance,
    /// Chance that this or an entry before it works.
    pub so_far: Chance,
    /// What it protects against; empty for the first.
    pub protects: Vec<Protects>,
}

/// The order for one message.
#[must_use]
pub fn pace_order(outing: &Outing, attempted: &[Attempted], message: usize) -> Vec<PaceEntry> {
    let mut rows: Vec<(usize, Chance)> = attempted
        .iter()
        .enumerate()
        .filter_map(|(w, a)| {
            a.deliveries
                .iter()
                .find(|d| d.message == message)
                .map(|d| (w, d.chance))
        })
        .collect();
    // A fallback site is for when everything from the others has failed: it enters only where nothing else is real.
    if rows.iter().any(|(w, _)| preference(outing, &attempted[*w]) == 0) {
        rows.retain(|(w, _)| !is_fallback(outing, &attempted[*w]));
    }
    rows.sort_by(|a, b| b.1.probability().total_cmp(&a.1.probability()).then(a.0.cmp(&b.0)));
    let varied = varied(outing, attempted, &rows);
    let candidates: Vec<Candidate> = varied
        .iter()
        .filter_map(|(w, chance)| {
            let traits = traits(outing, &attempted[*w], message)?;
            Some(Candidate {
                chance: chance.probability(),
                traits,
                shares: Shares::default(),
            })
        })
        .collect();
    let Ok(entries) = draw(&candidates, PaceRank::ALL.len()) else {
        return Vec::new();
    };
    entries
        .into_iter()
        .zip(PaceRank::ALL)
        .filter_map(|(entry, rank)| {
            let (window, chance) = *varied.get(entry.candidate)?;
            Some(PaceEntry {
                rank,
                window,
                message,
                chance,
                after_failures: Chance::new(entry.chance_after_failures),
                so_far: Chance::new(entry.chance_so_far),
                protects: entry.protects,
            })
        })
        .collect()
}

fn is_fallback(outing: &Outing, attempted: &Attempted) -> bool {
    outing
        .sites
        .get(attempted.window.route.site)
        .is_some_and(|s| s.fallback)
}

/// The best window of each combination of band, station, mode and site, so that the best hours of one do not crowd out the rest.
fn varied(outing: &Outing, attempted: &[Attempted], rows: &[(usize, Chance)]) -> Vec<(usize, Chance)> {
    let mut seen: Vec<Traits> = Vec::new();
    let mut chosen = Vec::new();
    for &(w, chance) in rows {
        let Some(message) = attempted[w].deliveries.first().map(|d| d.message) else {
            continue;
        };
        let Some(traits) = traits(outing, &attempted[w], message) else {
            continue;
        };
        if !seen.contains(&traits) {
            seen.push(traits);
            chosen.push((w, chance));
        }
        if chosen.len() == CANDIDATES {
            break;
        }
    }
    chosen
}

fn traits(outing: &Outing, attempted: &Attempted, message: usize) -> Option<Traits> {
    let route = attempted.window.route;
    let station = outing.stations.get(route.station)?;
    let channel = station.channels.get(route.channel)?;
    let link = attempted
        .deliveries
        .iter()
        .find(|d| d.message == message)
        .map(|d| d.link.mode.clone());
    Some(Traits {
        band: format!("{:.0} MHz", channel.freq_mhz),
        station: station.id.to_string(),
        mode: link.unwrap_or_default(),
        site: outing.sites.get(route.site)?.id.to_string(),
    })
}

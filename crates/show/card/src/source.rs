//! What a card is made from.

use farhop_earth::UtcTime;
use farhop_outing::{Outing, Units};
use farhop_plan::analysis::Analysis;
use farhop_plan::engine::SolutionStore;
use farhop_plan::safety::BandSafety;
use farhop_show::reader::Reader;
use farhop_show::safety::in_plan::plan_lines;

/// What a card is made from.
pub struct Source<'a> {
    /// The outing.
    pub outing: &'a Outing,
    /// Its plan.
    pub plan: &'a Analysis,
    /// Stations (ids) whose chance of being off is a default.
    pub guessed_on: Vec<String>,
    /// Who reads.
    pub reader: Reader,
    /// Solved antennas, for drawings and the tuner; what is missing is solved afresh.
    pub store: &'a dyn SolutionStore,
    /// Distances to keep from antennas while sending.
    pub keep_away: Vec<KeepAway>,
    /// When the card is made; none where nobody knows the time.
    pub made: Option<UtcTime>,
}

/// What people must keep from an antenna while somebody sends.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeepAway {
    /// Index of the site.
    pub site: usize,
    /// Index into the kit's antennas.
    pub antenna: usize,
    /// What to keep, in words: `Dipole: keep others 1.2 m and yourself 0.5 m away while sending (5 W).`
    pub words: String,
}

/// Whom to keep how far from each antenna at each site.
#[must_use]
pub fn keep_away(outing: &Outing, all: &[BandSafety], units: Units) -> Vec<KeepAway> {
    let mut places: Vec<(usize, usize)> = all.iter().map(|s| (s.site, s.antenna)).collect();
    places.sort_unstable();
    places.dedup();
    let one = |(site, antenna): (usize, usize)| {
        let own: Vec<BandSafety> = all
            .iter()
            .filter(|s| (s.site, s.antenna) == (site, antenna))
            .cloned()
            .collect();
        let words = plan_lines(outing, &own, units).into_iter().next()?;
        Some(KeepAway { site, antenna, words })
    };
    places.into_iter().filter_map(one).collect()
}

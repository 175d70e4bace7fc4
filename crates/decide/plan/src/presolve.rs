//! Solves all antennas of an outing beforehand, over all cores.

use crate::engine::{EngineBook, SolutionStore, WholeFeed};
use farhop_outing::{Antenna, Outing, Site};
use rayon::prelude::*;

use crate::watch::Watch;

/// One antenna at one site on one frequency.
pub(crate) type Wanted<'a> = (&'a Antenna, &'a Site, f64);

/// Fills the store with what a plan will ask for. Failures show up when the plan asks again.
pub fn presolve(outing: &Outing, sites: &[usize], stations: &[usize], store: &dyn SolutionStore, watch: &dyn Watch) {
    let wanted = wanted(outing, sites, stations);
    watch.begin("antennas", wanted.len());
    let book = EngineBook::new(store, &WholeFeed);
    wanted.par_iter().for_each(|(antenna, site, freq_mhz)| {
        if watch.wanted() {
            let _ = book.solved(antenna, site, *freq_mhz);
        }
        watch.step();
    });
    watch.end();
}

pub(crate) fn wanted<'a>(outing: &'a Outing, sites: &[usize], stations: &[usize]) -> Vec<Wanted<'a>> {
    let mut freqs_mhz: Vec<f64> = stations
        .iter()
        .filter_map(|i| outing.stations.get(*i))
        .flat_map(|s| s.channels.iter().map(|c| c.freq_mhz))
        .collect();
    freqs_mhz.sort_by(f64::total_cmp);
    freqs_mhz.dedup();
    let mut wanted = Vec::new();
    for site in sites.iter().filter_map(|i| outing.sites.get(*i)) {
        for antenna in outing.antennas_at(site).filter(|a| !a.kind.is_declared()) {
            let served = freqs_mhz.iter().filter(|f| antenna.serves(**f));
            wanted.extend(served.map(|f| (antenna, site, *f)));
        }
    }
    wanted
}

//! Which antenna: a table of antennas and stations with chances from the one analysis, the winner named; and the calls that the plan
//! makes with each.

use farhop_outing::Antenna;
use farhop_plan::Chance;
use farhop_plan::strip::Strip;
use maud::{Markup, html};

use crate::desk::Ready;

/// The best chance of an antenna with a station from a site.
#[derive(Clone, Copy)]
struct Best {
    chance: Chance,
    freq_mhz: f64,
}

/// Antennas of a site against stations.
pub struct Which<'a> {
    ready: &'a Ready,
    site: usize,
    /// Antennas that can hang there, by their index in the kit.
    antennas: Vec<(usize, &'a Antenna)>,
}

impl<'a> Which<'a> {
    /// The table of a site (index).
    pub fn at(ready: &'a Ready, site: usize) -> Self {
        let own: Vec<_> = ready
            .outing
            .sites
            .get(site)
            .into_iter()
            .flat_map(|s| ready.outing.antennas_at(s))
            .map(|a| &a.id)
            .collect();
        let all = ready.outing.kit.antennas.iter().enumerate();
        Self {
            ready,
            site,
            antennas: all.filter(|(_, a)| own.contains(&&a.id)).collect(),
        }
    }

    fn best(&self, antenna: usize, station: usize) -> Option<Best> {
        let strips = &self.ready.plan.strips;
        let here = |s: &&Strip| (s.route.site, s.route.antenna, s.route.station) == (self.site, antenna, station);
        let best = strips.iter().filter(here).flat_map(|s| {
            let channel = self
                .ready
                .outing
                .stations
                .get(station)
                .and_then(|of| of.channels.get(s.route.channel));
            s.cells.iter().filter_map(move |c| {
                Some(Best {
                    chance: c.chance(),
                    freq_mhz: channel?.freq_mhz,
                })
            })
        });
        best.max_by(|a, b| a.chance.probability().total_cmp(&b.chance.probability()))
    }

    /// The calls of the plan from here: with this antenna, and in all.
    fn calls(&self, antenna: usize) -> (usize, usize) {
        let from_here: Vec<_> = self
            .ready
            .plan
            .sends
            .iter()
            .filter(|s| s.route.site == self.site)
            .collect();
        (
            from_here.iter().filter(|s| s.route.antenna == antenna).count(),
            from_here.len(),
        )
    }

    /// The antenna of most of the plan's calls from here; where it makes none, the one with the highest chance of all.
    fn winner(&self) -> Option<(usize, &'a Antenna)> {
        let best_of = |antenna: usize| {
            let all = (0..self.ready.outing.stations.len()).filter_map(|s| self.best(antenna, s));
            all.map(|b| b.chance.probability()).fold(0.0, f64::max)
        };
        let rank = |(index, _): &(usize, &Antenna)| (self.calls(*index).0, best_of(*index));
        let ranked = self.antennas.iter().copied().map(|a| (rank(&a), a));
        let best = ranked.max_by(|(a, _), (b, _)| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        best.map(|(_, antenna)| antenna)
    }

    /// The answer: which antenna to hang here, and why.
    pub fn answer(&self) -> Markup {
        let site = self.ready.outing.sites.get(self.site).map_or("", |s| s.name.as_str());
        let Some((index, antenna)) = self.winner() else {
            return html! { "No antenna of the kit can be used at " (site) "." };
        };
        match self.calls(index) {
            (_, 0) => {
                html! { "At " (site) " the plan makes no call. " (antenna.name) " would give the highest chance from there." }
            }
            (own, all) if own == all => {
                html! { "At " (site) ": " (antenna.name) ". All calls of the plan from there use it (" (all) ")." }
            }
            (own, all) => {
                html! { "At " (site) ": " (antenna.name) ". The plan uses it for " (own) " of " (all) " calls from there." }
            }
        }
    }

    /// The table.
    pub fn table(&self) -> Markup {
        let stations = &self.ready.outing.stations;
        html! {
            section {
                h2 { "Best chance in an hour, by antenna and station" }
                div.scroll tabindex="0" role="region" aria-label="Antennas and stations" {
                table.list {
                    thead { tr { th { "Antenna" } th.number { "Calls in the plan" } @for s in stations { th.number { (s.name) } } } }
                    tbody { @for (index, antenna) in &self.antennas {
                        tr {
                            th scope="row" { (antenna.name) }
                            td.number { (self.calls(*index).0) }
                            @for station in 0..stations.len() { td.number { (self.cell(*index, station)) } }
                        }
                    } }
                }
                }
                p.small { "Chance of the message that is due first in one call, in the best hour from here. Bold: best for that station." }
            }
        }
    }

    fn cell(&self, antenna: usize, station: usize) -> Markup {
        let Some(own) = self.best(antenna, station) else {
            return html! { "–" };
        };
        let others = self.antennas.iter().filter_map(|(a, _)| self.best(*a, station));
        let first = others.map(|b| b.chance.probability()).fold(0.0, f64::max) <= own.chance.probability();
        html! {
            @if first && own.chance.percent() > 0 { b { (own.chance.percent()) " %" } } @else { (own.chance.percent()) " %" }
            @if own.chance.percent() > 0 { " " span.small { (own.freq_mhz) } }
        }
    }
}

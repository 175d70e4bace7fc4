//! Pictures and figures of an antenna as it hangs: wires, pattern, and every band in a table.

use std::sync::Arc;

use farhop_outing::{Antenna, same_band};
use farhop_plan::engine::{SolvedAntenna, built_at, solved_in};
use farhop_plan::feeding::feed_of;
use farhop_plan::strip::Route;
use farhop_show::antenna::drawing::{Picture, panels};
use maud::{Markup, PreEscaped, html};

use super::Shown;
use crate::desk::Ready;
use crate::shell::parts;
use crate::storage::Solutions;

/// Hours with a smaller chance of a link do not count for the angles that matter.
const WORTH_AIMING: f64 = 0.1;

pub(super) fn solved(
    shown: &Shown,
    antenna: &Antenna,
    freq_mhz: f64,
    store: &Solutions,
) -> Result<Arc<SolvedAntenna>, String> {
    solved_in(store, antenna, shown.site.ground.constants(), freq_mhz).map_err(|e| e.to_string())
}

pub(super) fn match_words(ready: &Ready, antenna: &Antenna, freq_mhz: f64, solved: &SolvedAntenna) -> String {
    match feed_of(&ready.outing.kit, antenna, freq_mhz, solved) {
        Ok(feed) => {
            let figures = feed.figures();
            let word = if figures.matched {
                "the tuner matches it"
            } else {
                "the tuner finds no match"
            };
            format!(
                "{word} (SWR {:.1}, {:.1} dB lost on the way)",
                figures.swr, figures.loss_db
            )
        }
        Err(why) => why.to_string(),
    }
}

/// The same in a cell of a table.
fn match_figures(ready: &Ready, antenna: &Antenna, freq_mhz: f64, solved: &SolvedAntenna) -> String {
    match feed_of(&ready.outing.kit, antenna, freq_mhz, solved) {
        Ok(feed) => {
            let figures = feed.figures();
            let word = if figures.matched { "" } else { "none: " };
            format!("{word}SWR {:.1}, {:.1} dB", figures.swr, figures.loss_db)
        }
        Err(why) => why.to_string(),
    }
}

pub(super) fn figures(ready: &Ready, shown: &Shown, store: &Solutions) -> Markup {
    let solved_now = solved(shown, &shown.changed, shown.freq_mhz, store);
    let ground = shown.site.ground.constants();
    let built = built_at(&shown.changed, ground, shown.freq_mhz);
    let before = built_at(&shown.antenna, ground, shown.freq_mhz).ok();
    html! {
        @match (&solved_now, &built) {
            (Ok(solved), Ok(built)) => {
                @let [side, above, over, around] = panels(&Picture {
                    name: &shown.changed.name,
                    place: &shown.site.name,
                    freq_mhz: shown.freq_mhz,
                    built,
                    before: before.as_ref(),
                    solved,
                    needed_deg: needed_deg(ready, shown),
                    units: ready.reader.units,
                });
                div.panels { @for svg in [side, above] { figure.picture { (PreEscaped(svg)) } } }
                @if shown.changed != shown.antenna { p.small { "Broken line: as in the file." } }
                p { (shown.freq_mhz) " MHz: " (format!("{:.0} % of its power is radiated", 100.0 * solved.efficiency)) ", " (match_words(ready, &shown.changed, shown.freq_mhz, solved)) "." }
                (parts::why("Why: pattern and every band", &html! {
                    div.panels { @for svg in [over, around] { figure.picture { (PreEscaped(svg)) } } }
                    (table(ready, shown, store))
                }))
            }
            (Err(why), _) => p.wrong { (why) },
            (_, Err(why)) => p.wrong { (why.to_string()) },
        }
    }
}

/// Angles at which the modes leave this site on this frequency in the hours when a link is not hopeless, degrees.
fn needed_deg(ready: &Ready, shown: &Shown) -> Option<(f64, f64)> {
    let here = |route: &Route| {
        let station = ready.outing.stations.get(route.station)?;
        let channel = station.channels.get(route.channel)?;
        let site = ready.outing.sites.get(route.site)?;
        Some(site.id == shown.site.id && same_band(channel.freq_mhz, shown.freq_mhz))
    };
    let strips = ready.plan.strips.iter().filter(|s| here(&s.route) == Some(true));
    let angles = strips
        .flat_map(|s| &s.cells)
        .filter(|c| c.link_chance.probability() >= WORTH_AIMING)
        .filter_map(|c| c.carrier().filter(|m| m.hops > 0).map(|m| m.elevation_deg));
    angles.fold(None, |range, deg| {
        let (low, high) = range.unwrap_or((deg, deg));
        Some((deg.min(low), deg.max(high)))
    })
}

/// Efficiency, feed and gain on every band.
fn table(ready: &Ready, shown: &Shown, store: &Solutions) -> Markup {
    html! {
        div.scroll tabindex="0" role="region" aria-label="Every band" {
        table.list {
            thead { tr { th { "MHz" } th.number { "Radiated" } th { "Match" } th.number { "At the feed" } th.number { "Up" } th.number { "At 45°" } th.number { "At 20°" } } }
            tbody { @for freq_mhz in &shown.freqs_mhz {
                @match solved(shown, &shown.changed, *freq_mhz, store) {
                    Ok(solved) => tr {
                        th scope="row" { (freq_mhz) }
                        td.number { (format!("{:.0} %", 100.0 * solved.efficiency)) }
                        td { (match_figures(ready, &shown.changed, *freq_mhz, &solved)) }
                        td.number { (format!("{:.0} {:+.0}j Ω", solved.impedance_ohm.re, solved.impedance_ohm.im)) }
                        @for elevation_deg in [89.0, 45.0, 20.0] { td.number { (format!("{:+.1} dBi", mean_gain(&solved, elevation_deg))) } }
                    },
                    Err(why) => tr { th scope="row" { (freq_mhz) } td colspan="6" { (why) } },
                }
            } }
        }
        }
    }
}

/// Gain at an elevation, the mean of the power around the compass, dBi.
fn mean_gain(solved: &SolvedAntenna, elevation_deg: f64) -> f64 {
    use farhop_plan::book::Radiator as _;
    let around = (0..12).map(|k| 10f64.powf(solved.gain_dbi(elevation_deg, 30.0 * f64::from(k)) / 10.0));
    10.0 * (around.sum::<f64>() / 12.0).log10()
}

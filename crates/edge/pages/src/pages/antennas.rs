//! Which antenna, and how to hang it? Wires, pattern and figures by band; sliders that solve again; side by side for the windows that
//! matter.

use std::collections::BTreeSet;
use std::sync::Arc;

use axum::extract::{Query, State};
use axum::response::{IntoResponse, Response};
use farhop_outing::antenna::{Slider, Slot};
use farhop_outing::{Antenna, AntennaKind, Outing, Site, same_band};
use farhop_plan::engine::{SolvedAntenna, built_at, solved_in};
use farhop_plan::feeding::feed_of;
use farhop_plan::safety::BandSafety;
use farhop_plan::schedule::Send;
use farhop_plan::strip::Route;
use farhop_show::antenna::drawing::{Picture, panels};
use farhop_show::cautions::{cautions, named};
use farhop_show::safety::in_plan::plan_lines;
use maud::{Markup, PreEscaped, html};
use serde::Deserialize;

use crate::app::App;
use crate::assets::address;
use crate::desk::{Ready, Stage};
use crate::pages::with_plan;
use crate::shell::{Context, Here, Page, page, parts};
use crate::storage::Solutions;

/// Share by which heights and lengths can be changed, per cent, down and up.
const REACH_PERCENT: (i32, i32) = (-50, 60);

/// Furthest lean that is tried, degrees.
const MOST_LEAN_DEG: f64 = 70.0;
/// Hours with a smaller chance of a link do not count for the angles that matter.
const WORTH_AIMING: f64 = 0.1;

/// What is asked. Changes are per cent of what the outing says.
#[derive(Clone, Debug, Default, Deserialize)]
pub struct Asked {
    site: Option<String>,
    antenna: Option<String>,
    mhz: Option<f64>,
    height: Option<i32>,
    length: Option<i32>,
    counterpoise: Option<i32>,
    lean: Option<f64>,
}

struct Shown {
    site: Site,
    antenna: Antenna,
    changed: Antenna,
    freq_mhz: f64,
    freqs_mhz: Vec<f64>,
}

/// The page.
pub async fn show(State(app): State<Arc<App>>, context: Context, Query(asked): Query<Asked>) -> Response {
    let store = app.desk.storage().solutions();
    with_plan(&app, &context, Here::Antennas, |ready| {
        let (answer, body) = match chosen(ready, &asked) {
            Some(shown) => (answer(ready, &shown, store), body(ready, &shown, &asked, store)),
            None => (
                html! { "No antenna of the kit can be used at a site." },
                html! { p { a.button href="/edit" { "Edit the outing" } } },
            ),
        };
        page(
            &context,
            Page {
                here: Here::Antennas,
                question: "Which antenna, and how to hang it?",
                answer: Some(answer),
                body: html! { (body) script src=(address("antennas.js")) type="module" {} },
            },
        )
    })
}

/// Picture and figures alone, solved again for other measures.
pub async fn part(State(app): State<Arc<App>>, Query(asked): Query<Asked>) -> Response {
    let Stage::Ready(ready) = app.desk.look().stage else {
        return axum::http::StatusCode::NOT_FOUND.into_response();
    };
    let storage = Arc::clone(app.desk.storage());
    let work = move || chosen(&ready, &asked).map(|s| figures(&ready, &s, storage.solutions()).into_string());
    match app.desk.runtime().done(work).await {
        Some(Some(text)) => axum::response::Html(text).into_response(),
        _ => axum::http::StatusCode::NOT_FOUND.into_response(),
    }
}

/// What is asked for; without a word, the site, antenna and band of the first call.
fn chosen(ready: &Ready, asked: &Asked) -> Option<Shown> {
    let outing = &ready.outing;
    let best = ready.plan.first_send().map(|s| ready.viewer().route(&s.route));
    let wanted_site = asked.site.as_deref().or(best.as_ref().map(|b| b.site.as_str()));
    let site = outing
        .sites
        .iter()
        .find(|s| wanted_site.is_none_or(|id| s.id.as_str() == id))
        .or(outing.sites.first())?;
    let at_site: Vec<&Antenna> = outing.antennas_at(site).filter(|a| !a.kind.is_declared()).collect();
    let wanted = asked.antenna.as_deref().or(best.as_ref().map(|b| b.antenna.as_str()));
    let antenna = at_site
        .iter()
        .find(|a| wanted.is_none_or(|id| a.id.as_str() == id))
        .or(at_site.first())?;
    let freqs_mhz = bands(outing, antenna);
    let wanted_mhz = asked.mhz.or(best.as_ref().map(|b| b.freq_mhz));
    let near = |f: &f64| wanted_mhz.map_or(0.0, |m| (f / m).ln().abs());
    let freq_mhz = freqs_mhz.iter().copied().min_by(|a, b| near(a).total_cmp(&near(b)))?;
    Some(Shown {
        changed: changed(antenna, asked),
        antenna: (*antenna).clone(),
        site: site.clone(),
        freq_mhz,
        freqs_mhz,
    })
}

/// One frequency for each band that the antenna is meant for.
fn bands(outing: &Outing, antenna: &Antenna) -> Vec<f64> {
    let channels = outing
        .stations
        .iter()
        .flat_map(|s| s.channels.iter().map(|c| c.freq_mhz));
    let mut freqs: Vec<f64> = channels.filter(|f| antenna.serves(*f)).collect();
    freqs.sort_by(f64::total_cmp);
    freqs.dedup_by(|a, b| same_band(*a, *b));
    freqs
}

/// The antenna with other measures.
fn changed(antenna: &Antenna, asked: &Asked) -> Antenna {
    let factor =
        |percent: Option<i32>| 1.0 + f64::from(percent.unwrap_or(0).clamp(REACH_PERCENT.0, REACH_PERCENT.1)) / 100.0;
    let (up, long, under) = (factor(asked.height), factor(asked.length), factor(asked.counterpoise));
    let mut other = antenna.clone();
    for measure in other.kind.measures() {
        let by = match measure.purpose.slider {
            Some(Slider::Height) => up,
            Some(Slider::Length) => long,
            Some(Slider::Under(_)) => under,
            Some(Slider::Lean) | None => 1.0,
        };
        match measure.slot {
            Slot::Number(lean_deg) if measure.purpose.slider == Some(Slider::Lean) => {
                let asked = asked.lean.filter(|l| l.is_finite());
                *lean_deg = asked.map_or(*lean_deg, |l| l.clamp(0.0, MOST_LEAN_DEG));
            }
            Slot::Number(value) => *value *= by,
            Slot::Lengths(all) => all.iter_mut().for_each(|value| *value *= by),
            _ => {}
        }
    }
    other.kind.settle();
    other
}

fn solved(shown: &Shown, antenna: &Antenna, freq_mhz: f64, store: &Solutions) -> Result<Arc<SolvedAntenna>, String> {
    solved_in(store, antenna, shown.site.ground.constants(), freq_mhz).map_err(|e| e.to_string())
}

fn answer(ready: &Ready, shown: &Shown, store: &Solutions) -> Markup {
    match solved(shown, &shown.antenna, shown.freq_mhz, store) {
        Ok(solved) => html! {
            (shown.antenna.name) " at " (shown.site.name) " on " (shown.freq_mhz) " MHz: "
            (format!("{:.0} % of its power is radiated", 100.0 * solved.efficiency)) ", "
            (match_words(ready, &shown.antenna, shown.freq_mhz, &solved)) "."
        },
        Err(why) => html! { (why) },
    }
}

fn match_words(ready: &Ready, antenna: &Antenna, freq_mhz: f64, solved: &SolvedAntenna) -> String {
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

fn body(ready: &Ready, shown: &Shown, asked: &Asked, store: &Solutions) -> Markup {
    html! {
        form.row #choose method="get" action="/antennas" {
            (choice("site", "Site", ready.outing.sites.iter().map(|s| (s.id.as_str(), s.name.as_str())), shown.site.id.as_str()))
            (choice("antenna", "Antenna", ready.outing.antennas_at(&shown.site).map(|a| (a.id.as_str(), a.name.as_str())), shown.antenna.id.as_str()))
            label { "Frequency " select name="mhz" {
                @for f in &shown.freqs_mhz { option value=(f) selected[(f - shown.freq_mhz).abs() < 1e-9] { (f) " MHz" } }
            } }
            button { "Show" }
            fieldset.sliders {
                legend { "What if it hung otherwise?" }
                @for (name, label) in sliders(&shown.antenna.kind) { (slider(name, label, asked)) }
                div.row { button { "Solve again" }
                a.button href=(format!("/antennas?site={}&antenna={}&mhz={}", shown.site.id, shown.antenna.id, shown.freq_mhz)) { "As in the file" } }
            }
        }
        div #solved aria-live="polite" { (figures(ready, shown, store)) }
        (side_by_side(ready, shown))
        (parts::distances(&distances(ready, shown)))
        (parts::cautions(&named(&ready.outing), &cautions(&ready.outing)))
    }
}

/// Distances of the antenna at this site, as far as the plan has worked them out.
fn distances(ready: &Ready, shown: &Shown) -> Vec<String> {
    let kit = &ready.outing.kit;
    let here = |s: &&BandSafety| {
        let antenna = kit.antennas.get(s.antenna).map(|a| &a.id);
        let site = ready.outing.sites.get(s.site).map(|s| &s.id);
        antenna == Some(&shown.antenna.id) && site == Some(&shown.site.id)
    };
    let own: Vec<BandSafety> = ready.plan.safety.iter().filter(here).cloned().collect();
    if own.is_empty() {
        let words = format!(
            "The plan does not use {} here, so its distances were not worked out: `farhop exposure` does it. Keep everybody well away while sending.",
            shown.antenna.name
        );
        return vec![words];
    }
    plan_lines(&ready.outing, &own, ready.reader.units)
}

fn choice<'a>(name: &str, label: &str, all: impl Iterator<Item = (&'a str, &'a str)>, now: &str) -> Markup {
    html! {
        label { (label) " " select name=(name) { @for (id, said) in all { option value=(id) selected[id == now] { (said) } } } }
    }
}

/// The knobs of the measures that a kind has: name and label.
fn sliders(kind: &AntennaKind) -> Vec<(&'static str, &'static str)> {
    let mut kind = kind.clone();
    let knobs = kind
        .measures()
        .into_iter()
        .filter_map(|m| m.purpose.slider)
        .map(|s| match s {
            Slider::Height => (0, "height", "Height"),
            Slider::Length => (1, "length", "Length"),
            Slider::Under(label) => (2, "counterpoise", label),
            Slider::Lean => (3, "lean", "Lean"),
        });
    let in_order: BTreeSet<_> = knobs.collect();
    in_order.into_iter().map(|(_, name, label)| (name, label)).collect()
}

fn slider(name: &str, label: &str, asked: &Asked) -> Markup {
    let (low, high, unit, now) = match name {
        "lean" => (0, 70, "°", asked.lean.unwrap_or(0.0).round() as i32),
        "height" => (REACH_PERCENT.0, REACH_PERCENT.1, " %", asked.height.unwrap_or(0)),
        "length" => (REACH_PERCENT.0, REACH_PERCENT.1, " %", asked.length.unwrap_or(0)),
        _ => (REACH_PERCENT.0, REACH_PERCENT.1, " %", asked.counterpoise.unwrap_or(0)),
    };
    html! {
        label.slider { span { (label) } input type="range" name=(name) min=(low) max=(high) step="5" value=(now); output { (format!("{now:+}{unit}")) } }
    }
}

fn figures(ready: &Ready, shown: &Shown, store: &Solutions) -> Markup {
    let solved_now = solved(shown, &shown.changed, shown.freq_mhz, store);
    let built = built_at(&shown.changed, shown.site.ground.constants(), shown.freq_mhz);
    html! {
        @match (&solved_now, &built) {
            (Ok(solved), Ok(built)) => {
                div.panels {
                    @for svg in panels(&Picture {
                        name: &shown.changed.name,
                        place: &shown.site.name,
                        freq_mhz: shown.freq_mhz,
                        built,
                        solved,
                        needed_deg: needed_deg(ready, shown),
                        units: ready.reader.units,
                    }) { figure.picture { (PreEscaped(svg)) } }
                }
                (table(ready, shown, store))
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

/// The antennas of the site in the first calls from there: the chance of each.
fn side_by_side(ready: &Ready, shown: &Shown) -> Markup {
    let site = ready.outing.sites.iter().position(|s| s.id == shown.site.id);
    let mut calls: Vec<&Send> = Vec::new();
    for send in ready.plan.sends.iter().filter(|s| Some(s.route.site) == site) {
        let same = |c: &&Send| (c.route.station, c.route.channel) == (send.route.station, send.route.channel);
        if calls.len() < 4 && !calls.iter().any(same) {
            calls.push(send);
        }
    }
    let antennas: Vec<(usize, &Antenna)> = ready.outing.kit.antennas.iter().enumerate().collect();
    if calls.is_empty() {
        return html! {};
    }
    let chance_of = |send: &Send, antenna: usize| {
        let route = Route { antenna, ..send.route };
        let own = ready.plan.cell_at(&send.route, send.start)?.at;
        let strip = ready.plan.strip_of(&route)?;
        strip.cells.iter().find(|c| c.at == own).map(|c| c.chance())
    };
    html! {
        section {
            h2 { "Side by side, in the first calls from here" }
            div.scroll tabindex="0" role="region" aria-label="Antennas side by side" {
            table.list {
                thead { tr { th { "Call" } @for (_, a) in &antennas { th.number { (a.name) } } } }
                tbody { @for send in calls {
                    @let route = ready.viewer().route(&send.route);
                    tr {
                        th scope="row" { (route.freq_mhz) " MHz to " (route.station_name) }
                        @for (index, _) in &antennas {
                            td.number { @match chance_of(send, *index) { Some(c) => { (c.percent()) " %" }, None => "–" } }
                        }
                    }
                } }
            }
            }
            p.small { "Chance in one call in that hour of the message that is due first." }
        }
    }
}

//! Which antenna, and how to hang it? First which: a table of antennas and stations. Then how: handles on a drawing of fixed scale, and
//! what each change does to the verdict, the chances and the distances to keep.

mod effect;
mod figures;
mod handles;
mod which;

use std::sync::Arc;

use axum::extract::{Query, State};
use axum::response::{IntoResponse, Response};
use farhop_outing::{Antenna, Outing, Site, same_band};
use farhop_plan::safety::BandSafety;
use farhop_show::cautions::{cautions, named};
use farhop_show::safety::in_plan::plan_lines;
use maud::{Markup, html};
use serde::Deserialize;

use crate::app::App;
use crate::assets::address;
use crate::desk::{Ready, Stage};
use crate::pages::with_plan;
use crate::shell::{Context, Here, Page, page, parts};
use crate::storage::Solutions;
use handles::Moved;
use which::Which;

/// What is asked.
#[derive(Clone, Debug, Default, Deserialize)]
pub struct Asked {
    site: Option<String>,
    antenna: Option<String>,
    mhz: Option<f64>,
    /// Another antenna, to be seen beside.
    beside: Option<String>,
    height: Option<f64>,
    length: Option<f64>,
    counterpoise: Option<f64>,
    lean: Option<f64>,
    direction: Option<f64>,
}

impl Asked {
    fn moved(&self) -> Moved {
        Moved {
            height: self.height,
            length: self.length,
            counterpoise: self.counterpoise,
            lean: self.lean,
            direction: self.direction,
        }
    }
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
    with_plan(&app, &context, Here::Antennas, |ready, context| {
        let (answer, body) = match chosen(ready, &asked) {
            Some(shown) => (
                Which::at(ready, site_index(ready, &shown)).answer(),
                body(ready, &shown, &asked, store),
            ),
            None => (
                html! { "No antenna of the kit can be used at a site." },
                parts::edit_button(context, "/edit", "Edit the outing"),
            ),
        };
        page(
            context,
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
    piece(&app, asked, figures::figures).await
}

/// What other measures change, alone.
pub async fn effect(State(app): State<Arc<App>>, Query(asked): Query<Asked>) -> Response {
    piece(&app, asked, effect::effect).await
}

async fn piece(app: &App, asked: Asked, of: fn(&Ready, &Shown, &Solutions) -> Markup) -> Response {
    let Stage::Ready(ready) = app.desk.look().stage else {
        return axum::http::StatusCode::NOT_FOUND.into_response();
    };
    let storage = Arc::clone(app.desk.storage());
    let work = move || chosen(&ready, &asked).map(|s| of(&ready, &s, storage.solutions()).into_string());
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
        changed: handles::changed(antenna, &asked.moved(), ready.reader.units),
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

fn body(ready: &Ready, shown: &Shown, asked: &Asked, store: &Solutions) -> Markup {
    let which = Which::at(ready, site_index(ready, shown));
    let antennas = || ready.outing.antennas_at(&shown.site).filter(|a| !a.kind.is_declared());
    let beside = asked.beside.as_deref().and_then(|id| other(ready, shown, id));
    html! {
        (which.table())
        form.row #choose method="get" action="/antennas" {
            (choice("site", "Site", ready.outing.sites.iter().map(|s| (s.id.as_str(), s.name.as_str())), shown.site.id.as_str()))
            (choice("antenna", "Antenna", antennas().map(|a| (a.id.as_str(), a.name.as_str())), shown.antenna.id.as_str()))
            label { "Frequency " select name="mhz" {
                @for f in &shown.freqs_mhz { option value=(f) selected[(f - shown.freq_mhz).abs() < 1e-9] { (f) " MHz" } }
            } }
            label { "Beside " select name="beside" {
                option value="" { "none" }
                @for a in antennas().filter(|a| a.id != shown.antenna.id) {
                    option value=(a.id) selected[asked.beside.as_deref() == Some(a.id.as_str())] { (a.name) }
                }
            } }
            button { "Show" }
            fieldset.sliders {
                legend { "What if it hung otherwise?" }
                (handles::sliders(&shown.antenna, &asked.moved(), ready.reader.units))
                div.row { button { "Work it out again" }
                a.button href=(format!("/antennas?site={}&antenna={}&mhz={}", shown.site.id, shown.antenna.id, shown.freq_mhz)) { "As in the file" } }
            }
        }
        div #solved aria-live="polite" { (figures::figures(ready, shown, store)) }
        div #effect aria-live="polite" { @if asked.moved().any() && shown.changed != shown.antenna { (effect::effect(ready, shown, store)) } }
        @if let Some(beside) = &beside {
            section {
                h2 { "Beside it: " (beside.antenna.name) }
                (figures::figures(ready, beside, store))
            }
        }
        (parts::distances(&distances(ready, shown)))
        (parts::cautions(&named(&ready.outing), &cautions(&ready.outing)))
    }
}

fn site_index(ready: &Ready, shown: &Shown) -> usize {
    ready
        .outing
        .sites
        .iter()
        .position(|s| s.id == shown.site.id)
        .unwrap_or(0)
}

/// Another antenna of the site on the nearest of its bands, as it stands in the file.
fn other(ready: &Ready, shown: &Shown, id: &str) -> Option<Shown> {
    let asked = Asked {
        site: Some(shown.site.id.to_string()),
        antenna: Some(id.to_owned()),
        mhz: Some(shown.freq_mhz),
        ..Asked::default()
    };
    chosen(ready, &asked).filter(|other| other.antenna.id != shown.antenna.id)
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

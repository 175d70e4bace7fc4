//! Where the phone is and which way north is: for "point the wire along 060". The browser gives the position and the needle, and only when
//! they are tapped for; the field of the Earth and every bearing are our own.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Query, State};
use axum::routing::get;
use farhop_earth::{IgrfEpoch, Place, UtcTime, geodesic, locator};
use farhop_num::maths;
use farhop_outing::{Outing, Site};
use farhop_pages::App;
use farhop_pages::shell::{Context, Here, Page, page};
use farhop_plan::engine::axis_bearing_deg;
use maud::{Markup, html};
use serde::Deserialize;

/// How far the real declination may be from a model of the main field, degrees, as one standard deviation, from the strength of the
/// level part of the field, nT: rocks and iron around the place, which no model knows, make most of it. The formula and the figures of the
/// World Magnetic Model 2025, section on errors; from memory.
fn model_off_deg(level_nt: f64) -> f64 {
    maths::hypot(0.26, 5_417.0 / level_nt.max(1.0))
}

/// How far a phone's needle may be off when it does not say, degrees (judgement: calibrated and away from iron; more beside a radio).
const NEEDLE_OFF_DEG: f64 = 10.0;

/// The addresses.
pub fn router(app: &Arc<App>) -> Router {
    Router::new().route("/here", get(show)).with_state(Arc::clone(app))
}

/// Where the browser says that the phone is.
#[derive(Clone, Copy, Debug, Default, Deserialize)]
pub struct Told {
    lat: Option<f64>,
    lon: Option<f64>,
    /// Radius in which it is with 95 % (W3C Geolocation, `accuracy`), m.
    within_m: Option<f64>,
}

/// A place from which bearings are counted.
struct Standpoint {
    place: Place,
    /// In words: where it is, and how well that is known.
    words: String,
    site: Option<Site>,
}

async fn show(State(app): State<Arc<App>>, context: Context, Query(told): Query<Told>) -> Markup {
    let look = app.desk.look();
    let (Some(outing), Some(now)) = (&look.outing, app.desk.runtime().clock()) else {
        return framed(&context, html! { "There is no sound outing yet." }, html! {});
    };
    let stand = standpoint(outing, told);
    let answer = html! { (stand.words) };
    framed(&context, answer, body(outing, &stand, now))
}

fn framed(context: &Context, answer: Markup, body: Markup) -> Markup {
    let of = Page {
        here: Here::Elsewhere,
        question: "Where am I, and which way is north?",
        answer: Some(answer),
        body,
    };
    page(context, of)
}

/// Where the phone is; the first site while it has not said.
fn standpoint(outing: &Outing, told: Told) -> Standpoint {
    let said = told.lat.zip(told.lon).and_then(|(lat, lon)| Place::new(lat, lon).ok());
    let Some(place) = said else {
        let site = outing.sites.first().cloned();
        return Standpoint {
            place: site.as_ref().map_or_else(Place::default, |s| s.place),
            words: site.as_ref().map_or_else(String::new, |s| {
                format!("Not asked yet. Bearings below are from {}.", s.name)
            }),
            site,
        };
    };
    let off = told
        .within_m
        .filter(|m| m.is_finite() && *m >= 0.0)
        .map(|m| format!("{m:.0} m"));
    let nearest = outing
        .sites
        .iter()
        .map(|s| (geodesic(place, s.place), s))
        .min_by(|a, b| a.0.distance_km.total_cmp(&b.0.distance_km));
    let to_site = nearest.as_ref().map_or_else(String::new, |(line, site)| {
        format!(
            " {} is {:.1} km away at {:03.0}° true.",
            site.name, line.distance_km, line.bearing_deg
        )
    });
    Standpoint {
        place,
        words: format!(
            "{:.5}, {:.5} ({}), {}.{to_site}",
            place.lat_deg(),
            place.lon_deg(),
            locator::format(place, 3),
            off.map_or_else(
                || "how well is not said".to_owned(),
                |m| format!("within {m} on 95 of 100 such readings")
            ),
        ),
        site: nearest.map(|(_, site)| site.clone()),
    }
}

/// Something to point at.
struct Wanted {
    name: String,
    true_deg: f64,
}

fn body(outing: &Outing, stand: &Standpoint, now: UtcTime) -> Markup {
    let field = IgrfEpoch::at(now.decimal_year()).map(|epoch| epoch.field(stand.place, 0.0));
    let wires = stand
        .site
        .iter()
        .flat_map(|site| outing.antennas_at(site))
        .filter_map(|antenna| {
            Some(Wanted {
                name: format!("{}, along the wire", antenna.name),
                true_deg: axis_bearing_deg(antenna)?,
            })
        });
    let stations = outing.stations.iter().map(|station| Wanted {
        name: format!("Toward {}", station.name),
        true_deg: geodesic(stand.place, station.place).bearing_deg,
    });
    let all: Vec<Wanted> = wires.chain(stations).collect();
    html! {
        p { button #locate type="button" hidden { "Ask the phone where I am" } }
        p #located role="status" {}
        @match &field {
            Ok(field) => {
                @let east_deg = field.declination_deg();
                @let off_deg = model_off_deg(maths::hypot(field.north_nt, field.east_nt));
                p {
                    "Here a compass points " b { (format!("{:.1}°", east_deg.abs())) } (if east_deg >= 0.0 { " east" } else { " west" })
                    " of true north, by the model IGRF-14, good to about " (format!("{off_deg:.1}°")) "; iron nearby turns it further."
                }
                section #compass data-east=(format!("{east_deg:.2}")) data-off=(NEEDLE_OFF_DEG) data-model=(format!("{off_deg:.1}")) {
                    h2 { "Point along" }
                    label { "What " select #along {
                        @for of in &all { option value=(format!("{:.1}", of.true_deg)) { (of.name) } }
                    } }
                    p { button #needle type="button" hidden { "Use the phone's needle" } }
                    p #heading.answer role="status" {}
                }
                table {
                    thead { tr { th scope="col" { "What" } th scope="col" { "True" } th scope="col" { "On a compass" } } }
                    tbody { @for of in &all { tr {
                        th scope="row" { (of.name) }
                        td { (bearing(of.true_deg)) }
                        td { (bearing(of.true_deg - east_deg)) }
                    } } }
                }
            }
            Err(why) => p { (why) },
        }
        p.small { "The position is asked for once each time you tap, stays on this phone, and is not kept." }
    }
}

fn bearing(degrees: f64) -> String {
    let turned = degrees.round().rem_euclid(360.0);
    format!("{turned:03.0}°")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_needle_is_less_sure_where_the_field_goes_down() {
        let (equator, near_pole) = (model_off_deg(38_000.0), model_off_deg(6_000.0));
        assert!(equator < 0.31 && near_pole > 0.9, "{equator} {near_pole}");
    }

    #[test]
    fn bearings_have_three_digits_and_stay_on_the_rose() {
        for (degrees, said) in [(6.2, "006°"), (-3.6, "356°"), (359.7, "000°"), (0.0, "000°")] {
            assert_eq!(bearing(degrees), said);
        }
    }
}

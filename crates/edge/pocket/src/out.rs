//! What goes out of the phone for other programs: the plan and the log in open formats, each a file to be saved.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use farhop_day::state;
use farhop_earth::UtcTime;
use farhop_earth::clock::zone;
use farhop_exchange::calendar::calendar;
use farhop_exchange::geo::geojson;
use farhop_exchange::gpx::gpx;
use farhop_exchange::tables::calls_csv;
use farhop_exchange::{Exported, Paths};
use farhop_journal::adif::{AdifSetting, USUAL_MODE, adif};
use farhop_pages::{App, Ready, Stage};

use crate::phone::saved_as;

/// A file that can be had.
pub struct Format {
    /// Its name.
    pub name: &'static str,
    /// What stands on the link.
    pub label: &'static str,
    /// For what it is.
    pub means: &'static str,
    kind: &'static str,
    make: fn(&App, &Ready, UtcTime) -> Result<String, String>,
}

/// All of them.
pub const FORMATS: [Format; 6] = [
    Format {
        name: "outing.ics",
        label: "Calendar",
        means: "the calls with their alarms",
        kind: "text/calendar; charset=utf-8",
        make: |_, ready, now| Ok(calendar(&exported(ready)?.as_ref(), now)),
    },
    Format {
        name: "outing.gpx",
        label: "Track",
        means: "sites and paths, for maps and navigators",
        kind: "application/gpx+xml; charset=utf-8",
        make: |_, ready, now| gpx(&exported(ready)?.as_ref(), Paths::Used, now).map_err(|e| e.to_string()),
    },
    Format {
        name: "outing.geojson",
        label: "Map",
        means: "the same as GeoJSON",
        kind: "application/geo+json; charset=utf-8",
        make: |_, ready, _| Ok(geojson(&exported(ready)?.as_ref(), Paths::Used)),
    },
    Format {
        name: "calls.csv",
        label: "Table",
        means: "the calls, a row each",
        kind: "text/csv; charset=utf-8",
        make: |_, ready, _| calls_csv(&ready.view()).map_err(|e| e.to_string()),
    },
    Format {
        name: "plan.json",
        label: "Data",
        means: "all of the plan",
        kind: "application/json",
        make: |_, ready, _| {
            serde_json::to_string_pretty(&ready.view())
                .map(|text| text + "\n")
                .map_err(|e| e.to_string())
        },
    },
    Format {
        name: "contacts.adi",
        label: "Contacts",
        means: "what was reached, for logging programs (ADIF)",
        kind: "text/plain; charset=utf-8",
        make: contacts,
    },
];

/// The addresses.
pub fn router(app: &Arc<App>) -> Router {
    Router::new()
        .route("/out/{name}", get(give))
        .with_state(Arc::clone(app))
}

async fn give(State(app): State<Arc<App>>, Path(name): Path<String>) -> Response {
    let Some(format) = FORMATS.iter().find(|f| f.name == name) else {
        return StatusCode::NOT_FOUND.into_response();
    };
    let Stage::Ready(ready) = app.desk.look().stage else {
        return (StatusCode::SERVICE_UNAVAILABLE, "There is no plan yet.").into_response();
    };
    let made = match app.desk.runtime().clock() {
        Some(now) => (format.make)(&app, &ready, now),
        None => Err("The clock of this phone stands where no clock can stand.".to_owned()),
    };
    match made {
        Ok(text) => saved_as(format.name, format.kind, text),
        Err(why) => (StatusCode::INTERNAL_SERVER_ERROR, why).into_response(),
    }
}

/// An outing with its plan and the zone in which people read times.
struct Whole<'a> {
    ready: &'a Ready,
    zone: jiff::tz::TimeZone,
}

impl Whole<'_> {
    fn as_ref(&self) -> Exported<'_> {
        Exported {
            outing: &self.ready.outing,
            plan: &self.ready.plan,
            zone: &self.zone,
        }
    }
}

fn exported(ready: &Ready) -> Result<Whole<'_>, String> {
    let zone = zone(&ready.outing.header.time_zone).map_err(|e| e.to_string())?;
    Ok(Whole { ready, zone })
}

fn contacts(app: &App, ready: &Ready, now: UtcTime) -> Result<String, String> {
    let outing = &ready.outing;
    let day = app.desk.storage().day(outing).map_err(|e| e.to_string())?;
    let day = state(day.entries.standing(), outing, outing.header.last_that_counts());
    let setting = AdifSetting {
        program: "Farhop",
        version: env!("CARGO_PKG_VERSION"),
        made_at: now,
        mode: USUAL_MODE,
    };
    Ok(adif(&day, &setting).0)
}

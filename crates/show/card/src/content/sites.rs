//! Sites with the fallback, and the sun above them.

use farhop_earth::clock::{in_zone, local_hm};
use farhop_earth::sun::Daylight;
use farhop_earth::{UtcTime, locator, sun_events};
use farhop_outing::Site;

use super::windows::{WindowRow, row};
use crate::source::Source;

/// One site.
#[derive(Clone, Debug, PartialEq)]
pub struct SiteRow {
    /// Its name.
    pub name: String,
    /// Its grid locator.
    pub locator: String,
    /// Latitude and longitude: `43.4800 S 170.9000 E`.
    pub place: String,
    /// Height above the sea.
    pub elevation: String,
    /// From when to when somebody is there, where that is not the whole outing.
    pub stay: String,
    /// It is the one to fall back to.
    pub fallback: bool,
    /// The first call from there; none where there is none.
    pub best: Option<WindowRow>,
    /// The chance of the message that is due first when one goes there instead: `"arrived" 85 %`; empty where nobody looked.
    pub instead: String,
}

/// Sun of one day.
#[derive(Clone, Debug, PartialEq)]
pub struct SunRow {
    /// Local day.
    pub day: String,
    /// First light (sun 6° below the horizon), sunrise, sunset, last light; a dash where it does not happen.
    pub times: [String; 4],
}

/// Most days for which the sun is told.
const MOST_DAYS: i64 = 7;
/// Seconds in a day.
const DAY_S: i64 = 86_400;

/// All sites, the fallback last.
#[must_use]
pub fn rows(source: &Source<'_>) -> Vec<SiteRow> {
    let mut rows: Vec<SiteRow> = source
        .outing
        .sites
        .iter()
        .enumerate()
        .map(|(k, s)| site_row(source, k, s))
        .collect();
    rows.sort_by_key(|r| r.fallback);
    rows
}

fn site_row(source: &Source<'_>, index: usize, site: &Site) -> SiteRow {
    let mut sends = source.plan.sends.iter().enumerate();
    let first = sends.find(|(_, s)| s.route.site == index);
    let lead = source.plan.bottom.and_then(|b| source.outing.messages.get(b.message));
    let other = source.plan.elsewhere.iter().find(|e| e.site == index);
    let instead = lead.zip(other).map_or_else(String::new, |(message, of)| {
        format!("\"{}\" {} %", message.id, of.chance.percent())
    });
    let moment = |time: UtcTime| {
        let day = in_zone(time, &source.reader.zone).strftime("%a %-d").to_string();
        format!("{day} {}", local_hm(time, &source.reader.zone))
    };
    let stay = match (site.from, site.until) {
        (None, None) => String::new(),
        _ => {
            let (from, until) = source.outing.stay_at(site);
            format!("{}–{}", moment(from), moment(until))
        }
    };
    SiteRow {
        name: site.name.clone(),
        locator: locator::format(site.place, 3),
        place: place_words(site.place.lat_deg(), site.place.lon_deg()),
        elevation: source.reader.units.whole_length(site.elevation_m),
        stay,
        fallback: site.fallback,
        best: first.map(|(place, send)| row(source, place, send)),
        instead,
    }
}

/// `43.4800 S 170.9000 E`.
fn place_words(lat_deg: f64, lon_deg: f64) -> String {
    let ns = if lat_deg < 0.0 { 'S' } else { 'N' };
    let ew = if lon_deg < 0.0 { 'W' } else { 'E' };
    format!("{:.4} {ns} {:.4} {ew}", lat_deg.abs(), lon_deg.abs())
}

/// The sun at the site of the first call, or the first one, on each local day of the outing.
#[must_use]
pub fn sun(source: &Source<'_>) -> Vec<SunRow> {
    let best = source.plan.first_send().map_or(0, |s| s.route.site);
    let Some(site) = source.outing.sites.get(best) else {
        return Vec::new();
    };
    let header = &source.outing.header;
    let offset_s = i64::from(in_zone(header.start, &source.reader.zone).offset().seconds());
    let local_midnight = header
        .start
        .add_s(-(header.start.unix_s() + offset_s).rem_euclid(DAY_S));
    (0..MOST_DAYS)
        .map(|day| local_midnight.add_s(day * DAY_S))
        .take_while(|start| start.unix_s() < header.end.unix_s())
        .map(|start| sun_row(source, site, start))
        .collect()
}

fn sun_row(source: &Source<'_>, site: &Site, start: UtcTime) -> SunRow {
    let events = sun_events(site.place, start);
    let shown = |time: Option<UtcTime>| time.map_or_else(|| "–".to_owned(), |t| local_hm(t, &source.reader.zone));
    let mut times = [events.civil_dawn, events.sunrise, events.sunset, events.civil_dusk].map(shown);
    match events.daylight {
        Daylight::Crosses => {}
        Daylight::PolarDay => times[1] = "up all day".to_owned(),
        Daylight::PolarNight => times[1] = "stays down".to_owned(),
    }
    SunRow {
        day: in_zone(start, &source.reader.zone).strftime("%a %-d").to_string(),
        times,
    }
}

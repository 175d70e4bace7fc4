//! The calls worth a line, the most needed first.

use farhop_earth::clock::{in_zone, local_hm, utc_hm};
use farhop_plan::Chance;
use farhop_plan::schedule::Send;
use farhop_show::plan_view::Viewer;

use crate::source::Source;

/// Most windows that are thought of.
const MOST: usize = 24;

/// One window.
#[derive(Clone, Debug, PartialEq)]
pub struct WindowRow {
    /// Index into the plan's schedule.
    pub window: usize,
    /// When it begins, s since 1970: for the order by time.
    pub start_s: i64,
    /// Local day: `Sat 12`.
    pub day: String,
    /// Local span: `18:00–20:00`.
    pub local: String,
    /// The same in universal time.
    pub utc: String,
    /// Frequency, MHz.
    pub freq_mhz: f64,
    /// The same, as it is dialled.
    pub mhz: String,
    /// Callsign of the station.
    pub callsign: String,
    /// Its name.
    pub station: String,
    /// Name of the site.
    pub site: String,
    /// Bearing from true north, degrees.
    pub bearing_true_deg: f64,
    /// The same, as it is printed.
    pub true_deg: String,
    /// Bearing on a compass, degrees.
    pub magnetic_deg: String,
    /// Index of the site and of the kit's antenna.
    pub hung: (usize, usize),
    /// Name of the antenna.
    pub antenna: String,
    /// Chance for its most urgent message: `81 %`.
    pub chance: String,
    /// The word for it.
    pub word: String,
    /// It is from a fallback site.
    pub fallback: bool,
}

/// The calls worth a line, the most needed first: each message's first two, then its further ones, then the rest.
#[must_use]
pub fn rows(source: &Source<'_>) -> Vec<WindowRow> {
    let sends = &source.plan.sends;
    wanted(source)
        .into_iter()
        .filter_map(|index| sends.get(index).map(|send| row(source, index, send)))
        .collect()
}

fn wanted(source: &Source<'_>) -> Vec<usize> {
    let plan = source.plan;
    let order = super::messages::by_urgency(source.outing);
    let choice = |rank: usize| {
        order
            .iter()
            .filter_map(move |m| plan.messages.get(*m)?.sends.get(rank).copied())
            .collect::<Vec<_>>()
    };
    let mut wanted: Vec<usize> = (0..4).flat_map(choice).collect();
    wanted.extend(0..plan.sends.len());
    let mut seen = Vec::new();
    for index in wanted {
        if !seen.contains(&index) && seen.len() < MOST {
            seen.push(index);
        }
    }
    seen
}

/// A call as a row.
#[must_use]
pub fn row(source: &Source<'_>, index: usize, send: &Send) -> WindowRow {
    let viewer = Viewer {
        outing: source.outing,
        plan: source.plan,
    };
    let route = viewer.route(&send.route);
    let zone = &source.reader.zone;
    let chance = send.messages.first().map_or(Chance::NONE, |m| m.chance);
    WindowRow {
        window: index,
        start_s: send.start.unix_s(),
        day: in_zone(send.start, zone).strftime("%a %-d").to_string(),
        local: format!("{}–{}", local_hm(send.start, zone), local_hm(send.end, zone)),
        utc: format!("{}–{}", utc_hm(send.start), utc_hm(send.end)),
        freq_mhz: route.freq_mhz,
        mhz: mhz(route.freq_mhz),
        callsign: route.callsign,
        station: route.station_name,
        site: route.site_name,
        bearing_true_deg: route.bearing_true_deg,
        true_deg: degrees(route.bearing_true_deg),
        magnetic_deg: degrees(route.bearing_magnetic_deg),
        hung: (send.route.site, send.route.antenna),
        antenna: route.antenna_name,
        chance: format!("{} %", chance.percent()),
        word: chance.word().word().to_owned(),
        fallback: source.outing.sites.get(send.route.site).is_some_and(|s| s.fallback),
    }
}

/// A frequency with at least three decimals, as many as it needs.
#[must_use]
pub fn mhz(freq_mhz: f64) -> String {
    let hundred_hz = format!("{freq_mhz:.4}");
    hundred_hz.strip_suffix('0').unwrap_or(&hundred_hz).to_owned()
}

/// A bearing of three figures; north is 000.
#[must_use]
pub fn degrees(bearing_deg: f64) -> String {
    format!("{:03.0}°", bearing_deg.rem_euclid(360.0).round().rem_euclid(360.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_as_they_are_dialled_and_walked() {
        assert_eq!(mhz(7.0495), "7.0495");
        assert_eq!(mhz(3.594), "3.594");
        assert_eq!(mhz(14.0), "14.000");
        assert_eq!(degrees(359.7), "000°");
        assert_eq!(degrees(7.2), "007°");
        assert_eq!(degrees(-10.0), "350°");
    }
}

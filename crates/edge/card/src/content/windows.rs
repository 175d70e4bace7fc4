//! The windows worth a line, the most needed first.

use farhop_plan::delivery::Attempted;
use farhop_report::clock::{in_zone, local_hm, utc_hm};
use farhop_report::plan_view::Viewer;

use crate::source::Source;

/// Most windows that are thought of.
const MOST: usize = 24;

/// One window.
#[derive(Clone, Debug, PartialEq)]
pub struct WindowRow {
    /// Index into the plan's ranked windows.
    pub window: usize,
    /// When it begins, s since 1970: for the order by time.
    pub start_s: i64,
    /// Local day: `Sat 12`.
    pub day: String,
    /// Local span: `18:00–20:00`.
    pub local: String,
    /// The same in universal time.
    pub utc: String,
    /// Frequency, MHz, as it is dialled.
    pub mhz: String,
    /// Callsign of the station.
    pub callsign: String,
    /// Its name.
    pub station: String,
    /// Name of the site.
    pub site: String,
    /// Bearing from true north, degrees.
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

/// The windows worth a line, the most needed first: each message's first two choices, what the plan names, then the further choices.
#[must_use]
pub fn rows(source: &Source<'_>) -> Vec<WindowRow> {
    let ranked = &source.plan.ranked;
    wanted(source)
        .into_iter()
        .filter_map(|index| ranked.get(index).map(|entry| row(source, index, entry)))
        .collect()
}

fn wanted(source: &Source<'_>) -> Vec<usize> {
    let plan = source.plan;
    let order = super::messages::by_urgency(source.outing);
    let choice = |rank: usize| {
        order
            .iter()
            .filter_map(move |m| plan.orders.get(*m)?.get(rank).map(|e| e.window))
            .collect::<Vec<_>>()
    };
    let mut wanted = choice(0);
    wanted.extend(choice(1));
    wanted.extend(plan.named.iter().copied());
    (2..4).for_each(|rank| wanted.extend(choice(rank)));
    let mut seen = Vec::new();
    for index in wanted {
        if !seen.contains(&index) && seen.len() < MOST {
            seen.push(index);
        }
    }
    seen
}

/// A window as a row.
#[must_use]
pub fn row(source: &Source<'_>, index: usize, entry: &Attempted) -> WindowRow {
    let viewer = Viewer {
        outing: source.outing,
        plan: source.plan,
    };
    let window = &entry.window;
    let route = viewer.route(&window.route);
    let zone = &source.zone;
    let chance = entry.chance();
    WindowRow {
        window: index,
        start_s: window.start.unix_s(),
        day: in_zone(window.start, zone).strftime("%a %-d").to_string(),
        local: format!("{}–{}", local_hm(window.start, zone), local_hm(window.end, zone)),
        utc: format!("{}–{}", utc_hm(window.start), utc_hm(window.end)),
        mhz: mhz(route.freq_mhz),
        callsign: route.callsign,
        station: route.station_name,
        site: route.site_name,
        true_deg: degrees(route.bearing_true_deg),
        magnetic_deg: degrees(route.bearing_magnetic_deg),
        hung: (window.route.site, window.route.antenna),
        antenna: route.antenna_name,
        chance: format!("{} %", chance.percent()),
        word: chance.word().word().to_owned(),
        fallback: source.outing.sites.get(window.route.site).is_some_and(|s| s.fallback),
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

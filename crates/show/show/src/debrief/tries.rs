//! The calls of a day without names: what one may share so that forecasts can be compared with what happened.
//!
//! No callsign, no name, no position, no date: distance to 50 km, frequency to a tenth of a MHz, month, hour of the sun, activity and K
//! as assumed, the chances, and the outcome.

use std::fmt::Write as _;

use farhop_earth::{UtcTime, geodesic};

use crate::debrief::DebriefReport;

/// The columns.
pub const COLUMNS: &str =
    "distance_km,freq_mhz,month,solar_hour,r12,k,forecast_chance,believed_chance,linked,version\n";
/// Distances are told so coarsely, km.
const COARSE_KM: f64 = 50.0;

impl DebriefReport<'_> {
    /// The table as CSV, in the order of the chances, so that it does not tell the order of the day. `version` is that of the program.
    #[must_use]
    pub fn tries(&self, version: &str) -> String {
        let outing = &self.today.outing;
        let setting = farhop_plan::setting::Setting::new(outing).ok();
        let r12 = setting.as_ref().map_or(f64::NAN, |s| s.conditions.activity.r12());
        let k = setting.as_ref().and_then(|s| s.conditions.k_index);
        let k = k.map_or_else(String::new, |k| format!("{k:.0}"));
        let mut rows: Vec<(f64, String)> = self
            .attempts()
            .iter()
            .filter_map(|attempt| {
                let route = attempt.response.route;
                let (site, station) = (outing.sites.get(route.site)?, outing.stations.get(route.station)?);
                let channel = station.channels.get(route.channel)?;
                let distance_km = geodesic(site.place, station.place).distance_km;
                let row = format!(
                    "{:.0},{:.1},{},{:.0},{r12:.0},{k},{:.3},{:.3},{},{version}\n",
                    (distance_km / COARSE_KM).round() * COARSE_KM,
                    channel.freq_mhz,
                    month(attempt.at),
                    solar_hour(attempt.at, site.place.lon_deg()),
                    attempt.forecast,
                    attempt.believed,
                    u8::from(attempt.linked)
                );
                Some((attempt.forecast, row))
            })
            .collect();
        rows.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.cmp(&b.1)));
        let mut out = COLUMNS.to_owned();
        for (_, row) in rows {
            let _ = write!(out, "{row}");
        }
        out
    }
}

fn month(at: UtcTime) -> String {
    farhop_earth::clock::rfc3339(at)
        .get(5..7)
        .unwrap_or_default()
        .to_owned()
}

/// Hour of the mean sun at a longitude in degrees, 0 to 23.
fn solar_hour(at: UtcTime, lon_deg: f64) -> f64 {
    let day_h = at.unix_s().rem_euclid(86_400) as f64 / 3_600.0;
    (day_h + lon_deg / 15.0).rem_euclid(24.0).floor()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hour_of_the_sun_follows_the_longitude() {
        let noon = UtcTime::parse("2026-12-12T12:00:00Z").unwrap();
        assert_eq!(solar_hour(noon, 0.0), 12.0);
        assert_eq!(solar_hour(noon, 170.0), 23.0);
        assert_eq!(solar_hour(noon, -180.0), 0.0);
        assert_eq!(month(noon), "12");
    }
}

//! How the antenna hangs, and which way it should look.

use farhop_earth::geodesic;
use farhop_outing::antenna::Facing;
use farhop_outing::{Antenna, Outing};
use farhop_plan::strip::Route;

/// The antenna of a route as it should hang, in a sentence; none where nothing is to be said.
#[must_use]
pub fn hang_words(outing: &Outing, route: &Route) -> Option<String> {
    let (site, station) = (outing.sites.get(route.site)?, outing.stations.get(route.station)?);
    let kit = outing.kit.antennas.get(route.antenna)?;
    let antenna = outing.antennas_at(site).find(|a| a.id == kit.id)?;
    let toward_deg = geodesic(site.place, station.place).bearing_deg;
    let units = outing.header.units;
    let line = antenna.kind.hung(&|length_m| units.length(length_m))?;
    Some(format!("Hang it {line}{}.", turned(antenna, toward_deg)))
}

/// Which way it should run: across the way to the station for a wire, in its plane for a loop.
fn turned(antenna: &Antenna, toward_deg: f64) -> String {
    let across_deg = |deg: f64| (deg + 90.0).rem_euclid(180.0);
    match antenna.kind.facing() {
        Facing::Across => {
            format!(
                ", the wire running {:.0}°–{:.0}° (across the way to the station, {toward_deg:.0}° true)",
                across_deg(toward_deg),
                across_deg(toward_deg) + 180.0
            )
        }
        Facing::Edge => format!(", its edge toward the station ({toward_deg:.0}° true)"),
        Facing::Any => String::new(),
    }
}

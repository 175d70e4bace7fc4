//! How the antenna hangs, and which way it should look.

use farhop_earth::geodesic;
use farhop_outing::{Antenna, AntennaKind, Outing};
use farhop_plan::strip::Route;

/// The antenna of a route as it should hang, in a sentence; none where nothing is to be said.
#[must_use]
pub fn hang_words(outing: &Outing, route: &Route) -> Option<String> {
    let (site, station) = (outing.sites.get(route.site)?, outing.stations.get(route.station)?);
    let kit = outing.kit.antennas.get(route.antenna)?;
    let antenna = outing.antennas_at(site).find(|a| a.id == kit.id)?;
    let toward_deg = geodesic(site.place, station.place).bearing_deg;
    let line = form(&antenna.kind)?;
    Some(format!("Hang it {line}{}.", turned(antenna, toward_deg)))
}

fn form(kind: &AntennaKind) -> Option<String> {
    Some(match kind {
        AntennaKind::FlatDipole { height_m, .. } => format!("level, {height_m:.1} m up"),
        AntennaKind::InvertedV {
            apex_height_m,
            end_height_m,
            ..
        }
        | AntennaKind::LinkedDipole {
            apex_height_m,
            end_height_m,
            ..
        } => format!("with its middle {apex_height_m:.1} m and its ends {end_height_m:.1} m up"),
        AntennaKind::EndFed {
            feed_height_m,
            far_height_m,
            counterpoise_m,
            ..
        } => format!(
            "from {feed_height_m:.1} m at the feed to {far_height_m:.1} m at the far end, the counterpoise of {counterpoise_m:.1} m straight and away from it"
        ),
        AntennaKind::Vertical { radials, radial_m, .. } => format!("upright over {radials} radials of {radial_m:.1} m"),
        AntennaKind::Whip { mast_m, .. } => format!("upright, {mast_m:.1} m above the ground at its foot"),
        AntennaKind::SmallLoop { height_m, .. } => {
            format!("upright, its lowest point {height_m:.1} m up, clear of people")
        }
        AntennaKind::HorizontalLoop { height_m, .. } => format!("level all round, {height_m:.1} m up"),
        AntennaKind::DeltaLoop { apex_height_m, .. } => format!("with its top {apex_height_m:.1} m up"),
        _ => return None,
    })
}

/// Which way it should run: across the way to the station for a wire, in its plane for a loop.
fn turned(antenna: &Antenna, toward_deg: f64) -> String {
    let across_deg = |deg: f64| (deg + 90.0).rem_euclid(180.0);
    match antenna.kind {
        AntennaKind::FlatDipole { .. } | AntennaKind::InvertedV { .. } | AntennaKind::LinkedDipole { .. } => {
            format!(
                ", the wire running {:.0}°–{:.0}° (across the way to the station, {toward_deg:.0}° true)",
                across_deg(toward_deg),
                across_deg(toward_deg) + 180.0
            )
        }
        AntennaKind::SmallLoop { .. } => format!(", its edge toward the station ({toward_deg:.0}° true)"),
        _ => String::new(),
    }
}

//! Sites and stations as waypoints, paths as tracks. Order of elements and ranges by the GPX 1.1 schema.

use std::io;

use farhop_earth::clock::rfc3339;
use farhop_earth::{Place, geodesic};
use farhop_outing::{Site, Station};
use farhop_show::plan_view::declination_deg;
use quick_xml::Writer;
use quick_xml::events::{BytesDecl, BytesText, Event};

use crate::great_circle::{LinePoint, parts};
use crate::{Exported, Paths};

type Xml = Writer<Vec<u8>>;

/// The file as text; `made_at` is the instant at which it is made.
///
/// # Errors
/// Only if writing to memory fails.
pub fn gpx(exported: &Exported<'_>, paths: Paths, made_at: farhop_earth::UtcTime) -> io::Result<String> {
    let mut xml = Writer::new_with_indent(Vec::new(), b' ', 1);
    xml.write_event(Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None)))?;
    xml.create_element("gpx")
        .with_attribute(("version", "1.1"))
        .with_attribute(("creator", "Farhop"))
        .with_attribute(("xmlns", "http://www.topografix.com/GPX/1/1"))
        .write_inner_content(|xml| {
            xml.create_element("metadata").write_inner_content(|xml| {
                text(xml, "name", &exported.outing.header.name)?;
                text(xml, "time", &rfc3339(made_at))
            })?;
            for site in &exported.outing.sites {
                site_point(xml, exported, site)?;
            }
            for station in &exported.outing.stations {
                station_point(xml, station)?;
            }
            tracks(xml, exported, paths)
        })?;
    let mut bytes = xml.into_inner();
    bytes.push(b'\n');
    String::from_utf8(bytes).map_err(io::Error::other)
}

fn text(xml: &mut Xml, element: &str, content: &str) -> io::Result<()> {
    // XML 1.0 has no place for control signs, written out or not.
    let plain: String = content.chars().filter(|c| !c.is_control() || *c == '\n').collect();
    xml.create_element(element).write_text_content(BytesText::new(&plain))?;
    Ok(())
}

fn site_point(xml: &mut Xml, exported: &Exported<'_>, site: &Site) -> io::Result<()> {
    // The schema counts the declination from 0 to below 360, east of true north.
    let magvar_deg = declination_deg(&exported.plan.setting.field, site).rem_euclid(360.0);
    let magvar = format!("{magvar_deg:.1}");
    point(xml, "wpt", site.place, |xml| {
        text(xml, "ele", &format!("{:.1}", site.elevation_m))?;
        text(xml, "magvar", if magvar == "360.0" { "0.0" } else { &magvar })?;
        text(xml, "name", &site.name)?;
        if !site.notes.is_empty() {
            text(xml, "desc", &site.notes)?;
        }
        text(xml, "type", "site")
    })
}

fn station_point(xml: &mut Xml, station: &Station) -> io::Result<()> {
    let channels: Vec<String> = station.channels.iter().map(|c| format!("{} MHz", c.freq_mhz)).collect();
    point(xml, "wpt", station.place, |xml| {
        text(xml, "name", &format!("{} {}", station.callsign, station.name))?;
        text(xml, "desc", &channels.join(", "))?;
        text(xml, "type", "station")
    })
}

fn tracks(xml: &mut Xml, exported: &Exported<'_>, paths: Paths) -> io::Result<()> {
    for (i, j) in exported.pairs(paths) {
        if let (Some(site), Some(station)) = (exported.outing.sites.get(i), exported.outing.stations.get(j)) {
            track(xml, site, station)?;
        }
    }
    Ok(())
}

/// A track has a segment for each side of the antimeridian: no map then draws a line around the world.
fn track(xml: &mut Xml, site: &Site, station: &Station) -> io::Result<()> {
    let line = geodesic(site.place, station.place);
    let said = format!("{:.0} km, bearing {:.0}° true", line.distance_km, line.bearing_deg);
    xml.create_element("trk").write_inner_content(|xml| {
        text(xml, "name", &format!("{} to {}", site.name, station.callsign))?;
        text(xml, "desc", &said)?;
        text(xml, "type", "path")?;
        for part in parts(site.place, station.place) {
            xml.create_element("trkseg")
                .write_inner_content(|xml| part.iter().try_for_each(|p| track_point(xml, *p)))?;
        }
        Ok(())
    })?;
    Ok(())
}

fn track_point(xml: &mut Xml, at: LinePoint) -> io::Result<()> {
    // The schema's longitude is -180 to below 180, and a segment that comes from the west must not end on the other side of a map: it
    // ends a centimetre before the line.
    let lon = format!("{:.7}", at.lon_deg);
    let lon = if lon == "180.0000000" { "179.9999999" } else { &lon };
    xml.create_element("trkpt")
        .with_attribute(("lat", format!("{:.7}", at.lat_deg).as_str()))
        .with_attribute(("lon", lon))
        .write_empty()?;
    Ok(())
}

fn point(
    xml: &mut Xml,
    element: &str,
    place: Place,
    content: impl FnOnce(&mut Xml) -> io::Result<()>,
) -> io::Result<()> {
    // The schema's longitude is -180 to below 180.
    let lon = format!("{:.7}", place.lon_deg());
    let lon = if lon == "180.0000000" { "-180.0000000" } else { &lon };
    let lat = format!("{:.7}", place.lat_deg());
    xml.create_element(element)
        .with_attribute(("lat", lat.as_str()))
        .with_attribute(("lon", lon))
        .write_inner_content(content)?;
    Ok(())
}

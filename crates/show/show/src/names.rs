//! Ids and names of what an outing lists, by index; empty where there is no such thing.

use farhop_outing::Outing;

/// Id of a site.
pub(crate) fn site_id(outing: &Outing, index: usize) -> String {
    outing.sites.get(index).map_or_else(String::new, |s| s.id.to_string())
}

/// Name of a site.
pub(crate) fn site_name(outing: &Outing, index: usize) -> &str {
    outing.sites.get(index).map_or("", |s| s.name.as_str())
}

/// Id of a station.
pub(crate) fn station_id(outing: &Outing, index: usize) -> &str {
    outing.stations.get(index).map_or("", |s| s.id.as_str())
}

/// Id of a message.
pub(crate) fn message_id(outing: &Outing, index: usize) -> &str {
    outing.messages.get(index).map_or("", |m| m.id.as_str())
}

/// Id of an antenna.
pub(crate) fn antenna_id(outing: &Outing, index: usize) -> String {
    let antenna = outing.kit.antennas.get(index);
    antenna.map_or_else(String::new, |a| a.id.to_string())
}

/// Name of an antenna.
pub(crate) fn antenna_name(outing: &Outing, index: usize) -> &str {
    outing.kit.antennas.get(index).map_or("", |a| a.name.as_str())
}

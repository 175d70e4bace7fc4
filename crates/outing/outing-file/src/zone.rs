//! The zone of the outing.

use jiff::tz::TimeZone;

use crate::fields::Fields;
use crate::session::Session;
use crate::suggest;

/// Looks the zone up, so that local times can be read. An unknown one is reported.
pub(crate) fn set(s: &mut Session, f: &mut Fields<'_>) {
    let Some(name) = f.text(s, "time_zone") else { return };
    match TimeZone::get(name.trim()) {
        Ok(zone) => s.zone = zone,
        Err(_) => {
            let known: Vec<String> = jiff::tz::db().available().map(|n| n.as_str().to_owned()).collect();
            let hint = match suggest::nearest(&name, known.iter().map(String::as_str)) {
                Some(near) => format!("Did you mean \"{near}\"?"),
                None => "Write its IANA name, for example \"Pacific/Auckland\" or \"Europe/Oslo\".".to_owned(),
            };
            if let Some(value) = f.get(s, "time_zone") {
                let (spot, path) = (f.spot_of(value), f.path_of("time_zone"));
                s.error(spot, &path, format!("there is no time zone \"{name}\""), hint);
            }
        }
    }
}

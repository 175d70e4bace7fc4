//! From a plan to the text.

use std::fmt::Write as _;

use farhop_earth::UtcTime;
use farhop_earth::clock::in_zone;
use farhop_plan::schedule::Send;

use super::{CodeMessage, CodeSite, CodeStation, CodeWindow, FIELD, LONGEST, LONGEST_NAME, MAGIC, PlanCode, RECORD};
use crate::content::WindowRow;
use crate::content::messages::by_urgency;
use crate::source::Source;

/// Signs of the alphanumeric mode besides letters and digits, less the two separators (ISO/IEC 18004, table 5).
const SIGNS: &str = " %+-./:";

/// Most calls of a message that the text names in order.
const MOST_ORDER: usize = 4;

/// A name in the letters of the text; what they do not have becomes a full stop.
#[must_use]
pub(crate) fn plain(name: &str) -> String {
    let upper = name
        .chars()
        .flat_map(char::to_uppercase)
        .map(|c| if c == '_' { '-' } else { c });
    let allowed = |c: char| c.is_ascii_uppercase() || c.is_ascii_digit() || SIGNS.contains(c);
    let letters = upper.map(|c| if allowed(c) { c } else { '.' });
    letters.take(LONGEST_NAME).collect::<String>().trim().to_owned()
}

fn four_decimals(degrees: f64) -> f64 {
    // No "-0".
    (degrees * 10_000.0).round() / 10_000.0 + 0.0
}

impl PlanCode {
    /// The plan's windows as far as the text may hold them, the most needed kept.
    #[must_use]
    pub fn new(source: &Source<'_>, windows: &[WindowRow]) -> Self {
        let mut count = windows.len();
        loop {
            let kept = windows.get(..count).unwrap_or_default();
            let code = Self::with_windows(source, kept);
            if count == 0 || code.text().len() <= LONGEST {
                return code;
            }
            count -= 1;
        }
    }

    fn with_windows(source: &Source<'_>, rows: &[WindowRow]) -> Self {
        let header = &source.outing.header;
        let mut code = Self {
            name: plain(&header.name),
            callsign: header
                .operator
                .callsign
                .as_ref()
                .map_or_else(String::new, |c| plain(c.as_str())),
            start: header.start.add_s(-header.start.unix_s().rem_euclid(60)),
            offset_min: i64::from(in_zone(header.start, &source.reader.zone).offset().seconds()) / 60,
            sites: Vec::new(),
            antennas: Vec::new(),
            stations: Vec::new(),
            messages: Vec::new(),
            windows: Vec::new(),
        };
        let mut by_time: Vec<usize> = rows.iter().map(|r| r.window).collect();
        by_time.sort_by_key(|w| source.plan.sends.get(*w).map(|s| (s.start, *w)));
        // Places of the plan's windows in the text.
        let mut placed = Vec::new();
        for window in by_time {
            let entry = source.plan.sends.get(window);
            if entry.and_then(|a| code.push_window(source, a)).is_some() {
                placed.push(window);
            }
        }
        code.push_messages(source, &placed);
        code
    }

    fn minutes_after(&self, time: UtcTime) -> i64 {
        (time.unix_s() - self.start.unix_s()).div_euclid(60)
    }

    fn push_window(&mut self, source: &Source<'_>, send: &Send) -> Option<()> {
        let site = source.outing.sites.get(send.route.site)?;
        let station = source.outing.stations.get(send.route.station)?;
        let channel = station.channels.get(send.route.channel)?;
        let antenna = source.outing.kit.antennas.get(send.route.antenna)?;
        let code_site = CodeSite {
            id: plain(site.id.as_str()),
            lat_deg: four_decimals(site.place.lat_deg()),
            lon_deg: four_decimals(site.place.lon_deg()),
            fallback: site.fallback,
        };
        let code_station = CodeStation {
            callsign: plain(station.callsign.as_str()),
            lat_deg: four_decimals(station.place.lat_deg()),
            lon_deg: four_decimals(station.place.lon_deg()),
        };
        let row = CodeWindow {
            start_min: self.minutes_after(send.start),
            length_min: self.minutes_after(send.end) - self.minutes_after(send.start),
            freq_hz: (channel.freq_mhz * 1e6).round() as u64,
            station: index_of(&mut self.stations, code_station),
            site: index_of(&mut self.sites, code_site),
            antenna: index_of(&mut self.antennas, plain(antenna.id.as_str())),
            chance_percent: send.messages.first().map_or(0, |m| m.chance.percent()),
        };
        self.windows.push(row);
        Some(())
    }

    fn push_messages(&mut self, source: &Source<'_>, placed: &[usize]) {
        for index in by_urgency(source.outing) {
            let Some(message) = source.outing.messages.get(index) else {
                continue;
            };
            let sends = source.plan.messages.get(index).map_or(&[][..], |m| m.sends.as_slice());
            let order = sends
                .iter()
                .take(MOST_ORDER)
                .filter_map(|s| placed.iter().position(|w| w == s));
            let row = CodeMessage {
                id: plain(message.id.as_str()),
                size_bytes: message.size_bytes,
                ready_min: message.ready.map_or(0, |t| self.minutes_after(t)),
                deadline_min: self.minutes_after(message.deadline),
                order: order.collect(),
            };
            self.messages.push(row);
        }
    }

    /// The text.
    #[must_use]
    pub fn text(&self) -> String {
        let minute = in_zone(self.start, &jiff::tz::TimeZone::UTC)
            .strftime("%Y%m%dT%H%M")
            .to_string();
        let head = [MAGIC, &self.name, &self.callsign, &minute, &self.offset_min.to_string()].map(str::to_owned);
        let mut records: Vec<Vec<String>> = vec![head.to_vec()];
        for s in &self.sites {
            let fallback = if s.fallback { "1" } else { "0" };
            records.push(record(
                "S",
                &[&s.id, &s.lat_deg.to_string(), &s.lon_deg.to_string(), fallback],
            ));
        }
        records.extend(self.antennas.iter().map(|a| record("A", &[a])));
        for c in &self.stations {
            records.push(record(
                "C",
                &[&c.callsign, &c.lat_deg.to_string(), &c.lon_deg.to_string()],
            ));
        }
        records.extend(self.windows.iter().map(|w| numbers("W", &window_numbers(w))));
        for m in &self.messages {
            let mut fields = record("M", &[&m.id]);
            fields.extend([
                m.size_bytes.to_string(),
                m.ready_min.to_string(),
                m.deadline_min.to_string(),
            ]);
            fields.extend(m.order.iter().map(usize::to_string));
            records.push(fields);
        }
        let mut out = String::new();
        for fields in &records {
            let _ = write!(out, "{}{RECORD}", fields.join(&FIELD.to_string()));
        }
        let _ = write!(out, "E{FIELD}{}", records.len());
        out
    }
}

fn window_numbers(w: &CodeWindow) -> [i64; 7] {
    let places = [w.station, w.site, w.antenna].map(|k| k as i64);
    [
        w.start_min,
        w.length_min,
        w.freq_hz as i64,
        places[0],
        places[1],
        places[2],
        i64::from(w.chance_percent),
    ]
}

fn record(kind: &str, fields: &[&str]) -> Vec<String> {
    std::iter::once(kind)
        .chain(fields.iter().copied())
        .map(str::to_owned)
        .collect()
}

fn numbers(kind: &str, fields: &[i64]) -> Vec<String> {
    std::iter::once(kind.to_owned())
        .chain(fields.iter().map(i64::to_string))
        .collect()
}

/// Place of a thing in a list; it is added where it is not there yet.
fn index_of<T: PartialEq>(list: &mut Vec<T>, thing: T) -> usize {
    list.iter().position(|t| *t == thing).unwrap_or_else(|| {
        list.push(thing);
        list.len() - 1
    })
}

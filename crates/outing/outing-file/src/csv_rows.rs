//! The rows of a station list.

use farhop_earth::{Place, parse_place};
use farhop_outing::rows::usual_of;
use farhop_outing::{Callsign, Channel, DailyHours, Id, NoiseClass, Station, StationAntenna};

use crate::csv_stations::{List, Row};
use crate::defaults::DefaultUsed;
use crate::lists::{hours_error, parse_hours};
use crate::session::{Session, Spot};
use crate::suggest;

impl List {
    /// The text of a column in a row; none when there is no such column or the cell is empty.
    fn cell<'r>(&self, row: &'r Row, column: &str) -> Option<&'r str> {
        let number = *self.columns.get(column)?;
        row.cells.get(number).map(str::trim).filter(|text| !text.is_empty())
    }

    /// Place of a column in a row.
    fn cell_spot(&self, row: &Row, column: &str) -> Spot {
        let number = self.columns.get(column).copied().unwrap_or(0);
        let line = self
            .text
            .get(row.start..)
            .unwrap_or_default()
            .split('\n')
            .next()
            .unwrap_or_default();
        let (mut field, mut quoted, mut begin, mut end) = (0, false, 0, line.len());
        for (i, byte) in line.bytes().enumerate() {
            if byte == b'"' {
                quoted = !quoted;
            } else if byte == self.delimiter && !quoted {
                if field == number {
                    end = i;
                    break;
                }
                field += 1;
                begin = i + 1;
            }
        }
        let cell = line.get(begin..end).unwrap_or_default();
        let begin = row.start + begin + (cell.len() - cell.trim_start().len());
        self.at(begin..begin + cell.trim().len())
    }

    /// A number with a point: where commas do not part the columns, they are what many countries write in place of it.
    fn with_point(&self, text: &str) -> String {
        let commas = text.matches(',').count();
        if self.delimiter != b',' && commas == 1 && !text.contains('.') {
            text.replace(',', ".")
        } else {
            text.to_owned()
        }
    }

    fn broken(&self, s: &mut Session, row: &Row, column: &str, cause: String, hint: &str) {
        s.error(
            self.cell_spot(row, column),
            &format!("stations_csv.{column}"),
            cause,
            hint,
        );
    }

    fn number(&self, s: &mut Session, row: &Row, column: &str) -> Option<f64> {
        let text = self.cell(row, column)?;
        match self.with_point(text).parse() {
            Ok(number) => Some(number),
            Err(_) => {
                let hint = "Write digits with a point: 7.1";
                self.broken(s, row, column, format!("{column} is \"{text}\""), hint);
                Some(f64::NAN)
            }
        }
    }

    pub(crate) fn row(&mut self, s: &mut Session, row: &Row) {
        let (Some(callsign), Some(place)) = (self.callsign(s, row), self.place(s, row)) else {
            return;
        };
        let Some(freq_mhz) = self
            .number(s, row, "mhz")
            .or_else(|| self.number(s, row, "khz").map(|khz| khz / 1000.0))
        else {
            let column = if self.columns.contains_key("mhz") { "mhz" } else { "khz" };
            self.broken(
                s,
                row,
                column,
                format!("{callsign} has no frequency"),
                "Fill the cell or remove the row.",
            );
            return;
        };
        let mut channel = Channel {
            freq_mhz,
            mode: self.cell(row, "mode").map(str::to_owned),
            hours_utc: self.hours(s, row),
            ..Channel::default()
        };
        let _ = usual_of(&mut channel, "bandwidth_hz");
        channel.bandwidth_hz = self.number(s, row, "bandwidth_hz").unwrap_or(channel.bandwidth_hz);
        let same = self
            .stations
            .iter()
            .position(|x| x.callsign == callsign && x.place == place);
        let number = same.unwrap_or(self.stations.len());
        let path = format!("station[{}]", self.before + number);
        let known = self.stations.get(number).map_or(0, |x| x.channels.len());
        s.mark(format!("{path}.channels[{known}]"), self.cell_spot(row, "callsign"));
        s.mark(
            format!("{path}.channels[{known}].mhz"),
            self.cell_spot(row, if self.cell(row, "mhz").is_some() { "mhz" } else { "khz" }),
        );
        for column in ["bandwidth_hz", "mode"] {
            if self.columns.contains_key(column) {
                s.mark(
                    format!("{path}.channels[{known}].{column}"),
                    self.cell_spot(row, column),
                );
            }
        }
        if let Some(station) = self.stations.get_mut(number).filter(|_| same.is_some()) {
            station.channels.push(channel);
            station.scan_all();
            return;
        }
        s.mark(path.clone(), self.cell_spot(row, "callsign"));
        for column in ["place", "power_w", "busy_chance", "off_chance"] {
            if self.columns.contains_key(column) {
                s.mark(format!("{path}.{column}"), self.cell_spot(row, column));
            }
        }
        if let Some(station) = self.station(s, row, (callsign, place, channel)) {
            self.stations.push(station);
        }
    }

    fn callsign(&self, s: &mut Session, row: &Row) -> Option<Callsign> {
        let text = self.cell(row, "callsign").unwrap_or_default();
        match Callsign::new(text) {
            Ok(callsign) => Some(callsign),
            Err(error) => {
                self.broken(
                    s,
                    row,
                    "callsign",
                    error.to_string(),
                    "Write it as it is sent, for example Q1ABC.",
                );
                None
            }
        }
    }

    fn place(&self, s: &mut Session, row: &Row) -> Option<Place> {
        let (column, text) = match self.cell(row, "place") {
            Some(text) => ("place", text.to_owned()),
            None => (
                "lat",
                format!(
                    "{},{}",
                    self.with_point(self.cell(row, "lat").unwrap_or("?")),
                    self.with_point(self.cell(row, "lon").unwrap_or("?"))
                ),
            ),
        };
        match parse_place(&text) {
            Ok(place) => Some(place),
            Err(error) => {
                let column = if self.columns.contains_key(column) {
                    column
                } else {
                    "place"
                };
                self.broken(
                    s,
                    row,
                    column,
                    error.to_string(),
                    "Degrees, south and west negative, or a grid locator.",
                );
                None
            }
        }
    }

    fn hours(&self, s: &mut Session, row: &Row) -> DailyHours {
        let Some(text) = self.cell(row, "hours_utc") else {
            return DailyHours::ALWAYS;
        };
        let spot = self.cell_spot(row, "hours_utc");
        let spans = parse_hours(text, &mut |error| {
            hours_error(s, spot.clone(), "stations_csv.hours_utc", &error)
        });
        DailyHours::new(spans)
    }

    fn station(&self, s: &mut Session, row: &Row, found: (Callsign, Place, Channel)) -> Option<Station> {
        let (callsign, place, channel) = found;
        let id = Id::new(&callsign.as_str().to_lowercase().replace('/', "-")).ok()?;
        let mut station = Station {
            id,
            name: self
                .cell(row, "name")
                .map_or_else(|| callsign.to_string(), str::to_owned),
            callsign,
            place,
            channels: vec![channel],
            ..Station::default()
        };
        for column in ["noise", "power_w", "antenna", "busy_chance", "off_chance"] {
            state_default(s, &mut station, column, self.cell(row, column_of(column)).is_none());
        }
        station.scan_all();
        if let Some(noise) = self.noise(s, row) {
            station.noise = noise;
        }
        if let Some(gain_dbi) = self.number(s, row, "gain_dbi") {
            station.antenna = StationAntenna::Gain { gain_dbi };
        }
        for (column, field) in [
            ("busy_chance", &mut station.busy_chance),
            ("off_chance", &mut station.off_chance),
            ("power_w", &mut station.power_w),
        ] {
            *field = self.number(s, row, column).unwrap_or(*field);
        }
        Some(station)
    }

    fn noise(&self, s: &mut Session, row: &Row) -> Option<NoiseClass> {
        let text = self.cell(row, "noise")?;
        let known: Vec<&str> = NoiseClass::WORDS.iter().map(|w| w.0).collect();
        let word = NoiseClass::WORDS.iter().find(|w| w.0.eq_ignore_ascii_case(text));
        if word.is_none() {
            let hint = suggest::hint(text, &known);
            self.broken(s, row, "noise", format!("noise is \"{text}\""), &hint);
        }
        word.map(|w| w.1)
    }
}

/// The column that gives a key of a station.
fn column_of(key: &str) -> &str {
    if key == "antenna" { "gain_dbi" } else { key }
}

/// Takes the default of a key, and tells it where the row does not give the key.
fn state_default(s: &mut Session, station: &mut Station, key: &str, missing: bool) {
    if let (Some(told), true) = (usual_of(station, key), missing) {
        s.default_used(DefaultUsed {
            key: format!("station.{key}"),
            items: vec![station.id.to_string()],
            value: told.value,
            why: told.why.to_owned(),
            topic: told.topic,
        });
    }
}

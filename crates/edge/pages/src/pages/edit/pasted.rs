//! A table of stations that is pasted: read as the outing's own list of stations is read, then written into the outing's text.

use farhop_outing::Station;
use farhop_outing_file::{Problem, read};
use toml_edit::{Array, DocumentMut, InlineTable, Table, Value, value};

use super::adding::appended;

/// What stands around a list so that it can be read by itself. Nothing of it is kept.
const AROUND: &str = "[outing]\nstart = 2026-01-01\nend = 2026-01-02\n[[site]]\nid = \"a\"\nplace = \"0,0\"\n[[kit.antenna]]\nid = \"a\"\nkind = \"inverted-v\"\nlength_m = 20\napex_height_m = 6\nend_height_m = 2\n[stations_csv]\nfile = \"pasted table\"\ndelimiter = ";

/// The text of the outing with the stations of a table; a header row comes first, one frequency a row.
///
/// # Errors
/// What is wrong with the table, by its lines; what of it cannot be taken over; that the outing's text is no TOML.
pub(crate) fn with_stations(text: &str, table: &str) -> Result<(String, usize), NotTaken> {
    let columns = Columns(
        table
            .lines()
            .find(|l| !l.trim().is_empty() && !l.starts_with('#'))
            .unwrap_or_default(),
    );
    if let Some(column) = ["hours_utc", "gain_dbi"].into_iter().find(|c| columns.has(c)) {
        return Err(NotTaken::Column(column));
    }
    let around = format!("{AROUND}\"{}\"\n", delimiter(table));
    let reading = read(&around, "outing", &|_| Ok(table.to_owned()));
    let Some(outing) = reading.outing else {
        let wrong = reading.problems.into_iter().filter(Problem::is_error).collect();
        return Err(NotTaken::Wrong(wrong));
    };
    let stations = outing.into_parts().stations;
    let mut document: DocumentMut = text.parse().map_err(|_| NotTaken::NoToml)?;
    let count = stations.len();
    let tables = stations.iter().map(|station| table_of(station, &columns));
    appended(&mut document, "station", tables).ok_or(NotTaken::NoToml)?;
    Ok((document.to_string(), count))
}

/// Why a table is not taken.
#[derive(Debug)]
pub enum NotTaken {
    /// Its rows are wrong.
    Wrong(Vec<Problem>),
    /// A column that is taken over only by a list in a file of its own.
    Column(&'static str),
    /// The outing's text is no TOML.
    NoToml,
}

/// The header row.
struct Columns<'a>(&'a str);

impl Columns<'_> {
    fn has(&self, column: &str) -> bool {
        self.0
            .split([',', ';', '\t'])
            .any(|c| c.trim().trim_matches('"').eq_ignore_ascii_case(column))
    }
}

/// What stands between the cells of the first row.
fn delimiter(table: &str) -> &'static str {
    let head = table
        .lines()
        .find(|l| !l.trim().is_empty() && !l.starts_with('#'))
        .unwrap_or_default();
    let count = |letter: char| head.matches(letter).count();
    match (count('\t'), count(';'), count(',')) {
        (tabs, semicolons, commas) if tabs > semicolons && tabs > commas => "tab",
        (_, semicolons, commas) if semicolons > commas => ";",
        _ => ",",
    }
}

/// A station as the outing file has it; what the table does not say stays unsaid.
fn table_of(station: &Station, columns: &Columns<'_>) -> Table {
    let mut table = Table::new();
    table["callsign"] = value(station.callsign.as_str());
    if station.name != station.callsign.as_str() {
        table["name"] = value(station.name.as_str());
    }
    table["place"] = value(format!("{:.4},{:.4}", station.place.lat_deg(), station.place.lon_deg()));
    let numbers = [
        ("power_w", station.power_w),
        ("busy_chance", station.busy_chance),
        ("off_chance", station.off_chance),
    ];
    for (key, number) in numbers.into_iter().filter(|(key, _)| columns.has(key)) {
        table[key] = value(number);
    }
    if columns.has("noise") {
        table["noise"] = value(station.noise.word());
    }
    let channels: Array = station
        .channels
        .iter()
        .map(|channel| {
            let mut row = InlineTable::new();
            row.insert("mhz", Value::from(channel.freq_mhz));
            row.insert("bandwidth_hz", Value::from(channel.bandwidth_hz));
            if let Some(mode) = &channel.mode {
                row.insert("mode", Value::from(mode.as_str()));
            }
            Value::InlineTable(row)
        })
        .collect();
    table["channels"] = value(channels);
    table
}

#[cfg(test)]
mod tests {
    use super::*;

    const OUTING: &str = "[outing]\nstart = 2026-12-12\nend = 2026-12-13\n\n[[site]]\nid = \"ridge\"\nplace = \"-43.4,170.9\"\n\n[[kit.antenna]]\nid = \"vee\"\nkind = \"inverted-v\"\nlength_m = 20\napex_height_m = 6\nend_height_m = 2\n";

    #[test]
    fn a_table_with_commas_semicolons_or_tabs_becomes_stations() {
        for mark in [",", ";", "\t"] {
            let table =
                "callsign,lat,lon,khz\nQ1ABC,-42.9,170.6,7050\nQ1ABC,-42.9,170.6,3590\nQ2DEF,-44.1,170.1,5356\n"
                    .replace(',', mark);
            let (text, count) = with_stations(OUTING, &table).expect("sound");
            assert_eq!(count, 2, "{text}");
            let outing = read(&text, "outing", &|_| Err(String::new()))
                .outing
                .expect("an outing");
            let first = &outing.stations[0];
            assert_eq!((first.callsign.as_str(), first.channels.len()), ("Q1ABC", 2));
            assert!((first.channels[0].freq_mhz - 7.05).abs() < 1e-9 && (first.place.lat_deg() + 42.9).abs() < 1e-9);
        }
    }

    #[test]
    fn what_is_wrong_is_told_by_the_line_of_the_table() {
        let problems = with_stations(
            OUTING,
            "callsign,lat,lon,mhz\nQ1ABC,-42.9,170.6,7.05\nQ2DEF,somewhere,170.1,5.356\n",
        )
        .expect_err("a bad row");
        let NotTaken::Wrong(problems) = problems else {
            panic!("{problems:?}")
        };
        assert!(problems.iter().all(|p| p.line == 3), "{problems:?}");
    }
}

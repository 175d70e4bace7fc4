//! `[stations_csv]`: stations from a table with a header row, one frequency a row.

use std::collections::HashMap;

use farhop_outing::Station;

use crate::fields::Fields;
use crate::reading::Loader;
use crate::session::{Session, Spot};
use crate::suggest;

/// Columns that are understood; each may be mapped to another header in `columns`.
pub(crate) const COLUMNS: [&str; 15] = [
    "callsign",
    "name",
    "place",
    "lat",
    "lon",
    "mhz",
    "khz",
    "bandwidth_hz",
    "mode",
    "hours_utc",
    "noise",
    "power_w",
    "gain_dbi",
    "busy_chance",
    "off_chance",
];

/// Reads the list; `before` is the number of stations that the file itself has.
pub(crate) fn read(s: &mut Session, mut f: Fields<'_>, load: &Loader<'_>, before: usize) -> Vec<Station> {
    if !f.has("file") {
        f.known("file");
        f.missing(s, "file", "Write file = \"stations.csv\".");
    }
    let name = f.text(s, "file");
    let spot = f.get(s, "file").map_or_else(|| f.own_spot(), |v| f.spot_of(v));
    let path = f.path_of("file");
    let said = delimiter(s, &mut f);
    let mapped = mapping(s, &mut f);
    f.finish(s);
    let Some(name) = name else { return Vec::new() };
    let text = match load(&name) {
        Ok(text) => text,
        Err(error) => {
            let hint = "The path is taken from the folder of the outing; save the list as CSV in UTF-8.";
            s.error(spot, &path, format!("\"{name}\" cannot be read: {error}"), hint);
            return Vec::new();
        }
    };
    let text = text.strip_prefix('\u{feff}').unwrap_or(&text).to_owned();
    let source = s.add_source(&name, &text);
    let delimiter = said.unwrap_or_else(|| likely_delimiter(&text));
    let mut list = List {
        source,
        text,
        columns: HashMap::new(),
        delimiter,
        stations: Vec::new(),
        before,
    };
    list.read(s, &mapped);
    list.stations
}

fn delimiter(s: &mut Session, f: &mut Fields<'_>) -> Option<u8> {
    let known = [(",", b','), (";", b';'), ("tab", b'\t')];
    f.word(s, "delimiter", &known)
}

/// The sign between the heads of the columns, where the outing does not say which: spreadsheets of many countries write semicolons.
fn likely_delimiter(text: &str) -> u8 {
    let is_row = |line: &&str| !line.trim().is_empty() && !line.starts_with('#');
    let heads = text.lines().find(is_row).unwrap_or_default();
    let count = |sign: u8| heads.bytes().filter(|b| *b == sign).count();
    // The last of the most frequent wins: a head without any of them is one column, whatever is between its columns.
    [b'\t', b';', b',']
        .into_iter()
        .max_by_key(|sign| count(*sign))
        .unwrap_or(b',')
}

/// Our column name to the header in the list, with the place where that was said.
fn mapping(s: &mut Session, f: &mut Fields<'_>) -> HashMap<&'static str, (String, Spot)> {
    let Some(mut inner) = f.inner(s, "columns") else {
        return HashMap::new();
    };
    let mut mapped = HashMap::new();
    for column in COLUMNS {
        if let Some(header) = inner.text(s, column) {
            let spot = inner
                .get(s, column)
                .map_or_else(|| inner.own_spot(), |v| inner.spot_of(v));
            mapped.insert(column, (header, spot));
        }
    }
    inner.finish(s);
    mapped
}

/// The list while it is read.
pub(crate) struct List {
    pub(crate) source: usize,
    pub(crate) text: String,
    /// Column number of each of our columns.
    pub(crate) columns: HashMap<&'static str, usize>,
    pub(crate) delimiter: u8,
    pub(crate) stations: Vec<Station>,
    pub(crate) before: usize,
}

/// One row with its place.
pub(crate) struct Row {
    pub(crate) cells: csv::StringRecord,
    pub(crate) start: usize,
}

impl List {
    fn read(&mut self, s: &mut Session, mapped: &HashMap<&'static str, (String, Spot)>) {
        let text = self.text.clone();
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(self.delimiter)
            .trim(csv::Trim::All)
            .comment(Some(b'#'))
            .flexible(true)
            .from_reader(text.as_bytes());
        let headers: Vec<String> = match reader.headers() {
            Ok(headers) => headers.iter().map(str::to_owned).collect(),
            Err(error) => {
                s.error(
                    self.at(0..0),
                    "stations_csv",
                    format!("the list is not readable: {error}"),
                    "Save it as CSV in UTF-8.",
                );
                return;
            }
        };
        if !self.find_columns(s, &headers, mapped) {
            return;
        }
        for record in reader.records() {
            match record {
                Ok(cells) => {
                    let start = cells.position().map_or(0, |p| usize::try_from(p.byte()).unwrap_or(0));
                    self.row(
                        s,
                        &Row {
                            start: self.skip_blank(start),
                            cells,
                        },
                    );
                }
                Err(error) => {
                    let start = error.position().map_or(0, |p| usize::try_from(p.byte()).unwrap_or(0));
                    let cause = format!("this row is not readable: {error}");
                    s.error(
                        self.at(start..start),
                        "stations_csv",
                        cause,
                        "Quotes must be closed on the same row.",
                    );
                }
            }
        }
        if self.stations.is_empty() {
            s.error(
                self.at(0..0),
                "stations_csv",
                "the list has no station",
                "Below the header, one frequency a row.",
            );
        }
    }

    pub(crate) fn at(&self, span: std::ops::Range<usize>) -> Spot {
        Spot {
            source: self.source,
            span,
        }
    }

    /// Skips blank and comment lines before a row.
    fn skip_blank(&self, start: usize) -> usize {
        let mut at = start;
        loop {
            let rest = self.text.get(at..).unwrap_or_default();
            let line = rest.split_inclusive('\n').next().unwrap_or_default();
            if line.ends_with('\n') && (line.trim().is_empty() || line.starts_with('#')) {
                at += line.len();
            } else {
                return at;
            }
        }
    }

    /// Finds our columns among the headers; false when nothing can be read.
    fn find_columns(
        &mut self,
        s: &mut Session,
        headers: &[String],
        mapped: &HashMap<&'static str, (String, Spot)>,
    ) -> bool {
        let known: Vec<&str> = headers.iter().map(String::as_str).collect();
        for column in COLUMNS {
            let wanted = mapped.get(column).map_or(column, |(header, _)| header.as_str());
            match headers.iter().position(|h| h.eq_ignore_ascii_case(wanted.trim())) {
                Some(number) => {
                    self.columns.insert(column, number);
                }
                None => {
                    if let Some((header, spot)) = mapped.get(column) {
                        let cause = format!("the list has no column \"{header}\"");
                        s.error(
                            spot.clone(),
                            &format!("stations_csv.columns.{column}"),
                            cause,
                            suggest::hint(header, &known),
                        );
                    }
                }
            }
        }
        let has = |column: &str| self.columns.contains_key(column);
        let lacks: Vec<&str> = [
            (has("callsign"), "callsign"),
            (has("place") || (has("lat") && has("lon")), "place (or lat and lon)"),
            (has("mhz") || has("khz"), "mhz (or khz)"),
        ]
        .into_iter()
        .filter_map(|(there, name)| (!there).then_some(name))
        .collect();
        if !lacks.is_empty() {
            let cause = format!("the list has no column {}", lacks.join(", nor "));
            let hint = format!(
                "Its columns are: {}. Map them with columns = {{ mhz = \"…\" }}.",
                known.join(", ")
            );
            s.error(
                self.at(0..self.text.find('\n').unwrap_or(0)),
                "stations_csv.columns",
                cause,
                hint,
            );
        }
        lacks.is_empty()
    }
}

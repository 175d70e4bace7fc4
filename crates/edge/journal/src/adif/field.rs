//! Fields, their data types and how values are written.

use farhop_earth::UtcTime;

/// Data types that are used here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FieldKind {
    /// ASCII characters 32 to 126.
    Text,
    /// Decimal number without exponent.
    Number,
    /// `YYYYMMDD`, universal time.
    Date,
    /// `HHMMSS`, universal time.
    Time,
    /// A word of a list.
    Enumeration,
    /// Grid locator of 2, 4, 6 or 8 characters.
    GridSquare,
    /// `XDDD MM.MMM`.
    Location,
}

impl FieldKind {
    /// The name in the specification.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Text => "String",
            Self::Number => "Number",
            Self::Date => "Date",
            Self::Time => "Time",
            Self::Enumeration => "Enumeration",
            Self::GridSquare => "GridSquare",
            Self::Location => "Location",
        }
    }
}

/// All fields that are written, with their data types.
pub const FIELDS: [(&str, FieldKind); 25] = [
    ("ADIF_VER", FieldKind::Text),
    ("CREATED_TIMESTAMP", FieldKind::Text),
    ("PROGRAMID", FieldKind::Text),
    ("PROGRAMVERSION", FieldKind::Text),
    ("QSO_DATE", FieldKind::Date),
    ("TIME_ON", FieldKind::Time),
    ("QSO_DATE_OFF", FieldKind::Date),
    ("TIME_OFF", FieldKind::Time),
    ("CALL", FieldKind::Text),
    ("BAND", FieldKind::Enumeration),
    ("FREQ", FieldKind::Number),
    ("MODE", FieldKind::Enumeration),
    ("STATION_CALLSIGN", FieldKind::Text),
    ("OPERATOR", FieldKind::Text),
    ("TX_PWR", FieldKind::Number),
    ("GRIDSQUARE", FieldKind::GridSquare),
    ("LAT", FieldKind::Location),
    ("LON", FieldKind::Location),
    ("DISTANCE", FieldKind::Number),
    ("MY_GRIDSQUARE", FieldKind::GridSquare),
    ("MY_LAT", FieldKind::Location),
    ("MY_LON", FieldKind::Location),
    ("MY_ALTITUDE", FieldKind::Number),
    ("MY_ANTENNA", FieldKind::Text),
    ("COMMENT", FieldKind::Text),
];

/// Bands between 1.6 and 30 MHz with their edges in MHz (ADIF 3.1.6, Band enumeration).
pub const BANDS: [(&str, f64, f64); 10] = [
    ("160m", 1.8, 2.0),
    ("80m", 3.5, 4.0),
    ("60m", 5.06, 5.45),
    ("40m", 7.0, 7.3),
    ("30m", 10.1, 10.15),
    ("20m", 14.0, 14.35),
    ("17m", 18.068, 18.168),
    ("15m", 21.0, 21.45),
    ("12m", 24.89, 24.99),
    ("10m", 28.0, 29.7),
];

/// The band of a frequency in MHz, if it lies in one.
#[must_use]
pub fn band(freq_mhz: f64) -> Option<&'static str> {
    let inside = |(_, low_mhz, high_mhz): &&(&str, f64, f64)| (*low_mhz..=*high_mhz).contains(&freq_mhz);
    BANDS.iter().find(inside).map(|(name, _, _)| *name)
}

/// Fields of one record, as text.
#[derive(Default)]
pub(super) struct Fields(String);

impl Fields {
    /// Adds a field; an empty value is left out. Signs that the format does not know become question marks.
    pub(super) fn put(&mut self, name: &str, value: &str) {
        let plain: String = value.chars().map(ascii).collect();
        if !plain.is_empty() {
            self.0 += &format!("<{name}:{}>{plain}\r\n", plain.len());
        }
    }

    /// Adds a field of our own, with its data type.
    pub(super) fn put_own(&mut self, name: &str, kind: char, value: &str) {
        let plain: String = value.chars().map(ascii).collect();
        if !plain.is_empty() {
            self.0 += &format!("<APP_FARHOP_{name}:{}:{kind}>{plain}\r\n", plain.len());
        }
    }

    pub(super) fn text(&self) -> String {
        self.0.clone()
    }
}

fn ascii(sign: char) -> char {
    match sign {
        ' '..='~' => sign,
        '\n' | '\r' | '\t' => ' ',
        '–' | '—' => '-',
        '‘' | '’' => '\'',
        '“' | '”' => '"',
        _ => '?',
    }
}

/// A number without exponent and without needless zeros.
pub(super) fn number(value_own_unit: f64, decimals: usize) -> String {
    let text = format!("{value_own_unit:.decimals$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// `20261212`.
pub(super) fn date(at: UtcTime) -> String {
    format!("{:04}{:02}{:02}", at.year(), at.month(), at.day())
}

/// `013500`.
pub(super) fn time(at: UtcTime) -> String {
    let second = at.unix_s().rem_euclid(86_400);
    format!("{:02}{:02}{:02}", second / 3_600, second / 60 % 60, second % 60)
}

/// `S043 28.800` from degrees; `signs` are the letters for zero and up, and for below.
pub(super) fn location(degrees_deg: f64, signs: (char, char)) -> String {
    let sign = if degrees_deg < 0.0 { signs.1 } else { signs.0 };
    // In whole thousandths of a minute, so that 59.9996 minutes become the next degree.
    let thousandths = (degrees_deg.abs() * 60_000.0).round() as u64;
    let (degrees, rest) = (thousandths / 60_000, thousandths % 60_000);
    format!("{sign}{degrees:03} {:02}.{:03}", rest / 1_000, rest % 1_000)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn locations_have_eleven_signs() {
        assert_eq!(location(-43.48, ('N', 'S')), "S043 28.800");
        assert_eq!(location(170.9, ('E', 'W')), "E170 54.000");
        assert_eq!(location(0.999_999_9, ('N', 'S')), "N001 00.000");
        assert_eq!(location(-180.0, ('E', 'W')), "W180 00.000");
        assert_eq!(location(0.0, ('N', 'S')).len(), 11);
    }

    #[test]
    fn numbers_have_no_needless_signs() {
        assert_eq!(number(7.05, 6), "7.05");
        assert_eq!(number(100.0, 3), "100");
        assert_eq!(number(0.5, 3), "0.5");
        assert_eq!(number(-0.000_1, 1), "0");
    }
}

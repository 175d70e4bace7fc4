//! The plan for another device: a short text of letters that QR codes carry cheaply, and its picture.
//!
//! The text is described in `docs/guide/card.md`.

mod picture;
mod write;

pub use picture::{CodePicture, QUIET_MODULES, picture};

use farhop_earth::UtcTime;

/// First field of the text, with the edition of the form.
pub const MAGIC: &str = "FARHOP1";
/// Separates records.
pub const RECORD: char = '$';
/// Separates fields.
pub const FIELD: char = '*';
/// Longest text that is made, letters: a code of 105 modules a side with medium correction (ISO/IEC 18004, version 22) holds 1 134
/// (from memory: 782 data codewords less 15 bits of head, 11 bits for two letters; tests build one of this length and one longer).
pub const LONGEST: usize = 1_134;
/// Longest name, letters.
pub const LONGEST_NAME: usize = 24;

/// A site in the text.
#[derive(Clone, Debug, PartialEq)]
pub struct CodeSite {
    /// Its id in capitals.
    pub id: String,
    /// Latitude, degrees, north positive, to four decimals.
    pub lat_deg: f64,
    /// Longitude, degrees, east positive, to four decimals.
    pub lon_deg: f64,
    /// It is the one to fall back to.
    pub fallback: bool,
}

/// A station in the text.
#[derive(Clone, Debug, PartialEq)]
pub struct CodeStation {
    /// Callsign.
    pub callsign: String,
    /// Latitude, degrees, north positive, to four decimals.
    pub lat_deg: f64,
    /// Longitude, degrees, east positive, to four decimals.
    pub lon_deg: f64,
}

/// A message in the text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CodeMessage {
    /// Its id in capitals.
    pub id: String,
    /// Size, bytes.
    pub size_bytes: u64,
    /// From when, minutes after the start.
    pub ready_min: i64,
    /// By when, minutes after the start.
    pub deadline_min: i64,
    /// The order to try: indices into the windows of the text.
    pub order: Vec<usize>,
}

/// A window in the text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CodeWindow {
    /// Begin, minutes after the start.
    pub start_min: i64,
    /// Length, minutes.
    pub length_min: i64,
    /// Frequency, Hz.
    pub freq_hz: u64,
    /// Index into the stations.
    pub station: usize,
    /// Index into the sites.
    pub site: usize,
    /// Index into the antennas.
    pub antenna: usize,
    /// Chance for its most urgent message, percent.
    pub chance_percent: u8,
}

/// The plan as the text carries it.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanCode {
    /// Name of the outing in capitals.
    pub name: String,
    /// Own callsign; empty where none is stated.
    pub callsign: String,
    /// Start of the outing.
    pub start: UtcTime,
    /// Local time less universal time at the start, minutes.
    pub offset_min: i64,
    /// Sites of the windows.
    pub sites: Vec<CodeSite>,
    /// Ids of the antennas of the windows, in capitals.
    pub antennas: Vec<String>,
    /// Stations of the windows.
    pub stations: Vec<CodeStation>,
    /// Messages, the most urgent first.
    pub messages: Vec<CodeMessage>,
    /// Windows by time.
    pub windows: Vec<CodeWindow>,
}

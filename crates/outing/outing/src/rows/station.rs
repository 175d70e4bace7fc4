//! `[[station]]`, its channels and its antenna.

use super::reader::TableReader;
use super::row::{About, Shape, check, section};
use super::site::{GROUND, GROUND_WHY, PLACE_HINT};
use super::values::{Value, keys};
use crate::check::Check;
use crate::hours::DailyHours;
use crate::id::Id;
use crate::limits::{self, Limit};
use crate::station::{Channel, Station, StationAntenna};
use farhop_gear::NoiseClass;

/// Frequencies that a receiver can scan.
const SCAN: Limit = Limit::new(1.0, 100.0, "");
/// Seconds that a scanning receiver stays on each frequency.
const DWELL_S: f64 = 4.0;
/// Usual antenna height of a gateway in metres.
const DIPOLE_HEIGHT_M: f64 = 10.0;

rows! { Station, "station", Forecast;
    callsign (_, around) = around.nobody() => .must("Write the callsign to call.").means("to call").form("Callsign");
    id (station) = Id::new(&station.callsign.as_str().to_lowercase().replace('/', "-")).unwrap_or_default()
        => .names().means("short name").left_out("the callsign in small letters");
    name (station) = station.callsign.to_string() => .means("for people").left_out("the callsign").form("Name");
    place => .must(PLACE_HINT).means("position").form("Place");
    noise = NoiseClass::Residential => .means("man-made noise at its receiver")
        .why("most gateways stand at somebody's home");
    ground = GROUND => .means("under its antenna").why(GROUND_WHY);
    channels => .must("Add its frequencies: channels = [{ mhz = 7.1, bandwidth_hz = 500 }].")
        .means("its frequencies `[{ mhz = 7.05, bandwidth_hz = 500 }, …]`, see below; a bare number is one in MHz of the usual width")
        .bare("mhz");
    hours_utc = DailyHours::ALWAYS => .means("hours of service").left_out("always").why("no hours of service are given");
    power_w = 100.0 => .within(limits::POWER_W).means("its transmitter").form("Power, W")
        .why("the usual power of a fixed station");
    antenna = StationAntenna::default() => .left_out("dipole, 10 m up, direction unknown")
        .means("`{ kind = \"dipole\", height_m = 10, azimuth_deg = 20 }`, `{ kind = \"vertical\", efficiency = 0.5 }` or \
                `{ kind = \"gain\", gain_dbi = 2 }`, see below")
        .why("the usual antenna of a gateway on the lower bands (common practice)");
    busy_chance = 0.15 => .within(limits::FRACTION).means("chance that it is busy when called")
        .why("gateways are shared (common practice)");
    off_chance = 0.1 => .within(limits::FRACTION).means("chance that it is off for the day")
        .why("gateways are run by volunteers (common practice)");
    scan_count (station) = scanned(station) => .within(SCAN)
        .means("frequencies that its receiver scans in turn").follows("all of its channels")
        .why("it is taken to scan all its frequencies");
    scan_cycle_s (station) = cycle_s(station.scan_count) => .within(limits::STEP_S)
        .means("seconds for one round").follows("4 for each frequency, 0 where it stays on one")
        .why("four seconds on each frequency (from memory)");
    notes => .means("free words");
}

rows! { Channel, "station.channels", Forecast;
    mhz in freq_mhz => .must("The frequency in MHz, for example 7.1.").names().within(limits::FREQ_MHZ).means("centre")
        .form("MHz").checked(in_band);
    bandwidth_hz = 500.0 => .within(limits::BANDWIDTH_HZ).means("occupied width").form("width, Hz")
        .why("the narrow kind of link, the usual one for 5 W");
    mode => .means("a rate ladder: `narrow`, `wide`, `slow` or your own").left_out("the usual one for the width");
    hours_utc => .means("hours of its own").left_out("as the station");
}

fn scanned(station: &Station) -> u32 {
    u32::try_from(station.channels.len().clamp(1, 100)).unwrap_or(1)
}

/// Seconds for one round over some frequencies.
fn cycle_s(scan_count: u32) -> f64 {
    if scan_count > 1 {
        DWELL_S * f64::from(scan_count)
    } else {
        0.0
    }
}

impl Station {
    /// Lets the receiver scan all channels, as is taken where the file does not say otherwise.
    pub fn scan_all(&mut self) {
        self.scan_count = scanned(self);
        self.scan_cycle_s = cycle_s(self.scan_count);
    }
}

fn in_band(channel: &Channel, c: &mut Check, about: &About) {
    if !limits::FREQ_MHZ.allows(channel.freq_mhz) {
        let hint = match channel.freq_mhz {
            f if (1_600.0..=30_000.0).contains(&f) => format!("It must be {}. Is {f} in kHz?", limits::FREQ_MHZ),
            _ => format!("It must be {}.", limits::FREQ_MHZ),
        };
        c.error(about.key, format!("the frequency is {} MHz", channel.freq_mhz), hint);
    }
}

/// What an antenna is, by the word of its table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Kind(&'static str);

const GAIN: Kind = Kind("gain");
const DIPOLE: Kind = Kind("dipole");
const VERTICAL: Kind = Kind("vertical");
const KINDS: [&str; 3] = [GAIN.0, DIPOLE.0, VERTICAL.0];

impl Value for Option<Kind> {
    fn shape() -> Shape {
        Shape::Word(KINDS.to_vec())
    }

    fn read(from: &mut dyn TableReader, about: &About) -> Option<Self> {
        let number = from.word(about.key, &KINDS)?;
        Some(KINDS.get(number).map(|word| Kind(word)))
    }
}

/// The table of an antenna; which of its keys there are hangs on the kind.
#[derive(Default)]
pub(super) struct AntennaTable {
    kind: Option<Kind>,
    gain_dbi: f64,
    height_m: f64,
    azimuth_deg: Option<f64>,
    efficiency: f64,
}

rows! { AntennaTable, "station.antenna", Forecast;
    kind => .must("Write kind = \"dipole\", \"vertical\" or \"gain\".").means("what it is");
    gain_dbi => .only(|a| a.kind == Some(GAIN)).must("The gain in dBi, for example 2.").within(limits::GAIN_DBI)
        .means("gain in all directions (kind `gain`)").left_out("must be given with that kind");
    height_m = DIPOLE_HEIGHT_M => .only(|a| a.kind == Some(DIPOLE)).within(limits::WIRE_HEIGHT_M)
        .means("height of a dipole").why("the usual height in a garden");
    azimuth_deg => .only(|a| a.kind == Some(DIPOLE)).within(limits::BEARING_DEG)
        .means("direction in which the wire of a dipole runs").left_out("unknown");
    efficiency = 0.5 => .only(|a| a.kind == Some(VERTICAL)).within(limits::EFFICIENCY)
        .means("of a vertical, 0 to 1").why("a vertical over a modest set of radials");
}

impl Default for StationAntenna {
    /// The usual antenna of a gateway.
    fn default() -> Self {
        Self::Dipole {
            height_m: DIPOLE_HEIGHT_M,
            azimuth_deg: None,
        }
    }
}

impl Value for StationAntenna {
    fn shape() -> Shape {
        Shape::Table(keys::<AntennaTable>())
    }

    fn read(from: &mut dyn TableReader, about: &About) -> Option<Self> {
        let mut own = AntennaTable::default();
        from.table(about.key, &mut |inner| {
            own = section(inner);
            if own.kind.is_none() {
                inner.any_key();
            }
        });
        let AntennaTable {
            gain_dbi,
            height_m,
            azimuth_deg,
            efficiency,
            ..
        } = own;
        Some(match own.kind? {
            GAIN => Self::Gain { gain_dbi },
            DIPOLE => Self::Dipole { height_m, azimuth_deg },
            _ => Self::Vertical { efficiency },
        })
    }

    fn check(&self, c: &mut Check, about: &About) {
        let own = match *self {
            Self::Gain { gain_dbi } => AntennaTable {
                kind: Some(GAIN),
                gain_dbi,
                ..AntennaTable::default()
            },
            Self::Dipole { height_m, azimuth_deg } => AntennaTable {
                kind: Some(DIPOLE),
                height_m,
                azimuth_deg,
                ..AntennaTable::default()
            },
            Self::Vertical { efficiency } => AntennaTable {
                kind: Some(VERTICAL),
                efficiency,
                ..AntennaTable::default()
            },
        };
        c.table(about.key, |c| check(c, &own));
    }
}

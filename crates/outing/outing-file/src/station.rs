//! `[[station]]`.

use farhop_outing::{Channel, Id, NoiseClass, Station, StationAntenna};

use crate::fields::Fields;
use crate::session::Session;
use crate::site;

/// Usual width of a channel in Hz.
pub(crate) const BANDWIDTH_HZ: f64 = 500.0;
/// Why that width.
pub(crate) const BANDWIDTH_WHY: &str = "the narrow kind of link, the usual one for 5 W";
/// Usual power of a gateway in watts.
pub(crate) const POWER_W: f64 = 100.0;
/// Why that power.
pub(crate) const POWER_WHY: &str = "the usual power of a fixed station";
/// Usual noise at a gateway.
pub(crate) const NOISE: (&str, NoiseClass) = ("residential", NoiseClass::Residential);
/// Why that noise.
pub(crate) const NOISE_WHY: &str = "most gateways stand at somebody's home";
/// Usual antenna height of a gateway in metres.
const DIPOLE_HEIGHT_M: f64 = 10.0;
/// Usual chance that a gateway is busy.
pub(crate) const BUSY_CHANCE: f64 = 0.15;
/// Why that chance.
pub(crate) const BUSY_WHY: &str = "gateways are shared (common practice)";
/// Usual chance that a gateway is off for the day.
pub(crate) const OFF_CHANCE: f64 = 0.1;
/// Why that chance.
pub(crate) const OFF_WHY: &str = "gateways are run by volunteers (common practice)";
/// Seconds that a scanning receiver stays on each frequency.
const DWELL_S: f64 = 4.0;

/// The usual antenna of a gateway.
pub(crate) const ANTENNA: StationAntenna = StationAntenna::Dipole {
    height_m: DIPOLE_HEIGHT_M,
    azimuth_deg: None,
};
/// Why that antenna.
pub(crate) const ANTENNA_WHY: &str = "the usual antenna of a gateway on the lower bands (common practice)";
/// The same in words.
pub(crate) const ANTENNA_WORDS: &str = "dipole, 10 m up, direction unknown";

/// Reads one station.
pub(crate) fn read(s: &mut Session, mut f: Fields<'_>, number: usize) -> Option<Station> {
    let there = f.has("callsign");
    let callsign = f.callsign(s, "callsign");
    if !there {
        f.missing(s, "callsign", "Write the callsign to call.");
    }
    let callsign = callsign.or_else(|| farhop_outing::Callsign::new(&format!("Q0X{number}")).ok())?;
    let id = f
        .id(s, "id")
        .or_else(|| Id::new(&callsign.as_str().to_lowercase().replace('/', "-")).ok())?;
    f.label(id.as_str());
    let name = f.text(s, "name").unwrap_or_else(|| callsign.to_string());
    let place = f.need_place(s, "place")?;
    let noise = f.word_or(s, "noise", &NoiseClass::WORDS, NOISE, NOISE_WHY);
    let ground = site::ground(s, &mut f);
    let channels = channels(s, &mut f);
    let hours_utc = f.hours(s, "hours_utc");
    if !f.has("hours_utc") {
        f.default(s, "hours_utc", "always", "no hours of service are given");
    }
    let power_w = f.number_or(s, "power_w", POWER_W, POWER_WHY);
    let antenna = antenna(s, &mut f);
    let busy_chance = f.number_or(s, "busy_chance", BUSY_CHANCE, BUSY_WHY);
    let off_chance = f.number_or(s, "off_chance", OFF_CHANCE, OFF_WHY);
    let scanned = u32::try_from(channels.len().clamp(1, 100)).unwrap_or(1);
    let scan_count = f.count_or(s, "scan_count", scanned, "it is taken to scan all its frequencies");
    let dwell_s = if scan_count > 1 {
        DWELL_S * f64::from(scan_count)
    } else {
        0.0
    };
    let scan_cycle_s = f.number_or(
        s,
        "scan_cycle_s",
        dwell_s,
        "four seconds on each frequency (from memory)",
    );
    let notes = f.notes(s, "notes");
    f.finish(s);
    Some(Station {
        id,
        callsign,
        name,
        place,
        noise,
        ground,
        channels,
        hours_utc,
        power_w,
        antenna,
        busy_chance,
        off_chance,
        scan_count,
        scan_cycle_s,
        notes,
    })
}

fn channels(s: &mut Session, f: &mut Fields<'_>) -> Vec<Channel> {
    if !f.has("channels") {
        f.known("channels");
        f.missing(
            s,
            "channels",
            "Add its frequencies: channels = [{ mhz = 7.1, bandwidth_hz = 500 }].",
        );
    }
    let mut channels = Vec::new();
    for mut inner in f.tables(s, "channels") {
        let freq_mhz = inner.need_number(s, "mhz", "The frequency in MHz, for example 7.1.");
        inner.label(&format!("{freq_mhz} MHz"));
        let bandwidth_hz = inner.number_or(s, "bandwidth_hz", BANDWIDTH_HZ, BANDWIDTH_WHY);
        let mode = inner.text(s, "mode");
        let hours_utc = inner.hours(s, "hours_utc");
        inner.finish(s);
        channels.push(Channel {
            freq_mhz,
            bandwidth_hz,
            mode,
            hours_utc,
        });
    }
    channels
}

fn antenna(s: &mut Session, f: &mut Fields<'_>) -> StationAntenna {
    if !f.has("antenna") {
        f.known("antenna");
        f.default(s, "antenna", ANTENNA_WORDS, ANTENNA_WHY);
        return ANTENNA;
    }
    let Some(mut inner) = f.inner(s, "antenna") else {
        return ANTENNA;
    };
    let kinds = [
        ("gain", StationAntenna::Gain { gain_dbi: f64::NAN }),
        ("dipole", ANTENNA),
        ("vertical", StationAntenna::Vertical { efficiency: 0.5 }),
    ];
    if !inner.has("kind") {
        inner.known("kind");
        inner.missing(s, "kind", "Write kind = \"dipole\", \"vertical\" or \"gain\".");
    }
    let Some(kind) = inner.word(s, "kind", &kinds) else {
        return ANTENNA;
    };
    let antenna = match kind {
        StationAntenna::Gain { .. } => StationAntenna::Gain {
            gain_dbi: inner.need_number(s, "gain_dbi", "The gain in dBi, for example 2."),
        },
        StationAntenna::Dipole { .. } => StationAntenna::Dipole {
            height_m: inner.number_or(s, "height_m", DIPOLE_HEIGHT_M, "the usual height in a garden"),
            azimuth_deg: inner.number(s, "azimuth_deg"),
        },
        StationAntenna::Vertical { efficiency } => StationAntenna::Vertical {
            efficiency: inner.number_or(s, "efficiency", efficiency, "a vertical over a modest set of radials"),
        },
    };
    inner.finish(s);
    antenna
}

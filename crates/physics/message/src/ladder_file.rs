//! Ladders as tables: the text form, and the two tables this project ships.
//!
//! One row a frame kind and channel. Lines that begin with `#` are remarks. The columns are
//! [`COLUMNS`]; `required_snr_db` is the SNR at which the frame error rate falls to [`STATED_FER`] (empty where the floor is
//! higher) and is there for readers: the curve is `mid_snr_db`, `scale_db`, `floor_fer`.

use crate::error::MessageError;
use crate::ladder::{Fading, FrameCurve, FrameKind, Ladder, Rung};
use crate::sim::sweep::{Effort, SweptFrame};

/// Frame error rate (dimensionless) for which the required SNR is stated.
pub const STATED_FER: f64 = 0.1;
/// Column names, in order.
pub const COLUMNS: &str = "mode,bandwidth_hz,role,frame,channel,net_bps,seconds_s,pep_over_mean_db,mid_snr_db,scale_db,floor_fer,required_snr_db,worst_misfit";
/// The simulated modes, made by `farhop channel`.
pub const SIMULATED: &str = include_str!("../../../../data/ladders/simulated.csv");
/// The serial-tone waveforms of MIL-STD-188-110, from memory.
pub const SERIAL_TONE: &str = include_str!("../../../../data/ladders/serial-tone.csv");
/// A frame with a higher floor than this is left out of a ladder: it fails whatever the SNR.
const USELESS_FLOOR_FER: f64 = 0.5;

/// The text of a table, with a head that names the command that makes it again.
#[must_use]
pub fn to_csv(rows: &[SweptFrame], effort: Effort) -> String {
    let mut text = format!(
        "# Frame error curves of the project's own simulation (see docs/methods/message.md).\n\
         # Made by: farhop channel --frames {} --seed {}\n\
         # SNR: mean signal power over noise power in bandwidth_hz. required_snr_db: for a frame error rate of {STATED_FER}.\n\
         {COLUMNS}\n",
        effort.frames, effort.seed
    );
    for row in rows {
        let required = row
            .curve
            .required_snr_db(STATED_FER)
            .map_or(String::new(), |snr_db| format!("{snr_db:.1}"));
        text.push_str(&format!(
            "{},{},{},{},{},{:.1},{:.3},{},{:.2},{:.2},{:.3},{required},{:.3}\n",
            row.mode,
            row.bandwidth_hz,
            row.role.name(),
            row.name,
            row.fading.name(),
            row.net_bps,
            row.seconds_s,
            row.pep_over_mean_db,
            row.curve.mid_db,
            row.curve.scale_db,
            row.curve.floor_fer,
            row.worst_misfit
        ));
    }
    text
}

/// One row as read.
#[derive(Clone, Debug, PartialEq)]
pub struct LadderRow {
    /// Mode name.
    pub mode: String,
    /// Noise bandwidth in hertz.
    pub bandwidth_hz: f64,
    /// `data`, `ack` or `call`.
    pub role: String,
    /// Frame name.
    pub frame: String,
    /// The channel.
    pub fading: Fading,
    /// Net bit rate in bit/s.
    pub net_bps: f64,
    /// Duration, back-off and curve.
    pub kind: FrameKind,
}

/// Reads a table.
///
/// # Errors
/// A line with too few fields, a field that is not a number, an unknown channel, a number out of range: with its line number.
pub fn parse(text: &str) -> Result<Vec<LadderRow>, MessageError> {
    let lines = text
        .lines()
        .enumerate()
        .filter(|(_, line)| !line.starts_with('#') && !line.trim().is_empty());
    lines
        .filter(|(_, line)| !line.starts_with("mode,"))
        .map(|(index, line)| {
            parse_line(line).map_err(|problem| MessageError::LadderLine {
                line: index + 1,
                problem,
            })
        })
        .collect()
}

fn parse_line(line: &str) -> Result<LadderRow, String> {
    let fields: Vec<&str> = line.split(',').map(str::trim).collect();
    let text = |column: usize| {
        fields
            .get(column)
            .copied()
            .ok_or(format!("expected the columns {COLUMNS}"))
    };
    let number = |column: usize| {
        let field = text(column)?;
        field
            .parse::<f64>()
            .map_err(|_| format!("column {}: `{field}` is not a number", column + 1))
    };
    let channel = text(4)?;
    let fading = Fading::from_name(channel).ok_or(format!("`{channel}` is not a channel of the table"))?;
    let curve = FrameCurve::new(number(8)?, number(9)?, number(10)?).map_err(|error| error.to_string())?;
    Ok(LadderRow {
        mode: text(0)?.into(),
        bandwidth_hz: number(1)?,
        role: text(2)?.into(),
        frame: text(3)?.into(),
        fading,
        net_bps: number(5)?,
        kind: FrameKind {
            seconds_s: number(6)?,
            pep_over_mean_db: number(7)?,
            curve,
        },
    })
}

/// The ladder of one mode on one channel, out of rows.
///
/// # Errors
/// No such mode and channel, or no acknowledgement or call burst among its rows, or numbers out of range.
pub fn ladder(rows: &[LadderRow], mode: &str, fading: Fading) -> Result<Ladder, MessageError> {
    let missing = || MessageError::NoSuchLadder {
        mode: mode.into(),
        fading: fading.name(),
    };
    let own: Vec<&LadderRow> = rows
        .iter()
        .filter(|row| row.mode == mode && row.fading == fading)
        .collect();
    let burst = |role: &str| {
        own.iter()
            .find(|row| row.role == role)
            .map(|row| row.kind)
            .ok_or_else(missing)
    };
    let useful = |row: &&&LadderRow| row.role == "data" && row.kind.curve.floor_fer < USELESS_FLOOR_FER;
    let mut rungs: Vec<Rung> = own
        .iter()
        .filter(useful)
        .map(|row| Rung {
            name: row.frame.clone(),
            net_bps: row.net_bps,
            frame: row.kind,
        })
        .collect();
    rungs.sort_by(|a, b| a.net_bps.total_cmp(&b.net_bps));
    let ladder = Ladder {
        mode: mode.into(),
        bandwidth_hz: own.first().ok_or_else(missing)?.bandwidth_hz,
        fading,
        rungs,
        ack: burst("ack")?,
        call: burst("call")?,
    };
    ladder.check()?;
    Ok(ladder)
}

/// A shipped ladder: `slow-500`, `narrow-500`, `wide-2400` (all channels) or `serial-tone-3k` (`awgn`, `disturbed`).
///
/// # Errors
/// No such mode and channel.
pub fn shipped(mode: &str, fading: Fading) -> Result<Ladder, MessageError> {
    ladder(SHIPPED.as_ref().map_err(Clone::clone)?, mode, fading)
}

/// The embedded tables, read once.
static SHIPPED: std::sync::LazyLock<Result<Vec<LadderRow>, MessageError>> = std::sync::LazyLock::new(|| {
    let mut rows = parse(SIMULATED)?;
    rows.extend(parse(SERIAL_TONE)?);
    Ok(rows)
});

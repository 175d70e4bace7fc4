//! Agreement of the message crate: simulator against closed forms by scipy, fast path against closed forms and against the
//! played protocol, ladders against the Shannon capacity.

use std::path::Path;

use farhop_lots::played::{Scene, play};
use farhop_message::attempts::Attempts;
use farhop_message::db::shannon_capacity_bps;
use farhop_message::delivery::Ask;
use farhop_message::ladder_file::{SERIAL_TONE, SIMULATED, parse, shipped};
use farhop_message::sim::channel::{ChannelShape, measure};
use farhop_message::sim::uncoded::Binary;
use farhop_message::{
    Component, Fading, FrameCurve, FrameKind, Gateway, Ladder, Link, LinkTable, MessageError, MinuteVariation, Resume,
    Rung, SnrMixture,
};

use crate::row::records;
use crate::{AgreementError, Row, Spread};

/// The rows of the message crate.
///
/// # Errors
/// A vector file is missing or malformed.
pub fn rows(root: &Path) -> Result<Vec<Row>, AgreementError> {
    let folder = root.join("validation/message");
    let (closed, simulated) = bit_errors(&folder.join("bit_errors.csv"))?;
    let scipy = "scipy 1.17.1, numerical integration";
    let sigmas = "standard errors";
    Ok(vec![
        row(
            "closed forms of uncoded bit error rates, relative",
            scipy,
            closed,
            "ratio - 1",
            Some(1e-5),
        ),
        row("simulated uncoded bit error rates", scipy, simulated, sigmas, Some(4.0)),
        row(
            "autocorrelation of simulated taps",
            scipy,
            taps(&folder.join("taps.csv"))?,
            sigmas,
            Some(4.0),
        ),
        row(
            "delivery at constant SNR",
            "scipy.stats.nbinom",
            cycles(&folder.join("cycles.csv"))?,
            "points",
            Some(1.0),
        ),
        row(
            "delivery, fast path",
            "the protocol played frame by frame, 100 000 windows a case",
            played().map_err(|e| AgreementError(e.to_string()))?,
            "points",
            Some(1.0),
        ),
        row(
            "goodput of every rung over capacity, at the SNR where it comes closest",
            "Shannon 1949",
            over_capacity().map_err(|e| AgreementError(e.to_string()))?,
            "ratio",
            Some(1.0),
        ),
        row(
            "fitted frame error curve against its simulated points, worst of each row",
            "own simulation, 400 frames a point (standard error up to 2.5)",
            misfits()?,
            "points",
            None,
        ),
    ])
}

fn row(what: &str, against: &str, errors: Vec<f64>, unit: &'static str, bar: Option<f64>) -> Row {
    let spread = Spread::of(errors);
    Row {
        area: "message",
        what: what.into(),
        against: against.into(),
        met: bar.map(|bar| spread.n > 0 && spread.worst <= bar),
        spread,
        unit,
        bar: bar.map_or_else(|| "reported".into(), |bar| format!("worst <= {bar} {unit}")),
    }
}

fn number(record: &csv::StringRecord, column: usize) -> Result<f64, AgreementError> {
    let text = record.get(column).unwrap_or_default();
    text.parse()
        .map_err(|_| AgreementError(format!("`{text}` is not a number in {record:?}")))
}

/// Bits simulated for each row.
const BITS: usize = 60_000;

/// Closed forms against scipy (relative), simulated rates against scipy (in standard errors).
fn bit_errors(path: &Path) -> Result<(Vec<f64>, Vec<f64>), AgreementError> {
    let (mut closed, mut simulated) = (Vec::new(), Vec::new());
    for record in records(path)? {
        let binary = if record.get(0) == Some("fsk") {
            Binary::Fsk
        } else {
            Binary::Dpsk
        };
        let rayleigh = record.get(1) == Some("rayleigh");
        let (energy_db, wanted) = (number(&record, 2)?, number(&record, 3)?);
        closed.push((binary.closed_form(rayleigh, energy_db) / wanted - 1.0).abs());
        let rate = binary.errors(rayleigh, energy_db, BITS, 1_125) as f64 / BITS as f64;
        simulated.push((rate - wanted).abs() / (wanted * (1.0 - wanted) / BITS as f64).sqrt());
    }
    Ok((closed, simulated))
}

/// Draws for each lag.
const DRAWS: u32 = 20_000;

fn taps(path: &Path) -> Result<Vec<f64>, AgreementError> {
    records(path)?
        .iter()
        .map(|record| {
            let name = record.get(0).unwrap_or_default();
            let fading = Fading::from_name(name).ok_or(AgreementError(format!("`{name}` is no channel")))?;
            let shape = ChannelShape::of(fading);
            if (shape.doppler_spread_hz - number(record, 1)?).abs() > 1e-9 {
                return Ok(f64::INFINITY);
            }
            let own = measure(shape, number(record, 2)?, DRAWS, 1_125).own;
            // Two taps of half the power each: the real part's variance is (1 + r^2) / 4 a draw, taken at its largest.
            Ok((own[0] - number(record, 3)?).abs() * (2.0 * f64::from(DRAWS)).sqrt())
        })
        .collect()
}

fn cycles(path: &Path) -> Result<Vec<f64>, AgreementError> {
    records(path)?
        .iter()
        .map(|record| {
            let (frames, success) = (number(record, 0)?, number(record, 1)?);
            let (cycles, wanted) = (number(record, 2)?, number(record, 3)?);
            let got = constant(frames, success, cycles).map_err(|e| AgreementError(e.to_string()))?;
            Ok(100.0 * (got - wanted).abs())
        })
        .collect()
}

/// Chance that a message of `frames` frames is through after `cycles` cycles of constant success.
fn constant(frames: f64, success: f64, cycles: f64) -> Result<f64, MessageError> {
    let kind = |mid_db, scale_db| {
        FrameCurve::new(mid_db, scale_db, 0.0).map(|curve| FrameKind {
            seconds_s: 4.0,
            pep_over_mean_db: 0.0,
            curve,
        })
    };
    let mut link = Link::with_defaults(Ladder {
        mode: "one rung".into(),
        bandwidth_hz: 500.0,
        fading: Fading::Awgn,
        rungs: vec![Rung {
            name: "only".into(),
            net_bps: 200.0,
            frame: kind(0.0, 1.0)?,
        }],
        ack: kind(-60.0, 0.5)?,
        call: kind(-60.0, 0.5)?,
    });
    (link.adaptation_loss_db, link.compression_ratio, link.handshake_bytes) = (0.0, 1.0, 0.0);
    link.patience.failed_cycles_max = 1000;
    let deadline_min = (link.call_cycle_s() + cycles * link.cycle_s() + 1e-6) / 60.0;
    let ask = Ask {
        deadline_min,
        attempts: Attempts::default(),
        gateway: Gateway::IDEAL,
    };
    let table = LinkTable::new(&link, &[100.0 * frames], MinuteVariation::NONE, deadline_min.max(6.0))?;
    let snr_db = (success / (1.0 - success)).ln();
    Ok(table.deliver(&SnrMixture::constant(500.0, snr_db, 0.0), &ask)?.chance)
}

/// Windows played for each case: a standard error of at most 0.16 points.
const WINDOWS: u32 = 100_000;

/// Differences in points over modes, channels, sizes and deadlines.
fn played() -> Result<Vec<f64>, MessageError> {
    let mut differences = Vec::new();
    let cases = [
        ("narrow-500", Fading::Moderate, 300.0, 60.0, 1),
        ("narrow-500", Fading::Moderate, 1200.0, 10.0, 1),
        ("narrow-500", Fading::NearVertical, 1200.0, 60.0, 1),
        ("narrow-500", Fading::Quiet, 4000.0, 30.0, 1),
        ("wide-2400", Fading::Disturbed, 1200.0, 15.0, 1),
        ("wide-2400", Fading::Moderate, 12_000.0, 30.0, 1),
        ("slow-500", Fading::Moderate, 200.0, 20.0, 1),
        ("narrow-500", Fading::Moderate, 1200.0, 60.0, 3),
    ];
    for (k, (mode, fading, plain_bytes, deadline_min, count)) in cases.into_iter().enumerate() {
        let mut link = Link::with_defaults(shipped(mode, fading)?);
        if k % 3 == 2 {
            link.resume = Resume::FromStart;
        }
        let gateway = Gateway {
            busy_prob: 0.15,
            off_prob: 0.05,
            ..Gateway::default()
        };
        let link = gateway.adapt(&link);
        let ask = Ask {
            deadline_min,
            attempts: Attempts {
                count,
                spacing_min: 20.0,
            },
            gateway,
        };
        let (mixture, variation) = (mixture(), MinuteVariation::default());
        let fast = LinkTable::new(&link, &[plain_bytes], variation, deadline_min)?.deliver(&mixture, &ask)?;
        let sizes = [plain_bytes];
        let scene = Scene {
            link: &link,
            plain_bytes: &sizes,
            variation,
            mixture: &mixture,
            ask: &ask,
        };
        differences.push(100.0 * (fast.chance - play(&scene, WINDOWS, 1_125)?.chance).abs());
    }
    Ok(differences)
}

/// Three states of the path, SNR in 500 Hz, with own noise larger than the gateway's.
fn mixture() -> SnrMixture {
    let component = |(weight, forward_db, reverse_db)| Component {
        weight,
        median_snr_forward_db: forward_db,
        median_snr_reverse_db: reverse_db,
        sd_signal_db: 6.0,
        sd_noise_forward_db: 4.0,
        sd_noise_reverse_db: 6.0,
    };
    let components = [(0.3, 0.0, 4.0), (0.5, 9.0, 12.0), (0.2, 18.0, 14.0)]
        .map(component)
        .to_vec();
    SnrMixture {
        bandwidth_hz: 500.0,
        components,
    }
}

/// For each rung the largest ratio of goodput to capacity between -30 and 50 dB.
fn over_capacity() -> Result<Vec<f64>, MessageError> {
    let mut rows = parse(SIMULATED)?;
    rows.extend(parse(SERIAL_TONE)?);
    let ratio = |row: &farhop_message::ladder_file::LadderRow, snr_db: f64| {
        row.net_bps * row.kind.curve.success(snr_db) / shannon_capacity_bps(row.bandwidth_hz, snr_db)
    };
    let levels = || (-300..=500).map(|tenth_db| f64::from(tenth_db) / 10.0);
    Ok(rows
        .iter()
        .map(|row| levels().map(|snr_db| ratio(row, snr_db)).fold(0.0, f64::max))
        .collect())
}

/// The last column of the simulated table, in points.
fn misfits() -> Result<Vec<f64>, AgreementError> {
    let lines = SIMULATED
        .lines()
        .filter(|line| !line.starts_with('#') && !line.starts_with("mode,"));
    lines
        .map(|line| {
            let last = line.rsplit(',').next().unwrap_or_default();
            last.parse::<f64>()
                .map(|x| 100.0 * x)
                .map_err(|_| AgreementError(format!("`{last}` is not a number")))
        })
        .collect()
}

//! Agreement of the ground wave with the LFMF model of NTIA/ITS, and of what antennas give to it with NEC-2.

use std::path::Path;

use farhop_antenna::declared::{Below, Declared};
use farhop_earth::GroundConstants;
use farhop_propagation::ground_wave::{GroundWaveInputs, ground_wave_loss_db, launch::IMAGE_DB, launch_gain_db};

use crate::{AgreementError, Row, Spread};

const BAR_DB: f64 = 1.0;
/// The limit of low angles, read 10 degrees up.
const FIELD_BAR_DB: f64 = 2.0;

/// The rows of the ground wave.
///
/// # Errors
/// The vector file is missing or malformed.
pub fn rows(root: &Path) -> Result<Vec<Row>, AgreementError> {
    let path = root.join("validation/ground-wave/lfmf.csv");
    let records = crate::row::records(&path)?;
    let errors = records.iter().map(error_db).collect::<Result<Vec<f64>, _>>()?;
    let lfmf = "LFMF of NTIA/ITS (proplib-lfmf 1.1.0)";
    let mut rows = vec![row(
        "basic transmission loss, 5 to 200 km, 3 to 30 MHz, sea to very dry",
        lfmf,
        errors,
        BAR_DB,
    )];
    let antennas = crate::row::records(&root.join("validation/ground-wave/antennas.csv"))?;
    let nec2 = "NEC-2's ground wave (PyNEC 2.3.4)";
    for (what, end) in [
        (
            "field of half-wave wires at 5 and 15 km, from the vertical gain 10 deg up",
            End::Told,
        ),
        ("the same for level wires, gain by the closed form", End::ClosedForm),
    ] {
        let errors = antennas.iter().map(|record| field_error_db(record, end));
        let errors = errors.collect::<Result<Vec<_>, _>>()?;
        rows.push(row(what, nec2, errors.into_iter().flatten().collect(), FIELD_BAR_DB));
    }
    Ok(rows)
}

fn row(what: &str, against: &str, errors: Vec<f64>, bar_db: f64) -> Row {
    let spread = Spread::of(errors);
    Row {
        area: "ground-wave",
        what: what.into(),
        against: against.into(),
        met: Some(spread.n > 0 && spread.worst <= bar_db),
        spread,
        unit: "dB",
        bar: format!("worst <= {bar_db} dB"),
    }
}

/// Elevation at which the vertical gain is read, degrees, as the plan does.
const LOW_DEG: f64 = 10.0;
/// Gain of the short monopole over perfect ground that the field of 1 kW belongs to, dBi: 10 log 3.
const SHORT_MONOPOLE_DBI: f64 = 4.771_2;

/// Whose gain is taken for the antenna.
#[derive(Clone, Copy)]
enum End {
    /// The judge's own.
    Told,
    /// Ours; level wires only.
    ClosedForm,
}

/// How far the field is off; `None` for a row that the gain is not known for.
fn field_error_db(record: &csv::StringRecord, end: End) -> Result<Option<f64>, AgreementError> {
    let number = |column: usize| number(record, column);
    let wrong = |e: &dyn std::fmt::Display| AgreementError(format!("{e} in {record:?}"));
    let ground = match record.get(4).unwrap_or_default() {
        "average" => GroundConstants::new(13.0, 0.005),
        "poor" => GroundConstants::new(5.0, 0.001),
        other => return Err(wrong(&format!("unknown ground `{other}`"))),
    }
    .map_err(|e| wrong(&e))?;
    let freq_mhz = number(3)?;
    let vertical_dbi = match end {
        End::Told => number(8)?,
        End::ClosedForm if record.get(0) == Some("dipole") => {
            let wire = Declared::FlatDipole {
                length_m: number(1)?,
                height_m: number(2)?,
                wire_azimuth_deg: 0.0,
            };
            let pattern = wire.prepare(freq_mhz, Below::Ground(ground)).map_err(|e| wrong(&e))?;
            pattern.gains_by_polarisation_dbi(LOW_DEG, number(5)?)[0]
        }
        End::ClosedForm => return Ok(None),
    };
    let wave = ground_wave_loss_db(&GroundWaveInputs {
        ground,
        freq_mhz,
        distance_km: number(6)?,
        tx_height_m: 0.0,
        rx_height_m: 0.0,
    })
    .map_err(|e| wrong(&e))?;
    // The short monopole's own launch gain is its gain less the share of the image.
    let over_monopole_db = launch_gain_db(vertical_dbi, LOW_DEG, ground, freq_mhz) + IMAGE_DB - SHORT_MONOPOLE_DBI;
    Ok(Some(
        (wave.field_strength_dbuv_per_m + over_monopole_db - number(7)?).abs(),
    ))
}

fn number(record: &csv::StringRecord, column: usize) -> Result<f64, AgreementError> {
    let text = record.get(column).unwrap_or_default();
    text.parse::<f64>()
        .map_err(|_| AgreementError(format!("`{text}` is not a number in {record:?}")))
}

/// Error of one row; a path without an answer counts as infinite.
fn error_db(record: &csv::StringRecord) -> Result<f64, AgreementError> {
    let number = |column: usize| number(record, column);
    let inputs = GroundWaveInputs {
        ground: GroundConstants::new(number(1)?, number(2)?).map_err(|e| AgreementError(e.to_string()))?,
        freq_mhz: number(3)?,
        distance_km: number(4)?,
        tx_height_m: number(5)?,
        rx_height_m: number(6)?,
    };
    let wanted = number(7)?;
    Ok(ground_wave_loss_db(&inputs).map_or(f64::INFINITY, |found| (found.basic_transmission_loss_db - wanted).abs()))
}

//! Agreement of the ground wave with the LFMF model of NTIA/ITS.

use std::path::Path;

use farhop_earth::GroundConstants;
use farhop_propagation::ground_wave::{GroundWaveInputs, ground_wave_loss_db};

use crate::{AgreementError, Row, Spread};

const BAR_DB: f64 = 1.0;

/// The rows of the ground wave.
///
/// # Errors
/// The vector file is missing or malformed.
pub fn rows(root: &Path) -> Result<Vec<Row>, AgreementError> {
    let path = root.join("validation/ground-wave/lfmf.csv");
    let records = crate::row::records(&path)?;
    let errors = records.iter().map(error_db).collect::<Result<Vec<f64>, _>>()?;
    let spread = Spread::of(errors);
    Ok(vec![Row {
        area: "ground-wave",
        what: "basic transmission loss, 5 to 200 km, 3 to 30 MHz, sea to very dry".into(),
        against: "LFMF of NTIA/ITS (proplib-lfmf 1.1.0)".into(),
        met: Some(spread.n > 0 && spread.worst <= BAR_DB),
        spread,
        unit: "dB",
        bar: format!("worst <= {BAR_DB} dB"),
    }])
}

/// Error of one row; a path without an answer counts as infinite.
fn error_db(record: &csv::StringRecord) -> Result<f64, AgreementError> {
    let number = |column: usize| {
        let text = record.get(column).unwrap_or_default();
        text.parse::<f64>()
            .map_err(|_| AgreementError(format!("`{text}` is not a number in {record:?}")))
    };
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

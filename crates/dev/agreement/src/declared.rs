//! Agreement of the declared gains with NEC-2.

use std::path::Path;

use farhop_antenna::declared::{Below, Declared};
use farhop_earth::GroundConstants;

use crate::{AgreementError, Row, Spread};

const BAR_DB: f64 = 1.0;

/// The rows of the declared gains.
///
/// # Errors
/// The vector file is missing or malformed.
pub fn rows(root: &Path) -> Result<Vec<Row>, AgreementError> {
    let path = root.join("validation/declared/nec2.csv");
    let fail = |e: csv::Error| AgreementError(format!("{}: {e}", path.display()));
    let records: Vec<csv::StringRecord> = csv::Reader::from_path(&path)
        .map_err(fail)?
        .records()
        .collect::<Result<_, _>>()
        .map_err(fail)?;
    [
        ("dipole", "horizontal wire, a quarter to one wavelength up, gain"),
        ("vertical", "vertical on perfect ground, gain"),
        ("loop", "small upright loop, 0.3 wavelengths up, gain"),
    ]
    .into_iter()
    .map(|(kind, what)| {
        let of_kind = records.iter().filter(|record| record.get(0) == Some(kind));
        Ok(row(what, of_kind.map(error_db).collect::<Result<_, _>>()?))
    })
    .collect()
}

fn row(what: &str, errors: Vec<f64>) -> Row {
    let spread = Spread::of(errors);
    Row {
        area: "declared",
        what: what.into(),
        against: "NEC-2 (PyNEC 2.3.4)".into(),
        met: Some(spread.n > 0 && spread.worst <= BAR_DB),
        spread,
        unit: "dB",
        bar: format!("worst <= {BAR_DB} dB"),
    }
}

/// Error of one row; an antenna without an answer counts as infinite.
fn error_db(record: &csv::StringRecord) -> Result<f64, AgreementError> {
    let number = |column: usize| {
        let text = record.get(column).unwrap_or_default();
        text.parse::<f64>()
            .map_err(|_| AgreementError(format!("`{text}` is not a number in {record:?}")))
    };
    let (length_m, height_m) = (number(1)?, number(2)?);
    let antenna = match record.get(0) {
        Some("dipole") => Declared::FlatDipole {
            length_m,
            height_m,
            wire_azimuth_deg: 0.0,
        },
        Some("vertical") => Declared::ShortVertical {
            length_m,
            efficiency: 1.0,
        },
        Some("loop") => Declared::SmallLoop {
            height_m,
            plane_azimuth_deg: 0.0,
            efficiency: 1.0,
        },
        other => return Err(AgreementError(format!("unknown antenna {other:?} in {record:?}"))),
    };
    let real = |eps_r, sigma_s_per_m| Below::Ground(GroundConstants { eps_r, sigma_s_per_m });
    let below = match record.get(4) {
        Some("perfect") => Below::PerfectGround,
        Some("average") => real(13.0, 0.005),
        Some("poor") => real(5.0, 0.001),
        Some("sea") => real(70.0, 5.0),
        other => return Err(AgreementError(format!("unknown ground {other:?} in {record:?}"))),
    };
    let wanted = number(7)?;
    let (elevation_deg, azimuth_deg) = (number(6)?, number(5)?);
    Ok(antenna.prepare(number(3)?, below).map_or(f64::INFINITY, |pattern| {
        (pattern.gain_dbi(elevation_deg, azimuth_deg) - wanted).abs()
    }))
}

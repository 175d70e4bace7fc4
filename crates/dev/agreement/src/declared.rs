//! Agreement of the declared gains with NEC-2 and, for low antennas, with an independent half-space solution.

use std::path::Path;

use farhop_antenna::declared::{Below, Declared};
use farhop_earth::GroundConstants;

use crate::row::records;
use crate::{AgreementError, Row, Spread};

const BAR_DB: f64 = 1.0;

/// The rows of the declared gains.
///
/// # Errors
/// The vector file is missing or malformed.
pub fn rows(root: &Path) -> Result<Vec<Row>, AgreementError> {
    let folder = root.join("validation/declared");
    let (high, low) = (records(&folder.join("nec2.csv"))?, records(&folder.join("low.csv"))?);
    let nec2 = "NEC-2 (PyNEC 2.3.4)";
    let half_space = "independent half-space solution";
    let of = |table: &[csv::StringRecord], kind: &str, freqs: &[&str]| -> Result<Vec<f64>, AgreementError> {
        table
            .iter()
            .filter(|record| record.get(0) == Some(kind))
            .filter(|record| freqs.is_empty() || freqs.contains(&record.get(4).unwrap_or_default()))
            .map(error_db)
            .collect()
    };
    let mut rows = vec![
        row(
            "horizontal wire, a quarter to one wavelength up, gain",
            nec2,
            of(&high, "dipole", &[])?,
        ),
        row("vertical on perfect ground, gain", nec2, of(&high, "vertical", &[])?),
        row(
            "small upright loop, 0.3 wavelengths up, gain",
            nec2,
            of(&high, "loop", &[])?,
        ),
        row(
            "horizontal wire, 0.02 to 0.1 wavelengths up, gain",
            half_space,
            of(&low, "dipole", &[])?,
        ),
        row(
            "1 m loop at 1.5 m, 7 and 10 MHz, gain",
            half_space,
            of(&low, "loop", &["7.1", "10.1"])?,
        ),
    ];
    let mut large = row(
        "1 m loop at 1.5 m, 14 MHz (not small), gain",
        half_space,
        of(&low, "loop", &["14.1"])?,
    );
    large.bar = "reported only".into();
    large.met = None;
    rows.push(large);
    Ok(rows)
}

fn row(what: &str, against: &str, errors: Vec<f64>) -> Row {
    let spread = Spread::of(errors);
    Row {
        area: "declared",
        what: what.into(),
        against: against.into(),
        met: Some(spread.n > 0 && spread.worst <= BAR_DB),
        spread,
        unit: "dB",
        bar: format!("worst <= {BAR_DB} dB"),
    }
}

/// Error of one row; an antenna without an answer counts as infinite.
fn error_db(record: &csv::StringRecord) -> Result<f64, AgreementError> {
    let text = |column: usize| record.get(column).unwrap_or_default();
    let number = |column: usize| {
        let field = text(column);
        field
            .parse::<f64>()
            .map_err(|_| AgreementError(format!("`{field}` is not a number in {record:?}")))
    };
    let antenna = match text(0) {
        "dipole" => Declared::FlatDipole {
            length_m: number(1)?,
            height_m: number(2)?,
            wire_azimuth_deg: 0.0,
        },
        "vertical" => Declared::ShortVertical {
            length_m: number(1)?,
            efficiency: number(3)?,
        },
        "loop" => Declared::SmallLoop {
            height_m: number(2)?,
            plane_azimuth_deg: 0.0,
            efficiency: number(3)?,
        },
        other => return Err(AgreementError(format!("unknown antenna `{other}` in {record:?}"))),
    };
    let real = |eps_r, sigma_s_per_m| Below::Ground(GroundConstants { eps_r, sigma_s_per_m });
    let below = match text(5) {
        "perfect" => Below::PerfectGround,
        "average" => real(13.0, 0.005),
        "poor" => real(5.0, 0.001),
        "sea" => real(70.0, 5.0),
        other => return Err(AgreementError(format!("unknown ground `{other}` in {record:?}"))),
    };
    let (azimuth_deg, elevation_deg, wanted) = (number(6)?, number(7)?, number(8)?);
    Ok(antenna.prepare(number(4)?, below).map_or(f64::INFINITY, |pattern| {
        (pattern.gain_dbi(elevation_deg, azimuth_deg) - wanted).abs()
    }))
}

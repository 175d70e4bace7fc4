//! Agreement of the noise module with hand-worked lines and with the moments of log-normal distributions.

use std::path::Path;

use farhop_propagation::noise::{NoiseClass, NoiseTerm, galactic, man_made, sum_of_terms};

use crate::row::records;
use crate::{AgreementError, Row, Spread};

/// The rows of the noise module.
///
/// # Errors
/// A vector file is missing or malformed.
pub fn rows(root: &Path) -> Result<Vec<Row>, AgreementError> {
    let folder = root.join("validation/noise");
    let (man_made, galactic) = lines(&folder.join("external.csv"))?;
    let by_hand = "P.372 lines worked by hand";
    Ok(vec![
        row("man-made noise, median", by_hand, man_made),
        row("galactic noise, median", by_hand, galactic),
        row(
            "log-normal sum, median and deciles",
            "moments by scipy 1.17.1",
            sums(&folder.join("sum.csv"))?,
        ),
    ])
}

const BAR_DB: f64 = 0.1;

fn row(what: &str, against: &str, errors: Vec<f64>) -> Row {
    let spread = Spread::of(errors);
    Row {
        area: "noise",
        what: what.into(),
        against: against.into(),
        met: Some(spread.n > 0 && spread.worst <= BAR_DB),
        spread,
        unit: "dB",
        bar: format!("worst <= {BAR_DB} dB"),
    }
}

fn numbers(record: &csv::StringRecord, column: usize) -> Result<Vec<f64>, AgreementError> {
    let text = record.get(column).unwrap_or_default();
    text.split(' ')
        .map(|part| {
            part.parse()
                .map_err(|_| AgreementError(format!("`{part}` is not a number in {record:?}")))
        })
        .collect()
}

fn number(record: &csv::StringRecord, column: usize) -> Result<f64, AgreementError> {
    numbers(record, column)?
        .first()
        .copied()
        .ok_or_else(|| AgreementError(format!("empty field in {record:?}")))
}

fn lines(path: &Path) -> Result<(Vec<f64>, Vec<f64>), AgreementError> {
    let (mut man_made_errors, mut galactic_errors) = (Vec::new(), Vec::new());
    for record in records(path)? {
        let (freq_mhz, wanted) = (number(&record, 1)?, number(&record, 2)?);
        let class = match record.get(0).unwrap_or_default() {
            "city" => NoiseClass::City,
            "residential" => NoiseClass::Residential,
            "rural" => NoiseClass::Rural,
            "quiet rural" => NoiseClass::QuietRural,
            _ => {
                let found = galactic(freq_mhz, 0.0).map_or(f64::NAN, |term| term.fa_median_db);
                galactic_errors.push((found - wanted).abs());
                continue;
            }
        };
        man_made_errors.push((man_made(class, freq_mhz).fa_median_db - wanted).abs());
    }
    Ok((man_made_errors, galactic_errors))
}

fn sums(path: &Path) -> Result<Vec<f64>, AgreementError> {
    let mut errors = Vec::new();
    for record in records(path)? {
        let (medians, uppers, lowers) = (numbers(&record, 0)?, numbers(&record, 1)?, numbers(&record, 2)?);
        let terms: Vec<NoiseTerm> = medians
            .iter()
            .zip(uppers.iter().zip(&lowers))
            .map(|(&fa_median_db, (&upper_decile_db, &lower_decile_db))| NoiseTerm {
                fa_median_db,
                upper_decile_db,
                lower_decile_db,
            })
            .collect();
        let sum = sum_of_terms(&terms)
            .ok_or_else(|| AgreementError(format!("no parts in {record:?}")))?
            .term;
        for (found, column) in [
            (sum.fa_median_db, 3),
            (sum.upper_decile_db, 4),
            (sum.lower_decile_db, 5),
        ] {
            errors.push((found - number(&record, column)?).abs());
        }
    }
    Ok(errors)
}

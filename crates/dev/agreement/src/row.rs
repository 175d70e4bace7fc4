//! One line of the table of agreement.

/// What went wrong while a vector file was read or evaluated.
#[derive(Debug)]
pub struct AgreementError(pub String);

impl std::fmt::Display for AgreementError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for AgreementError {}

/// Any problem as an error of the agreement.
pub fn fail(error: impl std::fmt::Display) -> AgreementError {
    AgreementError(error.to_string())
}

/// The records of a vector file, header left out.
///
/// # Errors
/// The file is missing or malformed; the message names it.
pub fn table(folder: &std::path::Path, name: &str) -> Result<Vec<csv::StringRecord>, AgreementError> {
    records(&folder.join(name))
}

/// As [`table`], for the path of a file.
///
/// # Errors
/// The file is missing or malformed; the message names it.
pub fn records(path: &std::path::Path) -> Result<Vec<csv::StringRecord>, AgreementError> {
    let rows = farhop_vectors::read(path).map_err(fail)?;
    Ok(rows.iter().map(|row| row.record().clone()).collect())
}

/// Median, 90 % and worst of a set of non-negative errors, or the median and 10 to 90 % range of a set of ratios.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    /// Number of comparisons.
    pub n: usize,
    /// 10th percentile.
    pub p10: f64,
    /// Median.
    pub p50: f64,
    /// 90th percentile.
    pub p90: f64,
    /// Largest value.
    pub worst: f64,
}

impl Spread {
    /// The spread of values; a value that is not finite counts as infinite error.
    #[must_use]
    pub fn of(mut values: Vec<f64>) -> Self {
        for value in &mut values {
            if !value.is_finite() {
                *value = f64::INFINITY;
            }
        }
        values.sort_by(f64::total_cmp);
        let at = |q: f64| -> f64 {
            if values.is_empty() {
                return f64::NAN;
            }
            let position = q * (values.len() - 1) as f64;
            let (low, high) = (position.floor() as usize, position.ceil() as usize);
            if low == high {
                values[low]
            } else {
                values[low] + (values[high] - values[low]) * (position - low as f64)
            }
        };
        Self {
            n: values.len(),
            p10: at(0.1),
            p50: at(0.5),
            p90: at(0.9),
            worst: at(1.0),
        }
    }
}

/// One line of the table: what was compared, with what, how well it agrees, and the bar.
#[derive(Clone, Debug)]
pub struct Row {
    /// Area, one of the pages under `docs/methods/`: `earth`, `ionosphere`, `propagation`, `antenna`, …
    pub area: &'static str,
    /// The quantity and the measure, for example `foF2, relative error`.
    pub what: String,
    /// The judge outside the project.
    pub against: String,
    /// The measured distribution.
    pub spread: Spread,
    /// Unit of the spread: `%`, `dB`, `deg`, `ratio`, …
    pub unit: &'static str,
    /// The bar in words, for example `worst <= 0.5 %`.
    pub bar: String,
    /// Whether the bar is met; `None` where the row is only reported.
    pub met: Option<bool>,
}

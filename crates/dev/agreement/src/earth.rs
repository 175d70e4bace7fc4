//! Agreement of the earth crate with GeographicLib, pvlib, ppigrf and hand-worked locators.

use std::path::Path;

use farhop_earth::{IgrfEpoch, Place, UtcTime, geodesic, locator, sun_position};

use crate::row::fail;
use crate::{AgreementError, Row, Spread};

const AREA: &str = "earth";

/// The rows of the earth crate.
///
/// # Errors
/// A vector file is missing or malformed.
pub fn rows(root: &Path) -> Result<Vec<Row>, AgreementError> {
    let folder = root.join("validation/earth");
    let mut rows = vec![locators(&folder)?, distances(&folder)?, zeniths(&folder)?];
    rows.extend(magnetism(&folder)?);
    Ok(rows)
}

struct Table(Vec<csv::StringRecord>);

impl Table {
    fn read(folder: &Path, name: &str) -> Result<Self, AgreementError> {
        Ok(Self(crate::row::table(folder, name)?))
    }

    fn map<T>(&self, each: impl Fn(&csv::StringRecord) -> Result<T, AgreementError>) -> Result<Vec<T>, AgreementError> {
        self.0.iter().map(each).collect()
    }
}

fn number(row: &csv::StringRecord, column: usize) -> Result<f64, AgreementError> {
    let text = row.get(column).unwrap_or_default();
    text.parse()
        .map_err(|_| fail(format!("`{text}` is not a number in {row:?}")))
}

fn place(row: &csv::StringRecord, column: usize) -> Result<Place, AgreementError> {
    Place::new(number(row, column)?, number(row, column + 1)?).map_err(fail)
}

fn time(row: &csv::StringRecord, column: usize) -> Result<UtcTime, AgreementError> {
    UtcTime::parse(row.get(column).unwrap_or_default()).map_err(fail)
}

fn bar_row(what: &str, against: &str, errors: Vec<f64>, unit: &'static str, bar: f64) -> Row {
    let spread = Spread::of(errors);
    Row {
        area: AREA,
        what: what.into(),
        against: against.into(),
        met: Some(spread.n > 0 && spread.worst <= bar),
        spread,
        unit,
        bar: format!("worst <= {bar} {unit}"),
    }
}

fn locators(folder: &Path) -> Result<Row, AgreementError> {
    let errors = Table::read(folder, "locator.csv")?.map(|row| {
        let centre = locator::parse(row.get(0).unwrap_or_default()).map_err(fail)?;
        let (lat, lon) = (number(row, 1)?, number(row, 2)?);
        Ok((centre.lat_deg() - lat).abs().max((centre.lon_deg() - lon).abs()))
    })?;
    Ok(bar_row(
        "grid locator, centre of the square",
        "worked by hand",
        errors,
        "deg",
        1e-9,
    ))
}

fn distances(folder: &Path) -> Result<Row, AgreementError> {
    let errors = Table::read(folder, "geodesic.csv")?.map(|row| {
        let line = geodesic(place(row, 0)?, place(row, 2)?);
        Ok((line.distance_km * 1000.0 - number(row, 4)?).abs())
    })?;
    Ok(bar_row(
        "distance on the ellipsoid",
        "GeographicLib 2.1",
        errors,
        "m",
        1.0,
    ))
}

fn zeniths(folder: &Path) -> Result<Row, AgreementError> {
    let errors = Table::read(folder, "sun.csv")?
        .map(|row| Ok((sun_position(place(row, 0)?, time(row, 2)?).zenith_deg - number(row, 3)?).abs()))?;
    Ok(bar_row("sun zenith", "SPA in pvlib 0.16.1", errors, "deg", 0.01))
}

fn magnetism(folder: &Path) -> Result<[Row; 2], AgreementError> {
    let errors = Table::read(folder, "magnetism.csv")?.map(|row| {
        let model = IgrfEpoch::at(time(row, 3)?.decimal_year()).map_err(fail)?;
        let field = model.field(place(row, 0)?, number(row, 2)?);
        let turn = (field.declination_deg() - number(row, 8)? + 540.0).rem_euclid(360.0) - 180.0;
        Ok(((field.dip_deg() - number(row, 7)?).abs(), turn.abs()))
    })?;
    let (dips, declinations) = errors.into_iter().unzip();
    let judge = "IGRF-14 in ppigrf 2.1.0";
    Ok([
        bar_row("magnetic dip", judge, dips, "deg", 0.1),
        bar_row("magnetic declination", judge, declinations, "deg", 0.1),
    ])
}

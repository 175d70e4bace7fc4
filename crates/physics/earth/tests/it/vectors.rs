//! The earth crate against the vectors under `validation/earth` (sources and tolerances in the sidecars there).

use farhop_earth::{IgrfEpoch, Place, UtcTime, geodesic, locator, sun_position};
use farhop_vectors::Row;

/// Rows of a vector file.
fn rows(name: &str) -> Vec<Row> {
    let rows = farhop_vectors::table(&format!("earth/{name}"));
    assert!(rows.len() > 10, "{name} holds too few rows");
    rows
}

fn number(row: &Row, column: usize) -> f64 {
    row.value(column)
}

fn place(row: &Row, column: usize) -> Place {
    Place::new(number(row, column), number(row, column + 1)).expect("vectors")
}

fn turn(a_deg: f64, b_deg: f64) -> f64 {
    ((a_deg - b_deg + 540.0).rem_euclid(360.0) - 180.0).abs()
}

#[test]
fn locators_worked_by_hand() {
    for row in &rows("locator.csv") {
        let centre = locator::parse(&row[0]).unwrap();
        assert!((centre.lat_deg() - number(row, 1)).abs() < 1e-9, "{row:?} {centre:?}");
        assert!((centre.lon_deg() - number(row, 2)).abs() < 1e-9, "{row:?} {centre:?}");
        assert_eq!(locator::format(place(row, 1), row[0].len() / 2), row[0]);
    }
}

#[test]
fn geodesics_of_geographiclib() {
    for row in &rows("geodesic.csv") {
        let line = geodesic(place(row, 0), place(row, 2));
        assert!(
            (line.distance_km * 1000.0 - number(row, 4)).abs() < 1e-3,
            "{row:?} {line:?}"
        );
        let many_ways = number(row, 4) < 1.0 || number(row, 4) > 20_000_000.0;
        if !many_ways {
            assert!(turn(line.bearing_deg, number(row, 5)) < 1e-6, "{row:?} {line:?}");
            assert!(turn(line.back_bearing_deg, number(row, 6)) < 1e-6, "{row:?} {line:?}");
        }
    }
}

#[test]
fn sun_of_pvlib() {
    for row in &rows("sun.csv") {
        let sun = sun_position(place(row, 0), UtcTime::parse(&row[2]).unwrap());
        assert!((sun.zenith_deg - number(row, 3)).abs() < 1e-4, "{row:?} {sun:?}");
        // Near the zenith a bearing is ill-conditioned: the error is judged as an arc on the sky.
        let arc = turn(sun.azimuth_deg, number(row, 4)) * sun.zenith_deg.to_radians().sin();
        assert!(arc < 2e-4, "{row:?} {sun:?}");
    }
}

#[test]
fn field_of_ppigrf() {
    for row in &rows("magnetism.csv") {
        let year = UtcTime::parse(&row[3]).unwrap().decimal_year();
        let field = IgrfEpoch::at(year).unwrap().field(place(row, 0), number(row, 2));
        for (ours, column) in [(field.north_nt, 4), (field.east_nt, 5), (field.down_nt, 6)] {
            assert!((ours - number(row, column)).abs() < 1.0, "{row:?} {field:?}");
        }
        assert!((field.dip_deg() - number(row, 7)).abs() < 0.01, "{row:?} {field:?}");
        // Close to the magnetic poles the horizontal field is weak and 1 nT turns it noticeably.
        let tolerance = 0.01_f64.max(1.0_f64.atan2(field.north_nt.hypot(field.east_nt)).to_degrees());
        assert!(
            turn(field.declination_deg(), number(row, 8)) < tolerance,
            "{row:?} {field:?}"
        );
    }
}

//! The noise module against the vectors under `validation/noise` (sources and tolerances in the sidecars there).

use farhop_earth::{Place, UtcTime};
use farhop_propagation::noise::atmospheric::MODEL_SIGMA_DB;
use farhop_propagation::noise::{
    DECILE_PER_SIGMA, NoiseClass, NoiseTerm, atmospheric, galactic, man_made, sum_of_terms,
};
use farhop_vectors::Row;

fn rows(name: &str) -> Vec<Row> {
    let rows = farhop_vectors::table(&format!("noise/{name}"));
    assert!(rows.len() >= 10, "{name} holds too few rows");
    rows
}

#[test]
fn lines_of_p372() {
    for row in rows("external.csv") {
        let freq_mhz = row.value(1);
        let term = match &row[0] {
            "city" => man_made(NoiseClass::City, freq_mhz),
            "residential" => man_made(NoiseClass::Residential, freq_mhz),
            "rural" => man_made(NoiseClass::Rural, freq_mhz),
            "quiet rural" => man_made(NoiseClass::QuietRural, freq_mhz),
            "galactic" => galactic(freq_mhz, 0.0).unwrap(),
            other => panic!("unknown kind {other}"),
        };
        assert!((term.fa_median_db - row.value(2)).abs() < 0.005, "{row:?} {term:?}");
        assert_eq!(term.upper_decile_db, row.value(3));
        assert_eq!(term.lower_decile_db, row.value(4));
    }
}

#[test]
fn sums_of_log_normals() {
    for row in rows("sum.csv") {
        let list = |column: usize| {
            row[column]
                .split(' ')
                .map(|x| x.parse::<f64>().unwrap())
                .collect::<Vec<_>>()
        };
        let (medians, uppers, lowers) = (list(0), list(1), list(2));
        let terms: Vec<NoiseTerm> = (0..medians.len())
            .map(|i| NoiseTerm {
                fa_median_db: medians[i],
                upper_decile_db: uppers[i],
                lower_decile_db: lowers[i],
            })
            .collect();
        let sum = sum_of_terms(&terms).unwrap().term;
        assert!((sum.fa_median_db - row.value(3)).abs() < 1e-3, "{row:?} {sum:?}");
        assert!((sum.upper_decile_db - row.value(4)).abs() < 1e-3, "{row:?} {sum:?}");
        assert!((sum.lower_decile_db - row.value(5)).abs() < 1e-3, "{row:?} {sum:?}");
    }
}

/// The embedded field, read through the program, against the script's own nodes before packing.
#[test]
fn field_of_lightning() {
    let mut squares = [0.0; 3];
    let rows = rows("lightning.csv");
    for row in &rows {
        let [lat, lon, month, local_h, freq_mhz] = [0, 1, 2, 3, 4].map(|column| row.value(column));
        let new_year = UtcTime::from_civil(2026, 1, 1, 0, 0, 0).unwrap();
        // The day on which the middle of the month falls; the hour of the day is the row's own.
        let day = (15.5 + (month - 1.0) * 365.25 / 12.0).floor();
        let utc_h = (local_h - lon / 15.0).rem_euclid(24.0);
        let time = UtcTime::from_unix_s(new_year.unix_s() + (86_400.0 * day + 3_600.0 * utc_h).round() as i64).unwrap();
        let found = atmospheric(Place::new(lat, lon).unwrap(), time, freq_mhz);
        let with_error_db = |days_db: f64| days_db.hypot(DECILE_PER_SIGMA * MODEL_SIGMA_DB);
        let errors = [
            found.fa_median_db - row.value(5),
            found.upper_decile_db - with_error_db(row.value(6)),
            found.lower_decile_db - with_error_db(row.value(7)),
        ];
        for (sum, error) in squares.iter_mut().zip(errors) {
            *sum += error * error;
        }
    }
    let rms = squares.map(|sum| (sum / rows.len() as f64).sqrt());
    assert!(rows.len() > 400);
    println!("rms {rms:.2?} dB");
    assert!(rms[0] < 1.5 && rms[1] < 3.0 && rms[2] < 3.0, "{rms:?}");
}

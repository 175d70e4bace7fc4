//! The noise module against the vectors under `validation/noise` (sources and tolerances in the sidecars there).

use farhop_propagation::noise::{NoiseClass, NoiseTerm, galactic, man_made, sum_of_terms};
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

//! Declared gains against the vectors under `validation/declared` (source and tolerance in the sidecar there).

use farhop_antenna::declared::{Below, Declared};
use farhop_earth::GroundConstants;

/// The bar of the project.
const BAR_DB: f64 = 1.0;

#[test]
fn nec2_over_perfect_and_real_ground() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../../validation/declared/nec2.csv");
    let text = std::fs::read_to_string(path).unwrap();
    let (mut rows, mut worst_db, mut worst_row) = (0, 0.0, String::new());
    for line in text.lines().skip(1) {
        let field: Vec<&str> = line.split(',').collect();
        let number = |column: usize| field[column].parse::<f64>().unwrap();
        let (length_m, height_m) = (number(1), number(2));
        let antenna = match field[0] {
            "dipole" => Declared::FlatDipole {
                length_m,
                height_m,
                wire_azimuth_deg: 0.0,
            },
            "vertical" => Declared::ShortVertical {
                length_m,
                efficiency: 1.0,
            },
            "loop" => Declared::SmallLoop {
                height_m,
                plane_azimuth_deg: 0.0,
                efficiency: 1.0,
            },
            other => panic!("unknown kind {other}"),
        };
        let real = |eps_r, sigma_s_per_m| Below::Ground(GroundConstants { eps_r, sigma_s_per_m });
        let below = match field[4] {
            "perfect" => Below::PerfectGround,
            "average" => real(13.0, 0.005),
            "poor" => real(5.0, 0.001),
            "sea" => real(70.0, 5.0),
            other => panic!("unknown ground {other}"),
        };
        let found = antenna
            .prepare(number(3), below)
            .unwrap()
            .gain_dbi(number(6), number(5));
        let error_db: f64 = found - number(7);
        rows += 1;
        if error_db.abs() > worst_db {
            (worst_db, worst_row) = (error_db.abs(), format!("{line}: {error_db:.2} dB"));
        }
    }
    assert!(rows > 2000);
    println!("worst {worst_row}");
    assert!(worst_db <= BAR_DB, "{worst_row}");
}

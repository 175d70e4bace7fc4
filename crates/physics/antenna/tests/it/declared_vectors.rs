//! Declared gains against the vectors under `validation/declared` (sources and tolerances in the sidecars there).

use farhop_antenna::declared::{Below, Declared};
use farhop_earth::GroundConstants;
use farhop_vectors::Row;

/// The bar of the project.
const BAR_DB: f64 = 1.0;

/// Number of rows, worst error in dB and its row.
fn worst(name: &str, counts: impl Fn(&Row) -> bool) -> (usize, f64, String) {
    let mut worst = (0, 0.0, String::new());
    for row in farhop_vectors::table(&format!("declared/{name}")) {
        if !counts(&row) {
            continue;
        }
        let error_db = gain_dbi(&row) - row.value(8);
        worst.0 += 1;
        if error_db.abs() > worst.1 {
            (worst.1, worst.2) = (error_db.abs(), format!("{row:?}: {error_db:.2} dB"));
        }
    }
    println!("{name}: {} rows, worst {}", worst.0, worst.2);
    worst
}

fn gain_dbi(field: &Row) -> f64 {
    let number = |column: usize| field.value(column);
    let antenna = match &field[0] {
        "dipole" => Declared::FlatDipole {
            length_m: number(1),
            height_m: number(2),
            wire_azimuth_deg: 0.0,
        },
        "vertical" => Declared::ShortVertical {
            length_m: number(1),
            efficiency: number(3),
        },
        "loop" => Declared::SmallLoop {
            height_m: number(2),
            plane_azimuth_deg: 0.0,
            efficiency: number(3),
        },
        other => panic!("unknown kind {other}"),
    };
    let real = |eps_r, sigma_s_per_m| Below::Ground(GroundConstants { eps_r, sigma_s_per_m });
    let below = match &field[5] {
        "perfect" => Below::PerfectGround,
        "average" => real(13.0, 0.005),
        "poor" => real(5.0, 0.001),
        "sea" => real(70.0, 5.0),
        other => panic!("unknown ground {other}"),
    };
    antenna
        .prepare(number(4), below)
        .expect("a valid antenna")
        .gain_dbi(number(7), number(6))
}

#[test]
fn nec2_over_perfect_and_real_ground() {
    let (rows, worst_db, row) = worst("nec2.csv", |_| true);
    assert!(rows > 2000);
    assert!(worst_db <= BAR_DB, "{row}");
}

#[test]
fn half_space_solution_for_low_antennas() {
    let (rows, worst_db, row) = worst("low.csv", |field| &field[0] == "dipole");
    assert!(rows > 50);
    assert!(worst_db <= 0.2, "{row}");
    let (rows, worst_db, row) = worst("low.csv", |field| &field[0] == "loop" && &field[4] != "14.1");
    assert!(rows > 20);
    assert!(worst_db <= BAR_DB, "{row}");
}

//! The ground wave against the vectors under `validation/ground-wave` (source and tolerance in the sidecar there).

use farhop_earth::GroundConstants;
use farhop_propagation::ground_wave::{GroundWaveInputs, ground_wave_loss_db};

/// The bar of the project.
const BAR_DB: f64 = 1.0;

#[test]
fn lfmf_from_5_to_200_km() {
    let (mut rows, mut worst_db, mut worst_row) = (0, 0.0, String::new());
    for row in farhop_vectors::table("ground-wave/lfmf.csv") {
        let number: Vec<f64> = (1..9).map(|column| row.value(column)).collect();
        let found = ground_wave_loss_db(&GroundWaveInputs {
            ground: GroundConstants::new(number[0], number[1]).unwrap(),
            freq_mhz: number[2],
            distance_km: number[3],
            tx_height_m: number[4],
            rx_height_m: number[5],
        })
        .unwrap();
        rows += 1;
        for error_db in [
            found.basic_transmission_loss_db - number[6],
            found.field_strength_dbuv_per_m - number[7],
        ] {
            if error_db.abs() > worst_db {
                (worst_db, worst_row) = (
                    error_db.abs(),
                    format!("{row:?}: {error_db:.2} dB ({:?})", found.method),
                );
            }
        }
    }
    assert!(rows > 1000);
    println!("worst {worst_row}");
    assert!(worst_db <= BAR_DB, "{worst_row}");
}

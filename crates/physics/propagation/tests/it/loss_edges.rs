//! The edges of single losses, worked by hand from the laws and tables.

use farhop_propagation::aurora::auroral_loss_db;
use farhop_propagation::losses::{e_above_muf_db, e_screening_db, f2_above_muf_db, spreading_db};
use farhop_propagation::muf::Season;

fn close(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-9, "{found}, by hand {expected}");
}

/// Winter; cells as in table 2 of Rec. ITU-R P.533 (from memory).
fn winter_db(lat_deg: f64, local_h: f64) -> f64 {
    auroral_loss_db(lat_deg, local_h, Season::Winter, None)
}

#[test]
fn between_four_cells_of_the_aurora_lies_their_mean() {
    // 78.75 and 76.25 degrees, 02.5 and 05.5 h: 2.0, 6.6, 3.4, 8.3
    close(winter_db(77.5, 4.0), (2.0 + 6.6 + 3.4 + 8.3) / 4.0);
    // A quarter of the way in hours, three quarters in latitude.
    let high = 2.0 + 0.25 * (6.6 - 2.0);
    let low = 3.4 + 0.25 * (8.3 - 3.4);
    close(winter_db(78.75 - 0.75 * 2.5, 2.5 + 0.75), high + 0.75 * (low - high));
}

#[test]
fn the_aurora_passes_midnight_and_the_edges_of_its_table() {
    // Half way from 23.5 to 02.5 h: 1.0 and 2.0
    close(winter_db(78.75, 1.0), 1.5);
    close(winter_db(78.75, 25.0), 1.5);
    // Poleward of the first band its value is held; equatorward of the last it fades over one band.
    close(winter_db(88.0, 2.5), 2.0);
    close(winter_db(60.0, 2.5), 0.2);
    assert_eq!(winter_db(58.75, 2.5), 0.0);
    assert_eq!(winter_db(20.0, 2.5), 0.0);
}

#[test]
fn losses_begin_and_end_where_their_laws_say() {
    assert_eq!(
        (
            f2_above_muf_db(1.0, 1.0),
            e_above_muf_db(1.0, 0.2),
            e_above_muf_db(0.5, 0.2),
        ),
        (0.0, 0.0, 0.0)
    );
    // 1.05 of the cut-off: nothing; half way: a quarter of 30 dB; at and below it: all.
    assert_eq!(e_screening_db(1.05), 0.0);
    close(e_screening_db(1.025), 7.5);
    close(e_screening_db(1.0), 30.0);
    close(e_screening_db(0.4), 30.0);
    // Nearer than 1 km the spreading of 1 km: 32.45 + 20 log 10
    close(spreading_db(10.0, 0.2), 52.45);
    close(spreading_db(10.0, 10.0), 72.45);
}

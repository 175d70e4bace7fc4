//! Auroral and polar-cap loss by corrected geomagnetic latitude, magnetic local time, season and K.
//!
//! The table has the form of table 2 of Rec. ITU-R P.533 (ranges up to 2 500 km), its numbers from memory. It stands for
//! moderately disturbed conditions. With K the belt's edge moves toward the equator, most near midnight (Gussenhoven, Hardy &
//! Heinemann 1983; Holzworth & Meng 1975; slopes from memory); its poleward side hardly moves, so what a smaller K covers a
//! greater one covers too, and the loss never falls with K. How much it grows is the project's own rule from common practice.

use crate::muf::Season;
use farhop_num::maths;

/// Lowest geomagnetic latitude of each band in degrees, falling.
const BANDS_DEG: [f64; 8] = [77.5, 75.0, 72.5, 70.0, 67.5, 65.0, 62.5, 60.0];

/// dB by band and by local time: 01–04, 04–07, 07–10, 10–13, 13–16, 16–19, 19–22, 22–01.
type Table = [[f64; 8]; 8];

const WINTER: Table = [
    [2.0, 6.6, 6.2, 1.5, 0.5, 1.4, 1.5, 1.0],
    [3.4, 8.3, 8.6, 0.9, 0.5, 2.5, 3.0, 3.0],
    [6.2, 15.6, 12.8, 2.3, 1.5, 4.6, 7.0, 5.0],
    [7.0, 16.0, 14.0, 3.6, 2.0, 6.8, 9.8, 6.6],
    [2.0, 4.5, 6.6, 1.4, 0.8, 2.7, 3.0, 2.0],
    [1.3, 1.0, 3.2, 0.3, 0.4, 1.8, 2.3, 0.9],
    [0.9, 0.6, 2.2, 0.2, 0.2, 1.2, 1.5, 0.6],
    [0.4, 0.3, 1.1, 0.1, 0.1, 0.6, 0.7, 0.3],
];

const EQUINOX: Table = [
    [1.4, 2.5, 7.4, 3.8, 1.0, 2.4, 2.4, 3.3],
    [3.3, 11.0, 11.6, 5.1, 2.6, 4.0, 6.0, 7.0],
    [6.5, 12.0, 21.4, 8.5, 4.8, 6.0, 10.0, 13.7],
    [6.7, 11.2, 17.0, 9.0, 7.2, 9.0, 10.9, 15.0],
    [2.4, 4.4, 7.5, 5.0, 2.6, 4.8, 5.5, 6.1],
    [1.7, 2.0, 5.0, 3.0, 2.2, 4.0, 3.0, 4.0],
    [1.1, 1.3, 3.3, 2.0, 1.4, 2.6, 2.0, 2.6],
    [0.5, 0.6, 1.6, 1.0, 0.7, 1.3, 1.0, 1.3],
];

const SUMMER: Table = [
    [2.2, 2.7, 1.2, 2.3, 2.2, 3.8, 4.2, 3.8],
    [2.4, 3.0, 2.8, 3.0, 2.7, 4.2, 4.8, 4.5],
    [4.9, 4.2, 6.2, 4.5, 3.8, 5.4, 7.7, 7.2],
    [6.5, 4.8, 9.0, 6.0, 4.8, 9.1, 9.5, 8.9],
    [3.2, 2.7, 4.0, 3.0, 3.0, 6.5, 6.7, 5.0],
    [2.5, 1.8, 2.4, 2.3, 2.6, 5.0, 4.6, 4.0],
    [1.6, 1.2, 1.6, 1.5, 1.7, 3.3, 3.1, 2.6],
    [0.8, 0.6, 0.8, 0.7, 0.8, 1.6, 1.5, 1.3],
];

/// K index for which the table is taken to stand, dimensionless.
const TABLE_K: f64 = 2.5;
/// Degrees by which the belt moves toward the equator for one unit of K: mean over the day, and how much more at magnetic midnight.
const SHIFT_DEG_PER_K: (f64, f64) = (1.5, 0.4);
/// Relative growth of the loss for one unit of K, dimensionless.
const GROWTH_PER_K: f64 = 0.2;
/// Auroral loss in dB of a path at a control point.
///
/// `geomagnetic_lat_deg` is the corrected latitude, `local_time_h` the magnetic local time ([`crate::corrected`]). `k_index`
/// (dimensionless) moves the belt and changes the loss by 20 % a unit about the value the table stands for (2.5). Above that the
/// loss is the greatest, below it the least, that the belt brings between there and here: so it never falls with K.
#[must_use]
pub fn auroral_loss_db(geomagnetic_lat_deg: f64, local_time_h: f64, season: Season, k_index: Option<f64>) -> f64 {
    let table = match season {
        Season::Winter => &WINTER,
        Season::Equinox => &EQUINOX,
        Season::Summer => &SUMMER,
    };
    let disturbance = k_index.unwrap_or(TABLE_K).clamp(0.0, 9.0) - TABLE_K;
    let midnight = maths::cos(local_time_h * std::f64::consts::TAU / 24.0);
    let table_deg = geomagnetic_lat_deg.abs();
    let now_deg = table_deg + (SHIFT_DEG_PER_K.0 + SHIFT_DEG_PER_K.1 * midnight) * disturbance;
    let way = table_deg.min(now_deg)..=table_deg.max(now_deg);
    // The table is linear between the middles of its bands: its extremes lie there or at the ends.
    let middles = BANDS_DEG.iter().map(|low| low + 1.25);
    let values = middles
        .filter(|deg| way.contains(deg))
        .chain([table_deg, now_deg])
        .map(|deg| table_db(table, deg, local_time_h));
    let belt_db = if disturbance >= 0.0 {
        values.fold(0.0, f64::max)
    } else {
        values.fold(f64::INFINITY, f64::min)
    };
    belt_db * (1.0 + GROWTH_PER_K * disturbance).max(0.0)
}

/// The table, linear between the middles of the bands in latitude and between the middles of the hours in time.
fn table_db(table: &Table, latitude_deg: f64, local_time_h: f64) -> f64 {
    let row = (BANDS_DEG[0] + 1.25 - latitude_deg) / 2.5;
    let hour = ((local_time_h - 2.5) / 3.0).rem_euclid(8.0);
    if !row.is_finite() || !hour.is_finite() || row >= 8.0 {
        return 0.0;
    }
    let at = |r: i64| -> f64 {
        let Ok(band) = usize::try_from(r.max(0)) else {
            return 0.0;
        };
        let Some(values) = table.get(band) else { return 0.0 };
        let (first, share) = (hour.floor() as usize % 8, hour.fract());
        values[first] + share * (values[(first + 1) % 8] - values[first])
    };
    let (first, share) = (row.floor(), row - row.floor());
    at(first as i64) + share * (at(first as i64 + 1) - at(first as i64))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn none_at_middle_latitudes_when_quiet() {
        assert_eq!(auroral_loss_db(45.0, 8.0, Season::Winter, Some(2.0)), 0.0);
        // In a great storm the belt comes far down, most by night.
        assert!(auroral_loss_db(50.0, 0.5, Season::Winter, Some(9.0)) > 0.0);
    }

    #[test]
    fn the_table_at_its_own_points() {
        assert!((auroral_loss_db(71.25, 8.5, Season::Equinox, None) - 17.0).abs() < 1e-9);
        assert!((auroral_loss_db(-61.25, 2.5, Season::Winter, None) - 0.4).abs() < 1e-9);
    }

    #[test]
    fn the_loss_never_falls_with_k() {
        for lat in 40..=90 {
            for hour in 0..24 {
                let loss = |k: u8| {
                    auroral_loss_db(
                        f64::from(lat),
                        f64::from(hour),
                        Season::Equinox,
                        Some(0.25 * f64::from(k)),
                    )
                };
                assert!((0..36).all(|k| loss(k + 1) >= loss(k) - 1e-9), "{lat} {hour}");
            }
        }
    }

    #[test]
    fn finite_everywhere() {
        for lat in -90..=90 {
            for hour in -3..=30 {
                let loss = auroral_loss_db(f64::from(lat), f64::from(hour), Season::Summer, Some(5.0));
                assert!((0.0..40.0).contains(&loss));
            }
        }
        assert_eq!(auroral_loss_db(f64::NAN, 1.0, Season::Summer, None), 0.0);
    }
}

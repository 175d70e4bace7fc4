//! Reads the vectors under `validation/propagation`.

use farhop_propagation::{Horizon, LinkEnd, LinkSetup};
use farhop_vectors::Row;

/// The rows of a table.
pub fn read(name: &str) -> Vec<Row> {
    farhop_vectors::table(&format!("propagation/{name}"))
}

/// A number of a row; `None` where the field is empty.
pub fn number(row: &Row, column: &str) -> Option<f64> {
    row.number(column)
}

/// A quantile of values, with linear interpolation.
pub fn quantile(values: &mut [f64], q: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    let position = q * (values.len() - 1) as f64;
    let low = position.floor() as usize;
    let high = position.ceil() as usize;
    values[low] + (values[high] - values[low]) * (position - low as f64)
}

/// Five watts between two isotropic antennas over flat horizons, by the sky alone.
pub fn five_watts() -> LinkSetup<'static> {
    let end = LinkEnd {
        gain_dbi: &|_, _| 0.0,
        horizon: Horizon::FLAT,
    };
    LinkSetup {
        power_dbw: 6.989_7,
        from: end,
        to: end,
        ground_wave_loss_db: None,
    }
}

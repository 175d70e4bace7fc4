//! A station as a shared machine, in the words of the delivery model.

use farhop_message::Gateway;
use farhop_message::gateway::Scan;
use farhop_outing::Station;

/// The station as the delivery model takes it. Hours of service are not repeated here: windows lie inside them already.
#[must_use]
pub(crate) fn gateway_of(station: &Station) -> Gateway {
    let scan = (station.scan_count > 1).then(|| Scan {
        frequencies: station.scan_count,
        dwell_s: station.scan_cycle_s / f64::from(station.scan_count),
    });
    Gateway {
        busy_prob: station.busy_chance,
        off_prob: station.off_chance,
        scan,
    }
}

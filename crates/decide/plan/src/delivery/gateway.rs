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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_station_with_one_frequency_scans_none_and_with_more_it_stays_a_share_of_its_round() {
        let station = |scan_count, scan_cycle_s| Station {
            scan_count,
            scan_cycle_s,
            busy_chance: 0.1,
            off_chance: 0.2,
            ..Station::default()
        };
        let one = gateway_of(&station(1, 12.0));
        assert_eq!((one.busy_prob, one.off_prob), (0.1, 0.2));
        assert!(one.scan.is_none());
        let two = gateway_of(&station(2, 12.0)).scan;
        assert!(two.is_some_and(|s| s.frequencies == 2 && (s.dwell_s - 6.0).abs() < 1e-12));
    }
}

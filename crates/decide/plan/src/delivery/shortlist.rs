//! Which windows are worth the work of a delivery forecast.

use std::collections::BTreeMap;

use crate::window::Window;

/// Indices of the windows to look at, in their order: on each day the best to each station on each channel from each site, and
/// the best of each antenna. The rest are the same opportunities with a poorer antenna or at a poorer hour.
#[must_use]
pub fn shortlist(windows: &[Window]) -> Vec<usize> {
    let mut best: BTreeMap<[usize; 4], usize> = BTreeMap::new();
    for (index, window) in windows.iter().enumerate() {
        let day = window.start.unix_s().div_euclid(86_400) as usize;
        let route = window.route;
        // The first figure keeps the two kinds of keys apart.
        for key in [
            [1 + route.site, route.station, route.channel, day],
            [0, route.antenna, 0, day],
        ] {
            let known = best.entry(key).or_insert(index);
            if window.chance > windows[*known].chance {
                *known = index;
            }
        }
    }
    let mut chosen: Vec<usize> = best.into_values().collect();
    chosen.sort_unstable();
    chosen.dedup();
    chosen
}

#[cfg(test)]
mod tests {
    use farhop_earth::UtcTime;

    use super::*;
    use crate::chance::Chance;
    use crate::strip::Route;

    fn window(antenna: usize, start_s: i64, chance: f64) -> Window {
        let start = UtcTime::from_unix_s(start_s).unwrap();
        Window {
            route: Route {
                site: 0,
                station: 0,
                channel: 0,
                antenna,
            },
            start,
            end: start.add_s(3_600),
            chance: Chance::new(chance),
            best: Chance::new(chance),
            first_cell: 0,
            best_cell: 0,
            cells: 1,
        }
    }

    #[test]
    fn the_best_of_a_day_and_the_best_of_an_antenna_stay() {
        let all = [
            window(0, 0, 0.5),
            window(0, 7_200, 0.6),
            window(1, 7_200, 0.4),
            window(0, 90_000, 0.2),
        ];
        assert_eq!(shortlist(&all), [1, 2, 3]);
    }
}

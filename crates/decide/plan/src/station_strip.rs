//! One line a station: the best chance of each hour and how it is reached.

use farhop_earth::UtcTime;

use crate::chance::Chance;
use crate::itinerary::Stay;
use crate::strip::{Route, Strip};

/// The best of all routes to a station in one hour.
#[derive(Clone, Debug, PartialEq)]
pub struct BestHour {
    /// Middle of the hour.
    pub at: UtcTime,
    /// The chance of the message that is due first, or of a link where there is no message.
    pub chance: Chance,
    /// The chance that a link holds on that route.
    pub link_chance: Chance,
    /// By which route.
    pub route: Route,
}

/// The hours of a station, in order.
#[derive(Clone, Debug, PartialEq)]
pub struct StationStrip {
    /// Index of the station.
    pub station: usize,
    /// Hours in which somebody is at a site; gaps are left out.
    pub hours: Vec<BestHour>,
}

/// The strips of all stations, in the order of the outing.
#[must_use]
pub fn station_strips(strips: &[Strip], stations: usize) -> Vec<StationStrip> {
    strips_where(strips, stations, |_, _| true)
}

/// The same from where one is then: only routes from the site of the stay count.
#[must_use]
pub fn hours_at_stays(strips: &[Strip], stays: &[Stay], stations: usize) -> Vec<StationStrip> {
    strips_where(strips, stations, |route, at| {
        let there = |stay: &Stay| stay.site == route.site && stay.from <= at && at < stay.until;
        stays.iter().any(there)
    })
}

fn strips_where(strips: &[Strip], stations: usize, counts: impl Fn(&Route, UtcTime) -> bool) -> Vec<StationStrip> {
    (0..stations)
        .map(|station| StationStrip {
            station,
            hours: best_hours(strips, station, &counts),
        })
        .collect()
}

fn best_hours(strips: &[Strip], station: usize, counts: &impl Fn(&Route, UtcTime) -> bool) -> Vec<BestHour> {
    let mut hours: std::collections::BTreeMap<i64, BestHour> = std::collections::BTreeMap::new();
    for strip in strips.iter().filter(|s| s.route.station == station) {
        for cell in strip.cells.iter().filter(|cell| counts(&strip.route, cell.at)) {
            let here = BestHour {
                at: cell.at,
                chance: cell.chance(),
                link_chance: cell.link_chance,
                route: strip.route,
            };
            let known = hours.entry(cell.at.unix_s()).or_insert_with(|| here.clone());
            if cell.chance() > known.chance {
                *known = here;
            }
        }
    }
    hours.into_values().collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

    use super::*;
    use crate::analysis::Analysis;
    use crate::declared_book::DeclaredBook;
    use crate::demo::demo;

    #[test]
    fn the_best_of_each_hour_is_told_and_from_where_one_is_only_what_goes_from_there() {
        let outing = demo();
        let made = Analysis::in_turn(&outing, &DeclaredBook).unwrap();
        let all = station_strips(&made.strips, outing.stations.len());
        assert_eq!(all.len(), outing.stations.len());
        for strip in &all {
            assert!(strip.hours.windows(2).all(|w| w[0].at < w[1].at));
            for hour in &strip.hours {
                let same = made.strips.iter().filter(|s| s.route.station == strip.station);
                let chances = same
                    .flat_map(|s| s.cells.iter())
                    .filter(|c| c.at == hour.at)
                    .map(|c| c.chance());
                let best = chances
                    .max_by(|a, b| a.probability().total_cmp(&b.probability()))
                    .unwrap();
                assert_eq!(hour.chance, best);
            }
        }
        // A stay of one hour holds just the hour whose middle lies in it; one that ends at the middle does not hold it.
        let first = &made.strips[0];
        let at = first.cells[0].at;
        let held = |from_s: i64, until_s: i64| {
            let (from, until) = (at.add_s(from_s), at.add_s(until_s));
            let stay = Stay {
                site: first.route.site,
                from,
                until,
            };
            hours_at_stays(&made.strips, &[stay], outing.stations.len())[first.route.station]
                .hours
                .len()
        };
        assert_eq!(
            (held(-1_800, 1_800), held(0, 1), held(-1_800, 0), held(1, 1_800)),
            (1, 1, 0, 0)
        );
        let elsewhere = Stay {
            site: outing.sites.len(),
            from: outing.header.start,
            until: outing.header.end,
        };
        let none = hours_at_stays(&made.strips, &[elsewhere], outing.stations.len());
        assert!(none.iter().all(|s| s.hours.is_empty()));
    }
}

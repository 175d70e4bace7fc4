//! Where the plan has somebody, and how long a way takes.

use crate::common::demo;
use farhop_day::{Source, Spot, planned_stay};
use farhop_earth::{Place, UtcTime};
use farhop_outing::Outing;

#[test]
fn a_way_takes_what_naismith_says() {
    // One degree of latitude at the equator is 110.574 km (WGS 84, as handbooks print it); the way is 1.4 times as long, 5 km take an
    // hour, and 600 m of climb another (Naismith 1892).
    let site = |lat_deg: f64, elevation_m: f64| {
        let mut site = demo().sites[0].clone();
        site.place = Place::new(lat_deg, 0.0).unwrap();
        site.elevation_m = elevation_m;
        site
    };
    let level_min = 60.0 * 1.4 * 110.574 / 5.0;
    let close = |found: f64, wanted: f64| assert!((found - wanted).abs() < 0.02, "{found} min for {wanted} min");
    close(60.0 * site(0.0, 100.0).walk_h(&site(1.0, 100.0)), level_min);
    close(60.0 * site(0.0, 100.0).walk_h(&site(1.0, 1_000.0)), level_min + 90.0);
    // Downhill saves nothing.
    close(60.0 * site(1.0, 1_000.0).walk_h(&site(0.0, 100.0)), level_min);
    close(60.0 * site(0.0, 0.0).walk_h(&site(0.0, 300.0)), 30.0);
}

fn time(text: &str) -> UtcTime {
    UtcTime::parse(text).unwrap()
}

/// Id of the site, and from where it is known.
fn planned(outing: &Outing, at: UtcTime) -> (String, Source, UtcTime) {
    let stay = planned_stay(outing, at).unwrap();
    let Spot::Site(id) = &stay.spot else { panic!() };
    assert_eq!(
        stay.site,
        outing.sites.iter().position(|s| s.id.as_str() == id.as_str())
    );
    (id.clone(), stay.source, stay.since)
}

#[test]
fn the_place_is_the_one_with_hours_of_its_own_else_one_that_is_open_else_the_first() {
    let outing = demo();
    // The ridge from 12:00 to 19:00 local time (13 hours before UTC), its last second not included; the hut all the time.
    let (from, until) = (time("2026-12-11T23:00:00Z"), time("2026-12-12T06:00:00Z"));
    let start = outing.header.start;
    let cases = [
        (from.add_s(-1), "hut", start),
        (from, "ridge", from),
        (until.add_s(-1), "ridge", from),
        (until, "hut", start),
        (start, "hut", start),
        (outing.header.end.add_s(-1), "hut", start),
    ];
    for (at, id, since) in cases {
        assert_eq!(planned(&outing, at), (id.to_owned(), Source::Outing, since), "{at}");
    }
    // When the outing is over nobody is anywhere: the first wanted site is a guess.
    assert_eq!(planned(&outing, outing.header.end).1, Source::Guess);
    assert_eq!(planned(&outing, outing.header.end).0, "ridge");
    // A site that has only an end, or only a beginning, has hours of its own too.
    for (own_from, own_until) in [(Some(from), None), (None, Some(until))] {
        let mut parts = demo().into_parts();
        // The hut, which is open all the time, comes first now.
        parts.sites.swap(0, 1);
        parts.sites[1].from = own_from;
        parts.sites[1].until = own_until;
        let outing = Outing::new(parts).unwrap();
        assert_eq!(
            planned(&outing, from.add_s(60)).0,
            "ridge",
            "{own_from:?} {own_until:?}"
        );
    }
    // Where there are only places to fall back to, the first of them is a guess.
    let mut parts = demo().into_parts();
    parts.sites.retain(|s| s.fallback);
    let outing = Outing::new(parts).unwrap();
    assert_eq!(planned(&outing, from).0, "carpark");
    assert_eq!(planned(&outing, from).1, Source::Guess);
}

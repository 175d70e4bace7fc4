use farhop_allocations::{Allocation, Band, ChannelUse, Weight, check, reserved_by};

use super::*;

fn used(centre_mhz: f64, width_hz: f64, power_w: f64) -> ChannelUse {
    ChannelUse {
        centre_mhz,
        width_hz,
        power_w,
    }
}

fn refused(name: &str, centre_mhz: f64, width_hz: f64) -> bool {
    let found = check(named(name).unwrap(), &used(centre_mhz, width_hz, 5.0));
    found.iter().any(|f| f.weight() == Weight::Refused)
}

#[test]
fn every_file_reads_and_says_where_it_comes_from() {
    let read: Vec<Allocation> = FILES.iter().map(|t| parse_allocation(t).unwrap()).collect();
    assert_eq!(read.len(), all().len());
    for a in &read {
        assert!(!a.source.text.is_empty() && !a.source.date.is_empty(), "{}", a.name);
        assert!(a.identification.is_some(), "{}", a.name);
        let dated = |b: &Band| !b.source.text.is_empty() && !b.source.date.is_empty();
        assert!(a.bands.iter().all(dated), "{}", a.name);
    }
    assert!(parse_reserved(RESERVED).unwrap().len() >= 30);
    assert_eq!(kept_free().len(), parse_reserved(RESERVED).unwrap().len());
}

#[test]
fn file_names_are_the_names_in_the_file() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../../data/allocations");
    let mut count = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let stem = path.file_stem().unwrap().to_string_lossy().into_owned();
        if stem != "reserved" {
            assert!(named(&stem).is_some(), "{stem} is not embedded");
            count += 1;
        }
    }
    assert_eq!(count, all().len());
}

#[test]
fn regions_differ_where_the_radio_regulations_say_so() {
    // 40 m: 7.0–7.2 MHz in Regions 1 and 3, 7.0–7.3 MHz in Region 2 (Radio Regulations, article 5).
    for (name, bad) in [
        ("iaru-region-1", true),
        ("iaru-region-2", false),
        ("iaru-region-3", true),
    ] {
        assert_eq!(refused(name, 7.25, 500.0), bad, "{name}");
    }
    // 80 m: to 3.8, 4.0 and 3.9 MHz.
    for (name, top) in [("iaru-region-1", 3.8), ("iaru-region-2", 4.0), ("iaru-region-3", 3.9)] {
        assert!(!refused(name, top - 0.01, 500.0), "{name}");
        assert!(refused(name, top, 500.0), "{name}: the upper edge counts");
    }
}

#[test]
fn sixty_metres_of_wrc_15() {
    let here = |centre, power| check(named("iaru-region-3").unwrap(), &used(centre, 500.0, power));
    assert!(here(5.358, 5.0).is_empty());
    // 15 W EIRP: 9.1 W into a dipole of 2.15 dBi.
    assert!(here(5.358, 9.1).is_empty());
    assert_eq!(here(5.358, 9.3).len(), 1);
    assert!(refused("iaru-region-3", 5.3516, 500.0) && refused("iaru-region-1", 5.3664, 500.0));
}

#[test]
fn thirty_metres_is_narrow_by_custom_and_by_some_laws() {
    let wide = |name: &str| check(named(name).unwrap(), &used(10.145, 2_400.0, 5.0));
    let region = wide("iaru-region-1");
    assert!(region.len() == 1 && region[0].weight() == Weight::Mind, "{region:?}");
    assert!(refused("germany", 10.145, 2_400.0));
    assert!(!refused("united-states", 10.145, 2_400.0));
}

#[test]
fn data_parts_of_the_united_states() {
    // 47 CFR 97.305(c): data on 80 m below 3.6 MHz, on 40 m below 7.125 MHz; 97.313(c): 200 W on 30 m.
    assert!(!refused("united-states", 3.59, 2_400.0) && refused("united-states", 3.7, 500.0));
    assert!(!refused("united-states", 7.1, 2_400.0) && refused("united-states", 7.2, 500.0));
    let strong = check(named("united-states").unwrap(), &used(10.14, 500.0, 250.0));
    assert_eq!(strong.len(), 1);
    // 97.301(d): a General licensee begins 25 kHz higher.
    assert!(refused("united-states-general", 14.01, 500.0) && !refused("united-states", 14.01, 500.0));
    assert!(refused("united-states", 7.11, 3_000.0), "2.8 kHz at most");
}

#[test]
fn distress_and_standard_time_are_refused_beacons_are_not() {
    let weights = |mhz| -> Vec<Weight> {
        let channel = used(mhz, 500.0, 5.0);
        reserved_by(kept_free(), &channel).map(|r| r.kind.weight()).collect()
    };
    for mhz in [
        2.182, 2.1875, 4.2075, 6.312, 8.4145, 12.577, 16.8045, 4.125, 5.0, 10.0, 15.0, 20.0, 2.5, 3.023,
    ] {
        assert!(weights(mhz).contains(&Weight::Refused), "{mhz}");
    }
    assert_eq!(weights(14.1), [Weight::Mind]);
    assert!(weights(7.05).is_empty() && weights(10.1435).is_empty());
}

#[test]
fn no_allocation_grants_what_is_kept_free_for_distress() {
    // Nothing that binds may lie in the way of distress or standard time.
    for a in all() {
        for band in &a.bands {
            for kept in kept_free().iter().filter(|r| r.kind.weight() == Weight::Refused) {
                let apart = kept.high_mhz <= band.low_mhz || kept.low_mhz >= band.high_mhz;
                assert!(apart, "{}: {} MHz and {}", a.name, band.low_mhz, kept.what);
            }
        }
    }
}

const HEAD: &str = "[outing]\nstart = 2026-12-12\nend = 2026-12-13\n";
const REST: &str = "[[site]]\nid = \"a\"\nplace = \"-43.5,170.9\"\n[[message]]\nid = \"m\"\nbytes = 300\n\
    deadline = 2026-12-12T20:00\n[kit.transceiver]\npower_w = 5\n[[kit.antenna]]\nid = \"d\"\nkind = \"flat-dipole\"\n\
    length_m = 20\nheight_m = 5\n[[kit.battery]]\nid = \"b\"\nchemistry = \"lifepo4\"\ncapacity_ah = 6\n";

fn problems(allocation: &str, channel: &str) -> Vec<crate::Problem> {
    let station =
        format!("[[station]]\ncallsign = \"Q1ABC\"\nplace = \"-41,175\"\nchannels = [\n    {{ {channel} }},\n]\n");
    let text = format!("{HEAD}{allocation}{REST}{station}");
    let reading = crate::read(&text, "t.toml", &|_| Err(String::new()));
    let mut problems = reading.problems;
    problems.retain(|p| !p.cause.contains("deadline") && p.check.is_none());
    problems
}

#[test]
fn a_refused_channel_is_an_error_at_its_line() {
    let found = problems("allocation = \"iaru-region-3\"\n", "mhz = 7.2");
    assert!(
        matches!(&found[..], [p] if p.is_error() && p.source_line.contains("mhz = 7.2") && p.cause.contains("250 Hz over")),
        "{found:?}"
    );
    assert!(found[0].hint.contains(CHECK_YOUR_LICENCE));
    let wide = problems("allocation = \"iaru-region-3\"\n", "mhz = 10.1450, bandwidth_hz = 2400");
    assert!(
        matches!(&wide[..], [p] if !p.is_error() && p.cause.contains("band plan")),
        "{wide:?}"
    );
    assert!(problems("allocation = \"iaru-region-3\"\n", "mhz = 7.05").is_empty());
}

#[test]
fn without_an_allocation_only_distress_and_time_are_refused() {
    assert!(problems("", "mhz = 6.9").is_empty());
    let found = problems("", "mhz = 10.0");
    assert!(
        matches!(&found[..], [p] if p.is_error() && p.cause.contains("standard frequency")),
        "{found:?}"
    );
}

#[test]
fn an_unknown_name_is_told_with_the_nearest_known_one() {
    let found = problems("allocation = \"iaru-region-33\"\n", "mhz = 7.05");
    assert!(
        matches!(&found[..], [p] if p.is_error() && p.hint.contains("iaru-region-3")),
        "{found:?}"
    );
    let found = problems("allocation = \"atlantis\"\n", "mhz = 7.05");
    assert!(
        matches!(&found[..], [p] if p.hint.contains("Known here") && p.hint.contains("germany")),
        "{found:?}"
    );
}

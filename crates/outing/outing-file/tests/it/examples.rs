//! The shipped outings read without a problem, and say what they take for granted.

use std::path::Path;

use farhop_earth::geodesic;
use farhop_outing::antenna::DeltaLoop;
use farhop_outing_file::{Reading, STARTER_FILES, read, render_all};

fn example(name: &str) -> Reading {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../../examples")
        .join(name);
    let text = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    read(&text, name, &|file| Err(format!("{file} is not there")))
}

#[test]
fn every_example_reads_without_errors() {
    for name in ["demo.toml", "north.toml", "equator.toml"] {
        let reading = example(name);
        assert!(reading.outing.is_some(), "{}", render_all(&reading.problems));
        assert!(reading.problems.is_empty(), "{}", render_all(&reading.problems));
    }
}

#[test]
fn the_starter_reads_without_errors() {
    let [outing, stations] = STARTER_FILES;
    let load = |file: &str| {
        assert_eq!(file, stations.name);
        Ok(stations.text.to_owned())
    };
    let reading = read(outing.text, outing.name, &load);
    assert!(reading.problems.is_empty(), "{}", render_all(&reading.problems));
    let outing = reading.outing.expect("an outing");
    assert_eq!(outing.stations.len(), 3);
    assert_eq!(outing.stations[1].channels.len(), 2);
    assert!(!outing.stations[1].channels[0].hours_utc.contains_min(23 * 60));
}

#[test]
fn the_demo_is_what_the_issue_asks_for() {
    let outing = example("demo.toml").outing.expect("an outing");
    assert_eq!(
        (outing.sites.len(), outing.stations.len(), outing.kit.antennas.len()),
        (3, 6, 3)
    );
    assert_eq!(outing.kit.transceiver.power_w, 5.0);
    assert!(outing.messages.iter().all(|m| (300..=5000).contains(&m.size_bytes)));
    let hut = outing.site("hut").expect("the hut").place;
    let mut away_km: Vec<f64> = outing
        .stations
        .iter()
        .map(|s| geodesic(hut, s.place).distance_km)
        .collect();
    away_km.sort_by(f64::total_cmp);
    assert!(
        (50.0..75.0).contains(&away_km[0]) && (2_300.0..2_600.0).contains(&away_km[5]),
        "{away_km:?}"
    );
    // Amateur allocations of the demo's bands in Region 3, as in the ITU Radio Regulations: the channels lie inside.
    let bands = [(3.5, 3.9), (5.3515, 5.3665), (7.0, 7.2), (10.1, 10.15), (14.0, 14.35)];
    for channel in outing.stations.iter().flat_map(|s| &s.channels) {
        let half_mhz = channel.bandwidth_hz / 2e6;
        let (low, high) = (channel.freq_mhz - half_mhz, channel.freq_mhz + half_mhz);
        assert!(
            bands.iter().any(|b| low >= b.0 && high <= b.1),
            "{} MHz",
            channel.freq_mhz
        );
    }
    let used = |b: &(f64, f64)| {
        outing
            .stations
            .iter()
            .flat_map(|s| &s.channels)
            .any(|c| c.freq_mhz > b.0 && c.freq_mhz < b.1)
    };
    assert!(bands.iter().all(used));
    assert!(outing.stations.iter().all(|s| s.callsign.as_str().starts_with('Q')));
}

#[test]
fn a_site_hangs_an_antenna_in_its_own_way() {
    let outing = example("demo.toml").outing.expect("an outing");
    let ridge = outing.site("ridge").expect("the ridge");
    let here: Vec<_> = outing.antennas_at(ridge).collect();
    assert_eq!(here.iter().map(|a| a.id.as_str()).collect::<Vec<_>>(), ["whip"]);
    let lean = |antenna: &farhop_outing::Antenna| match antenna.kind {
        farhop_outing::AntennaKind::Whip(whip) => (whip.lean_deg, whip.lean_toward_deg),
        _ => panic!("kind"),
    };
    assert_eq!(lean(here[0]), (40.0, 120.0));
    let in_kit = outing
        .kit
        .antennas
        .iter()
        .find(|a| a.id.as_str() == "whip")
        .expect("the whip");
    assert_eq!(lean(in_kit).0, 20.0);
    assert!(!outing.kit.carries("battery-2") && outing.kit.carries("battery"));
}

#[test]
fn imperial_keys_become_metric_numbers() {
    let outing = example("equator.toml").outing.expect("an outing");
    let farhop_outing::AntennaKind::DeltaLoop(DeltaLoop { perimeter_m, .. }) = outing.kit.antennas[0].kind else {
        panic!("kind")
    };
    // 140 ft at exactly 0.3048 m.
    assert!((perimeter_m - 42.672).abs() < 1e-9);
    assert!((outing.sites[0].temperature_c - 32.777_777_8).abs() < 1e-6);
}

#[test]
fn defaults_are_listed() {
    let lines: Vec<String> = example("demo.toml").defaults.iter().map(ToString::to_string).collect();
    insta::assert_snapshot!(lines.join("\n"));
}

#[test]
fn every_section_has_its_defaults() {
    let reading = read(include_str!("least.toml"), "least.toml", &|_| Err(String::new()));
    assert!(reading.outing.is_some(), "{}", render_all(&reading.problems));
    let lines: Vec<String> = reading.defaults.iter().map(|d| format!("{:?}: {d}", d.topic)).collect();
    insta::assert_snapshot!(lines.join("\n"));
}

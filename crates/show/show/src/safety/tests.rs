use farhop_earth::units::Units;
use farhop_outing::Outing;

use super::rules::rules_lines;
use super::words;

fn demo() -> Outing {
    let text = include_str!("../../../../../examples/demo.toml");
    farhop_outing_file::read(text, "demo", &|_| Err(String::new()))
        .outing
        .unwrap()
}

#[test]
fn the_rules_of_the_demo_name_their_table() {
    let lines = rules_lines(&demo());
    assert_eq!(lines.len(), 2);
    assert!(lines[0].contains("Region 3") && lines[0].contains("from memory") && lines[0].contains("Your licence"));
    assert!(lines[1].contains("every 10 min"));
}

#[test]
fn without_an_allocation_the_licence_is_named_all_the_same() {
    let mut parts = demo().into_parts();
    parts.header.operator.allocation = None;
    let lines = rules_lines(&Outing::new(parts).unwrap());
    assert!(lines.len() == 1 && lines[0].contains("No `allocation`") && lines[0].contains("Your licence"));
}

#[test]
fn distances_are_never_told_shorter() {
    for m in [0.3, 0.9, 1.4, 2.0, 11.7] {
        let feet: f64 = words::told(m, Units::Imperial).trim_end_matches(" ft").parse().unwrap();
        assert!(feet * 0.3048 >= m - 1e-9, "{m} {feet}");
    }
    assert_eq!(words::told(0.9, Units::Metric), "0.9 m");
    assert_eq!(words::volts(1_037.0), "1040 V");
    assert_eq!(words::volts(46.3), "46 V");
}

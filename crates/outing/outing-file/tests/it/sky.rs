//! K by day and by three hours, flares, protons and readings of sporadic E: what is read, and what is refused.

use farhop_earth::UtcTime;
use farhop_outing::Outing;
use farhop_outing_file::{Reading, read, render_all};

const DEMO: &str = include_str!("../../../../../examples/demo.toml");

/// The demo with other lines under `[conditions]`.
fn with(lines: &str) -> Reading {
    let text = DEMO.replacen("\nk = 4 ", &format!("\n{lines}\n# "), 1);
    assert_ne!(text, DEMO);
    read(&text, "outing.toml", &|_| Err("no other file".to_owned()))
}

fn sound(lines: &str) -> Outing {
    let reading = with(lines);
    let problems = render_all(&reading.problems);
    reading.outing.unwrap_or_else(|| panic!("{problems}"))
}

fn at(text: &str) -> UtcTime {
    UtcTime::parse(text).unwrap()
}

#[test]
fn k_is_read_by_day_and_by_three_hours() {
    let by_day = sound("k_by_day = [2, 5.3, 3]").conditions.clone();
    assert_eq!((by_day.k_by_day, by_day.k_index), (vec![2.0, 5.3, 3.0], None));
    let fine = sound("k_by_three_hours = [1, 2, 3, 4]").conditions.clone();
    assert_eq!(fine.k_by_three_hours, [1.0, 2.0, 3.0, 4.0]);
    let told = |lines: &str| with(lines).defaults.iter().any(|d| d.key == "conditions.k");
    assert!(told("") && !told("k_by_day = [2]") && !told("k_by_three_hours = [2]"));
}

#[test]
fn flares_protons_and_sporadic_e_are_read_as_lists_and_as_sections() {
    let list = sound(
        "flare = [{ class = \"M5\", at = 2026-12-12T01:20Z, until = 2026-12-12T02:30Z }]\n\
         polar_cap = [{ flux = 1000, from = 2026-12-12T06:00Z }, { loss_db = 3, mhz = 30, from = 2026-12-11T00:00Z }]\n\
         foes = [{ mhz = 6.1, at = 2026-12-12T02:00Z, place = \"-43.6,172.6\" }]",
    );
    let own = &list.conditions;
    let flare = own.flares[0];
    // M5 is 5e-5 W/m² by the definition of the classes.
    assert!((flare.peak_flux_w_per_m2 / 5e-5 - 1.0).abs() < 1e-12);
    assert_eq!(
        (flare.at, flare.until),
        (at("2026-12-12T01:20:00Z"), Some(at("2026-12-12T02:30:00Z")))
    );
    assert_eq!(own.polar_cap[0].flux_per_cm2_s_sr, Some(1_000.0));
    assert_eq!(
        (own.polar_cap[1].loss_db, own.polar_cap[1].freq_mhz),
        (Some(3.0), Some(30.0))
    );
    assert_eq!(
        (own.foes[0].foes_mhz, own.foes[0].at),
        (6.1, at("2026-12-12T02:00:00Z"))
    );
    let text = format!("{DEMO}\n[[conditions.flare]]\nclass = \"x1.2\"\nat = 2026-12-12T01:20Z\n");
    let sections = read(&text, "outing.toml", &|_| Err("no other file".to_owned()))
        .outing
        .unwrap();
    assert!((sections.conditions.flares[0].peak_flux_w_per_m2 / 1.2e-4 - 1.0).abs() < 1e-12);
}

#[test]
fn what_cannot_be_is_refused_with_its_reason() {
    let cases = [
        ("k = 2\nk_by_day = [2]", "both `k` and `k_by_day` are given"),
        (
            "k_by_day = [2]\nk_by_three_hours = [2]",
            "both `k_by_day` and `k_by_three_hours` are given",
        ),
        ("k_by_day = [2, 10]", "0 to 9"),
        ("k_by_day = [\"two\"]", "must be a number"),
        (
            "flare = [{ class = \"Q5\", at = 2026-12-12T01:20Z }]",
            "is no X-ray class",
        ),
        (
            "flare = [{ class = \"B5\", at = 2026-12-12T01:20Z }]",
            "0.000001 to 0.01 W/m²",
        ),
        ("flare = [{ at = 2026-12-12T01:20Z }]", "`class` is missing"),
        ("flare = [{ class = \"M5\" }]", "`at` is missing"),
        (
            "flare = [{ class = \"M5\", at = 2026-12-12T01:20Z, until = 2026-12-12T01:00Z }]",
            "it ends before it begins",
        ),
        ("polar_cap = [{ from = 2026-12-12T06:00Z }]", "not said how strong"),
        (
            "polar_cap = [{ loss_db = 3, from = 2026-12-12T06:00Z }]",
            "has no frequency",
        ),
        (
            "polar_cap = [{ flux = 10, loss_db = 3, mhz = 30, from = 2026-12-12T06:00Z }]",
            "both the flux and the loss",
        ),
        ("polar_cap = [{ flux = 1e9, from = 2026-12-12T06:00Z }]", "1 to 1000000"),
        (
            "foes = [{ mhz = 60, at = 2026-12-12T02:00Z, place = \"-43.6,172.6\" }]",
            "0.5 to 30 MHz",
        ),
    ];
    for (lines, cause) in cases {
        let reading = with(lines);
        let said = render_all(&reading.problems);
        assert!(reading.outing.is_none() && said.contains(cause), "{lines}\n{said}");
    }
    let many = vec!["2"; 501].join(", ");
    assert!(render_all(&with(&format!("k_by_three_hours = [{many}]")).problems).contains("501 values"));
}

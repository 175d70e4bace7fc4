//! The program as a user runs it: exit codes, what goes where, what bad input says.

use crate::common::run::{command, example, farhop, json, stderr, stdout};
use serde_json::Value;

const PATH: [&str; 9] = [
    "path",
    "--from",
    "-43.48,170.9",
    "--to",
    "-40.92,175.25",
    "--mhz",
    "7.05",
    "--at",
    "2026-12-12T06:30:00Z",
];
const SKY: [&str; 5] = ["sky", "--place", "RE66", "--at", "2026-12-12T00:00:00Z"];

fn with<'a>(base: &[&'a str], more: &[&'a str]) -> Vec<&'a str> {
    base.iter().chain(more).copied().collect()
}

/// The base call with one option's value replaced.
fn replaced<'a>(base: &[&'a str], option: &str, value: &'a str) -> Vec<&'a str> {
    let mut args = base.to_vec();
    let at = args.iter().position(|a| *a == option).unwrap();
    args[at + 1] = value;
    args
}

#[test]
fn path_json_holds_every_promised_key() {
    let view = json(&with(&PATH, &["--json"]));
    for key in [
        "distance_km",
        "bearing_deg",
        "sun_zenith_deg",
        "fof2_mhz",
        "foe_mhz",
        "m3000f2",
        "hmf2_km",
        "gyro_mhz",
        "muf_mhz",
        "muf_e_mhz",
        "muf_f2_mhz",
        "muf_f2_ordinary_mhz",
        "skip_km",
        "bandwidth_hz",
    ] {
        assert!(view[key].is_number(), "{key} is {}", view[key]);
    }
    assert!(view["midpoint"]["lat_deg"].is_number() && view["notes"].is_array());
    for key in [
        "layer",
        "hops",
        "elevation_deg",
        "path_km",
        "muf_mhz",
        "support",
        "absorption_db",
        "power_dbm",
    ] {
        assert!(!view["modes"][0][key].is_null(), "modes[0].{key}");
    }
    for key in [
        "man_made_fa_db",
        "galactic_fa_db",
        "atmospheric_fa_db",
        "total_fa_db",
        "deciles",
    ] {
        assert!(view["noise"].get(key).is_some(), "noise.{key}");
    }
    for key in ["p10", "p50", "p90"] {
        assert!(view["snr_db"][key].is_number(), "snr_db.{key}");
    }
    assert!(view.get("ground_wave").is_some());
}

#[test]
fn the_losses_of_a_mode_add_up_to_its_power() {
    let view = json(&with(&PATH, &["--json"]));
    for mode in view["modes"].as_array().unwrap() {
        let parts = [
            "spreading_db",
            "absorption_db",
            "above_muf_db",
            "ground_reflection_db",
            "auroral_db",
            "fade_out_db",
            "polar_cap_db",
            "polarisation_db",
            "screening_db",
            "residual_db",
            "horizon_db",
        ];
        let total: f64 = parts.iter().map(|key| mode[*key].as_f64().unwrap()).sum();
        // 5 W are 36.99 dBm; every part is rounded to 0.01 dB.
        let power_dbm = 36.99 - total;
        assert!((power_dbm - mode["power_dbm"].as_f64().unwrap()).abs() < 0.1, "{mode}");
    }
}

#[test]
fn sky_json_holds_every_promised_key_for_every_hour() {
    let view = json(&with(&SKY, &["--json", "--hours", "5", "--flux", "120"]));
    assert!((view["flux"].as_f64().unwrap() - 120.0).abs() < 1e-9 && view["r12"].is_number());
    let hours = view["hours"].as_array().unwrap();
    assert_eq!(hours.len(), 5);
    for hour in hours {
        for key in [
            "fof2_mhz",
            "m3000f2",
            "foe_mhz",
            "hmf2_km",
            "foes_median_mhz",
            "modip_deg",
            "dip_deg",
            "sun_zenith_deg",
        ] {
            assert!(hour[key].is_number(), "{key}");
        }
        assert!(hour["at"].as_str().unwrap().ends_with('Z'));
    }
}

#[test]
fn a_given_fof2_is_the_fof2_of_the_middle() {
    let view = json(&with(&PATH, &["--json", "--fof2", "5.25"]));
    assert!((view["fof2_mhz"].as_f64().unwrap() - 5.25).abs() < 1e-3);
}

#[test]
fn ten_times_the_power_is_ten_decibels() {
    let snr = |watts: &str| {
        json(&with(&PATH, &["--json", "--watts", watts]))["snr_db"]["p50"]
            .as_f64()
            .unwrap()
    };
    assert!((snr("50") - snr("5") - 10.0).abs() < 0.03);
}

#[test]
fn bad_words_are_refused_with_their_name_and_without_a_panic() {
    let cases: Vec<Vec<&str>> = vec![
        replaced(&PATH, "--from", "nowhere"),
        replaced(&PATH, "--from", "91,0"),
        replaced(&PATH, "--to", "NaN,10"),
        replaced(&PATH, "--to", "10,inf"),
        replaced(&PATH, "--mhz", "NaN"),
        replaced(&PATH, "--mhz", "-7"),
        replaced(&PATH, "--mhz", "400"),
        replaced(&PATH, "--at", "yesterday"),
        replaced(&PATH, "--at", "1850-01-01T00:00:00Z"),
        replaced(&PATH, "--at", "2099-01-01T00:00:00Z"),
        replaced(&PATH, "--at", "1899-12-31T23:59:59Z"),
        replaced(&PATH, "--at", "2030-06-01T00:00:00Z"),
        replaced(&PATH, "--at", "2026-12-12T06:30:61"),
        replaced(&PATH, "--at", "-999999-01-01T00:00:00Z"),
        replaced(&PATH, "--mhz", "inf"),
        replaced(&PATH, "--mhz", "1e308"),
        replaced(&PATH, "--from", "-90.0001,0"),
        replaced(&PATH, "--from", "10,361"),
        replaced(&PATH, "--from", "RE66z"),
        replaced(&PATH, "--from", "ZZ99"),
        with(&PATH, &["--watts", "0"]),
        with(&PATH, &["--watts", "NaN"]),
        with(&PATH, &["--fof2", "inf"]),
        with(&PATH, &["--bandwidth-hz", "-inf"]),
        with(&PATH, &["--flux", "-inf"]),
        with(&SKY, &["--ssn", "inf"]),
        with(&SKY, &["--hours", "99999999999999999999"]),
        with(&SKY, &["--hours", "-1"]),
        replaced(&SKY, "--at", "2031-01-01T00:00:00Z"),
        with(&PATH, &["--watts", "-5"]),
        with(&PATH, &["--watts", "inf"]),
        with(&PATH, &["--k", "12"]),
        with(&PATH, &["--k", "-1"]),
        with(&PATH, &["--ssn", "-3"]),
        with(&PATH, &["--ssn", "NaN"]),
        with(&PATH, &["--flux", "1000000"]),
        with(&PATH, &["--flux", "100", "--ssn", "50"]),
        with(&PATH, &["--fof2", "0"]),
        with(&PATH, &["--noise", "jungle"]),
        with(&PATH, &["--bandwidth-hz", "0"]),
        with(&SKY, &["--hours", "0"]),
        with(&SKY, &["--hours", "60000"]),
        replaced(&SKY, "--place", ""),
        vec!["plan", "/no/such/file.toml"],
        vec!["plan", "--site", "nowhere"],
        vec!["plan", "--station", "nobody"],
        vec!["fly"],
    ];
    for args in cases {
        let output = farhop(&args);
        let talk = stderr(&output);
        assert_eq!(output.status.code(), Some(1), "{args:?}: {talk}");
        assert!(
            !talk.trim().is_empty() && !talk.contains("panicked"),
            "{args:?}: {talk}"
        );
        assert!(output.stdout.is_empty(), "{args:?} wrote data");
    }
}

#[test]
fn odd_but_possible_places_get_an_answer() {
    let places = [
        "90,0",
        "-90,0",
        "0,180",
        "0,-180",
        "43.48,-9.1",
        "-43.48,170.9",
        "AA00",
        "RR99",
    ];
    for to in places {
        let view = json(&with(&replaced(&PATH, "--to", to), &["--json"]));
        assert!(view["snr_db"]["p50"].as_f64().is_some_and(f64::is_finite), "{to}");
    }
}

#[test]
fn data_goes_to_stdout_and_talk_to_stderr() {
    let output = farhop(&["plan", "--json", "--full", "--site", "hut", "--station", "larch"]);
    assert!(output.status.success());
    assert!(stderr(&output).contains("embedded demo"));
    let view: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert!(view["verdict"].as_str().is_some_and(|v| !v.is_empty()));
    for strip in view["strips"].as_array().unwrap() {
        assert_eq!(strip["route"]["site"], "hut");
        assert_eq!(strip["route"]["station"], "larch");
    }
}

#[test]
fn text_fits_eighty_columns() {
    let (demo, north, equator) = (example("demo.toml"), example("north.toml"), example("equator.toml"));
    let calls: Vec<Vec<&str>> = vec![
        vec!["plan", &demo],
        vec!["plan", &north],
        vec!["plan", &equator],
        vec!["plan", &demo, "--units", "imperial"],
        PATH.to_vec(),
        replaced(&PATH, "--to", "43.48,-9.1"),
        replaced(&PATH, "--mhz", "28.123456"),
        SKY.to_vec(),
    ];
    for args in calls {
        let output = farhop(&args);
        assert!(output.status.success(), "{args:?}: {}", stderr(&output));
        for line in stdout(&output).lines() {
            assert!(line.chars().count() <= 80, "{args:?}: {line}");
        }
    }
}

#[test]
fn a_plan_is_the_same_to_the_byte_every_time_on_one_thread_and_on_two() {
    let plan = |threads: &str, file: &str| {
        let output = command(&["plan", file, "--json"])
            .env("RAYON_NUM_THREADS", threads)
            // Nothing may come from an earlier run.
            .env("FARHOP_NO_CACHE", "1")
            .output()
            .unwrap();
        assert!(output.status.success());
        output.stdout
    };
    // The smaller examples: each run solves all its antennas anew.
    for name in ["north.toml", "equator.toml"] {
        let file = example(name);
        let first = plan("1", &file);
        assert!(first.len() > 10_000);
        assert!(first == plan("1", &file), "{name}: a second run differs");
        assert!(first == plan("2", &file), "{name}: two threads differ from one");
    }
}

#[test]
fn a_starter_passes_its_own_check_and_is_never_overwritten() {
    let folder = std::env::temp_dir().join(format!("farhop-new-{}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    let dir = folder.to_str().unwrap();
    assert!(farhop(&["new", dir]).status.success());
    let outing = folder.join("outing.toml");
    let checked = farhop(&["check", outing.to_str().unwrap()]);
    assert!(checked.status.success(), "{}", stdout(&checked));
    std::fs::write(&outing, "# mine").unwrap();
    assert_eq!(farhop(&["new", dir]).status.code(), Some(1));
    assert_eq!(std::fs::read_to_string(&outing).unwrap(), "# mine");
    std::fs::remove_dir_all(&folder).unwrap();
}

#[test]
fn check_points_at_line_and_column() {
    let file = std::env::temp_dir().join(format!("farhop-check-{}.toml", std::process::id()));
    let text = std::fs::read_to_string(example("demo.toml")).unwrap();
    let broken = text
        .replace("power_w = 80", "power_w = -80")
        .replace("noise = \"rural\"\npower_w = 100", "nois = \"rural\"\npower_w = 100");
    assert_ne!(text, broken);
    std::fs::write(&file, &broken).unwrap();
    let output = farhop(&["check", file.to_str().unwrap()]);
    std::fs::remove_file(&file).unwrap();
    assert_eq!(output.status.code(), Some(1));
    let said = stdout(&output);
    let line = 1 + broken.lines().position(|l| l == "power_w = -80").unwrap();
    assert!(said.contains(&format!("line {line}, column")), "{said}");
    assert!(said.contains("noise"), "an unknown key gets a suggestion: {said}");
}

#[test]
fn broken_outings_say_what_is_wrong() {
    let text = std::fs::read_to_string(example("demo.toml")).unwrap();
    let cases = [
        ("not toml", "[[[".to_owned()),
        (
            "no stations",
            text.split("# --- Who listens").next().unwrap().to_owned(),
        ),
        (
            "end before start",
            text.replace("end = 2026-12-13T16:00", "end = 2026-12-11T16:00"),
        ),
        ("outside the field model", text.replace("2026-12-1", "2036-12-1")),
        (
            "no such place",
            text.replace("place = \"-43.480,170.900\"", "place = \"-143.480,170.900\""),
        ),
        (
            "same place twice",
            text.replace("place = \"-43.432,170.835\"", "place = \"-43.480,170.900\""),
        ),
        ("not a number", text.replace("elevation_m = 1720", "elevation_m = nan")),
    ];
    for (what, broken) in cases {
        assert_ne!(text, broken, "{what}");
        let file = std::env::temp_dir().join(format!("farhop-broken-{}-{}.toml", std::process::id(), what.len()));
        std::fs::write(&file, &broken).unwrap();
        let output = farhop(&["plan", file.to_str().unwrap()]);
        std::fs::remove_file(&file).unwrap();
        let talk = stderr(&output);
        assert_eq!(output.status.code(), Some(1), "{what}: {talk}");
        assert!(talk.contains("line ") && !talk.contains("panicked"), "{what}: {talk}");
    }
}

//! Every option of `path` and `sky` does what its help says, and nothing else.

use crate::common::run::command;
use serde_json::Value;

fn json(args: &[&str]) -> Value {
    let output = command(args).arg("--json").output().unwrap();
    let talk = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(output.status.success(), "{args:?}: {talk}");
    assert!(talk.is_empty(), "{args:?} had nothing to say: {talk}");
    serde_json::from_slice(&output.stdout).unwrap()
}

fn path(more: &[&str]) -> Value {
    let base = [
        "path",
        "--from",
        "-43.48,170.9",
        "--to",
        "-40.92,175.25",
        "--mhz",
        "7.05",
    ];
    let mut args = base.to_vec();
    args.extend(more);
    if !more.contains(&"--at") {
        args.extend(["--at", "2026-12-12T00:30:00Z"]);
    }
    json(&args)
}

fn sky(more: &[&str]) -> Value {
    let mut args = vec!["sky", "--place", "-43.48,170.9", "--at", "2026-12-12T00:00:00Z"];
    args.extend(more);
    json(&args)
}

/// A number deep in the view: `number(&view, "noise.total_fa_db")`.
fn number(view: &Value, key: &str) -> f64 {
    let found = key.split('.').fold(view, |v, k| &v[k]);
    found.as_f64().unwrap_or_else(|| panic!("{key} is {found}"))
}

fn near(a: f64, b: f64, tolerance: f64) {
    assert!((a - b).abs() <= tolerance, "{a} and {b}");
}

#[test]
fn a_flux_and_the_sunspot_number_that_goes_with_it_are_nearly_the_same_sky() {
    // F10.7 = 63.7 + 0.728 R + 8.9e-4 R² (Rec. ITU-R P.371, from memory): 100 spots are 145.4 units.
    let by_spots = path(&["--ssn", "100"]);
    let by_flux = path(&["--flux", "145.4"]);
    near(number(&by_spots, "r12"), 100.0, 1e-9);
    near(number(&by_flux, "r12"), 100.0, 0.01);
    // foF2 follows IG12, which the record puts at 110.7 for 100 counted spots and at 101.1 for a flux of 145.4: some 4 % of foF2.
    let ratio = number(&by_flux, "fof2_mhz") / number(&by_spots, "fof2_mhz");
    assert!((0.93..1.0).contains(&ratio), "{ratio}");
    assert!(number(&path(&["--ssn", "150"]), "fof2_mhz") > number(&path(&["--ssn", "0"]), "fof2_mhz") + 1.0);
    // The rise of the maps with activity is the point of the option for `sky` as well.
    let fof2 = |view: &Value| number(&view["hours"][0], "fof2_mhz");
    assert!(fof2(&sky(&["--ssn", "150", "--hours", "1"])) > fof2(&sky(&["--ssn", "0", "--hours", "1"])) + 1.0);
}

#[test]
fn without_activity_what_data_expect_is_used_and_said() {
    let view = path(&[]);
    let notes = view["notes"].to_string();
    let words = ["observed solar flux of the date", "outlook of the solar flux"];
    assert!(words.iter().any(|w| notes.contains(w)), "{notes}");
    let given = path(&["--ssn", "60"])["notes"].to_string();
    assert!(
        given.contains("sunspot number given") && !words.iter().any(|w| given.contains(w)),
        "{given}"
    );
}

#[test]
fn a_storm_lowers_the_f_layer_and_calm_does_nothing() {
    let fof2 = |k: &str| number(&path(&["--ssn", "60", "--k", k]), "fof2_mhz");
    near(fof2("0"), number(&path(&["--ssn", "60"]), "fof2_mhz"), 1e-9);
    assert!(fof2("8") < 0.95 * fof2("2"), "{} {}", fof2("8"), fof2("2"));
}

#[test]
fn each_noise_class_is_as_p372_has_it() {
    // Fam = c - d log10 f (Rec. ITU-R P.372, table of man-made noise; from memory), at 7.05 MHz.
    for (word, c, d) in [
        ("city", 76.8, 27.7),
        ("residential", 72.5, 27.7),
        ("rural", 67.2, 27.7),
        ("quiet-rural", 53.6, 28.6),
    ] {
        let view = path(&["--noise", word]);
        near(number(&view, "noise.man_made_fa_db"), c - d * 7.05f64.log10(), 0.01);
        // By day lightning adds less than a hundredth of a dB to a city; to a quiet place it adds.
        let added = number(&view, "noise.total_fa_db") - number(&view, "noise.man_made_fa_db");
        assert!(
            added >= 0.0 && (word != "quiet-rural" || added > 0.05),
            "{word}: {added}"
        );
    }
    // The default is rural.
    assert_eq!(path(&[])["noise"], path(&["--noise", "rural"])["noise"]);
}

#[test]
fn a_wider_band_lets_in_more_noise() {
    // Ten times the bandwidth is ten decibels; nothing else depends on it.
    let (narrow, wide) = (path(&["--bandwidth-hz", "50"]), path(&["--bandwidth-hz", "500"]));
    near(number(&narrow, "snr_db.p50") - number(&wide, "snr_db.p50"), 10.0, 0.03);
    assert_eq!(narrow["modes"], wide["modes"]);
    near(number(&path(&[]), "bandwidth_hz"), 500.0, 0.0);
}

#[test]
fn the_sky_looks_the_same_from_both_ends() {
    let there = path(&["--ssn", "60"]);
    let ends = ["--from", "-40.92,175.25", "--to", "-43.48,170.9"];
    let rest = ["--mhz", "7.05", "--at", "2026-12-12T00:30:00Z", "--ssn", "60"];
    let back = json(&[&["path"], &ends[..], &rest[..]].concat());
    near(number(&there, "distance_km"), number(&back, "distance_km"), 1e-3);
    near(number(&there, "bearing_deg"), number(&back, "back_bearing_deg"), 2e-3);
    let set = |view: &Value| {
        let mut modes: Vec<String> = view["modes"]
            .as_array()
            .unwrap()
            .iter()
            .map(|m| format!("{}{} {}", m["hops"], m["layer"], m["component"]))
            .collect();
        modes.sort();
        modes
    };
    assert!(!set(&there).is_empty());
    assert_eq!(set(&there), set(&back));
}

#[test]
fn places_may_be_locators_and_times_may_have_offsets() {
    // RE66 is the square 43 to 44° S, 172 to 174° E (worked by hand from the locator's definition); its centre is meant.
    let by_locator = json(&["sky", "--place", "RE66", "--at", "2026-12-12T00:00:00Z", "--hours", "1"]);
    near(number(&by_locator, "lat_deg"), -43.5, 1e-9);
    near(number(&by_locator, "lon_deg"), 173.0, 1e-9);
    let utc = sky(&["--hours", "2"]);
    let local = json(&[
        "sky",
        "--place",
        "-43.48,170.9",
        "--at",
        "2026-12-12T13:00:00+13:00",
        "--hours",
        "2",
    ]);
    assert_eq!(utc, local);
    assert_eq!(utc["hours"][0]["at"], "2026-12-12T00:00:00Z");
    assert_eq!(utc["hours"][1]["at"], "2026-12-12T01:00:00Z");
}

#[test]
fn a_day_is_24_hours_unless_another_number_is_asked() {
    assert_eq!(sky(&[])["hours"].as_array().unwrap().len(), 24);
    assert_eq!(sky(&["--hours", "744"])["hours"].as_array().unwrap().len(), 744);
}

#[test]
fn the_sun_rises_when_it_does() {
    // 43.48° S, 170.9° E, 12 December: sunrise 16:47 UTC, sunset 08:13 UTC. By hand from declination -23.05°, equation of time
    // +6.5 min, and a horizon of -0.83°: half day arc 115.6°, noon at 12:30 UTC, so 12:30 -/+ 7 h 43 min.
    let view = sky(&["--hours", "24"]);
    let hours = view["hours"].as_array().unwrap();
    let up = |hour: usize| number(&hours[hour], "sun_zenith_deg") < 90.83;
    for (hour, sun_is_up) in [
        (0, true),
        (8, true),
        (9, false),
        (12, false),
        (16, false),
        (17, true),
        (20, true),
    ] {
        assert_eq!(up(hour), sun_is_up, "{hour}:00 UTC");
    }
    // The E layer lives by the sun; the F layer is lowest before sunrise (common knowledge of the ionosphere).
    let e = |hour: usize| number(&hours[hour], "foe_mhz");
    assert!(
        e(0) > 2.0 && e(12) < 1.0 && e(18) > 2.0 * e(12),
        "{} {} {}",
        e(0),
        e(12),
        e(18)
    );
    let f = |hour: usize| number(&hours[hour], "fof2_mhz");
    assert!(f(16) < f(19) && f(16) < f(8), "{} {} {}", f(8), f(16), f(19));
}

#[test]
fn a_flare_takes_what_its_class_says_while_the_sun_is_up() {
    let lost = |more: &[&str]| {
        let mut args = vec!["--ssn", "60"];
        args.extend(more);
        let view = path(&args);
        let modes = view["modes"].as_array().unwrap();
        let fade_db = modes.iter().map(|m| number(m, "fade_out_db")).fold(0.0, f64::max);
        (fade_db, number(&view, "snr_db.p50"))
    };
    let (quiet, flared) = (lost(&[]), lost(&["--flare", "X1@2026-12-12T00:20:00Z"]));
    assert_eq!(quiet.0, 0.0);
    assert!(flared.0 > 3.0 && flared.1 < quiet.1 - 3.0, "{quiet:?} {flared:?}");
    assert!(lost(&["--flare", "M1@2026-12-12T00:20:00Z"]).0 < flared.0);
    assert_eq!(lost(&["--flare", "X1@2026-12-12T00:40:00Z"]), quiet, "not begun yet");
    let at_night = |flare: &[&str]| lost(&[&["--at", "2026-12-12T12:30:00Z"], flare].concat());
    assert_eq!(at_night(&["--flare", "X1@2026-12-12T12:20:00Z"]), at_night(&[]));
}

#[test]
fn the_shares_of_days_add_up() {
    let view = path(&["--ssn", "60"]);
    let of = |key: &str| number(&view, &format!("carried.{key}"));
    let sum: f64 = ["f2", "e", "sporadic_e", "ground_wave", "scatter"]
        .iter()
        .map(|k| of(k))
        .sum();
    near(sum, of("any"), 5e-4);
    let support = |key: &str| number(&view, &format!("support.{key}"));
    assert!(support("any") >= support("f2").max(support("sporadic_e")) && support("any") <= 1.0);
}

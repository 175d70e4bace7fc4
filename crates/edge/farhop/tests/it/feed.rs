//! `farhop feed` as a user runs it, and the feed in a plan.

use crate::common::run::{example, farhop_without_cache as farhop, fresh_file, json_of, stderr, success};
use serde_json::Value;

fn stdout(args: &[&str]) -> String {
    success(&farhop(args))
}

fn json(args: &[&str]) -> Value {
    json_of(&farhop(args))
}

/// The kind day with one piece of its text replaced.
fn demo_with(name: &str, old: &str, new: &str) -> String {
    let text = std::fs::read_to_string(example("kind-day.toml")).unwrap();
    assert!(text.contains(old), "{old}");
    let path = fresh_file(name);
    std::fs::write(&path, text.replace(old, new)).unwrap();
    path
}

fn bands(view: &Value) -> Vec<&Value> {
    let groups = view["groups"].as_array().unwrap();
    groups.iter().flat_map(|g| g["bands"].as_array().unwrap()).collect()
}

fn number(value: &Value, path: &str) -> f64 {
    value
        .pointer(path)
        .unwrap()
        .as_f64()
        .unwrap_or_else(|| panic!("{path}: {value}"))
}

#[test]
fn the_demo_fits_the_terminal_and_answers_first() {
    let text = stdout(&["feed", &example("kind-day.toml")]);
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    assert!(text.lines().next().unwrap().contains("cases match"), "{text}");
    for part in [
        "Linked dipole at Kea ridge: automatic tuner, 7.0 m of RG-174, 1:1 choke",
        "End-fed wire at Ford car park",
        " matches at ",
        " dB lost, ",
        " W radiated",
        "nobody touches it while sending",
        "send a constant carrier",
    ] {
        assert!(text.contains(part), "{part}");
    }
    // Advice on tuning stands once, and the loop is left at home for the ridge.
    assert_eq!(text.matches("constant carrier").count(), 1);
    assert!(!text.contains("Small loop at Kea ridge"));
}

#[test]
fn no_more_is_radiated_than_was_set_and_losses_add_up() {
    let view = json(&["feed", &example("kind-day.toml"), "--json"]);
    let bands = bands(&view);
    assert!(bands.len() >= 30, "{}", bands.len());
    for band in bands {
        let loss = ["line_db", "transformer_db", "tuner_db"].map(|k| number(band, &format!("/loss/{k}")));
        assert!(
            (loss.iter().sum::<f64>() - number(band, "/loss/total_db")).abs() < 0.002,
            "{band}"
        );
        let power = ["setting_w", "forward_w", "taken_w", "into_antenna_w", "radiated_w"]
            .map(|k| number(band, &format!("/power/{k}")));
        assert!(power.is_sorted_by(|a, b| a >= b), "{power:?}");
        let ratio = 10f64.powf(-number(band, "/loss/total_db") / 10.0);
        assert!((power[2] * ratio - power[3]).abs() < 0.002, "{power:?}");
        assert!(number(band, "/swr") >= 1.0 && number(band, "/swr") <= number(band, "/swr_without_tuner") + 1e-3);
        for key in ["antenna", "at_tuner", "after_tuner"] {
            assert!(number(band, &format!("/{key}/r_ohm")) > 0.0);
        }
        assert!(!band["stresses"].as_array().unwrap().is_empty());
        let with_spread = band["robustness"]["copes"]["probability"].is_number();
        assert!(with_spread || band["coupling_loop"] == true, "{band}");
    }
}

#[test]
fn without_a_tuner_the_wire_does_not_match_and_the_advice_does() {
    let path = demo_with("feed-none.toml", "kind = \"automatic\"", "kind = \"none\"");
    let view = json(&["feed", &path, "--site", "hut", "--antenna", "wire", "--json"]);
    let missing: Vec<&Value> = bands(&view).into_iter().filter(|b| b["matched"] == false).collect();
    assert!(missing.len() >= 3, "{view}");
    let mut promised = 0;
    for band in missing {
        let sentence = band["sentence"].as_str().unwrap();
        assert!(sentence.starts_with("will not match (SWR "), "{sentence}");
        for advice in band["advice"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|a| a["matches"] == true)
        {
            assert!(advice["swr"].as_f64().unwrap() <= 2.0, "{advice}");
            promised += 1;
        }
    }
    assert!(promised >= 3, "{view}");
    // The dipole of the same outing needs no tuner.
    let dipole = json(&["feed", &path, "--site", "hut", "--antenna", "link", "--json"]);
    assert!(bands(&dipole).iter().all(|b| b["matched"] == true), "{dipole}");
    let text = stdout(&["feed", &path, "--antenna", "wire"]);
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
}

#[test]
fn a_promised_change_of_the_wire_holds_when_it_is_made() {
    let tuner = "kind = \"automatic\"";
    let path = demo_with("feed-short.toml", tuner, "kind = \"none\"");
    let view = json(&["feed", &path, "--site", "hut", "--antenna", "wire", "--json"]);
    let lengthen = "lengthen the wire by ";
    let promise = bands(&view).into_iter().find_map(|band| {
        let list = band["advice"].as_array().unwrap();
        let advice = list
            .iter()
            .find(|a| a["matches"] == true && a["words"].as_str().unwrap().starts_with(lengthen))?;
        let words = advice["words"].as_str().unwrap().trim_start_matches(lengthen);
        Some((
            number(band, "/freq_mhz"),
            words.trim_end_matches(" m").parse::<f64>().unwrap(),
        ))
    });
    let (freq_mhz, more_m) = promise.expect("some band asks for a longer wire");
    // Advice is rounded to a tenth of a metre; a tenth more is on the safe side of the edge that the search finds.
    let longer = format!("wire_m = {}", 21.6 + more_m + 0.1);
    let text = std::fs::read_to_string(&path)
        .unwrap()
        .replace("wire_m = 21.6", &longer);
    std::fs::write(&path, text).unwrap();
    let after = json(&["feed", &path, "--site", "hut", "--antenna", "wire", "--json"]);
    let band = bands(&after).into_iter().find(|b| b["freq_mhz"] == freq_mhz).unwrap();
    assert_eq!(band["matched"], true, "{band}");
}

#[test]
fn a_plan_counts_what_the_feed_leaves_and_says_where_nothing_matches() {
    let plan = json(&["plan", "--site", "ridge", "--station", "kowhai", "--json"]);
    let windows = plan["schedule"].as_array().unwrap();
    assert!(!windows.is_empty());
    for window in windows {
        let used = &window["antenna_use"];
        let (share, efficiency) = (number(used, "/feed_share"), number(used, "/efficiency"));
        assert!(share > 0.0 && share < 1.0, "{used}");
        assert!(
            (number(used, "/feed/radiated_w") - 5.0 * share * efficiency).abs() < 0.002,
            "{used}"
        );
    }
    let path = demo_with("plan-none.toml", "kind = \"automatic\"", "kind = \"none\"");
    let plan = json(&["plan", &path, "--site", "hut", "--station", "beech", "--json"]);
    let unmatched = plan["unmatched"].as_array().unwrap();
    assert!(
        unmatched
            .iter()
            .any(|u| u.as_str().unwrap().starts_with("End-fed wire at Tarn hut near 3.6")),
        "{unmatched:?}"
    );
    let text = stdout(&["plan", &path, "--site", "hut", "--station", "beech"]);
    assert!(text.contains("No match, and less power for it: End-fed wire"), "{text}");
}

#[test]
fn odd_kits_are_shown_and_never_end_in_a_crash() {
    let odd = [
        (
            "odd-line.toml",
            "line = \"rg-174\"\nlength_m = 7",
            "line = \"ladder-450\"\nlength_m = 300",
        ),
        (
            "odd-own.toml",
            "line = \"rg-174\"",
            "line = \"own\"\nz0_ohm = 75\nvelocity_factor = 0.8\nloss_10mhz_db_per_100m = 60",
        ),
        (
            "odd-hand.toml",
            "kind = \"automatic\"",
            "kind = \"manual-t\"\nmax_inductance_uh = 0.01\nmax_capacitance_pf = 0.1",
        ),
        (
            "odd-relays.toml",
            "kind = \"automatic\"",
            "kind = \"automatic\"\nbits = 1\ngood_swr = 1",
        ),
        (
            "odd-loss.toml",
            "transformer = { ratio = 9, loss_db = 0.6 }",
            "transformer = { ratio = 100, loss_db = 60 }",
        ),
        ("odd-feet.toml", "units = \"metric\"", "units = \"imperial\""),
    ];
    for (name, old, new) in odd {
        let path = demo_with(name, old, new);
        let text = stdout(&["feed", &path, "--site", "hut"]);
        assert!(text.lines().all(|l| l.chars().count() <= 80), "{name}: {text}");
        assert!(text.contains("MHz"), "{name}: {text}");
    }
}

#[test]
fn bad_input_ends_with_code_1_and_says_why() {
    let home = demo_with(
        "home.toml",
        "id = \"coax\"\nname = \"Coax with plugs\"",
        "id = \"coax\"\ncarried = false\nname = \"Coax with plugs\"",
    );
    let cases: &[(&[&str], &str)] = &[
        (&["feed", "--antenna", "balloon"], "this outing has link, whip, loop"),
        (&["feed", "--site", "moon"], "this outing has ridge, hut, carpark"),
        (&["feed", "--site", "ridge", "--antenna", "loop"], "nothing to show"),
        (&["feed", "/no/such/outing.toml"], "/no/such/outing.toml"),
        (&["feed", &home], "stays at home"),
        (&["feed", "--colour"], "--colour"),
    ];
    for (args, part) in cases {
        let output = farhop(args);
        assert_eq!(output.status.code(), Some(1), "{args:?}: {}", stderr(&output));
        assert!(output.stdout.is_empty(), "{args:?}");
        assert!(stderr(&output).contains(part), "{args:?}: {}", stderr(&output));
    }
}

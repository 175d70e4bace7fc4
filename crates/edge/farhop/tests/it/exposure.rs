//! `farhop exposure` as a user runs it, and the same figures in the plan.

use crate::common::run::{farhop, json, said as text};
use serde_json::Value;

#[test]
fn the_text_fits_the_screen_and_names_distances_burns_and_rules() {
    let shown = text(&["exposure"]);
    assert!(shown.lines().all(|l| l.chars().count() <= 80), "{shown}");
    for words in [
        "Keep others",
        "Small loop, Tarn hut",
        "capacitor at",
        "burns",
        "47 CFR 1.1310",
        "ICNIRP 2020",
        "Region 3",
        "power lines",
        "30-30 rule",
        "Local code",
    ] {
        assert!(shown.contains(words), "{words} in\n{shown}");
    }
}

#[test]
fn others_stay_farther_than_the_operator_and_the_loop_is_worst_in_magnetic_field() {
    let view = json(&["exposure", "--site", "hut", "--json"]);
    let bands = view["bands"].as_array().unwrap();
    // Hut: dipole on four bands and the wire on all five, the loop on three.
    assert!(bands.len() >= 8, "{}", bands.len());
    for band in bands {
        let near = &band["near"];
        let (own, others) = (near["operator_m"].as_f64().unwrap(), near["others_m"].as_f64().unwrap());
        assert!(own <= others && others < 5.0, "{band}");
        let fields: Vec<f64> = near["fields"]
            .as_array()
            .unwrap()
            .iter()
            .map(|f| f["e_v_per_m"].as_f64().unwrap())
            .collect();
        assert!(fields.first() > fields.last(), "{band}");
    }
    let wanted = |b: &&Value| b["antenna"] == "loop" && b["freq_mhz"].as_f64().unwrap() < 8.0;
    let loop_40 = bands.iter().find(wanted).unwrap();
    let capacitor = &loop_40["near"]["contacts"][0];
    assert_eq!(capacitor["part"], "capacitor");
    assert!(capacitor["volts_rms"].as_f64().unwrap() > 300.0);
}

#[test]
fn the_plan_says_the_same_as_the_command() {
    let plan = json(&["plan", "--json"]);
    let all = json(&["exposure", "--json"]);
    let named = plan["safety"].as_array().unwrap();
    assert!(!named.is_empty());
    for band in named {
        let same = |b: &&Value| {
            b["site"] == band["site"] && b["antenna"] == band["antenna"] && b["freq_mhz"] == band["freq_mhz"]
        };
        let other = all["bands"].as_array().unwrap().iter().find(same).unwrap();
        assert_eq!(band, other);
    }
    let shown = text(&["plan"]);
    assert!(
        shown.contains("keep others") && shown.contains("away while sending"),
        "{shown}"
    );
}

#[test]
fn slips_are_told() {
    for slip in [["exposure", "--antenna", "lop"], ["exposure", "--site", "hutt"]] {
        let output = farhop(&slip);
        assert_eq!(output.status.code(), Some(1));
        assert!(
            String::from_utf8_lossy(&output.stderr).contains("this outing has"),
            "{slip:?}"
        );
    }
    // Nothing to stand the loop on at the ridge.
    let output = farhop(&["exposure", "--site", "ridge", "--antenna", "loop"]);
    assert_eq!(output.status.code(), Some(1));
}

#[test]
fn a_channel_outside_the_allocation_is_refused_by_check_and_plan() {
    let demo = std::fs::read_to_string(format!("{}/../../../examples/demo.toml", env!("CARGO_MANIFEST_DIR"))).unwrap();
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("rules");
    std::fs::create_dir_all(&folder).unwrap();
    let file = folder.join("outing.toml");
    std::fs::write(&file, demo.replace("mhz = 7.0495", "mhz = 7.2495")).unwrap();
    let path = file.to_str().unwrap();
    let output = farhop(&["check", path]);
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    assert_eq!(output.status.code(), Some(1));
    assert!(
        said.contains("7.2495 MHz lies outside every band") && said.contains("Check your licence"),
        "{said}"
    );
    assert_eq!(farhop(&["plan", path]).status.code(), Some(1));
    // In Region 2 the same channel is fine, and then others are not.
    std::fs::write(&file, demo.replace("iaru-region-3", "iaru-region-2")).unwrap();
    assert!(farhop(&["check", path]).status.success());
}

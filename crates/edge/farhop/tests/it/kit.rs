//! `farhop kit` and `farhop fault` as a user runs them.

use crate::common::run::{farhop_at_home as farhop, fresh_folder, json_of as json, stdout as text};

#[test]
fn the_demo_kit_names_its_weak_points_and_the_spare_that_helps() {
    let folder = fresh_folder("kit-all");
    let output = farhop(&folder, &["kit", "--json"]);
    assert!(output.status.success());
    let view = json(&output);
    let alone: Vec<&str> = view["single_points"]
        .as_array()
        .unwrap()
        .iter()
        .map(|p| p["part"].as_str().unwrap())
        .collect();
    // Everything that `send` needs and that has no stand-in among what is carried.
    for part in [
        "transceiver",
        "power-cable",
        "fuse",
        "battery",
        "modem",
        "audio-cable",
        "computer",
        "coax",
    ] {
        assert!(alone.contains(&part), "{part} in {alone:?}");
    }
    assert!(!alone.contains(&"watch"), "the phone stands in for the watch");
    let total = view["success"]["probability"].as_f64().unwrap();
    let factors = ["kit_holds", "charge_lasts", "sky_carries"];
    let product: f64 = factors.iter().map(|k| view[*k].as_f64().unwrap()).product();
    assert!((total - product).abs() < 5e-4, "{total} {product}");
    let best = view["best_set"]["mass_kg"].as_f64().unwrap();
    assert!(best <= 1.0 + 1e-9 && view["best_set"]["exact"].as_bool().unwrap());
    assert!(view["best_set"]["after"]["probability"].as_f64().unwrap() > total);
}

#[test]
fn a_tighter_limit_never_helps_and_none_adds_nothing() {
    let folder = fresh_folder("kit-limit");
    let after = |limit: &str| {
        let view = json(&farhop(&folder, &["kit", "--limit-kg", limit, "--json"]));
        view["best_set"]["after"]["probability"].as_f64().unwrap()
    };
    let (none, little, much) = (after("0"), after("0.1"), after("5"));
    assert!(none < little && little < much, "{none} {little} {much}");
    let output = farhop(&folder, &["kit", "--limit-kg", "-1"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&output.stderr).contains("--limit-kg"));
}

#[test]
fn the_text_fits_the_screen_and_packs_every_carried_part() {
    let folder = fresh_folder("kit-text");
    let shown = text(&farhop(&folder, &["kit"]));
    assert!(shown.lines().all(|l| l.chars().count() <= 80), "{shown}");
    for part in [
        "Tablet",
        "Coax with plugs",
        "Phone with manuals",
        "Two people check",
        "A shorted battery burns",
    ] {
        assert!(shown.contains(part), "{part}");
    }
}

#[test]
fn the_plan_names_the_one_thing_to_add() {
    let folder = fresh_folder("kit-plan");
    let view = json(&farhop(&folder, &["plan", "--json"]));
    let verdict = view["kit"]["verdict"].as_str().unwrap();
    assert!(verdict.contains("The one thing to add"), "{verdict}");
    let shown = text(&farhop(&folder, &["plan"]));
    assert!(shown.contains("The outing hangs on each of these alone"), "{shown}");
}

#[test]
fn a_search_goes_on_in_another_run_until_the_battery_is_found() {
    let folder = fresh_folder("kit-fault");
    let first = json(&farhop(&folder, &["fault", "--symptom", "no power anywhere", "--json"]));
    assert_eq!(first["causes"][0]["part"], "battery");
    let notes = first["recovery"][0]["notes"].as_array().unwrap();
    assert!(
        notes[0].as_str().unwrap().contains("connect charger or panel"),
        "{notes:?}"
    );
    // The session file stands after each run, so that every run is a run after a power cut.
    assert!(folder.join("data/farhop/demo.fault.json").exists());
    let second = json(&farhop(&folder, &["fault", "--found", "bad", "--json"]));
    assert_eq!(second["causes"][0]["part"], "battery");
    let again = json(&farhop(&folder, &["fault", "--undo", "--json"]));
    assert_eq!(again, first);
    let named = json(&farhop(&folder, &["fault", "--found", "fuse", "--json"]));
    assert_eq!(named["advice_key"], "mend");
    assert_eq!(named["asks_about"], "fuse");
}

#[test]
fn slips_are_told_and_spoil_nothing() {
    let folder = fresh_folder("kit-fault-slips");
    let output = farhop(&folder, &["fault", "--found", "ok"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(
        String::from_utf8_lossy(&output.stderr).contains("hears nothing"),
        "lists what can be seen"
    );
    assert!(farhop(&folder, &["fault", "--symptom", "high SWR"]).status.success());
    let before = std::fs::read(folder.join("data/farhop/demo.fault.json")).unwrap();
    for slip in [
        ["fault", "--found", "nose"],
        ["fault", "--found", "coax=maybe"],
        ["fault", "--symptom", "smoke"],
    ] {
        let output = farhop(&folder, &slip);
        assert_eq!(output.status.code(), Some(1), "{slip:?}");
        assert_eq!(
            std::fs::read(folder.join("data/farhop/demo.fault.json")).unwrap(),
            before,
            "{slip:?}"
        );
    }
}

#[test]
fn an_outing_file_keeps_its_search_beside_it() {
    let folder = fresh_folder("kit-fault-file");
    let made = farhop(&folder, &["new", "trip"]);
    assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
    let output = farhop(&folder, &["fault", "trip/outing.toml", "--symptom", "modem silent"]);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    assert!(folder.join("trip/outing.fault.json").exists());
    assert!(text(&output).contains("Causes, the likeliest first"));
}

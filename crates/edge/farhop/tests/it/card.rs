//! `farhop card` as a user runs it.

use std::process::Output;

use crate::common::run::{farhop_in as farhop, fresh_folder};

fn said(output: &Output) -> String {
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8_lossy(&output.stderr).into_owned()
}

#[test]
fn the_demo_goes_on_a_sheet_of_each_size() {
    let home = fresh_folder("card-sizes");
    for args in [
        &["card"][..],
        &["card", "--a5", "-o", "a5.pdf"],
        &["card", "--letter", "-o", "letter.pdf"],
    ] {
        let words = said(&farhop(&home, args));
        assert!(words.contains("Print it at 100 % on both sides: "), "{words}");
    }
    let files = ["card.pdf", "a5.pdf", "letter.pdf"].map(|f| std::fs::read(home.join(f)).unwrap());
    assert!(files.iter().all(|f| f.starts_with(b"%PDF-") && f.len() > 20_000));
    assert!(files[0] != files[1] && files[1] != files[2]);
    // What is there stays as it is, unless it may be replaced.
    let again = farhop(&home, &["card"]);
    assert!(!again.status.success() && String::from_utf8_lossy(&again.stderr).contains("--replace"));
    assert_eq!(std::fs::read(home.join("card.pdf")).unwrap(), files[0]);
    said(&farhop(&home, &["card", "--replace"]));
}

#[test]
fn the_page_says_what_the_plan_says_and_keeps_people_away() {
    let home = fresh_folder("card-page");
    said(&farhop(&home, &["card", "--html", "--units", "imperial"]));
    let page = std::fs::read_to_string(home.join("card.html")).unwrap();
    let plan = farhop(&home, &["plan", "--json"]);
    let plan: serde_json::Value = serde_json::from_slice(&plan.stdout).unwrap();
    let best = &plan["messages"][0];
    let callsign = best["sends"][0]["callsign"].as_str().unwrap();
    assert!(page.contains(callsign), "{callsign}");
    let percent = best["chance"]["percent"].as_u64().unwrap();
    assert!(page.contains(&format!("{percent} %")));
    assert!(
        page.contains("keep others") && page.contains(" ft"),
        "distances in feet"
    );
    assert!(!page.contains(" m/"), "one system of units");
}

#[test]
fn what_cannot_be_made_is_said() {
    let home = fresh_folder("card-bad");
    let cases: [(&[&str], &str); 3] = [
        (&["card", "nowhere.toml"], "nowhere.toml"),
        (&["card", "-o", "no-such-folder/card.pdf"], "no-such-folder"),
        (&["card", "--a5", "--letter"], "--letter"),
    ];
    for (args, part) in cases {
        let output = farhop(&home, args);
        let words = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(!output.status.success() && words.contains(part), "{args:?}: {words}");
    }
}

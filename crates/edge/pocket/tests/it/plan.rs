//! The plan: made apart, the same as the program's, and every page from it.

use farhop_earth::clock::zone;
use farhop_outing_file::{guessed_on, read};
use farhop_plan::analysis::{self, Part};
use farhop_show::reader::Reader;

use crate::Browser;

const DEMO: &str = include_str!("../../../../../examples/demo.toml");
const NORTH: &str = include_str!("../../../../../examples/north.toml");

#[test]
fn a_page_waits_until_the_work_is_done_and_every_page_is_there_then() {
    let mut browser = Browser::new();
    let first = browser.get("/");
    assert!(first.text.contains("id=\"waiting\""), "{}", first.text);
    assert_eq!(first.told.planned, None);
    browser.engine.work();
    for path in [
        "/",
        "/antennas",
        "/energy",
        "/kit",
        "/fault",
        "/field",
        "/debrief",
        "/edit",
        "/phone",
        "/out/plan.json",
    ] {
        let answer = browser.get(path);
        assert_eq!(answer.told.status, 200, "{path}: {}", answer.text);
        assert!(
            answer.told.planned.is_some() && !answer.text.contains("id=\"waiting\""),
            "{path}"
        );
        let policy = answer
            .told
            .headers
            .iter()
            .find(|(name, _)| name == "content-security-policy");
        assert!(
            policy.is_some_and(|(_, p)| p.contains("'wasm-unsafe-eval'") && !p.contains("unsafe-inline")),
            "{path}"
        );
    }
    assert_eq!(browser.get("/hours").told.status, 303);
    assert_eq!(browser.get("/nowhere").told.status, 404);
}

/// Judge: the same plan made without any page, by the function that the command line calls.
#[test]
fn the_verdict_is_that_of_the_analysis_itself() {
    for text in [DEMO, NORTH] {
        let reading = read(text, "outing", &|_| Err(String::new()));
        let outing = reading.outing.unwrap();
        let none = farhop_plan::watch::Unwatched;
        let kept = farhop_store::kept::solutions::Solutions::of_user();
        let plan = analysis::plan(&outing, &Part::default(), &kept, &none).unwrap();
        let words = farhop_show::plan_text::PlanText {
            outing: &outing,
            plan: &plan,
            reader: Reader::new(zone(&outing.header.time_zone).unwrap(), outing.header.units),
            percent: false,
            defaults: Vec::new(),
            guessed_on: guessed_on(&reading.defaults),
        };
        let mut browser = Browser::with(text);
        let _ = browser.get("/");
        browser.engine.work();
        let answer = browser.get("/out/plan.json");
        let value: serde_json::Value = serde_json::from_str(&answer.text).unwrap();
        assert_eq!(value["verdict"], words.verdict());
    }
}

#[test]
fn another_text_is_another_plan_and_a_stale_page_loses_nothing() {
    let mut browser = Browser::new();
    let edit = browser.get("/edit");
    let base = edit.text.split("name=\"base\" value=\"").nth(1).unwrap();
    let base = base.split('"').next().unwrap().to_owned();
    let changed = DEMO.replacen("power_w = 5", "power_w = 4", 1);
    assert_ne!(changed, DEMO);
    let encoded: String = changed.bytes().map(|b| format!("%{b:02x}")).collect();
    let saved = browser.ask("POST", "/edit/text", &format!("base={base}&text={encoded}"), false);
    assert_eq!(saved.told.status, 303, "{}", saved.text);
    assert_eq!(browser.content.record.text.as_deref(), Some(changed.as_str()));
    assert_eq!(browser.content.record.previous.as_deref(), Some(DEMO));
    let stale = browser.ask("POST", "/edit/text", &format!("base={base}&text=nothing"), false);
    assert_eq!(stale.told.status, 409);
    assert_eq!(stale.told.record, None);
}

//! About how long a long plan takes, before it is made, and Stop in the middle of it.

use crate::common::{folder, serve};
use serde_json::Value;

#[test]
fn a_long_plan_is_told_beforehand_and_stopped() {
    let outing = folder("estimate").join("outing.toml");
    let text = include_str!("../../../../../examples/demo.toml");
    // Most of a month instead of two days.
    let text = text.replace("end = 2026-12-13T16:00", "end = 2026-12-31T16:00");
    std::fs::write(&outing, text).unwrap();
    let server = serve(Some(outing), false);
    let mut told = None;
    for _ in 0..200 {
        let answer: Value = serde_json::from_str(&server.get("/wait").body).unwrap();
        assert_eq!(answer["working"], true, "done before it was told: {answer}");
        let about = answer["about"].as_str().unwrap();
        if !about.is_empty() {
            told = Some(about.to_owned());
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    let told = told.expect("an estimate");
    assert!(told.starts_with("About ") && told.contains("hours of routes"), "{told}");
    // The page itself says it too, and offers to stop.
    let page = server.get("/kit").body;
    assert!(page.contains(&told) && page.contains("action=\"/stop\""), "{page}");
    assert_eq!(server.post("/stop", "x=1").status, 303);
    let page = server.get("/kit").body;
    assert!(page.contains("You stopped the plan."), "{page}");
}

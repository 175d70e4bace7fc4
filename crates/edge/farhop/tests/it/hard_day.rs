//! The embedded demo is a hard day, and stays one: a demo that only goes well hides what the plan is for.

use serde_json::Value;

use crate::common::power::{outing, parts};
use crate::common::run::json;

fn message<'p>(plan: &'p Value, id: &str) -> &'p Value {
    let messages = plan["messages"].as_array().unwrap();
    messages.iter().find(|m| m["message"] == id).unwrap()
}

fn chance(plan: &Value, id: &str) -> f64 {
    message(plan, id)["chance"]["probability"].as_f64().unwrap()
}

#[test]
fn some_messages_are_unlikely_one_needs_the_evening_and_one_the_other_place() {
    let plan = json(&["plan", "--demo", "--json"]);
    let all = plan["messages"].as_array().unwrap().iter();
    let low = all.filter(|m| m["chance"]["probability"].as_f64().unwrap() < 0.5);
    assert!(low.count() >= 1);
    let sends = message(&plan, "repairs")["sends"].as_array().unwrap();
    assert!(!sends.is_empty());
    for send in sends {
        let start: jiff::Timestamp = send["start"].as_str().unwrap().parse().unwrap();
        let local = start.in_tz("Pacific/Auckland").unwrap();
        assert!((18..24).contains(&local.hour()), "{local}");
    }
    let from = |site: &str| json(&["plan", "--demo", "--site", site, "--json"]);
    let (ridge, hut) = (from("ridge"), from("hut"));
    assert!(chance(&hut, "stores") > chance(&ridge, "stores") + 0.2);
}

#[test]
fn the_battery_needs_the_sun_and_the_nearest_station_is_mostly_off() {
    let whole = outing(parts("demo"));
    let dry = |outing: &farhop_outing::Outing| {
        let energy = farhop_plan::power::energy_with(outing, crate::common::power::demo_calls()).unwrap();
        energy.dry().0
    };
    let mut without = parts("demo");
    without.kit.panels.clear();
    without.kit.parts.retain(|p| p.id.as_str() != "panel");
    without.kit.functions.retain(|f| f.id.as_str() != "charge");
    let (sunny, dark) = (dry(&whole), dry(&outing(without)));
    assert!(dark > 0.5 && sunny < 0.1, "{dark} without, {sunny} with the panel");
    assert!(whole.stations.iter().any(|s| s.off_chance > 0.5));
    let kinds: Vec<&str> = whole.kit.antennas.iter().map(|a| a.id.as_str()).collect();
    assert_eq!(kinds, ["link", "whip", "loop"]);
}

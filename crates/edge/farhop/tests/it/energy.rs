//! `farhop energy` as a user runs it, and what an outing becomes before it is simulated.

use crate::common::power::{call, demo_calls, outing, parts, path};
use crate::common::run::{farhop, fresh_file, said};
use farhop_earth::UtcTime;
use farhop_plan::power::{EnergyForecast, TransmitStop, energy_with};
use farhop_show::energy::EnergyReport;
use farhop_show::reader::{Reader, Units};
use proptest::prelude::*;
use serde_json::Value;

const EXAMPLES: [&str; 3] = ["demo", "north", "equator"];

fn demo() -> EnergyForecast {
    energy_with(&outing(parts("kind-day")), demo_calls()).unwrap()
}

/// The kind day without a panel, with a battery of this size and a set that listens all day.
fn starving(capacity_ah: f64, resistance_ohm: Option<f64>, air_s: f64) -> EnergyForecast {
    listening(16.0, capacity_ah, resistance_ohm, air_s)
}

/// The same with a set that listens so many hours a day.
fn listening(hours: f64, capacity_ah: f64, resistance_ohm: Option<f64>, air_s: f64) -> EnergyForecast {
    let mut parts = parts("kind-day");
    parts.kit.panels.clear();
    parts.kit.parts.retain(|p| p.id.as_str() != "panel");
    parts.kit.functions.retain(|f| f.id.as_str() != "charge");
    parts.kit.transceiver.listen_h_per_day = hours;
    parts.kit.batteries[0].capacity_ah = capacity_ah;
    parts.kit.batteries[0].resistance_ohm = resistance_ohm;
    let calls = vec![call(0, 1, 30_000.0, 120.0), call(4, 1, 50_000.0, air_s)];
    energy_with(&outing(parts), calls).unwrap()
}

#[test]
fn a_battery_that_stays_at_home_gives_nothing() {
    let forecast = demo();
    let ids: Vec<&str> = forecast.input().sources.iter().map(|s| s.id.as_str()).collect();
    assert_eq!(ids, ["battery"]);
    let mut with_both = parts("kind-day");
    with_both
        .kit
        .parts
        .iter_mut()
        .find(|p| p.id.as_str() == "battery-2")
        .unwrap()
        .carried = true;
    with_both.kit.batteries[1].start_charge = 0.9;
    let both = energy_with(&outing(with_both), demo_calls()).unwrap();
    assert_eq!(both.input().sources.len(), 2);
    assert_eq!(both.supply(), [0, 1]);
}

#[test]
fn what_hangs_on_a_battery_at_home_is_counted_on_another_and_said() {
    let mut parts = parts("kind-day");
    parts.kit.transceiver.source = Some(farhop_outing::Id::new("battery-2").unwrap());
    let forecast = energy_with(&outing(parts), demo_calls()).unwrap();
    assert!(forecast.input().loads.iter().all(|l| l.source == "battery"));
    assert!(
        forecast
            .notes
            .iter()
            .any(|n| n.contains("battery-2, which stays at home")),
        "{:?}",
        forecast.notes
    );
}

#[test]
fn the_transceiver_without_a_battery_is_refused_in_words() {
    let mut parts = parts("kind-day");
    parts
        .kit
        .parts
        .iter_mut()
        .find(|p| p.id.as_str() == "battery")
        .unwrap()
        .carried = false;
    let why = energy_with(&outing(parts), demo_calls()).unwrap_err();
    assert_eq!(why, farhop_plan::PlanError::NoBattery);
}

/// Draws as the file states them, by hand: the set receives 1.6 W, everything on five volts is divided by 0.88.
#[test]
fn energies_of_the_demo_are_those_of_its_file() {
    let forecast = demo();
    let draws: std::collections::HashMap<&str, f64> = forecast
        .input()
        .loads
        .iter()
        .map(|l| l.id.as_str())
        .zip(forecast.nominal_wh())
        .collect();
    let (sending_s, tuning_s, listening_s) = (2_520.0, 15.0, 1_800.0);
    // 16 W at five watts, half of the time, less the 1.6 W that the receiver has anyhow; tuning draws the same.
    let key_down_wh = 14.4 * (0.5 * sending_s + tuning_s) / 3_600.0;
    assert!((draws["transceiver:transmit"] - key_down_wh).abs() < 1e-6, "{draws:?}");
    // 1.5 h of 2 W before bedtime of one evening.
    assert!((draws["headlamp"] - 3.0 / 0.88).abs() < 1e-6, "{draws:?}");
    // Off between calls: on from the listening to the end of each call alone.
    let on_h = (sending_s + tuning_s + listening_s) / 3_600.0;
    assert!((draws["transceiver:receive"] - 1.6 * on_h).abs() < 1e-6, "{draws:?}");
    let at_hut_h = 27.0;
    assert!((draws["five-volt:idle"] - 0.1 * at_hut_h).abs() < 1e-6, "{draws:?}");
    // Asleep 0.2 W, dim 3 W, bright 6 W by day.
    let on_call_h = (sending_s + tuning_s + listening_s) / 3_600.0;
    let computer_wh =
        (0.2 * (at_hut_h - on_call_h) + 3.0 * (sending_s + tuning_s) / 3_600.0 + 6.0 * listening_s / 3_600.0) / 0.88;
    assert!(
        (draws["computer"] - computer_wh).abs() < 1e-6,
        "{} {computer_wh}",
        draws["computer"]
    );
}

/// At the hut from 13:00, asleep from 22 to 6 by the sun (170.835° east: 23:36 to 07:36 local), to the slot of five minutes.
#[test]
fn a_set_that_listens_all_day_draws_for_all_waking_hours() {
    let mut parts = parts("kind-day");
    parts.kit.transceiver.listen_h_per_day = 16.0;
    let forecast = energy_with(&outing(parts), demo_calls()).unwrap();
    let place = forecast
        .input()
        .loads
        .iter()
        .position(|l| l.id == "transceiver:receive");
    let receive_wh = forecast.nominal_wh()[place.unwrap()];
    let awake_h = 27.0 - 8.0;
    assert!((receive_wh - 1.6 * awake_h).abs() < 1.6 / 12.0 + 1e-6, "{receive_wh}");
}

/// The nominal account against the simulation's own, and its books.
#[test]
fn the_energies_of_a_day_add_up() {
    for air_s in [600.0, 3_600.0] {
        let forecast = starving(30.0, None, air_s);
        let nominal_wh: f64 = forecast.nominal_wh().iter().sum();
        let books = forecast.outcome.sources[forecast.main].books;
        let taken_wh = books.delivered_wh + books.converter_loss_wh;
        assert!((taken_wh / nominal_wh - 1.0).abs() < 1e-3, "{taken_wh} {nominal_wh}");
        assert!(books.imbalance_wh().abs() < 1e-6 * books.stored_start_wh);
        assert_eq!(forecast.dry().0, 0.0);
        let of_calls_wh: f64 = forecast.messages.iter().map(|m| m.energy_wh.p50).sum();
        assert!(of_calls_wh > 0.0 && of_calls_wh < nominal_wh);
    }
}

#[test]
fn a_longer_message_costs_more_and_an_empty_battery_tells_when() {
    let (short, long) = (starving(6.0, None, 300.0), starving(6.0, None, 5_400.0));
    let cost = |f: &EnergyForecast| f.messages[1].energy_wh.p50;
    assert!(cost(&long) > cost(&short) + 5.0, "{} {}", cost(&long), cost(&short));
    let small = starving(1.5, None, 300.0);
    let (chance, when) = small.dry();
    assert_eq!(chance, 1.0);
    assert!(when.p10 <= when.p50 && when.p50 <= when.p90 && when.p90 < small.input().duration_s);
    assert!(!small.outcome.sources[0].trips.is_empty());
    assert_eq!(small.outcome.transmit.stop, TransmitStop::NeverKept);
    assert!(small.calls_only.unwrap().end_share.p50 > small.end_share().p50);
}

/// Between a battery that is large enough for everything and one that does not even keep the reserve in silence lies one with an
/// hour to stop; the sentence and the picture name it.
#[test]
fn there_is_an_hour_to_stop_in_between() {
    let stops = |capacity_ah: f64| listening(0.0, capacity_ah, None, 7_200.0);
    assert_eq!(stops(12.0).outcome.transmit.stop, TransmitStop::NotNeeded);
    assert_eq!(stops(0.5).outcome.transmit.stop, TransmitStop::NeverKept);
    let (mut low, mut high) = (0.5, 12.0);
    let (forecast, stop_s) = loop {
        let middle = 0.5 * (low + high);
        let forecast = stops(middle);
        match forecast.outcome.transmit.stop {
            TransmitStop::NotNeeded => high = middle,
            TransmitStop::NeverKept => low = middle,
            TransmitStop::At { time_s } => break (forecast, time_s),
        }
        assert!(high - low > 0.01, "no hour to stop between {low} and {high} Ah");
    };
    assert!(stop_s < forecast.messages[1].call.end_s, "{stop_s}");
    let outing = outing(parts("kind-day"));
    let report = EnergyReport {
        outing: &outing,
        forecast: &forecast,
        reader: Reader::new(farhop_earth::clock::zone("Pacific/Auckland").unwrap(), Units::Metric),
        defaults: Vec::new(),
    };
    assert!(report.verdict().contains("stop sending at S"), "{}", report.verdict());
    assert!(report.drawing().contains("stop sending: S"));
    assert_eq!(report.view().stop_sending.kind, "at");
    assert!(report.document().text().lines().all(|l| l.chars().count() <= 80));
}

/// Where the calls would have their charge with the set off between them, nobody is told to stop sending: listening gives way.
#[test]
fn listening_gives_way_before_calls_do() {
    let report = |forecast: &EnergyForecast| {
        let outing = outing(parts("kind-day"));
        let report = EnergyReport {
            outing: &outing,
            forecast,
            reader: Reader::new(farhop_earth::clock::zone("Pacific/Auckland").unwrap(), Units::Metric),
            defaults: Vec::new(),
        };
        let text = report.document().text();
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let forecast = starving(4.0, None, 300.0);
    assert_ne!(forecast.outcome.transmit.stop, TransmitStop::NotNeeded);
    assert!(forecast.holds_with_set_off());
    assert!(!forecast.calls_break_reserve());
    let said = report(&forecast);
    assert!(said.contains("is not kept while it listens so long"), "{said}");
    assert!(
        said.contains("every message can be sent and the reserve of 20 % is kept"),
        "{said}"
    );
    assert!(!said.contains("stop sending at"), "{said}");
}

/// Charge at the key, warm and cold: the cold needs more.
#[test]
fn the_cold_needs_more_charge_to_key() {
    let mut parts = parts("north");
    parts.kit.batteries[0].kept_warm = false;
    let forecast = energy_with(&outing(parts), vec![call(0, 0, 20_000.0, 120.0)]).unwrap();
    let [warm, cold] = forecast.least_charge[..] else {
        panic!("two temperatures")
    };
    assert!(warm.temp_c > cold.temp_c + 30.0);
    assert!(
        cold.share.unwrap_or(1.0) > warm.share.unwrap() + 0.2,
        "{warm:?} {cold:?}"
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    /// The same scenarios on a larger battery of the same resistance never run dry more often.
    #[test]
    fn more_capacity_never_raises_the_chance_of_running_dry(
        capacity in 1.0..8.0f64, more in 1.02..2.0f64, air_s in 60.0..3_600.0f64,
    ) {
        let (small, large) = (starving(capacity, Some(0.06), air_s), starving(capacity * more, Some(0.06), air_s));
        prop_assert!(large.dry().0 <= small.dry().0, "{} {}", small.dry().0, large.dry().0);
    }
}

#[test]
fn equal_input_gives_equal_output() {
    let (a, b) = (demo(), demo());
    // As text, because what never happens has no time (NaN); every digit of a number is in it.
    let (of_a, of_b) = (format!("{:?}", a.outcome), format!("{:?}", b.outcome));
    assert!(of_a == of_b && a.segments == b.segments);
    let run = |n: u8| {
        let svg = fresh_file(&format!("energy_{n}.svg"));
        let text = said(&["energy", &path("demo"), "--json", "--svg", &svg]);
        (text, std::fs::read_to_string(&svg).unwrap())
    };
    assert!(run(1) == run(2));
}

#[test]
fn text_says_the_verdict_first_and_keeps_to_eighty_columns() {
    for name in EXAMPLES {
        let text = said(&["energy", &path(name)]);
        assert!(text.starts_with("The battery "), "{text}");
        for line in text.lines() {
            assert!(line.chars().count() <= 80, "{name}: {line}");
        }
        for part in [
            "Charge of",
            "sun°",
            "What each call costs",
            "What fails",
            "Keying",
            "What it rests on",
            "Mind",
        ] {
            assert!(text.contains(part), "{name}: {part}");
        }
    }
}

#[test]
fn json_holds_the_working() {
    let view: Value = serde_json::from_str(&said(&["energy", &path("demo"), "--json"])).unwrap();
    let ordered = |v: &Value| v["p10"].as_f64() <= v["p50"].as_f64() && v["p50"].as_f64() <= v["p90"].as_f64();
    assert!(view["verdict"].as_str().unwrap().starts_with("The battery"));
    assert_eq!(view["battery"], "battery");
    assert!(ordered(&view["charge_end"]));
    let batteries = view["batteries"].as_array().unwrap();
    assert_eq!(batteries.len(), 1);
    assert!(batteries[0]["books"]["imbalance_wh"].as_f64().unwrap().abs() < 1e-4);
    // 33 hours and both ends.
    let hours = view["hours"].as_array().unwrap();
    assert_eq!(hours.len(), 34);
    assert!(
        hours
            .iter()
            .all(|h| ordered(&h["charge"]) && h["draw_w"].as_f64().unwrap() >= 0.0)
    );
    // A row a call of the plan: one that is seldom needed counts with that chance, so that only the first costs its whole.
    let calls = view["messages"].as_array().unwrap();
    assert!(calls[0]["energy_wh"]["p50"].as_f64().unwrap() > 0.1);
    let known = ["arrived", "stores", "repairs", "weather-request", "diary"];
    for call in calls {
        assert!(ordered(&call["energy_wh"]) && call["energy_wh"]["p50"].as_f64().unwrap() > 0.0);
        assert!(call["listen_at"].as_str() < call["send_at"].as_str());
        assert!(known.contains(&call["message"].as_str().unwrap()), "{call}");
    }
}

#[test]
fn a_plan_carries_the_same_energy() {
    let plan: Value = serde_json::from_str(&said(&["plan", &path("demo"), "--json"])).unwrap();
    let energy: Value = serde_json::from_str(&said(&["energy", &path("demo"), "--json"])).unwrap();
    for key in ["verdict", "charge_end", "messages", "stop_sending", "batteries"] {
        assert_eq!(plan["energy"][key], energy[key], "{key}");
    }
    let text = said(&["plan", &path("north")]);
    assert!(text.contains("\nEnergy\n- The battery "), "{text}");
}

#[test]
fn the_picture_is_whole() {
    let svg = fresh_file("energy_whole.svg");
    said(&["energy", &path("equator"), "--svg", &svg]);
    let text = std::fs::read_to_string(&svg).unwrap();
    assert!(text.starts_with("<svg") && text.trim_end().ends_with("</svg>"));
    assert!(!text.contains("NaN") && !text.contains("inf"));
    for part in [
        "reserve: 20 % of what is usable",
        "height of the sun",
        "% left",
        "messages",
    ] {
        assert!(text.contains(part), "{part}");
    }
}

#[test]
fn bad_input_is_said_and_ends_with_one() {
    let no_battery = fresh_file("no_battery.toml");
    let text = std::fs::read_to_string(path("demo")).unwrap();
    let at_home = text.replace(
        "id = \"battery\"\nname = \"Battery\"",
        "id = \"battery\"\ncarried = false\nname = \"Battery\"",
    );
    assert_ne!(text, at_home);
    std::fs::write(&no_battery, at_home).unwrap();
    let demo = path("demo");
    let cases = [
        (vec!["energy", "/no/such/file.toml"], "/no/such/file.toml"),
        (vec!["energy", &no_battery], "no battery is carried"),
        (vec!["energy", &demo, "--svg", "/no/such/folder/a.svg"], "--svg"),
        (vec!["energy", &demo, "--bright"], "--bright"),
    ];
    for (args, word) in cases {
        let output = farhop(&args);
        let talk = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(1), "{args:?}: {talk}");
        assert!(talk.contains(word), "{args:?}: {talk}");
        assert!(output.stdout.is_empty());
    }
    // A plan still comes, and says why it has no energy.
    let plan: Value = serde_json::from_str(&said(&["plan", &no_battery, "--json"])).unwrap();
    assert!(plan["energy"].is_null());
    let left_out = plan["left_out"].as_array().unwrap();
    assert!(
        left_out
            .iter()
            .any(|l| l.as_str().unwrap().starts_with("energy: no battery")),
        "{left_out:?}"
    );
}

#[test]
fn any_length_and_date_of_an_outing_is_simulated() {
    for (hours, days_later) in [(1, 0), (2, 40), (24 * 20, 0), (24 * 31, 170)] {
        let mut parts = parts("north");
        parts.messages.clear();
        for site in &mut parts.sites {
            (site.from, site.until) = (None, None);
        }
        let start: UtcTime = parts.header.start.add_s(86_400 * days_later);
        parts.header.start = start;
        parts.header.end = start.add_s(3_600 * hours);
        let forecast = energy_with(&outing(parts), Vec::new()).unwrap();
        let end = forecast.end_share();
        assert!(
            end.p10 <= end.p50 && end.p50 <= end.p90 && (0.0..=1.0).contains(&end.p50),
            "{hours} h: {end:?}"
        );
        assert_eq!(forecast.outcome.transmit.chance_fails, 0.0);
    }
}

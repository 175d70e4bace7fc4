//! What a user sees of each shipped example, whole: texts, the answer as JSON, a page.
//!
//! Figures are judged elsewhere. Here they stand too, so that nobody moves one without seeing it.

use crate::common::power::path;
use crate::common::run::said;
use serde_json::Value;

const EXAMPLES: [&str; 3] = ["demo", "north", "equator"];
const CHANCE_WORDS: [&str; 5] = ["very unlikely", "unlikely", "about even", "likely", "very likely"];

/// Every run of digits becomes one `#`.
fn masked(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        match (c.is_ascii_digit(), out.ends_with('#')) {
            (true, true) => {}
            (true, false) => out.push('#'),
            (false, _) => out.push(c),
        }
    }
    out
}

#[test]
fn check_of_every_example() {
    for name in EXAMPLES {
        let said = said(&["check", &path(name)]);
        // How many defaults there are is nobody's promise.
        let (head, defaults) = said.rsplit_once("; ").unwrap();
        insta::assert_snapshot!(format!("check_{name}"), format!("{head}; {}", masked(defaults)));
    }
}

/// Whole texts as a person reads them: figures too, so that whatever moves one is seen and said.
#[test]
fn whole_texts_of_every_example() {
    for name in EXAMPLES {
        for command in ["plan", "energy", "kit", "exposure"] {
            insta::assert_snapshot!(format!("{command}_{name}"), said(&[command, &path(name)]));
        }
    }
}

/// What a machine reads of the answer: the bottom line, the messages, the calls. The working of every hour is judged elsewhere.
#[test]
fn the_answer_of_every_example_as_json() {
    for name in EXAMPLES {
        let view: Value = serde_json::from_str(&said(&["plan", &path(name), "--json"])).unwrap();
        let kept = [
            "verdict",
            "assumes",
            "bottom_line",
            "messages",
            "sends",
            "stays",
            "left_out",
        ];
        let answer: serde_json::Map<String, Value> = kept
            .iter()
            .filter_map(|k| Some(((*k).to_owned(), view.get(*k)?.clone())))
            .collect();
        assert!(answer.len() >= 5, "{:?}", answer.keys());
        insta::assert_snapshot!(format!("answer_{name}"), serde_json::to_string_pretty(&answer).unwrap());
    }
}

/// The debrief of a short day as a page of its own.
#[test]
fn the_debrief_of_a_short_day_as_a_page() {
    let trip = crate::common::Trip::new("debrief-page");
    trip.outing("hill.toml", &[]);
    trip.fine(&["log", "note", "fog"]);
    trip.fine(&["debrief", "hill.toml", "--html", "day.html"]);
    let page = std::fs::read_to_string(trip.file("day.html")).unwrap();
    insta::assert_snapshot!("debrief_page", masked(&page));
}

#[test]
fn a_plan_answers_first_in_one_sentence_with_figure_and_word() {
    for name in EXAMPLES {
        let text = said(&["plan", &path(name)]);
        let verdict = text.split("\n\n").next().unwrap().replace('\n', " ");
        assert!(
            verdict.contains(" gets through by ") && verdict.ends_with('.'),
            "{verdict}"
        );
        assert!(
            verdict.contains("First call: ") && verdict.contains(" MHz ") && verdict.contains(" to Q"),
            "{verdict}"
        );
        let (before, after) = verdict.split_once(" %, ").unwrap();
        let percent: u8 = before.rsplit(' ').next().unwrap().parse().unwrap();
        let word = after.split([',', '.']).next().unwrap();
        assert!(percent <= 100 && CHANCE_WORDS.contains(&word), "{verdict}");
        // The same message, chance and word as the machine reads.
        let view: Value = serde_json::from_str(&said(&["plan", &path(name), "--json"])).unwrap();
        let bottom = &view["bottom_line"];
        assert_eq!(
            (bottom["percent"].as_u64(), bottom["word"].as_str()),
            (Some(u64::from(percent)), Some(word))
        );
        assert!(
            before.starts_with(&format!("\"{}\"", bottom["message"].as_str().unwrap())),
            "{before}"
        );
    }
}

/// Calls `see` on every object called `name`, however deep.
fn walk<'a>(value: &'a Value, name: &str, see: &mut impl FnMut(&'a Value)) {
    match value {
        Value::Object(map) => {
            for (key, inside) in map {
                if key == name {
                    see(inside);
                }
                walk(inside, name, see);
            }
        }
        Value::Array(list) => list.iter().for_each(|inside| walk(inside, name, see)),
        _ => {}
    }
}

#[test]
fn every_chance_of_a_plan_has_figure_and_word_that_belong_together() {
    let view: Value = serde_json::from_str(&said(&["plan", &path("demo"), "--json"])).unwrap();
    let mut seen = 0;
    walk(&view, "chance", &mut |chance| {
        let p = chance["probability"].as_f64().unwrap();
        let percent = chance["percent"].as_f64().unwrap();
        assert!(
            (0.0..=1.0).contains(&p) && (percent - 100.0 * p).abs() <= 1.0,
            "{chance}"
        );
        // The scale of words as the design states it, by the figure that is shown.
        let word = match percent {
            p if p < 10.0 => "very unlikely",
            p if p < 33.0 => "unlikely",
            p if p < 66.0 => "about even",
            p if p <= 90.0 => "likely",
            _ => "very likely",
        };
        assert_eq!(chance["word"], word, "{chance}");
        seen += 1;
    });
    // Enough to mean something: the shipped plan has some ninety.
    assert!(seen > 60, "only {seen} chances");
}

#[test]
fn every_call_of_a_plan_states_what_was_promised() {
    let view: Value = serde_json::from_str(&said(&["plan", &path("demo"), "--json"])).unwrap();
    let calls = view["schedule"].as_array().unwrap();
    assert!(!calls.is_empty());
    for call in calls {
        let (start, end) = (call["start"].as_str().unwrap(), call["end"].as_str().unwrap());
        assert!(start < end && start.ends_with('Z'), "{call}");
        let (route, hour) = (&call["route"], &call["hour"]);
        for key in ["freq_mhz", "distance_km", "bearing_true_deg", "bearing_magnetic_deg"] {
            assert!(route[key].is_number(), "route.{key}");
        }
        assert!(route["callsign"].as_str().unwrap().starts_with('Q'));
        assert!(hour["carrier"]["takeoff_deg"].is_number() && hour["carrier"]["mode"].is_string());
        assert!(!hour["limit_words"].as_str().unwrap().is_empty());
        // Both directions, each with its spread in order.
        for way in ["to_station", "to_site"] {
            let [p10, p50, p90] = ["snr_p10_db", "snr_p50_db", "snr_p90_db"].map(|k| hour[way][k].as_f64().unwrap());
            assert!(p10 < p50 && p50 < p90, "{way}: {p10} {p50} {p90}");
        }
    }
    let starts: Vec<&str> = calls.iter().map(|c| c["start"].as_str().unwrap()).collect();
    assert!(starts.is_sorted(), "in order of time: {starts:?}");
}

/// What the design promises to outside readers.
#[test]
fn the_bottom_line_and_every_message_say_what_was_promised() {
    for name in ["demo", "north", "equator"] {
        let view: Value = serde_json::from_str(&said(&["plan", &path(name), "--json"])).unwrap();
        let bottom = &view["bottom_line"];
        let factors = ["sky", "stations", "charge", "parts", "time"];
        assert!((0.0..=1.0).contains(&bottom["probability"].as_f64().unwrap()));
        assert!(factors.contains(&bottom["worst"].as_str().unwrap()), "{bottom}");
        let messages = view["messages"].as_array().unwrap();
        let lead = messages.iter().find(|m| m["message"] == bottom["message"]).unwrap();
        assert_eq!(lead["chance"]["probability"], bottom["probability"], "one chance");
        for message in messages {
            let (ready, deadline) = (
                message["ready"].as_str().unwrap(),
                message["deadline"].as_str().unwrap(),
            );
            for send in message["sends"].as_array().unwrap() {
                let (start, end) = (send["start"].as_str().unwrap(), send["end"].as_str().unwrap());
                assert!(ready <= start && end <= deadline, "{name}: {send} of {message}");
                for key in ["site", "station", "antenna", "mode"] {
                    assert!(send[key].is_string(), "{key}");
                }
                assert!(send["freq_mhz"].is_number() && send["air_min"].is_number());
            }
            for entry in message["order"].as_array().unwrap() {
                assert!(entry["so_far"]["probability"].as_f64() >= entry["chance"]["probability"].as_f64());
            }
            let none = message["none_because"].is_string();
            assert_eq!(none, message["sends"].as_array().unwrap().is_empty(), "{message}");
        }
        assert!(view["strips"].is_null(), "only with --full");
        let hour = &view["schedule"][0]["hour"];
        assert!(hour["chance"]["probability"].is_number() && hour["link_chance"]["probability"].is_number());
    }
}

#[test]
fn a_plan_in_brief_has_eight_lines_and_the_long_one_eighty() {
    for name in ["demo", "north", "equator"] {
        let brief = said(&["plan", &path(name), "--brief"]);
        assert!(brief.lines().count() <= 8 && brief.contains(" %"), "{brief}");
        let whole = said(&["plan", &path(name)]);
        assert!(whole.lines().count() <= 80, "{} lines:\n{whole}", whole.lines().count());
        let head = whole.lines().next().unwrap().to_owned();
        assert!(brief.starts_with(&head), "one headline: {head}");
    }
}

/// Asked about one site, one is there all the time: the message goes from there.
#[test]
fn a_plan_for_one_site_sends_from_that_site() {
    for site in ["hut", "ridge", "carpark"] {
        let Ok(view) = serde_json::from_str::<Value>(&said(&["plan", &path("demo"), "--site", site, "--json"])) else {
            panic!("{site}")
        };
        let sends = view["messages"][0]["sends"].as_array().unwrap();
        assert!(!sends.is_empty(), "{site}: {}", view["messages"][0]);
        assert!(
            view["schedule"]
                .as_array()
                .unwrap()
                .iter()
                .all(|s| s["route"]["site"] == site)
        );
    }
}

/// What another program reads in one go: below 300 kB for the demo, with every hour of every route only when it asks.
#[test]
fn a_plan_as_json_is_short_unless_all_is_asked_for() {
    let short = said(&["plan", &path("demo"), "--json"]);
    assert!(short.len() < 300_000, "{} bytes", short.len());
    let long = said(&["plan", &path("demo"), "--json", "--full"]);
    let (mut short, mut long): (Value, Value) = (
        serde_json::from_str(&short).unwrap(),
        serde_json::from_str(&long).unwrap(),
    );
    assert!(!long["strips"].as_array().unwrap().is_empty() && short["strips"].is_null());
    long["strips"].take();
    short["strips"].take();
    assert_eq!(short, long, "nothing else is left out");
}

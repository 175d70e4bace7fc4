//! `farhop next`, `farhop now` and `farhop debrief` on journals as a day leaves them.

use std::path::Path;

use crate::common::run::{farhop_at_home as farhop, fresh_folder, json_of as json};
use farhop_earth::UtcTime;
use farhop_store::{Account, Body, Call, Event, Journal, NewEntry, Noise, NoiseLevel, Outcome, Spot, Swr, Voltage};
use serde_json::Value;

/// 12 December 2026, 13:00 in the zone of the demo.
const NOON_S: i64 = 1_797_033_600;

fn log(folder: &Path, entries: &[(i64, Event)]) {
    let own = folder.join("kind-day.toml").exists();
    let file = folder.join(if own {
        "kind-day.journal"
    } else {
        "data/farhop/demo.journal"
    });
    std::fs::create_dir_all(file.parent().unwrap()).unwrap();
    let mut journal = Journal::open(&file).unwrap();
    for (minutes, event) in entries {
        let at = UtcTime::from_unix_s(NOON_S + 60 * minutes).unwrap();
        let account = Account {
            at,
            place: None,
            who: None,
            event: event.clone(),
        };
        let new = NewEntry {
            key: None,
            entered_at: at,
            words: None,
            body: Body::Account(account),
        };
        journal.append(new).unwrap();
    }
}

/// A folder with the kind day as its only outing.
fn kind_folder(name: &str) -> std::path::PathBuf {
    let folder = fresh_folder(name);
    std::fs::copy(farhop_vectors::kind_day(), folder.join("kind-day.toml")).unwrap();
    folder
}

fn call(station: &str, freq_mhz: f64, outcome: Outcome) -> Event {
    Event::Called(Call {
        station: station.to_owned(),
        freq_mhz,
        antenna: Some("link".to_owned()),
        power_w: Some(5.0),
        minutes: Some(4.0),
        snr_db: None,
        outcome,
    })
}

fn hut() -> Event {
    Event::Moved(Spot::Site("hut".to_owned()))
}

fn percent(view: &Value, path: &str) -> f64 {
    view.pointer(path)
        .and_then(Value::as_f64)
        .unwrap_or_else(|| panic!("{path} in {view}"))
}

#[test]
fn silence_changes_the_advice_and_says_why() {
    let folder = fresh_folder("day-silence");
    log(&folder, &[(0, hut())]);
    let at = "2026-12-12T14:40:00+13:00";
    let before = json(&farhop(&folder, &["next", "--at", at, "--json"]));
    // With the antenna still to be hung, that comes first, for the same call.
    assert!(
        ["call", "hang"].contains(&before["action"].as_str().unwrap()),
        "{}",
        before["advice"]
    );
    let station = before["best"]["station"].as_str().unwrap().to_owned();
    let freq_mhz = before["best"]["freq_mhz"].as_f64().unwrap();
    let silent = |m| (m, call(&station, freq_mhz, Outcome::NoAnswer));
    log(&folder, &[silent(60), silent(70), silent(80)]);
    let after = json(&farhop(&folder, &["next", "--at", at, "--json"]));
    let again = after["best"]["station"] == before["best"]["station"]
        && after["best"]["freq_mhz"] == before["best"]["freq_mhz"];
    assert!(!again, "three silent calls, and the same again: {}", after["advice"]);
    let reasons = after["reasons"].to_string();
    assert!(reasons.contains("hree silent calls on"), "{reasons}");
    assert_eq!(after["calls_so_far"], 3);
}

#[test]
fn a_silent_day_says_in_words_that_the_own_station_may_be_at_fault() {
    let folder = kind_folder("day-own");
    log(&folder, &[(0, hut())]);
    let silent = |m, station: &str, freq_mhz| (m, call(station, freq_mhz, Outcome::NoAnswer));
    log(
        &folder,
        &[
            silent(60, "larch", 5.356),
            silent(67, "alder", 7.0515),
            silent(74, "beech", 7.0475),
            silent(81, "kowhai", 10.1455),
        ],
    );
    let at = "2026-12-12T14:30:00+13:00";
    let view = json(&farhop(&folder, &["next", "--at", at, "--json"]));
    let suspects = view["suspects"].as_array().unwrap();
    // Four stations may each be off by themselves; one fault of the own station explains all four at once.
    let own = suspects
        .iter()
        .take(2)
        .find(|s| s["what"].as_str().unwrap().starts_with("own station"));
    assert!(
        own.is_some_and(|s| s["probability"].as_f64().unwrap() > 0.2),
        "{suspects:?}"
    );
    assert_eq!(view["action"], "check", "{}", view["advice"]);
    assert_eq!(view["until"], Value::Null);
    let text = String::from_utf8(farhop(&folder, &["next", "--at", at]).stdout).unwrap();
    assert!(text.replace('\n', " ").contains("own station"), "{text}");
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    // The day over: the debrief says so too, and keeps nothing of the own station.
    let debrief = json(&farhop(&folder, &["debrief", "--json"]));
    assert_eq!(debrief["own_station_db"], Value::Null);
    assert_eq!(debrief["learned"], Value::Null);
    let said = debrief["own_station"].to_string();
    assert!(said.contains("No link came about") && !said.contains("dB"), "{said}");
}

#[test]
fn what_is_late_is_still_to_be_sent_and_never_done() {
    let folder = fresh_folder("day-late");
    log(&folder, &[(0, hut())]);
    let view = json(&farhop(
        &folder,
        &["next", "--at", "2026-12-13T15:30:00+13:00", "--json"],
    ));
    assert_ne!(view["action"], "done", "{}", view["advice"]);
    let overdue = view["overdue"].to_string();
    assert!(overdue.contains("arrived") && overdue.contains("stores"), "{overdue}");
    let left = view["messages_left"].to_string();
    assert!(left.contains("arrived") && left.contains("diary"), "{left}");
}

#[test]
fn what_is_delivered_is_not_sent_again_and_all_sent_is_done() {
    let folder = fresh_folder("day-sent");
    let delivered = |message: &str, bytes| Outcome::Delivered {
        message: Some(message.to_owned()),
        bytes,
    };
    log(
        &folder,
        &[(0, hut()), (10, call("larch", 5.356, delivered("arrived", 300)))],
    );
    let at = "2026-12-12T15:00:00+13:00";
    let view = json(&farhop(&folder, &["next", "--at", at, "--json"]));
    assert!(!view["messages_left"].to_string().contains("arrived"));
    let rest = [
        ("stores", 1_200),
        ("repairs", 2_500),
        ("weather-request", 400),
        ("diary", 5_000),
    ];
    let rest: Vec<(i64, Event)> = rest
        .iter()
        .enumerate()
        .map(|(k, (m, b))| (20 + k as i64, call("larch", 5.356, delivered(m, *b))))
        .collect();
    log(&folder, &rest);
    let view = json(&farhop(&folder, &["next", "--at", at, "--json"]));
    assert_eq!(view["action"], "done");
}

#[test]
fn readings_far_from_the_forecast_are_explained_first() {
    let folder = fresh_folder("day-signs");
    log(
        &folder,
        &[
            (0, hut()),
            (
                5,
                Event::Swr(Swr {
                    freq_mhz: 7.05,
                    antenna: Some("link".to_owned()),
                    swr: 9.0,
                }),
            ),
            (6, Event::Voltage(Voltage { voltage_v: 10.9 })),
            (
                7,
                Event::Noise(Noise {
                    freq_mhz: 7.05,
                    level: NoiseLevel::Power { level_dbm: -80.0 },
                    bandwidth_hz: 2_400.0,
                }),
            ),
        ],
    );
    let output = farhop(&folder, &["next", "--at", "2026-12-12T14:00:00+13:00"]);
    let text = String::from_utf8(output.stdout).unwrap();
    for word in ["First: SWR 9.0", "farhop fault", "10.9 V", "noise on 7"] {
        assert!(text.replace('\n', " ").contains(word), "{word} in {text}");
    }
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
}

#[test]
fn now_shows_the_state_at_a_glance() {
    let folder = fresh_folder("day-now");
    log(&folder, &[(0, hut()), (10, call("larch", 5.356, Outcome::NoAnswer))]);
    let output = farhop(&folder, &["now", "--at", "15:00"]);
    let text = String::from_utf8(output.stdout).unwrap();
    for word in [
        "15:00 NZDT (02:00 UTC), Tarn hut",
        "Sun up",
        "sets at",
        "Charge about",
        "messages left",
        "Last entries",
    ] {
        assert!(text.contains(word), "{word} in {text}");
    }
    assert!(text.contains("called Larch"), "{text}");
}

#[test]
fn the_same_journal_gives_the_same_advice() {
    let folder = fresh_folder("day-same");
    log(
        &folder,
        &[(0, hut()), (30, call("alder", 7.0515, Outcome::HeardButFailed))],
    );
    let args = ["next", "--at", "14:00", "--json"];
    assert_eq!(farhop(&folder, &args).stdout, farhop(&folder, &args).stdout);
}

#[test]
fn the_debrief_scores_explains_and_keeps_only_what_many_calls_taught() {
    let folder = kind_folder("day-debrief");
    log(&folder, &[(0, hut())]);
    let output = farhop(&folder, &["debrief"]);
    assert!(output.status.success());
    let none = farhop(&folder, &["debrief", "--keep", "learned.toml"]);
    assert_eq!(none.status.code(), Some(1), "three calls or none teach nothing");
    let linked = |k: i64, station: &str, freq_mhz: f64| (60 * k, call(station, freq_mhz, Outcome::Linked));
    let silent = |k: i64, station: &str, freq_mhz: f64| (60 * k, call(station, freq_mhz, Outcome::NoAnswer));
    log(
        &folder,
        &[
            linked(1, "larch", 5.356),
            silent(2, "alder", 7.0515),
            linked(3, "beech", 7.0475),
            silent(4, "kowhai", 10.1455),
            linked(5, "larch", 3.5915),
            silent(6, "wattle", 10.1415),
            linked(7, "alder", 5.358),
            silent(8, "coral", 10.1395),
        ],
    );
    let view = json(&farhop(
        &folder,
        &[
            "debrief",
            "--json",
            "--html",
            "day.html",
            "--keep",
            "learned.toml",
            "--export",
            "tries.csv",
        ],
    ));
    assert_eq!(view["forecast_score"]["calls"], 8);
    assert_eq!(view["forecast_score"]["linked"], 4);
    let brier = percent(&view, "/forecast_score/brier");
    assert!((0.0..=1.0).contains(&brier));
    let explained = view["calls"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|c| !c["explained"].is_null())
        .count();
    assert_eq!(explained, 4, "every miss has its explanation");
    let page = std::fs::read_to_string(folder.join("day.html")).unwrap();
    assert!(page.contains("<svg") && !page.contains("http://localhost") && !page.contains("<script"));
    // What may be shared says what was forecast and what came, and not who, where or on which day.
    let tries = std::fs::read_to_string(folder.join("tries.csv")).unwrap();
    assert_eq!(tries.lines().count(), 9, "{tries}");
    let linked = tries
        .lines()
        .skip(1)
        .filter(|l| l.split(',').nth(8) == Some("1"))
        .count();
    assert_eq!(linked, 4, "{tries}");
    for secret in ["Q0", "Q2", "Q4", "larch", "Larch", "ridge", "hut", "2026", "-43"] {
        assert!(!tries.contains(secret), "{secret} stands in {tries}");
    }
    let learned = std::fs::read_to_string(folder.join("learned.toml")).unwrap();
    assert!(learned.contains("own_station_db = ["), "{learned}");
    // What the journal says about stations goes with it.
    assert!(
        learned.contains("{ id = \"larch\", days = 1, on_days = 1.00, calls = 2, busy = 0 }"),
        "{learned}"
    );
    // The next outing takes it over.
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/../../../examples/demo.toml");
    let text = std::fs::read_to_string(demo).unwrap() + "\n[learned]\nfile = \"learned.toml\"\n";
    std::fs::write(folder.join("again.toml"), text).unwrap();
    let check = farhop(&folder, &["check", "again.toml"]);
    assert!(check.status.success(), "{}", String::from_utf8_lossy(&check.stdout));
    // And its plan names what the log says instead of calling that a guess.
    let plan = json(&farhop(&folder, &["plan", "again.toml", "--json"]));
    let verdict = plan["verdict"].as_str().unwrap();
    assert!(verdict.contains("your log says: on the air 1 of 1 days"), "{verdict}");
}

#[test]
fn an_accepted_lesson_changes_one_key_and_nothing_else() {
    let folder = fresh_folder("day-accept");
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/../../../examples/demo.toml");
    let text = std::fs::read_to_string(demo).unwrap();
    std::fs::write(folder.join("trip.toml"), &text).unwrap();
    log(
        &folder,
        &[
            (0, hut()),
            (60, call("larch", 5.356, Outcome::Linked)),
            (120, call("larch", 5.356, Outcome::Linked)),
            (180, call("larch", 3.59, Outcome::NoAnswer)),
        ],
    );
    let args = [
        "debrief",
        "trip.toml",
        "--journal",
        "data/farhop/demo.journal",
        "--accept",
        "1",
    ];
    let output = farhop(&folder, &args);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let changed = std::fs::read_to_string(folder.join("trip.toml")).unwrap();
    let added: Vec<&str> = changed.lines().filter(|l| !text.lines().any(|o| o == *l)).collect();
    assert_eq!(changed.lines().count(), text.lines().count() + 1, "{added:?}");
    assert!(farhop(&folder, &["check", "trip.toml"]).status.success());
    let wrong = farhop(
        &folder,
        &[
            "debrief",
            "trip.toml",
            "--journal",
            "data/farhop/demo.journal",
            "--accept",
            "9",
        ],
    );
    assert_eq!(wrong.status.code(), Some(1));
}

#[test]
fn bad_times_and_missing_journals_are_said() {
    let folder = fresh_folder("day-bad");
    for (args, word) in [
        (vec!["next", "--at", "noon"], "14:35"),
        (vec!["next", "--journal", "no.journal"], "no.journal"),
        (vec!["next", "--minutes", "-5"], "--minutes"),
        (vec!["debrief"], "farhop log"),
    ] {
        let output = farhop(&folder, &args);
        assert_eq!(output.status.code(), Some(1), "{args:?}");
        let talk = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(talk.contains(word), "{args:?}: {talk}");
    }
}

#[test]
fn thunder_and_a_task_under_way_are_waited_for_until_their_own_end() {
    for (name, words, until) in [
        ("thunder", &["thunder"][..], "2026-12-12T00:30:00Z"),
        ("hanging", &["hang", "whip", "20", "min"][..], "2026-12-12T00:20:00Z"),
    ] {
        let folder = fresh_folder(&format!("day-{name}"));
        let at = |time: &str| format!("2026-12-12T{time}");
        let begun = at("13:00");
        let logged = farhop(&folder, &[&["log", "--demo", "--at", &begun], words].concat());
        assert!(logged.status.success(), "{}", String::from_utf8_lossy(&logged.stderr));
        // Asked twice, the wait is the same one.
        for asked in ["13:05", "13:12"] {
            let next = json(&farhop(&folder, &["next", "--demo", "--at", &at(asked), "--json"]));
            assert_eq!(next["action"], "wait", "{name}: {}", next["advice"]);
            assert_eq!(next["until"], until, "{name}");
        }
        let after = json(&farhop(&folder, &["next", "--demo", "--at", &at("13:31"), "--json"]));
        assert_ne!(after["until"], until, "{name}: the wait is over");
    }
}

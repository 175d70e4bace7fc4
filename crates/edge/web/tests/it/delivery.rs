//! Entries from the tap to the disk, over real connections: what is kept, what is refused and how, and that nothing stands twice.

use std::path::{Path, PathBuf};

use crate::common::{Answer, Running, folder, serve, serve_with_data};
use farhop_store::{Entry, Event, Journal, Outcome, file_of};
use serde_json::{Value, json};

/// An outing of our own, kept today, so that the clock counts.
fn outing(name: &str) -> PathBuf {
    let path = folder(name).join("outing.toml");
    let text = include_str!("../../../../../examples/demo.toml");
    let now = jiff::Timestamp::now().in_tz("Pacific/Auckland").unwrap();
    let (today, tomorrow) = (now.date(), now.date().tomorrow().unwrap());
    let text = text
        .replace("2026-12-12", "TODAY")
        .replace("2026-12-13", &tomorrow.to_string());
    std::fs::write(&path, text.replace("TODAY", &today.to_string())).unwrap();
    path
}

fn data(answer: &Answer) -> Value {
    serde_json::from_str(&answer.body).unwrap_or_else(|e| panic!("{e}: {} {}", answer.status, answer.body))
}

fn send(server: &Running, entry: &Value) -> (u16, Value) {
    let answer = server.post_json("/field/entry", &entry.to_string());
    (answer.status, data(&answer))
}

fn entries(outing: &Path) -> Vec<Entry> {
    Journal::open_if_there(&file_of(Some(outing)))
        .unwrap()
        .map_or(Vec::new(), |j| j.all().unwrap())
}

fn here(server: &Running) -> Value {
    let answer = server.send("GET /field/here", &[("Accept", "application/json")], "");
    data(&answer)["here"].clone()
}

#[test]
fn the_wrong_message_is_not_credited_and_several_of_one_link_are_one_entry() {
    let file = outing("sessions");
    let server = serve(Some(file.clone()), false);
    let sent = json!([
        {"message": "arrived", "bytes": 300, "whole": true},
        {"message": "stores", "bytes": 500, "whole": false},
    ]);
    let outcome = json!({ "session": { "sent": sent } });
    let event = json!({"called": {"station": "larch", "freq_mhz": 5.356, "outcome": outcome}});
    let (status, answer) = send(&server, &json!({"key": "a", "age_s": 0, "event": event}));
    assert_eq!(status, 200, "{answer}");
    assert_eq!(answer["kept"]["key"], "a");
    assert_eq!(answer["kept"]["number"], 1);
    // What was not said and taken reaches the phone.
    assert!(answer["kept"]["taken"].to_string().contains("5 W"), "{answer}");
    let all = entries(&file);
    assert_eq!(all.len(), 1);
    let farhop_store::Body::Account(account) = &all[0].body else {
        panic!("{all:?}")
    };
    let Event::Called(call) = &account.event else {
        panic!("{account:?}")
    };
    let Outcome::Session(session) = &call.outcome else {
        panic!("{call:?}")
    };
    let names: Vec<(&str, bool)> = session.sent.iter().map(|s| (s.message.as_str(), s.whole)).collect();
    assert_eq!(names, [("arrived", true), ("stores", false)]);
}

#[test]
fn an_entry_needs_no_plan_and_a_form_says_success() {
    let file = outing("no-plan");
    let server = serve(Some(file.clone()), false);
    // Asked at once: the plan is being made.
    let (status, answer) = send(&server, &json!({"key": "a", "words": "volt 12.4"}));
    assert_eq!(status, 200, "{answer}");
    let form = "channel=kowhai+10.1455&message=arrived&size-arrived=300&part-arrived=&outcome=sent";
    let answer = server.post("/field/log", form);
    assert_eq!(answer.status, 303, "{}", answer.body);
    assert_eq!(entries(&file).len(), 2);
    // A refusal gives back what was typed.
    let answer = server.post("/field/log", "words=vlot+12");
    assert_eq!(answer.status, 422);
    assert!(answer.body.contains("value=\"vlot 12\""), "{}", answer.body);
    assert_eq!(entries(&file).len(), 2);
}

#[test]
fn the_same_key_is_kept_once_and_another_entry_under_it_is_refused() {
    let file = outing("keys");
    let server = serve(Some(file.clone()), false);
    let event = json!({"called": {"station": "larch", "freq_mhz": 5.356, "outcome": "no-answer"}});
    for age_s in [0.0, 3.0, 70.5] {
        let (status, answer) = send(&server, &json!({"key": "a", "age_s": age_s, "event": event}));
        assert_eq!((status, &answer["kept"]["number"]), (200, &json!(1)), "{answer}");
        let (status, answer) = send(&server, &json!({"key": "b", "age_s": age_s, "words": "volt 12.4"}));
        assert_eq!((status, &answer["kept"]["number"]), (200, &json!(2)), "{answer}");
    }
    let other = json!({"called": {"station": "larch", "freq_mhz": 5.356, "outcome": "linked"}});
    for wrong in [
        json!({"key": "a", "event": other}),
        json!({"key": "b", "words": "volt 12.5"}),
        json!({"key": "a", "undo": "b"}),
    ] {
        let (status, answer) = send(&server, &wrong);
        assert_eq!(
            (status, &answer["refused"]["kind"]),
            (422, &json!("permanent")),
            "{answer}"
        );
    }
    assert_eq!(entries(&file).len(), 2);
}

#[test]
fn an_undo_strikes_the_entry_that_it_names_not_the_newest() {
    let file = outing("undo");
    let server = serve(Some(file.clone()), false);
    for (key, volts) in [("a", "12.4"), ("b", "12.3")] {
        assert_eq!(
            send(&server, &json!({"key": key, "words": format!("volt {volts}")})).0,
            200
        );
    }
    // Sent twice, as after a lost answer.
    for _ in 0..2 {
        let (status, answer) = send(&server, &json!({"key": "c", "undo": "a"}));
        assert_eq!(status, 200, "{answer}");
        assert!(
            answer["kept"]["sentence"].to_string().contains("takes back entry 1"),
            "{answer}"
        );
    }
    let (status, answer) = send(&server, &json!({"key": "d", "undo": "never-there"}));
    assert_eq!(
        (status, &answer["refused"]["kind"]),
        (422, &json!("permanent")),
        "{answer}"
    );
    let left = farhop_store::standing(&entries(&file));
    assert_eq!(left.iter().map(|s| s.number).collect::<Vec<_>>(), [2]);
}

#[test]
fn an_entry_of_another_outing_or_journal_is_not_taken() {
    let file = outing("elsewhere");
    let server = serve(Some(file.clone()), false);
    let first = here(&server);
    assert_eq!(first["journal"], Value::Null);
    let entry = |key: &str, outing: &Value, journal: &Value| json!({"key": key, "outing": outing, "journal": journal, "words": "volt 12.4"});
    let (status, answer) = send(&server, &entry("a", &first["outing"], &Value::Null));
    assert_eq!(status, 200, "{answer}");
    let now = answer["here"].clone();
    assert!(now["journal"].is_string());
    for wrong in [
        entry("b", &json!("another"), &Value::Null),
        entry("b", &now["outing"], &json!("older")),
    ] {
        let (status, answer) = send(&server, &wrong);
        assert_eq!(
            (status, &answer["refused"]["kind"]),
            (409, &json!("elsewhere")),
            "{answer}"
        );
    }
    // The days are moved by a week: another outing. Its name is edited: the same.
    let text = std::fs::read_to_string(&file).unwrap();
    std::fs::write(
        &file,
        text.replace("name = \"Hut supply check\"", "name = \"Another name\""),
    )
    .unwrap();
    assert_eq!(send(&server, &entry("b", &now["outing"], &now["journal"])).0, 200);
    let tomorrow = jiff::Timestamp::now()
        .in_tz("Pacific/Auckland")
        .unwrap()
        .date()
        .tomorrow()
        .unwrap();
    let today = tomorrow.yesterday().unwrap();
    let moved = text
        .replace(&tomorrow.to_string(), "NEXT")
        .replace(&today.to_string(), &tomorrow.to_string());
    std::fs::write(&file, moved.replace("NEXT", &tomorrow.tomorrow().unwrap().to_string())).unwrap();
    assert_eq!(send(&server, &entry("c", &now["outing"], &now["journal"])).0, 409);
    assert_eq!(entries(&file).len(), 2);
}

#[test]
fn phone_clocks_are_not_believed_and_a_difference_is_said() {
    let file = outing("clocks");
    let server = serve(Some(file.clone()), false);
    let now_ms = jiff::Timestamp::now().as_millisecond();
    for (key, ahead_ms) in [
        ("hour", 3_600_000),
        ("years", 4 * 365 * 86_400_000_i64),
        ("past", -86_400_000),
    ] {
        let entry = json!({"key": key, "age_s": 600, "clock_ms": now_ms + ahead_ms, "words": "volt 12.4"});
        let (status, answer) = send(&server, &entry);
        assert_eq!(status, 200, "{answer}");
        assert!(
            answer["here"]["clocks"].to_string().contains("clock of this phone"),
            "{answer}"
        );
        let farhop_store::Body::Account(account) = &entries(&file).last().unwrap().body.clone() else {
            panic!("no account")
        };
        let late_s = account.at.unix_s() - (now_ms / 1_000 - 600);
        assert!((-2..=30).contains(&late_s), "{key}: {late_s} s late");
    }
    let (_, answer) = send(
        &server,
        &json!({"key": "right", "clock_ms": now_ms, "words": "volt 12.4"}),
    );
    assert_eq!(answer["here"].get("clocks"), None, "{answer}");
    assert_eq!(
        send(&server, &json!({"key": "old", "age_s": 1e9, "words": "volt 12.4"})).0,
        422
    );
}

#[test]
fn a_journal_that_cannot_be_written_now_keeps_the_entry_waiting() {
    let file = outing("locked");
    let server = serve(Some(file.clone()), false);
    assert_eq!(send(&server, &json!({"key": "a", "words": "volt 12.4"})).0, 200);
    let journal = file_of(Some(&file));
    let aside = journal.with_extension("aside");
    std::fs::rename(&journal, &aside).unwrap();
    std::fs::create_dir(&journal).unwrap();
    let (status, answer) = send(&server, &json!({"key": "b", "words": "volt 12.3"}));
    assert_eq!(
        (status, &answer["refused"]["kind"]),
        (503, &json!("temporary")),
        "{answer}"
    );
    std::fs::remove_dir(&journal).unwrap();
    std::fs::rename(&aside, &journal).unwrap();
    assert_eq!(send(&server, &json!({"key": "b", "words": "volt 12.3"})).0, 200);
    assert_eq!(entries(&file).len(), 2);
    // An outing with errors: what was sound last is used; a server that never saw a sound one lets entries wait.
    std::fs::write(&file, "[outing]\nname = 3\n").unwrap();
    assert_eq!(send(&server, &json!({"key": "c", "words": "volt 12.2"})).0, 200);
    let anew = serve(Some(file.clone()), false);
    let (status, answer) = send(&anew, &json!({"key": "d", "words": "volt 12.1"}));
    assert_eq!(
        (status, &answer["refused"]["kind"]),
        (503, &json!("temporary")),
        "{answer}"
    );
}

#[test]
fn what_is_no_entry_is_refused_for_good_with_a_reason() {
    let file = outing("nonsense");
    let server = serve(Some(file.clone()), false);
    for bad in [
        "",
        "{",
        "[]",
        r#"{"key": "a"}"#,
        r#"{"key": "a", "words": "volt 12", "undo": "b"}"#,
        r#"{"key": "ä", "words": "volt 12"}"#,
        r#"{"key": "a", "words": "volt"}"#,
        r#"{"key": "a", "words": "vlot 12"}"#,
        r#"{"key": "a", "event": {"sung": {}}}"#,
        r#"{"key": "a", "event": {"voltage": {"voltage_v": -5}}}"#,
        r#"{"key": "a", "wrods": "volt 12"}"#,
    ] {
        let answer = server.post_json("/field/entry", bad);
        let refused = data(&answer)["refused"].clone();
        assert_eq!(
            (answer.status, &refused["kind"]),
            (422, &json!("permanent")),
            "{bad}: {refused}"
        );
        assert!(
            refused["reason"].as_str().is_some_and(|r| r.len() > 5),
            "{bad}: {refused}"
        );
    }
    let long = json!({"key": "a", "words": format!("note {}", "a".repeat(1_100_000))});
    let (status, answer) = send(&server, &long);
    assert_eq!((status, &answer["refused"]["kind"]), (413, &json!("permanent")));
    assert!(entries(&file).is_empty());
}

#[test]
fn a_restarted_server_knows_its_devices_and_one_can_put_the_others_out() {
    let home = folder("restart");
    let kept = home.join("data");
    let outing = outing("restart-outing");
    let first = serve_with_data(Some(outing.clone()), true, Some(kept.clone()));
    let enter = |server: &Running, phrase: &str| {
        let answer = server.post("/enter", &format!("phrase={phrase}"));
        assert_eq!(answer.status, 200, "{}", answer.body);
        answer
            .header("set-cookie")
            .unwrap()
            .split(';')
            .next()
            .unwrap()
            .to_owned()
    };
    let cookie = enter(&first, first.phrase.as_deref().unwrap());
    let second = serve_with_data(Some(outing.clone()), true, Some(kept.clone()));
    let other = enter(&second, second.phrase.as_deref().unwrap());
    let asks = |server: &Running, cookie: &str| {
        server
            .send(
                "GET /field/here",
                &[("Cookie", cookie), ("Accept", "application/json")],
                "",
            )
            .status
    };
    assert_eq!(asks(&second, &cookie), 200);
    // The file holds no token, and is for its owner only.
    let text = std::fs::read_to_string(kept.join("sessions")).unwrap();
    assert_eq!(text.lines().count(), 2);
    for token in [&cookie, &other] {
        assert!(!text.contains(token.split_once('=').unwrap().1));
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let rights = std::fs::metadata(kept.join("sessions")).unwrap().permissions().mode();
        assert_eq!(rights & 0o777, 0o600);
    }
    let origin = format!("http://{}", second.host());
    let headers = [("Cookie", cookie.as_str()), ("Origin", origin.as_str())];
    assert_eq!(second.send("POST /invite/alone", &headers, "x").status, 303);
    let third = serve_with_data(Some(outing), true, Some(kept));
    assert_eq!((asks(&third, &cookie), asks(&third, &other)), (200, 401));
}

//! `farhop log --json` with typed events, `farhop now --json` with what is left: credited by name, never by length.

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;

const DEMO: &str = include_str!("../../../../../examples/demo.toml");

/// A folder with the demo as an outing of its own, with a message "hello" of 300 bytes before "arrived", which has 300 too.
fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("typed-{name}"));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    let hello = "[[message]]\nid = \"hello\"\nbytes = 300\ndeadline = 2026-12-12T20:00\n\n";
    let text = DEMO.replacen("[[message]]", &format!("{hello}[[message]]"), 1);
    std::fs::write(folder.join("outing.toml"), text).unwrap();
    folder
}

fn farhop(folder: &Path, args: &[&str], input: &str) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_farhop"))
        .args(args)
        .current_dir(folder)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(input.as_bytes()).unwrap();
    child.wait_with_output().unwrap()
}

fn log(folder: &Path, words: &[&str], input: &str) -> Output {
    let args: Vec<&str> = ["log", "--outing", "outing.toml", "--at", "2026-12-12T02:00:00Z"]
        .iter()
        .chain(words)
        .copied()
        .collect();
    farhop(folder, &args, input)
}

fn now(folder: &Path) -> Value {
    let output = farhop(
        folder,
        &["now", "outing.toml", "--at", "2026-12-12T15:30", "--json"],
        "",
    );
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

fn has(list: &Value, id: &str) -> bool {
    list.as_array().unwrap().iter().any(|v| v == id)
}

fn sent(message: &str) -> String {
    format!(
        r#"{{"at": "2026-12-12T02:00:00Z", "event": {{"called": {{"station": "kowhai", "freq_mhz": 10.1455, "outcome": {{"session": {{"sent": [{{"message": "{message}", "bytes": 300, "whole": true}}]}}}}}}}}}}"#
    )
}

#[test]
fn the_message_that_is_named_is_credited_and_not_one_of_the_same_length() {
    let folder = folder("named");
    let output = log(&folder, &["--json", &sent("arrived")], "");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    let entry = &answer["entries"][0];
    assert!(
        entry["key"].as_str().unwrap().len() > 8 && entry["number"] == 1,
        "{entry}"
    );
    assert!(
        entry["sentence"]
            .as_str()
            .unwrap()
            .contains("delivered arrived, 300 bytes"),
        "{entry}"
    );
    let view = now(&folder);
    assert!(
        has(&view["delivered"], "arrived") && has(&view["left"], "hello"),
        "{view}"
    );
    assert!(!has(&view["left"], "arrived") && !has(&view["delivered"], "hello"));
    // In words the same bytes are a question now only for one, so it is taken, and said.
    let output = log(&folder, &["call", "kowhai", "10.1455", "ok", "300"], "");
    assert!(String::from_utf8_lossy(&output.stdout).contains("message hello, the only one left of 300 bytes"));
}

#[test]
fn a_text_that_fits_two_messages_is_a_question_and_nothing_is_kept() {
    let folder = folder("question");
    let output = log(&folder, &["call", "kowhai", "10.1455", "ok", "300"], "");
    assert_eq!(output.status.code(), Some(1));
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(said.contains("Which one? hello or arrived"), "{said}");
    assert!(!folder.join("outing.journal").exists());
}

#[test]
fn a_list_from_standard_input_is_kept_whole_or_not_at_all() {
    let folder = folder("list");
    let bad = format!("[{}, {}]", sent("arrived"), sent("nobody"));
    let output = log(&folder, &["--json", "-"], &bad);
    assert_eq!(output.status.code(), Some(1));
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(
        said.contains("event 2 of the list: the day has no message nobody"),
        "{said}"
    );
    assert!(!folder.join("outing.journal").exists());
    // A message written in the list is known to what comes after it.
    // Without a time of its own an event happened when `--at` says.
    let written = r#"{"written": {"message": "thanks", "bytes": 300}}"#;
    let good = format!("[{written}, {}, {}]", sent("arrived"), sent("thanks"));
    let output = log(&folder, &["--json", "-"], &good);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(answer["entries"].as_array().unwrap().len(), 3);
    let view = now(&folder);
    assert!(
        has(&view["delivered"], "thanks") && has(&view["delivered"], "arrived"),
        "{view}"
    );
}

#[test]
fn volts_far_below_the_forecast_leave_no_full_battery() {
    let folder = folder("volts");
    assert!(log(&folder, &["volt", "10.9"], "").status.success());
    let view = now(&folder);
    let charge = view["charge"].as_str().unwrap();
    let percent: f64 = charge
        .strip_prefix("Charge about ")
        .and_then(|t| t.split_whitespace().next())
        .and_then(|t| t.parse().ok())
        .unwrap();
    // The demo's pack is four cells of lithium iron phosphate: 2.73 V a cell is next to nothing (cell makers' curves, from memory).
    assert!(percent < 20.0 && charge.contains("by 10.9 V read at"), "{charge}");
}

#[test]
fn an_swr_of_7_says_what_it_speaks_for() {
    let folder = folder("swr");
    // Where the dipole hangs.
    assert!(log(&folder, &["at", "hut"], "").status.success());
    assert!(log(&folder, &["swr", "7.05", "7", "on", "link"], "").status.success());
    let view = now(&folder);
    let signs = view["signs"].to_string();
    assert!(
        signs.contains("SWR 7.0 on 7.05 MHz") && signs.contains("a broken strand, a wrong link or another length ("),
        "{signs}"
    );
}

//! `farhop log` as a user types it.

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::Duration;

/// A folder of its own, gone before and after.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let folder = std::env::temp_dir().join(format!("farhop-log-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(&folder).unwrap();
        Self(folder)
    }

    fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_farhop"));
        command.arg("log").args(args).current_dir(&self.0);
        if !args.contains(&"--outing") {
            command.arg("--demo");
        }
        command
            .env("XDG_DATA_HOME", self.0.join("data"))
            .env("XDG_CACHE_HOME", self.0.join("cache"));
        command.env_remove("FARHOP_OUTING");
        command
    }

    /// Where the demo has its journal.
    fn demo_journal(&self) -> PathBuf {
        self.0.join("data/farhop/demo.journal")
    }

    fn run(&self, args: &[&str]) -> Output {
        self.command(args).output().unwrap()
    }

    /// Standard output of a run that must succeed.
    fn log(&self, args: &[&str]) -> String {
        let output = self.run(args);
        let talk = String::from_utf8(output.stderr).unwrap();
        assert!(output.status.success(), "{args:?}: {talk}");
        String::from_utf8(output.stdout).unwrap()
    }

    /// Standard error of a run that must fail with 1.
    fn refused(&self, args: &[&str]) -> String {
        let output = self.run(args);
        assert_eq!(output.status.code(), Some(1), "{args:?}");
        assert!(output.stdout.is_empty(), "{args:?}");
        String::from_utf8(output.stderr).unwrap()
    }

    fn json(&self, args: &[&str]) -> serde_json::Value {
        serde_json::from_str(&self.log(args)).unwrap()
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

const NOON: &str = "2026-12-12T14:00";

#[test]
fn an_entry_is_told_back_in_one_sentence_and_listed() {
    let folder = Folder::new("entry");
    let said = folder.log(&["call", "larch", "5.36", "no", "--at", NOON]);
    let mut lines = said.lines();
    assert_eq!(
        lines.next(),
        Some("Entry 1: Sat 12 Dec 14:00 at Kea ridge: called Larch on 5.356 MHz, 5 W into Leaning whip: no answer.")
    );
    let taken = lines.next().unwrap();
    assert!(
        taken.starts_with("Taken: 5.36 as 5.356 MHz") && taken.contains("the usual setting"),
        "{taken}"
    );
    folder.log(&["noise", "7", "-105dBm", "2400", "--at", "2026-12-12T13:30"]);
    folder.log(&["--at", "2026-12-13T09:00", "--who", "AB", "volt", "12.4"]);
    let list = folder.log(&["--list"]);
    let expected = "Sat 12 Dec\n  13:30     2  noise on 7 MHz -105 dBm in 2400 Hz\n  14:00     1  called Larch on 5.356 \
                    MHz, 5 W into Leaning whip: no answer\nSun 13 Dec\n  09:00     3  battery at 12.4 V (AB)\n";
    assert_eq!(list, expected);
    assert!(folder.demo_journal().exists());
    assert!(
        !folder.0.join("demo.journal").exists(),
        "a run of the demo leaves nothing in the working folder"
    );
}

#[test]
fn the_journal_stands_beside_the_outing_or_where_it_is_told() {
    let folder = Folder::new("beside");
    let outing = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../../examples/demo.toml");
    std::fs::create_dir(folder.0.join("trip")).unwrap();
    std::fs::copy(outing, folder.0.join("trip/hut.toml")).unwrap();
    folder.log(&["--outing", "trip/hut.toml", "volt", "12.4"]);
    assert!(folder.0.join("trip/hut.journal").exists());
    folder.log(&["--journal", "other.journal", "volt", "12.4"]);
    assert!(folder.0.join("other.journal").exists() && !folder.demo_journal().exists());
}

#[test]
fn taking_back_and_fixing() {
    let folder = Folder::new("undo");
    folder.log(&["call", "larch", "7", "no", "--at", NOON]);
    folder.log(&["note", "the", "kea", "-", "again", "--at", NOON]);
    let said = folder.log(&["--undo"]);
    assert!(
        said.starts_with("Entry 3: takes back entry 2 (Sat 12 Dec 14:00 at Kea ridge: note: the kea - again)"),
        "{said}"
    );
    let said = folder.log(&["fix", "1", "call", "larch", "7", "ok", "300", "6"]);
    assert!(
        said.contains("entry 1 now reads: Sat 12 Dec 14:00") && said.contains("delivered arrived"),
        "{said}"
    );
    assert!(
        folder
            .log(&["--list"])
            .contains("delivered arrived, 300 bytes in 6 min (corrected by 4)")
    );
    folder.log(&["--undo"]);
    folder.log(&["--undo"]);
    assert!(folder.refused(&["--undo"]).contains("nothing to take back"));
    assert_eq!(folder.log(&["--list"]), "");
}

#[test]
fn json_says_the_same() {
    let folder = Folder::new("json");
    let entry = folder.json(&[
        "call", "larch", "7", "ok", "arrived", "6", "8dB", "--at", NOON, "--json",
    ]);
    assert_eq!(entry["number"], 1);
    let call = &entry["account"]["event"]["called"];
    assert_eq!(call["freq_mhz"], 7.0495);
    assert_eq!(
        call["outcome"]["session"]["sent"][0],
        serde_json::json!({ "message": "arrived", "bytes": 300, "whole": true })
    );
    assert_eq!(entry["account"]["at"], "2026-12-12T01:00:00Z");
    assert_eq!(entry["words"], "call larch 7 ok arrived 6 8dB");
    assert!(entry["taken"].as_array().unwrap().len() >= 3);
    assert!(entry["sentence"].as_str().unwrap().contains("reported SNR 8 dB"));
    let weak = folder.json(&["call", "larch", "7", "linked", "3", "-8", "--at", "-20m", "--json"]);
    assert_eq!(weak["account"]["event"]["called"]["snr_db"], -8.0);
    folder.log(&["--undo"]);
    let list = folder.json(&["--list", "--json"]);
    assert_eq!(list["entries"][0]["account"]["event"]["called"], *call);
    let undone = folder.json(&["--undo", "--json"]);
    assert_eq!(undone["correction"]["change"], "undo");
    assert_eq!(undone["correction"]["of"], entry["key"]);
}

#[test]
fn exports_come_back_without_loss_and_twice_without_doubling() {
    let folder = Folder::new("copy");
    folder.log(&["call", "larch", "7", "ok", "300", "6", "--at", NOON]);
    folder.log(&["k", "4"]);
    folder.log(&["--undo"]);
    assert!(folder.log(&["--export", "day.jsonl"]).contains("3 entries written"));
    let copied = ["--import", "day.jsonl", "--journal", "copy.journal"];
    assert!(folder.log(&copied).contains("3 entries taken over, 0 here already"));
    assert!(folder.log(&copied).contains("0 entries taken over, 3 here already"));
    folder.log(&["--export", "again.jsonl", "--journal", "copy.journal"]);
    let read = |name: &str| std::fs::read_to_string(folder.0.join(name)).unwrap();
    assert_eq!(read("day.jsonl"), read("again.jsonl"));
    std::fs::write(folder.0.join("bad.jsonl"), read("day.jsonl") + "{}\n").unwrap();
    let error = folder.refused(&["--import", "bad.jsonl", "--journal", "new.journal"]);
    assert!(error.contains("bad.jsonl: line 4:"), "{error}");
    assert!(!folder.0.join("new.journal").exists());
    assert!(folder.log(&["--adif", "day.adi"]).contains("1 contact written"));
    assert!(read("day.adi").contains("<CALL:5>Q0LAR"));
    for precious in [
        "data/farhop/demo.journal",
        "./data/farhop/demo.journal",
        "data/farhop/demo.journal.jsonl",
    ] {
        assert!(folder.refused(&["--export", precious]).contains("name another file"));
    }
}

#[test]
fn what_is_wrong_is_told_with_an_example_and_nothing_is_entered() {
    let folder = Folder::new("wrong");
    for (args, expected) in [
        (
            vec!["call", "larch", "7", "maybe"],
            "For example: call larch 7.05 ok arrived 6min",
        ),
        (vec!["dance"], "For example: note fog came up"),
        (vec![], "Write one of"),
        (vec!["volt", "12.4", "--at", "tea"], "write 14:35"),
        (vec!["note", "x", "--undo"], "cannot be used with"),
        (vec!["--list"], "there is no journal yet"),
        (vec!["--undo"], "there is no journal yet"),
        (vec!["--import", "none.jsonl"], "none.jsonl"),
        (vec!["volt", "12", "--outing", "none.toml"], "none.toml"),
    ] {
        let error = folder.refused(&args);
        assert!(error.contains(expected), "{args:?}: {error}");
    }
    assert!(!folder.demo_journal().exists());
    std::fs::create_dir_all(folder.demo_journal().parent().unwrap()).unwrap();
    std::fs::write(
        folder.demo_journal(),
        "not a journal, but a long letter home".repeat(50),
    )
    .unwrap();
    assert!(folder.refused(&["volt", "12"]).contains("not a journal"));
}

#[test]
fn an_entry_outside_the_outing_is_kept_with_a_caution() {
    let folder = Folder::new("outside");
    let output = folder.run(&["volt", "12.4", "--at", "2026-11-25T10:00:00Z"]);
    assert!(output.status.success());
    let talk = String::from_utf8(output.stderr).unwrap();
    assert!(
        talk.contains("Caution: ") && talk.contains("before the outing, which begins Sat 12 Dec 07:00"),
        "{talk}"
    );
}

#[test]
fn two_hands_at_once_lose_nothing() {
    let folder = Folder::new("two");
    let children: Vec<_> = (0..12)
        .map(|n| {
            let mut command = folder.command(&["note", "entry", &n.to_string()]);
            command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap()
        })
        .collect();
    for mut child in children {
        assert!(child.wait().unwrap().success());
    }
    assert_eq!(
        folder.json(&["--list", "--json"])["entries"].as_array().unwrap().len(),
        12
    );
}

/// The command itself, killed at any moment: what it acknowledged is there, and once. `FARHOP_KILLS` asks for more than 60 runs.
#[test]
fn a_killed_command_loses_no_acknowledged_entry() {
    let folder = Folder::new("kill");
    let (mut acknowledged, mut cut) = (Vec::new(), 0);
    let asked = std::env::var("FARHOP_KILLS").ok().and_then(|n| n.parse().ok());
    for run in 0..asked.unwrap_or(60u64) {
        let words = format!("run {run}");
        let mut child = folder
            .command(&["note", &words])
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(Duration::from_micros(run * 7_919 % 40_000));
        child.kill().unwrap();
        let output = child.wait_with_output().unwrap();
        if String::from_utf8_lossy(&output.stdout).starts_with("Entry ") {
            acknowledged.push(words);
        } else {
            cut += 1;
        }
    }
    folder.log(&["note", "the last"]);
    let list = folder.json(&["--list", "--json"]);
    let kept: Vec<&str> = list["entries"]
        .as_array()
        .unwrap()
        .iter()
        .map(|e| e["account"]["event"]["note"]["words"].as_str().unwrap())
        .collect();
    for words in &acknowledged {
        assert!(kept.contains(&words.as_str()), "{words} is lost");
    }
    assert!(kept.len() <= acknowledged.len() + cut + 1);
    let once: std::collections::BTreeSet<&&str> = kept.iter().collect();
    assert_eq!(once.len(), kept.len(), "an entry is there twice");
    println!(
        "{} acknowledged, {cut} cut off, {} kept",
        acknowledged.len(),
        kept.len() - 1
    );
    assert!(cut > 0, "no run was cut off: the test shows nothing");
}

/// The clock of a rehearsal is not within the outing: a bare time of day belongs to the day that the other commands look from.
#[test]
fn a_bare_time_belongs_to_the_day_of_the_outing() {
    let folder = Folder::new("bare-time");
    // Not the demo's own days, which the clock may be in when this runs.
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../../examples/demo.toml");
    let outing = std::fs::read_to_string(demo).unwrap().replace("2026-12-1", "2029-12-1");
    std::fs::write(folder.0.join("far.toml"), outing).unwrap();
    let list = || folder.log(&["--outing", "far.toml", "--list"]);
    folder.log(&["--outing", "far.toml", "volt", "12.9", "--at", "14:35"]);
    assert!(list().starts_with("Wed 12 Dec\n  14:35 "), "{}", list());
    folder.log(&["--outing", "far.toml", "volt", "12.8", "--at", "2029-12-13T08:00"]);
    folder.log(&["--outing", "far.toml", "volt", "12.7", "--at", "09:10"]);
    assert!(
        list().contains("Thu 13 Dec\n  08:00 ") && list().contains("\n  09:10     3  battery at 12.7 V"),
        "{}",
        list()
    );
}

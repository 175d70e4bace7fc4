//! Outputs fall on nothing that is the user's: not on the outing, not on the journal, not on any file without `--replace`.

use crate::common::Trip;

/// Every way to write a file, with the place of the name left open.
const WAYS: [&[&str]; 10] = [
    &["card", "--html", "-o"],
    &["card", "-o"],
    &["energy", "--svg"],
    &["antenna", "--svg"],
    &["export", "--csv"],
    &["export", "--geojson"],
    &["debrief", "--html"],
    &["log", "--export"],
    &["log", "--adif"],
    &["days", "--days", "100", "--csv"],
];

fn trip(name: &str) -> Trip {
    let trip = Trip::new(name);
    trip.outing("hill.toml", &[]);
    trip.fine(&["log", "note", "we", "are", "here"]);
    trip
}

fn args<'a>(way: &[&'a str], target: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    let mut args = vec![way[0]];
    if way[0] != "log" {
        args.push("hill.toml");
    }
    args.extend(&way[1..]);
    args.push(target);
    args.extend(more);
    args
}

#[test]
fn no_output_falls_on_the_outing_or_its_journal() {
    let trip = trip("outputs-own");
    std::fs::hard_link(trip.file("hill.toml"), trip.file("other-name")).unwrap();
    for target in ["hill.toml", "./hill.toml", "hill.journal", "other-name"] {
        let before = std::fs::read(trip.file(target)).unwrap();
        for way in WAYS {
            let args = args(way, target, &["--replace"]);
            let output = trip.run(&args);
            let said = String::from_utf8_lossy(&output.stderr);
            assert_eq!(output.status.code(), Some(1), "{args:?}: {said}");
            assert!(said.contains(target) && said.contains("another"), "{args:?}: {said}");
            assert_eq!(std::fs::read(trip.file(target)).unwrap(), before, "{args:?}");
        }
        let output = trip.run(&[
            "fault",
            "hill.toml",
            "--symptom",
            "no power anywhere",
            "--session",
            target,
        ]);
        assert_eq!(output.status.code(), Some(1));
        assert_eq!(
            std::fs::read(trip.file(target)).unwrap(),
            before,
            "fault --session {target}"
        );
    }
}

#[test]
fn a_file_that_is_there_stays_unless_it_may_be_replaced() {
    let trip = trip("outputs-there");
    let file = trip.file("mine");
    for way in WAYS {
        std::fs::write(&file, "mine").unwrap();
        let output = trip.run(&args(way, "mine", &[]));
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(1), "{way:?}: {said}");
        assert!(said.contains("--replace"), "{way:?}: {said}");
        assert_eq!(std::fs::read(&file).unwrap(), b"mine");
        trip.fine(&args(way, "mine", &["--replace"]));
        assert_ne!(std::fs::read(&file).unwrap(), b"mine", "{way:?}");
    }
    let left = std::fs::read_dir(trip.work()).unwrap().map(|e| e.unwrap().file_name());
    assert!(left.into_iter().all(|n| !n.to_string_lossy().contains(".part")));
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_said_and_ends_with_two() {
    let trip = trip("outputs-full");
    let mut all: Vec<Vec<&str>> = WAYS.iter().map(|way| args(way, "-", &[])).collect();
    for command in [
        "plan", "energy", "kit", "exposure", "feed", "next", "now", "debrief", "check",
    ] {
        all.push(vec![command, "hill.toml"]);
        if command != "check" {
            all.push(vec![command, "hill.toml", "--json"]);
        }
    }
    for args in all {
        let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let output = trip.command(&args).stdout(full).output().unwrap();
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{args:?}: {said}");
        assert!(said.contains("could not be written"), "{args:?}: {said}");
    }
}

/// What a folder holds, but for what the program keeps of the outing.
#[cfg(unix)]
fn names(trip: &Trip) -> Vec<String> {
    let all = std::fs::read_dir(trip.work()).unwrap();
    let mut names: Vec<String> = all.map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

#[cfg(unix)]
#[test]
fn a_limit_on_the_size_of_files_is_said_and_leaves_nothing() {
    let trip = trip("outputs-limit");
    let before = names(&trip);
    let fine = trip.run(&args(&["card", "-o"], "whole.pdf", &[]));
    assert!(fine.status.success());
    let length = std::fs::metadata(trip.file("whole.pdf")).unwrap().len();
    assert!(length > 8 * 1_024, "{length} bytes");
    // 8 blocks of 512 or 1024 bytes, as the shell counts: less than the card.
    let program = trip.command(&["card"]).get_program().to_owned();
    let mut limited = trip.command(&args(&["card", "-o"], "cut.pdf", &[]));
    let words: Vec<_> = limited.get_args().map(|a| a.to_string_lossy().into_owned()).collect();
    let line = format!("ulimit -f 8; exec '{}' {}", program.to_string_lossy(), words.join(" "));
    limited = {
        let mut shell = std::process::Command::new("sh");
        shell.args(["-c", &line]).current_dir(trip.work());
        shell
            .env("XDG_DATA_HOME", trip.0.join("data"))
            .env("FARHOP_NO_CACHE", "1");
        shell
    };
    let output = limited.output().unwrap();
    let said = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(1), "{said}");
    assert!(said.contains("cut.pdf"), "{said}");
    let mut with_whole = before;
    with_whole.push("whole.pdf".to_owned());
    with_whole.sort();
    assert_eq!(names(&trip), with_whole);
}

#[cfg(unix)]
#[test]
fn ctrl_c_ends_long_work_at_once_and_leaves_nothing_half_written() {
    let trip = trip("outputs-stop");
    let before = names(&trip);
    let whole = trip.run(&["exposure", "hill.toml", "--json"]).stdout;
    std::fs::remove_dir_all(trip.0.join("cache")).unwrap();
    for wait_ms in [50, 200, 600] {
        let mut child = trip
            .command(&args(&["card", "-o"], "card.pdf", &["--replace"]))
            .stdout(std::process::Stdio::null())
            .stderr(std::process::Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(std::time::Duration::from_millis(wait_ms));
        let stopped = std::time::Instant::now();
        let kill = std::process::Command::new("kill")
            .args(["-INT", &child.id().to_string()])
            .status();
        assert!(kill.unwrap().success());
        let _ = child.wait().unwrap();
        assert!(stopped.elapsed().as_secs_f64() < 2.0, "{:?}", stopped.elapsed());
        let now: Vec<String> = names(&trip).into_iter().filter(|n| n != "card.pdf").collect();
        assert_eq!(now, before, "stopped after {wait_ms} ms");
    }
    // What was kept until then is whole, or counts for nothing.
    assert_eq!(trip.run(&["exposure", "hill.toml", "--json"]).stdout, whole);
}

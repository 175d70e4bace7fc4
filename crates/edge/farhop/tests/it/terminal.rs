//! What a terminal and a pipe see: no line wider than 80 columns whatever is typed, and no crash when the reader goes away.

use std::io::{BufRead as _, BufReader};
use std::process::{Command, Output, Stdio};

use crate::common::run;

fn command(args: &[&str]) -> Command {
    let mut command = run::command(args);
    command.stdout(Stdio::piped()).stderr(Stdio::piped());
    command
}

fn answer(args: &[&str]) -> String {
    let output: Output = command(args).output().unwrap();
    let talk = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(0), "{args:?}: {talk}");
    String::from_utf8(output.stdout).unwrap()
}

fn assert_fits(args: &[&str]) {
    for line in answer(args).lines() {
        let columns = line.chars().count();
        assert!(columns <= 80, "{args:?}: {columns} columns: {line}");
    }
}

const AT: [&str; 2] = ["--at", "2026-12-12T06:30:00Z"];

fn path<'a>(from: &'a str, to: &'a str, mhz: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    let mut args = vec!["path", "--from", from, "--to", to, "--mhz", mhz];
    args.extend(AT.iter().chain(more));
    args
}

#[test]
fn a_path_fits_whatever_is_typed() {
    let calls = [
        path("RE66", "RF70", "7.123456789012345", &["--watts", "4.12345678901234567"]),
        path(
            "RE66",
            "RF70",
            "1.8000000000000003",
            &["--bandwidth-hz", "2345.6789012345"],
        ),
        path("RE66", "RF70", "30", &["--watts", "0.001", "--noise", "city"]),
        path("RE66", "RE66", "1.6", &["--watts", "2000", "--noise", "city"]),
        path("90,0", "-90,0", "14.1", &["--k", "9", "--ssn", "0"]),
        path("0,179.999999", "0,-179.999999", "5.3", &["--flux", "250"]),
        path(
            "65.12345678,20.12345678",
            "60,-150",
            "10.1",
            &["--k", "9", "--fof2", "12.3456789"],
        ),
        path("4.5,33.25", "-4.5,-146.75", "28.5", &["--noise", "quiet-rural"]),
    ];
    for args in &calls {
        assert_fits(args);
    }
}

#[test]
fn a_sky_fits_at_the_poles_and_under_the_most_active_sun() {
    for place in ["90,0", "-90,0", "0,0", "-43.48,170.9", "RR99"] {
        for activity in ["0", "200"] {
            assert_fits(&["sky", "--place", place, AT[0], AT[1], "--ssn", activity]);
        }
    }
}

#[test]
fn help_is_data_on_standard_output() {
    for args in [
        &["--help"][..],
        &["plan", "--help"],
        &["path", "-h"],
        &["sky", "-h"],
        &["--version"],
    ] {
        assert!(answer(args).contains("farhop"), "{args:?}");
    }
}

/// Reads one line and hangs up, as `head -1` does.
fn hang_up_after_a_line(args: &[&str]) {
    let mut child = command(args).spawn().unwrap();
    let mut line = String::new();
    // The reader is dropped at the end of the statement: the pipe is closed while more is to come.
    BufReader::with_capacity(16, child.stdout.take().unwrap())
        .read_line(&mut line)
        .unwrap();
    let output = child.wait_with_output().unwrap();
    let talk = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(!line.is_empty(), "{args:?}");
    assert_ne!(output.status.code(), Some(101), "{args:?} panicked: {talk}");
    assert!(!talk.contains("panicked"), "{args:?}: {talk}");
}

/// Hangs up before anything is written.
fn hang_up_at_once(args: &[&str]) {
    let mut child = command(args).spawn().unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    let talk = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_ne!(output.status.code(), Some(101), "{args:?} panicked: {talk}");
    assert!(!talk.contains("panicked"), "{args:?}: {talk}");
}

#[test]
fn a_reader_that_goes_away_is_no_crash() {
    // 31 days of hours as JSON are more than a pipe holds (64 KiB on Linux), so the writer must meet the closed end.
    let long = ["sky", "--place", "RE66", AT[0], AT[1], "--hours", "744", "--json"];
    assert!(answer(&long).len() > 200_000);
    hang_up_after_a_line(&long);
    let text = ["sky", "--place", "RE66", AT[0], AT[1], "--hours", "744"];
    hang_up_after_a_line(&text);
    let short = path("RE66", "RF70", "7.1", &[]);
    for args in [
        &long[..],
        &text,
        &short,
        &["check"],
        &["plan"],
        &["plan", "--json"],
        &["--help"],
    ] {
        hang_up_at_once(args);
    }
}

//! Full disks, folders that may only be read, many writers, clocks that go back: said, and nothing lost.

#![cfg(unix)]

use std::os::unix::fs::PermissionsExt as _;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use crate::common::{Scratch, at, new, note_at};
use farhop_store::{Journal, JournalError, clock_caution, rescue, twin_of};

/// The child's orders.
const FILE: &str = "FARHOP_TEST_ADVERSE_FILE";
const NAME: &str = "FARHOP_TEST_ADVERSE_NAME";

/// Not a test of its own: makes entries until it is refused one, and says what it kept and why it stopped. Without orders it does
/// nothing.
#[test]
fn writer() {
    let (Some(file), Ok(name)) = (std::env::var_os(FILE), std::env::var(NAME)) else {
        return;
    };
    let (name, count) = name.split_once(' ').unwrap();
    let mut journal = match Journal::open(Path::new(&file)) {
        Ok(journal) => journal,
        Err(error) => {
            println!("refused {} {error}", error.temporary());
            return;
        }
    };
    for index in 0..count.parse().unwrap() {
        let entry = new(
            &format!("{name}-{index}"),
            note_at(i64::from(index), &"fog ".repeat(200)),
        );
        match journal.append(entry) {
            Ok(kept) => println!("kept {name}-{index} {}", kept.number),
            Err(error) => {
                println!("refused {} {error}", error.temporary());
                return;
            }
        }
    }
}

fn child(file: &Path, orders: &str, before: &str) -> Command {
    let mut command = Command::new("sh");
    let own = std::env::current_exe().unwrap();
    let script = format!("{before} exec \"$0\" --exact adversity::writer --nocapture --test-threads=1");
    command.arg("-c").arg(script).arg(own).env(FILE, file).env(NAME, orders);
    command.stdout(Stdio::piped()).stderr(Stdio::null());
    command
}

fn kept(output: &Output) -> Vec<String> {
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let lines = text
        .lines()
        .filter_map(|l| l.split_once("kept ").map(|(_, rest)| rest.to_owned()));
    lines
        .map(|l| l.split(' ').next().unwrap_or_default().to_owned())
        .collect()
}

fn refused(output: &Output) -> String {
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    text.lines()
        .find_map(|l| l.split_once("refused ").map(|(_, why)| why.to_owned()))
        .unwrap_or_default()
}

fn keys(file: &Path) -> Vec<String> {
    let journal = Journal::open_if_there(file).unwrap().unwrap();
    assert!(journal.condition().missing.is_empty(), "{:?}", journal.condition());
    journal.all().unwrap().iter().map(|e| e.key.to_string()).collect()
}

#[test]
fn four_writers_at_once_lose_nothing_and_double_nothing() {
    let scratch = Scratch::new("four");
    let file = scratch.file();
    let children: Vec<_> = ["a", "b", "c", "d"]
        .iter()
        .map(|name| child(&file, &format!("{name} 40"), "").spawn().unwrap())
        .collect();
    let outputs: Vec<Output> = children.into_iter().map(|c| c.wait_with_output().unwrap()).collect();
    let mut acknowledged: Vec<String> = outputs.iter().flat_map(kept).collect();
    assert_eq!(acknowledged.len(), 160, "{outputs:?}");
    let mut there = keys(&file);
    Journal::open(&file).unwrap().examine().unwrap();
    acknowledged.sort();
    there.sort();
    assert_eq!(there, acknowledged);
    // The twin alone has them too.
    std::fs::remove_file(&file).unwrap();
    let mut in_twin = keys(&file);
    in_twin.sort();
    assert_eq!(in_twin, acknowledged);
}

/// The system refuses to let a file grow beyond so many blocks of 512 bytes, as a full disk does.
#[test]
fn a_disk_without_room_is_said_and_loses_nothing() {
    let scratch = Scratch::new("no-room");
    let file = scratch.file();
    for blocks in [8, 24, 100, 161, 250] {
        let before = if file.exists() { keys(&file).len() } else { 0 };
        let limit = format!("trap '' XFSZ; ulimit -f {blocks};");
        let output = child(&file, &format!("r{blocks} 500"), &limit).output().unwrap();
        let (acknowledged, why) = (kept(&output), refused(&output));
        assert!(
            why.starts_with("true "),
            "{blocks}: not said, or not as passing: {output:?}"
        );
        if !file.exists() {
            continue;
        }
        let there = keys(&file);
        assert!(
            acknowledged.iter().all(|k| there.contains(k)),
            "{blocks}: an acknowledged entry is lost"
        );
        assert!(there.len() <= before + acknowledged.len() + 1, "{blocks}: {there:?}");
    }
    // With room again everything goes on, and the twin is whole.
    let mut journal = Journal::open(&file).unwrap();
    journal.append(new("after", note_at(0, "after"))).unwrap();
    let all = journal.all().unwrap();
    assert!(all.len() > 20, "{}", all.len());
    drop(journal);
    Journal::open(&file).unwrap().examine().unwrap();
    std::fs::remove_file(&file).unwrap();
    assert_eq!(Journal::open(&file).unwrap().all().unwrap(), all);
}

/// A small file system of its own, where the system lets us make one.
#[test]
fn a_full_disk_is_said_and_loses_nothing() {
    let scratch = Scratch::new("tmpfs");
    let disk = scratch.folder.join("disk");
    std::fs::create_dir_all(&disk).unwrap();
    let mounted = Command::new("mount")
        .args(["-t", "tmpfs", "-o", "size=200k", "tmpfs"])
        .arg(&disk)
        .output();
    if !mounted.is_ok_and(|o| o.status.success()) {
        println!("no small disk can be made here; the limit of file sizes stands for it");
        return;
    }
    let file = disk.join("day.journal");
    let output = child(&file, "full 1000", "").output().unwrap();
    let (acknowledged, why) = (kept(&output), refused(&output));
    let there = keys(&file);
    let room = Command::new("mount")
        .args(["-o", "remount,size=4m"])
        .arg(&disk)
        .status()
        .unwrap();
    let after = room.success()
        && Journal::open(&file)
            .unwrap()
            .append(new("after", note_at(0, "after")))
            .is_ok();
    let sound = Journal::open(&file).unwrap().examine();
    let _ = Command::new("umount").arg(&disk).status();
    assert!(why.starts_with("true ") && why.contains("no room left"), "{why}");
    assert!(
        acknowledged.len() > 20 && acknowledged.iter().all(|k| there.contains(k)),
        "{}",
        acknowledged.len()
    );
    assert!(there.len() <= acknowledged.len() + 1);
    assert!(after);
    sound.unwrap();
}

/// Runs the child as somebody whom rights bind: they do not bind the system's administrator.
fn bound() -> Option<&'static str> {
    let root = Command::new("id").arg("-u").output().is_ok_and(|o| o.stdout == b"0\n");
    if !root {
        return Some("");
    }
    let other = "setpriv --reuid=65534 --regid=65534 --clear-groups";
    let works = Command::new("sh").args(["-c", &format!("{other} true")]).status();
    works
        .is_ok_and(|s| s.success())
        .then_some("exec setpriv --reuid=65534 --regid=65534 --clear-groups")
}

#[test]
fn a_folder_that_may_only_be_read_is_said_and_its_journal_is_read() {
    let Some(prefix) = bound() else {
        println!("this system has no way to give up rights");
        return;
    };
    let scratch = Scratch::new("read-only");
    let file = scratch.file();
    let mut journal = Journal::open(&file).unwrap();
    journal.append(new("before", note_at(0, "before"))).unwrap();
    drop(journal);
    let rights = |path: &Path, mode| std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).unwrap();
    for path in [&file, &twin_of(&file)] {
        rights(path, 0o444);
    }
    rights(&scratch.folder, 0o555);
    let script = if prefix.is_empty() {
        String::new()
    } else {
        format!("{prefix} sh -c 'exec \"$0\" --exact adversity::writer --nocapture --test-threads=1' \"$0\";")
    };
    let output = child(&file, "x 3", &script).output().unwrap();
    let why = refused(&output);
    rights(&scratch.folder, 0o755);
    assert!(
        why.starts_with("true ") && why.contains("may only be read"),
        "{output:?}"
    );
    assert_eq!(keys(&file), ["before"]);
}

#[test]
fn a_clock_that_goes_back_is_said_and_the_entry_is_kept_in_its_place() {
    let scratch = Scratch::new("clock");
    let mut journal = Journal::open(&scratch.file()).unwrap();
    let text = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../../../examples/demo.toml")).unwrap();
    let outing = farhop_outing_file::read(&text, "demo", &|_| Err(String::new()))
        .outing
        .unwrap();
    let mut first = new("a", note_at(7_200, "one"));
    first.entered_at = at(7_200);
    journal.append(first).unwrap();
    assert_eq!(clock_caution(&journal.all().unwrap(), at(7_200 - 60), &outing), None);
    let said = clock_caution(&journal.all().unwrap(), at(0), &outing).unwrap();
    assert!(said.contains("entry 1") && said.contains("--at"), "{said}");
    let mut second = new("b", note_at(0, "two"));
    second.entered_at = at(0);
    assert_eq!(journal.append(second).unwrap().number, 2);
    assert_eq!(journal.all().unwrap().len(), 2);
    journal.examine().unwrap();
}

#[test]
fn each_refusal_says_whether_to_try_again() {
    let scratch = Scratch::new("kinds");
    let mut journal = Journal::open(&scratch.file()).unwrap();
    journal.append(new("a", note_at(0, "one"))).unwrap();
    let taken = journal.append(new("a", note_at(0, "two"))).unwrap_err();
    assert!(matches!(taken, JournalError::KeyTaken { .. }) && !taken.temporary());
    let untrue = journal.append(new("b", note_at(0, &"x".repeat(3_000)))).unwrap_err();
    assert!(!untrue.temporary());
    journal.set_patience(std::time::Duration::from_millis(20)).unwrap();
    let holder = rusqlite::Connection::open(scratch.file()).unwrap();
    holder.execute_batch("BEGIN EXCLUSIVE").unwrap();
    let locked = journal.append(new("c", note_at(0, "three"))).unwrap_err();
    assert!(matches!(locked, JournalError::Locked { .. }) && locked.temporary());
    assert!(
        rescue(&scratch.folder.join("none.journal"), at(0))
            .unwrap_err()
            .temporary()
    );
    assert!(
        !twin_of(&scratch.folder.join("none.journal")).exists(),
        "looking leaves nothing behind"
    );
}

//! The program as a user runs it: one place that says with which folders and caches.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;

/// The program with arguments and the cache that all tests share.
pub fn command(args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_farhop"));
    command.args(args).env("XDG_CACHE_HOME", env!("CARGO_TARGET_TMPDIR"));
    command
}

pub fn farhop(args: &[&str]) -> Output {
    command(args).output().unwrap()
}

/// A run in a folder.
pub fn farhop_in(folder: &Path, args: &[&str]) -> Output {
    command(args).current_dir(folder).output().unwrap()
}

/// A run in a folder that has the journals too, with no outing named from outside.
pub fn farhop_at_home(folder: &Path, args: &[&str]) -> Output {
    let mut command = command(args);
    command.current_dir(folder).env("XDG_DATA_HOME", folder.join("data"));
    command.env_remove("FARHOP_OUTING").output().unwrap()
}

/// A run that keeps nothing and finds nothing kept.
pub fn farhop_without_cache(args: &[&str]) -> Output {
    command(args).env("FARHOP_NO_CACHE", "1").output().unwrap()
}

pub fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

pub fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// Standard output of a run that must have succeeded.
pub fn success(output: &Output) -> String {
    assert!(output.status.success(), "{}", stderr(output));
    stdout(output)
}

/// The JSON of a run that must have succeeded.
pub fn json_of(output: &Output) -> Value {
    serde_json::from_str(&success(output)).unwrap()
}

/// Standard output of a run that must succeed.
pub fn said(args: &[&str]) -> String {
    success(&farhop(args))
}

/// The JSON of a run that must succeed.
pub fn json(args: &[&str]) -> Value {
    json_of(&farhop(args))
}

/// Standard output of a run in a folder that must succeed.
pub fn said_in(folder: &Path, args: &[&str]) -> String {
    success(&farhop_in(folder, args))
}

/// Standard error of a run in a folder that must refuse, with exit code 1.
pub fn refused_in(folder: &Path, args: &[&str]) -> String {
    let output = farhop_in(folder, args);
    assert_eq!(output.status.code(), Some(1), "{args:?}: {}", stderr(&output));
    stderr(&output)
}

/// A fresh folder of one test, which nobody else may name.
pub fn fresh_folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

/// The path of a file of one test, at which nothing lies yet.
pub fn fresh_file(name: &str) -> String {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_file(&path);
    path.display().to_string()
}

/// The path of a file among the shipped examples.
pub fn example(name: &str) -> String {
    if name == "kind-day.toml" {
        return farhop_vectors::kind_day().to_string_lossy().into_owned();
    }
    format!("{}/../../../examples/{name}", env!("CARGO_MANIFEST_DIR"))
}

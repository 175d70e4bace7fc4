//! What the tests of the commands share.

pub mod power;
pub mod run;

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A folder of its own with a home of its own, gone before and after.
pub struct Trip(pub PathBuf);

impl Trip {
    pub fn new(name: &str) -> Self {
        let folder = std::env::temp_dir().join(format!("farhop-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(folder.join("work")).unwrap();
        Self(folder)
    }

    /// The working folder.
    pub fn work(&self) -> PathBuf {
        self.0.join("work")
    }

    pub fn file(&self, name: &str) -> PathBuf {
        self.work().join(name)
    }

    /// Puts the demo's text, with changes, into the working folder under a name.
    pub fn outing(&self, name: &str, changes: &[(&str, &str)]) {
        let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/../../../examples/demo.toml");
        let mut text = std::fs::read_to_string(demo).unwrap();
        for (old, new) in changes {
            assert!(text.contains(old), "{old}");
            text = text.replace(old, new);
        }
        std::fs::write(self.file(name), text).unwrap();
    }

    pub fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_farhop"));
        command.args(args).current_dir(self.work());
        command
            .env("XDG_DATA_HOME", self.0.join("data"))
            .env("XDG_CACHE_HOME", self.0.join("cache"))
            .env_remove("FARHOP_OUTING");
        command
    }

    pub fn run(&self, args: &[&str]) -> Output {
        self.command(args).output().unwrap()
    }

    /// Standard output and standard error of a run that must succeed.
    pub fn fine(&self, args: &[&str]) -> (String, String) {
        let output = self.run(args);
        let talk = text(&output.stderr);
        assert!(output.status.success(), "{args:?}: {talk}");
        (text(&output.stdout), talk)
    }

    /// Standard error of a run that must fail with 1.
    pub fn refused(&self, args: &[&str]) -> String {
        let output = self.run(args);
        assert_eq!(output.status.code(), Some(1), "{args:?}: {}", text(&output.stderr));
        text(&output.stderr)
    }

    /// Names in the working folder.
    pub fn names(&self) -> Vec<String> {
        let entries = std::fs::read_dir(self.work()).unwrap().flatten();
        let mut names: Vec<String> = entries.map(|e| e.file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }
}

impl Drop for Trip {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

pub fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// One byte block of a file becomes rubbish.
pub fn spoil(file: &Path, from: usize, length: usize) {
    let mut bytes = std::fs::read(file).unwrap();
    let end = (from + length).min(bytes.len());
    bytes[from..end].fill(0xa5);
    std::fs::write(file, bytes).unwrap();
}

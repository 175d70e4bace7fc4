//! The libraries of others, in a Python that stands beside us and takes its turn when it is asked.

use std::io::{BufRead as _, BufReader, Write as _};
use std::path::PathBuf;
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};

/// The script, from the root of the project.
const SCRIPT: &str = "validation/speed.py";

/// A Python that waits for questions.
pub struct Partner {
    child: Child,
    asks: ChildStdin,
    tells: BufReader<ChildStdout>,
}

/// The Python to use: the one that `FARHOP_PYTHON` names, that of `validation/.venv`, or any.
fn pythons() -> Vec<PathBuf> {
    let named = std::env::var_os("FARHOP_PYTHON").map(PathBuf::from);
    named
        .into_iter()
        .chain(["validation/.venv/bin/python", "python3", "python"].map(PathBuf::from))
        .collect()
}

impl Partner {
    /// Starts it; none where there is no Python.
    #[must_use]
    pub fn start() -> Option<Self> {
        pythons().into_iter().find_map(|python| {
            let mut child = Command::new(&python)
                .arg(SCRIPT)
                // One thread each, as our own kernels have here.
                .envs(["OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"].map(|name| (name, "1")))
                .stdin(Stdio::piped())
                .stdout(Stdio::piped())
                .stderr(Stdio::null())
                .spawn()
                .ok()?;
            let asks = child.stdin.take()?;
            let tells = BufReader::new(child.stdout.take()?);
            Some(Self { child, asks, tells })
        })
    }

    fn ask(&mut self, question: &str) -> Option<String> {
        writeln!(self.asks, "{question}").ok()?;
        self.asks.flush().ok()?;
        let mut line = String::new();
        self.tells.read_line(&mut line).ok()?;
        Some(line.trim().to_owned())
    }

    /// Seconds that a library took for a question of the script.
    ///
    /// # Errors
    /// In words: it is not installed, or cannot do it.
    pub fn seconds(&mut self, question: &str) -> Result<f64, String> {
        let line = self.ask(question).unwrap_or_default();
        match line.strip_prefix("ok ").and_then(|s| s.parse().ok()) {
            Some(seconds) => Ok(seconds),
            None => Err(line.strip_prefix("no ").unwrap_or("the script broke off").to_owned()),
        }
    }

    /// Names and versions of what is installed.
    pub fn versions(&mut self) -> String {
        let line = self.ask("versions").unwrap_or_default();
        line.strip_prefix("ok ").unwrap_or_default().to_owned()
    }
}

impl Drop for Partner {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

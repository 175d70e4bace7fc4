//! A program run from outside: how long on the clock, how long on the processor, how much memory at most.

use std::fs;
use std::io;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// Ticks a second in `/proc`: 100 on every Linux since 2.4 (proc(5): `sysconf(_SC_CLK_TCK)`, from memory).
const TICKS_PER_S: f64 = 100.0;
/// Pause between two looks at a program that runs.
const LOOK: Duration = Duration::from_millis(1);

/// What a run cost.
#[derive(Clone, Copy, Debug, Default)]
pub struct Cost {
    /// On the clock, s.
    pub wall_s: f64,
    /// On the processor, all threads together, s; none where the system does not tell.
    pub cpu_s: Option<f64>,
    /// Most memory, MB; none where the system does not tell.
    pub most_mb: Option<f64>,
}

/// Processor time of a running program, or of one that has ended and was not waited for, s.
#[must_use]
pub fn cpu_s(pid: u32) -> Option<f64> {
    let text = fs::read_to_string(format!("/proc/{pid}/stat")).ok()?;
    // Behind the name in brackets: state is field 3, utime and stime are 14 and 15 (proc(5)).
    let fields: Vec<&str> = text.rsplit_once(')')?.1.split_whitespace().collect();
    let ticks = |n: usize| fields.get(n - 3)?.parse::<f64>().ok();
    Some((ticks(14)? + ticks(15)?) / TICKS_PER_S)
}

/// Most memory that a program has had so far, MB.
#[must_use]
pub fn most_mb(pid: u32) -> Option<f64> {
    let text = fs::read_to_string(format!("/proc/{pid}/status")).ok()?;
    let line = text.lines().find_map(|l| l.strip_prefix("VmHWM:"))?;
    let kb: f64 = line.trim().trim_end_matches("kB").trim().parse().ok()?;
    Some(kb / 1_000.0)
}

fn ended(pid: u32) -> Option<bool> {
    let text = fs::read_to_string(format!("/proc/{pid}/stat")).ok()?;
    Some(text.rsplit_once(')')?.1.trim_start().starts_with('Z'))
}

/// Runs a program to its end, whatever it says.
///
/// # Errors
/// It cannot be started, or ends with another code than 0: then with its last line.
pub fn run(command: &mut Command) -> io::Result<Cost> {
    command
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::piped());
    let start = Instant::now();
    let mut child = command.spawn()?;
    // Read away meanwhile, so that it never waits for its reader.
    let talk = child
        .stderr
        .take()
        .map(|said| std::thread::spawn(|| io::read_to_string(said)));
    let cost = watch(&mut child, start);
    let status = child.wait()?;
    if status.success() {
        return Ok(cost);
    }
    let talk = talk.and_then(|t| t.join().ok()?.ok()).unwrap_or_default();
    Err(io::Error::other(
        talk.lines().last().unwrap_or("it broke off").to_owned(),
    ))
}

fn watch(child: &mut Child, start: Instant) -> Cost {
    let pid = child.id();
    let mut most = None;
    loop {
        most = most_mb(pid).or(most);
        match ended(pid) {
            // Not waited for yet, so that its times can still be read.
            Some(true) => break,
            Some(false) => {}
            // No /proc here: only the clock counts.
            None => {
                let _ = child.wait();
                break;
            }
        }
        std::thread::sleep(LOOK);
    }
    Cost {
        wall_s: start.elapsed().as_secs_f64(),
        cpu_s: cpu_s(pid),
        most_mb: most,
    }
}

/// The middle one of some figures; 0 of none.
#[must_use]
pub fn median(mut figures: Vec<f64>) -> f64 {
    figures.sort_by(f64::total_cmp);
    figures.get(figures.len() / 2).copied().unwrap_or(0.0)
}

//! Sudden deaths: the process that makes entries is killed at a random moment, again and again.
//!
//! What this shows: no acknowledged entry is lost, nothing is half written, the file stays whole, whenever the process dies. What
//! it cannot show is a power cut; there the promise rests on the database's `synchronous = EXTRA`.

use std::io::{BufReader, Write as _};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use crate::common::{Scratch, at, new, note_at};
use farhop_store::{Body, Event, Journal};

/// Killed runs in all; `FARHOP_KILLS` asks for another number, and 1000 is the one to be run before a release.
const RUNS: u32 = 120;
/// Journals side by side, and threads that work on them.
const LANES: u32 = 4;
/// Runs on one file before a new one is begun, so that many of them die while a file is being made.
const RUNS_PER_FILE: u32 = 10;
/// The child's orders.
const FILE: &str = "FARHOP_TEST_KILL_FILE";
const RUN: &str = "FARHOP_TEST_KILL_RUN";

/// Not a test of its own: what the killed process does. Without orders it does nothing.
#[test]
fn writer() {
    let (Some(file), Ok(run)) = (std::env::var_os(FILE), std::env::var(RUN)) else {
        return;
    };
    let mut journal = Journal::open(Path::new(&file)).unwrap();
    let mut out = std::io::stdout().lock();
    for index in 0..100_000 {
        let words = text_of(&run, index);
        journal
            .append(new(&format!("r{run}-{index}"), note_at(i64::from(index), &words)))
            .unwrap();
        // One write a line: what was not acknowledged whole was not acknowledged.
        out.write_all(format!("kept {index}\n").as_bytes()).unwrap();
        out.flush().unwrap();
    }
}

/// Long enough to fill a page now and then.
fn text_of(run: &str, index: u32) -> String {
    format!("run {run} entry {index} {}", "x".repeat((index as usize * 37) % 900))
}

/// A small deterministic generator (xorshift of 64 bits, Marsaglia 2003); only the moments of death hang on it.
struct Dice(u64);

impl Dice {
    fn below(&mut self, most: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % most
    }
}

/// Starts a writer, waits for so many acknowledgements, kills it after a while and gives how many entries it had acknowledged.
fn run_and_kill(file: &Path, run: u32, first: u32, after: Duration) -> u32 {
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "kill::writer", "--nocapture", "--test-threads=1"])
        .env(FILE, file)
        .env(RUN, run.to_string())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap());
    let mut kept = 0;
    while kept < first && next_kept(&mut lines, &mut kept) {}
    std::thread::sleep(after);
    // On Unix this is SIGKILL: no handler runs, nothing is flushed.
    child.kill().unwrap();
    child.wait().unwrap();
    while next_kept(&mut lines, &mut kept) {}
    kept
}

/// Reads a line and counts it if it acknowledges; false at the end.
fn next_kept(lines: &mut impl std::io::BufRead, kept: &mut u32) -> bool {
    let mut line = String::new();
    if lines.read_line(&mut line).unwrap() == 0 {
        return false;
    }
    // The name of the test may stand before the first acknowledgement; a line without its end was cut off.
    if line.ends_with('\n')
        && let Some((_, index)) = line.trim_end().rsplit_once("kept ")
    {
        assert_eq!(index.parse::<u32>().unwrap(), *kept);
        *kept += 1;
    }
    true
}

/// Holds a journal against what its writers had acknowledged, run by run. Gives how many entries were there without an
/// acknowledgement: at most one a run, which died between the two.
fn judge(file: &Path, runs: &[(u32, u32)]) -> u32 {
    let Some(journal) = Journal::open_if_there(file).unwrap() else {
        assert!(runs.iter().all(|(_, kept)| *kept == 0), "the file is gone");
        return 0;
    };
    journal.examine().unwrap();
    // The twin was mended when the journal was opened: it alone has every entry too. Without entries there is none.
    let twin = std::fs::read_to_string(farhop_store::twin_of(file)).unwrap_or_default();
    let in_twin = |key: &str| twin.contains(&format!("\"key\":\"{key}\""));
    assert!(
        journal.all().unwrap().iter().all(|e| in_twin(e.key.as_str())),
        "the twin lacks entries"
    );
    let mut entries = journal.all().unwrap().into_iter();
    let mut unacknowledged = 0;
    for (run, kept) in runs {
        let prefix = format!("r{run}-");
        let mine: Vec<_> = entries
            .by_ref()
            .as_slice()
            .iter()
            .take_while(|e| e.key.as_str().starts_with(&prefix))
            .cloned()
            .collect();
        entries.by_ref().take(mine.len()).for_each(drop);
        let found = mine.len() as u32;
        assert!(
            found == *kept || found == kept + 1,
            "run {run}: {kept} acknowledged, {found} found"
        );
        unacknowledged += found - kept;
        for (index, entry) in (0..).zip(&mine) {
            let Body::Account(account) = &entry.body else {
                panic!("{entry:?}")
            };
            let Event::Note(note) = &account.event else {
                panic!("{entry:?}")
            };
            assert_eq!(entry.key.as_str(), format!("r{run}-{index}"));
            assert_eq!(note.words, text_of(&run.to_string(), index));
            assert_eq!(account.at, at(i64::from(index)));
        }
    }
    assert_eq!(entries.len(), 0, "nothing else is in the file");
    unacknowledged
}

/// What came of one lane.
#[derive(Default)]
struct Tally {
    runs: u32,
    acknowledged: u32,
    unacknowledged: u32,
    silent: u32,
}

fn runs() -> u32 {
    let asked = std::env::var("FARHOP_KILLS").ok().and_then(|n| n.parse().ok());
    asked.unwrap_or(RUNS).next_multiple_of(LANES * RUNS_PER_FILE)
}

fn lane(lane: u32, folder: &Path) -> Tally {
    let mut dice = Dice(0x9e37_79b9_7f4a_7c15 ^ (u64::from(lane) + 1));
    let mut tally = Tally::default();
    let mut on_file = Vec::new();
    let mut file = folder.join(format!("{lane}-0.journal"));
    for run in 0..runs() / LANES {
        if run % RUNS_PER_FILE == 0 {
            file = folder.join(format!("{lane}-{run}.journal"));
            on_file.clear();
        }
        // One in three dies at any moment from its start on, the others in the middle of their work, however slow the machine is.
        let (first, most_us) = if run % 3 == 0 {
            (0, 60_000)
        } else {
            (1 + run % 5, 8_000)
        };
        let kept = run_and_kill(&file, run, first, Duration::from_micros(dice.below(most_us)));
        on_file.push((run, kept));
        let before = tally.unacknowledged;
        if run % RUNS_PER_FILE == RUNS_PER_FILE - 1 {
            tally.unacknowledged = before + judge(&file, &on_file);
        } else {
            judge(&file, &on_file);
        }
        tally.runs += 1;
        tally.acknowledged += kept;
        tally.silent += u32::from(kept == 0);
    }
    tally
}

#[test]
fn kills_between_keep_and_answer_lose_nothing_and_double_nothing() {
    let scratch = Scratch::new("kill");
    let started = Instant::now();
    let lanes: Vec<_> = (0..LANES)
        .map(|index| {
            let folder = scratch.folder.clone();
            std::thread::spawn(move || lane(index, &folder))
        })
        .collect();
    let total = lanes
        .into_iter()
        .map(|l| l.join().unwrap())
        .fold(Tally::default(), |a, b| Tally {
            runs: a.runs + b.runs,
            acknowledged: a.acknowledged + b.acknowledged,
            unacknowledged: a.unacknowledged + b.unacknowledged,
            silent: a.silent + b.silent,
        });
    println!(
        "{} kills in {:.0} s: {} entries acknowledged, all there; {} kept without an acknowledgement; {} runs died before \
         their first entry",
        total.runs,
        started.elapsed().as_secs_f64(),
        total.acknowledged,
        total.unacknowledged,
        total.silent
    );
    assert_eq!(total.runs, runs());
    // The test is worth something only when most runs were in the middle of their work.
    assert!(total.acknowledged > runs(), "{} acknowledged", total.acknowledged);
    assert!(
        total.silent < runs() * 3 / 4,
        "{} died before their first entry",
        total.silent
    );
}

//! Many phones at once: each reads, enters, reads again, and pauses; somebody beside them sends half a request and falls silent.

use std::collections::BTreeSet;
use std::fmt;
use std::io::Write as _;
use std::net::TcpStream;
use std::path::Path;
use std::sync::Mutex;
use std::time::{Duration, Instant};

use crate::speed::served::{Phone, Served};
use crate::speed::trip::{Size, Trip};

/// Bars: the answer that 99 of 100 are quicker than, s; memory, MB.
const BAR_S: f64 = 1.0;
const BAR_MB: f64 = 200.0;
/// Phones that one loopback network has addresses for, besides the first.
const MOST: usize = 120;

/// Who comes.
pub struct Crowd {
    /// How many phones.
    pub phones: usize,
    /// For how long.
    pub time: Duration,
    /// How long each pauses between its rounds.
    pub pause: Duration,
    /// The server has one core alone.
    pub one_core: bool,
    /// Entries that are in the journal before they come.
    pub before: usize,
}

/// What came of it.
pub struct Told {
    /// How long answers took, s, sorted: the field page, and entries.
    pub times_s: [Vec<f64>; 2],
    /// Answers that were no success, or did not come.
    pub failed: Vec<String>,
    /// Entries that were said to be kept, and those that are in the journal.
    pub entries: (usize, usize),
    /// Entries that were said to be kept and are not in the journal.
    pub lost: usize,
    /// Most memory, MB.
    pub most_mb: Option<f64>,
    /// Processor time, s.
    pub cpu_s: Option<f64>,
    /// For how long, s.
    pub seconds: f64,
}

impl Told {
    /// Whether all bars hold.
    #[must_use]
    pub fn holds(&self) -> bool {
        let quick = self.times_s.iter().all(|t| at(t, 0.99) < BAR_S);
        quick && self.failed.is_empty() && self.lost == 0 && self.most_mb.is_none_or(|mb| mb < BAR_MB)
    }
}

/// The figure that a share of all is below.
fn at(sorted: &[f64], share: f64) -> f64 {
    let index = (share * sorted.len() as f64) as usize;
    sorted
        .get(index.min(sorted.len().saturating_sub(1)))
        .copied()
        .unwrap_or(0.0)
}

impl fmt::Display for Told {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (what, times) in ["field page", "entries"].iter().zip(&self.times_s) {
            let ms = |share| at(times, share) * 1e3;
            writeln!(
                f,
                "{what}: {} answers, half below {:.0} ms, 99 of 100 below {:.0} ms, longest {:.0} ms",
                times.len(),
                ms(0.5),
                ms(0.99),
                ms(1.0)
            )?;
        }
        let number = |v: Option<f64>| v.map_or_else(|| "not known".to_owned(), |v| format!("{v:.0}"));
        writeln!(
            f,
            "memory at most {} MB, processor {} s of {:.0} s",
            number(self.most_mb),
            number(self.cpu_s),
            self.seconds
        )?;
        writeln!(
            f,
            "entries kept {}, in the journal {}, lost {}",
            self.entries.0, self.entries.1, self.lost
        )?;
        writeln!(
            f,
            "no success: {}{}",
            self.failed.len(),
            self.failed
                .first()
                .map_or_else(String::new, |w| format!(", first: {w}"))
        )?;
        write!(
            f,
            "{}",
            if self.holds() {
                "all bars hold"
            } else {
                "A BAR IS MISSED"
            }
        )
    }
}

#[derive(Default)]
struct Seen {
    times_s: [Vec<f64>; 2],
    failed: Vec<String>,
    kept: BTreeSet<String>,
}

/// Lets them come.
///
/// # Errors
/// In words: the server does not start, or lets a phone not in.
pub fn crowd(program: &Path, asked: &Crowd) -> Result<Told, String> {
    let trip = Trip::with_outing(program, "phones", Size::DAY)?;
    let folder = trip.work();
    if asked.before > 0 {
        std::fs::write(folder.join("before.jsonl"), earlier(asked.before)).map_err(|e| e.to_string())?;
        let output = trip.command(&["log", "--import", "before.jsonl"]).output();
        output.map_err(|e| e.to_string())?;
    }
    let told = with_server(program, &folder, asked).map_err(|e| e.to_string())?;
    let output = trip.command(&["log", "--export", "all.jsonl", "--replace"]).output();
    output.map_err(|e| e.to_string())?;
    let text =
        std::fs::read_to_string(folder.join("all.jsonl")).map_err(|e| format!("the journal was not exported: {e}"))?;
    let (mut told, kept) = told;
    told.entries = (kept.len(), text.lines().count().saturating_sub(asked.before));
    told.lost = kept.iter().filter(|key| !text.contains(&format!("\"{key}\""))).count();
    Ok(told)
}

fn with_server(program: &Path, folder: &Path, asked: &Crowd) -> std::io::Result<(Told, BTreeSet<String>)> {
    let served = Served::of(program, folder, "outing.toml", true, asked.one_core)?;
    let mut first = Phone::at(1, served.port);
    first.enter(served.phrase.as_deref().unwrap_or_default())?;
    served.ready(&mut first)?;
    let mut phones = Vec::new();
    for number in 0..asked.phones.min(MOST) {
        let page = first.get("/invite?role=log")?.text();
        let phrase = page
            .split("<b class=\"phrase\">")
            .nth(1)
            .and_then(|p| p.split('<').next())
            .unwrap_or_default();
        let mut phone = Phone::at(number as u8 + 2, served.port);
        phone.enter(phrase)?;
        phone.packed = true;
        phones.push(phone);
    }
    let seen = Mutex::new(Seen::default());
    let before = served.cpu_s();
    let start = Instant::now();
    // Somebody whose requests never end: nobody else may notice.
    let slow: Vec<TcpStream> = (0..40).filter_map(|_| half_a_request(served.port)).collect();
    std::thread::scope(|threads| {
        for (number, mut phone) in phones.into_iter().enumerate() {
            let seen = &seen;
            threads.spawn(move || {
                // They come one after another, not all in the same instant.
                std::thread::sleep(asked.pause.mul_f64(number as f64 / asked.phones as f64));
                let mut turn = 0;
                while start.elapsed() < asked.time {
                    round(&mut phone, number, turn, seen);
                    turn += 1;
                    std::thread::sleep(asked.pause);
                }
            });
        }
    });
    drop(slow);
    let mut seen = seen.into_inner().unwrap_or_default();
    seen.times_s.iter_mut().for_each(|t| t.sort_by(f64::total_cmp));
    let told = Told {
        times_s: seen.times_s,
        failed: seen.failed,
        entries: (0, 0),
        lost: 0,
        most_mb: served.most_mb(),
        cpu_s: served.cpu_s().zip(before).map(|(after, before)| after - before),
        seconds: start.elapsed().as_secs_f64(),
    };
    Ok((told, seen.kept))
}

/// What the same phones would have entered in the hours before, as lines of a journal.
fn earlier(count: usize) -> String {
    let line = |n: usize| {
        let (hour, minute, second) = (n / 3_600 % 24, n / 60 % 60, n % 60);
        let at = format!("2026-11-30T{hour:02}:{minute:02}:{second:02}Z");
        let volt = n % 10;
        format!(
            r#"{{"key": "before-{n}", "entered_at": "{at}", "words": "volt 12.{volt}", "account": {{"at": "{at}", "event": {{"voltage": {{"voltage_v": 12.{volt}}}}}}}}}"#
        ) + "\n"
    };
    (0..count).map(line).collect()
}

fn half_a_request(port: u16) -> Option<TcpStream> {
    let mut stream = TcpStream::connect(("127.0.0.1", port)).ok()?;
    stream.write_all(b"GET /field HTTP/1.1\r\nHost: 127.0").ok()?;
    Some(stream)
}

fn round(phone: &mut Phone, number: usize, turn: usize, seen: &Mutex<Seen>) {
    let key = format!("phone-{number}-{turn}");
    let entry = format!(r#"{{"key": "{key}", "words": "volt 12.{}"}}"#, (number + turn) % 10);
    let answers = [
        (0, phone.get("/field")),
        (1, phone.post("/field/entry", "application/json", &entry)),
        (0, phone.get("/field")),
    ];
    let mut seen = seen.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    for (kind, answer) in answers {
        match answer {
            Ok(answer) if answer.status == 200 => {
                seen.times_s[kind].push(answer.took_s);
                if kind == 1 {
                    seen.kept.insert(key.clone());
                }
            }
            Ok(answer) => seen.failed.push(format!("{} {}", answer.status, answer.text())),
            Err(error) => seen.failed.push(error.to_string()),
        }
    }
}

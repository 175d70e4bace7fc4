//! What grows with the journal: `cargo run --release -p farhop-benches --bin growth -- [--kind volts|mixed]`.
//!
//! For journals of 10, 100, 1 000 and 5 000 entries of an invented day it says how long it takes to read the journal whole, to look at one
//! that is followed, to keep the next entry, to find what counts, to go through the day, to work out the energy and the next step.

use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::Arc;
use std::time::{Duration, Instant};

use farhop_benches::speed::trip::{Size, outing_text};
use farhop_earth::UtcTime;
use farhop_next::today::{Budget, Known, NextAsk, Today, next_step, next_step_knowing};
use farhop_outing::Outing;
use farhop_store::kept::solutions::Solutions;
use farhop_store::open::read_outing_text;
use farhop_store::{
    Account, Body, EntryKey, Event, Followed, Journal, Log, NewEntry, Note, Outcome, Voltage, standing,
};

/// How many entries.
const COUNTS: [usize; 4] = [10, 100, 1_000, 5_000];
/// Each is measured so often; the middle counts.
const TIMES: usize = 5;

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let mixed = words.iter().any(|w| w == "mixed");
    match table(mixed) {
        Ok(text) => {
            print!("{text}");
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("growth: {why}");
            ExitCode::from(2)
        }
    }
}

fn table(mixed: bool) -> Result<String, String> {
    let text = outing_text(Size::DAY);
    let outing = read_outing_text(&text, &PathBuf::from("growth.toml")).outing;
    let outing = outing.ok_or("the outing is not sound")?;
    let store = Solutions::of_user();
    let mut lines = vec![format!(
        "{:>8} {:>10} {:>10} {:>10} {:>10} {:>10} {:>10} {:>10} {:>10}   ms",
        "entries", "read", "look", "append", "counts", "fold", "energy", "next", "again"
    )];
    for count in COUNTS {
        lines.push(row(&outing, &store, count, mixed)?);
    }
    Ok(lines.join("\n") + "\n")
}

fn row(outing: &Outing, store: &Solutions, count: usize, mixed: bool) -> Result<String, String> {
    let folder = std::env::temp_dir().join(format!("farhop-growth-{count}-{}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).map_err(|e| e.to_string())?;
    let file = folder.join("day.journal");
    let result = measured(outing, store, &file, (count, mixed));
    let _ = std::fs::remove_dir_all(&folder);
    result
}

fn measured(
    outing: &Outing,
    store: &Solutions,
    file: &std::path::Path,
    (count, mixed): (usize, bool),
) -> Result<String, String> {
    let start = outing.header.start;
    let told = |e: farhop_store::JournalError| e.to_string();
    let mut journal = Journal::open(file).map_err(told)?;
    let lines: Vec<String> = (0..count)
        .filter_map(|n| line(n, entry(n, count, start, mixed)))
        .collect();
    journal.import(&lines.concat()).map_err(told)?;
    let entries = journal.all().map_err(told)?;
    drop(journal);
    let followed = Followed::new(file);
    followed.look().map_err(told)?;
    let log = Arc::new(Log::of(entries));
    let now = start.add_s(6 * 3_600);
    let mut fresh = 0;
    let read = middle(|| drop(Journal::open_if_there(file)));
    let look = middle(|| drop(followed.look()));
    let append = middle(|| {
        fresh += 1;
        let new = NewEntry {
            key: EntryKey::new(&format!("fresh-{fresh}")).ok(),
            entered_at: start,
            words: None,
            body: Body::Account(entry(fresh, count, start, false)),
        };
        let _ = followed.append(outing, new, Duration::from_secs(2));
    });
    let counts = middle(|| drop(standing(&log)));
    let fold = middle(|| drop(Today::at(outing, log.standing(), now)));
    let today = Today::at(outing, log.standing(), now);
    let energy = middle(|| drop(Budget::of(&today)));
    let next = middle(|| drop(next_step(today.clone(), store, NextAsk::default())));
    // As a server asks: the clock stands, and one more voltage is there.
    let mut known = Known::default();
    let mut tenths = 0;
    let again = middle(|| {
        tenths += 1;
        let mut today = today.clone();
        if let Some(volts) = &mut today.day.readings.voltage {
            volts.value.voltage_v = 12.5 + f64::from(tenths) / 100.0;
        }
        drop(next_step_knowing(today, store, NextAsk::default(), &mut known));
    });
    let all = [read, look, append, counts, fold, energy, next, again];
    let cells: Vec<String> = all.iter().map(|s| format!("{:>10.2}", 1e3 * s)).collect();
    Ok(format!("{count:>8} {}", cells.join(" ")))
}

/// The middle of some measures, s.
fn middle(mut work: impl FnMut()) -> f64 {
    let mut times: Vec<f64> = (0..TIMES)
        .map(|_| {
            let begun = Instant::now();
            work();
            begun.elapsed().as_secs_f64()
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[TIMES / 2]
}

/// Entries through six hours: voltages alone, as phones of a test make them, or a day with calls in it.
fn entry(n: usize, count: usize, start: UtcTime, mixed: bool) -> Account {
    let at = start.add_s((n * 6 * 3_600 / count.max(1)) as i64);
    let outcome = [Outcome::NoAnswer, Outcome::HeardButFailed, Outcome::Linked][n / 4 % 3].clone();
    let event = match n % 4 {
        0 if mixed => Event::Called(farhop_store::Call {
            station: format!("st-{}", n / 4 % 6),
            freq_mhz: [3.59, 7.05, 10.14][n / 24 % 3],
            antenna: None,
            power_w: Some(5.0),
            minutes: None,
            snr_db: None,
            outcome,
        }),
        1 if mixed => Event::Note(Note {
            words: format!("note {n}"),
        }),
        _ => Event::Voltage(Voltage {
            voltage_v: 12.0 + (n % 10) as f64 / 10.0,
        }),
    };
    Account {
        at,
        place: None,
        who: None,
        event,
    }
}

/// The same as a line of a journal.
fn line(n: usize, account: Account) -> Option<String> {
    let entry = farhop_store::Entry {
        number: n as u64 + 1,
        key: EntryKey::new(&format!("before-{n}")).ok()?,
        entered_at: account.at,
        words: None,
        body: Body::Account(account),
    };
    Some(farhop_store::to_line(&entry).ok()? + "\n")
}

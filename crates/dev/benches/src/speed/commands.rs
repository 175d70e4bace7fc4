//! Every command of the program, with nothing kept from before and with everything kept; and how the plan grows.

use std::path::Path;

use crate::speed::process::Cost;
use crate::speed::trip::{Size, Trip, outing_text};

/// What is typed for each command; those that are missing here are named on the page. `serve` is measured by its pages.
const TYPED: [&[&str]; 25] = [
    &["--version"],
    &["plan", "--demo"],
    &[
        "path",
        "--from",
        "RE56",
        "--to",
        "-42.96,170.69",
        "--mhz",
        "7.1",
        "--at",
        "2026-12-12T06:30Z",
    ],
    &["sky", "--place", "46.8,8.1", "--at", "2026-12-12T06:00Z"],
    &["antenna", "inverted-v", "--mhz", "7.05"],
    &["feed", "--demo"],
    &["energy", "--demo"],
    &["days", "--demo", "--days", "200"],
    &["kit", "--demo"],
    &["exposure", "--demo"],
    &["cache"],
    &["fault", "--demo", "--symptom", "high SWR"],
    &["next", "--demo"],
    &["now", "--demo"],
    &["log", "--demo", "volt", "12.4"],
    &["debrief", "--demo"],
    &["export", "--demo", "--geojson", "-"],
    &["import", "walk.gpx"],
    &["conditions", "--file", "own.json"],
    &["bundle", "--demo", "-o", "trip.farhop", "--replace"],
    &["pocket", "-o", "phone-files", "--replace"],
    &["card", "--demo", "-o", "card.pdf", "--replace"],
    &["check", "growth.toml"],
    &["channel", "--mode", "narrow-500"],
    &["pages", "manual", "--replace"],
];

/// What a command cost.
pub struct Typed {
    /// What was typed.
    pub words: String,
    /// With nothing kept from before.
    pub cold: Result<Cost, String>,
    /// With everything kept, the middle of some runs.
    pub warm: Result<Cost, String>,
}

/// Runs every command.
///
/// # Errors
/// In words: no folder can be made.
pub fn every_command(program: &Path) -> Result<Vec<Typed>, String> {
    let trip = Trip::new(program, "commands").map_err(|e| e.to_string())?;
    let put = |name: &str, text: &str| std::fs::write(trip.work().join(name), text).map_err(|e| e.to_string());
    put("growth.toml", &outing_text(Size::BASE))?;
    put("own.json", r#"{"at":"2026-11-01T00:00:00Z","flux_sfu":133,"k":1.5}"#)?;
    put(
        "walk.gpx",
        "<gpx version=\"1.1\" creator=\"x\" xmlns=\"http://www.topografix.com/GPX/1/1\"><wpt lat=\"-43.5\" lon=\"171.2\"><name>Hut</name></wpt></gpx>",
    )?;
    Ok(TYPED
        .iter()
        .map(|words| {
            // A second run may find the file of the first.
            let cold = trip.cold(words);
            Typed {
                words: format!("farhop {}", words.join(" ")),
                cold,
                warm: trip.warm(words, 3),
            }
        })
        .collect())
}

/// Commands that the program has and that were not run here.
#[must_use]
pub fn not_run(program: &Path) -> Vec<String> {
    let help = std::process::Command::new(program).arg("--help").output();
    let help = help
        .map(|h| String::from_utf8_lossy(&h.stdout).into_owned())
        .unwrap_or_default();
    let listed = help
        .lines()
        .skip_while(|l| !l.starts_with("Commands:"))
        .skip(1)
        .take_while(|l| l.starts_with("  "))
        // Behind a name its description may go on below, farther in.
        .filter(|l| !l.starts_with("   "));
    let names = listed.filter_map(|l| l.split_whitespace().next());
    let run = |name: &&str| TYPED.iter().any(|words| words[0] == *name);
    names
        .filter(|name| !run(name) && *name != "help")
        .map(str::to_owned)
        .collect()
}

/// One point of a curve.
pub struct Grown {
    /// Along which measure.
    pub along: &'static str,
    /// How many.
    pub count: usize,
    /// What the plan cost, its antennas kept from before.
    pub plan: Result<Cost, String>,
}

/// How the plan grows in stations, days, sites and messages, one at a time.
///
/// # Errors
/// In words: no folder can be made.
pub fn growth(program: &Path) -> Result<Vec<Grown>, String> {
    let trip = Trip::new(program, "growth").map_err(|e| e.to_string())?;
    let base = Size::BASE;
    let mut sizes = Vec::new();
    for count in [2, 4, 8, 16, 32] {
        sizes.push((
            "stations",
            count,
            Size {
                stations: count,
                ..base
            },
        ));
    }
    for count in [1, 2, 4, 8, 16, 31] {
        sizes.push(("days", count, Size { days: count, ..base }));
    }
    for count in [1, 2, 4, 8] {
        sizes.push(("sites", count, Size { sites: count, ..base }));
    }
    for count in [1, 4, 16, 32] {
        sizes.push((
            "messages",
            count,
            Size {
                messages: count,
                ..base
            },
        ));
    }
    Ok(sizes
        .into_iter()
        .map(|(along, count, size)| {
            let written = trip.outing(size);
            // Once so that antennas are solved, then the runs that count.
            let plan = written
                .and_then(|()| trip.warm(&["plan", "outing.toml"], 1))
                .and_then(|first| {
                    let runs = if first.wall_s > 3.0 { 1 } else { 3 };
                    trip.warm(&["plan", "outing.toml"], runs)
                });
            Grown { along, count, plan }
        })
        .collect())
}

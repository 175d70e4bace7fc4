//! The page `docs/speed.md`, from what was measured.

use std::fmt::Write as _;

use crate::speed::commands::{Grown, Typed};
use crate::speed::day::{BUSY_W, DayCost};
use crate::speed::kernels::{Beside, most_unknowns};
use crate::speed::process::Cost;

/// Everything that was measured.
pub struct Measured {
    /// Date, machine, versions: one line each.
    pub about: Vec<String>,
    /// Antennas.
    pub antennas: Vec<Beside>,
    /// Layers, sun, lines.
    pub others: Vec<Beside>,
    /// Every command.
    pub commands: Vec<Typed>,
    /// Commands that were not run.
    pub not_run: Vec<String>,
    /// A day.
    pub day: Result<DayCost, String>,
    /// Curves.
    pub growth: Vec<Grown>,
}

/// Three figures that mean something, with the unit that fits.
fn time(s: f64) -> String {
    match s {
        s if s < 1e-3 => format!("{:.0} µs", s * 1e6),
        s if s < 0.1 => format!("{:.1} ms", s * 1e3),
        s if s < 1.0 => format!("{:.0} ms", s * 1e3),
        s => format!("{s:.1} s"),
    }
}

fn told(time_s: &Result<f64, String>) -> String {
    time_s.as_ref().map_or_else(|why| why.clone(), |s| time(*s))
}

fn ratio(ratio: Option<f64>) -> String {
    match ratio {
        None => "–".to_owned(),
        Some(r) if r >= 10.0 => format!("{r:.0}"),
        Some(r) if r >= 1.0 => format!("{r:.1}"),
        Some(r) => format!("{r:.2}"),
    }
}

fn table(out: &mut String, head: &[&str], rows: impl Iterator<Item = Vec<String>>) {
    let _ = writeln!(out, "| {} |", head.join(" | "));
    let line: Vec<&str> = head
        .iter()
        .enumerate()
        .map(|(n, _)| if n == 0 { "---" } else { "---:" })
        .collect();
    let _ = writeln!(out, "|{}|", line.join("|"));
    for row in rows {
        let _ = writeln!(out, "| {} |", row.join(" | "));
    }
    out.push('\n');
}

fn beside(out: &mut String, rows: &[Beside]) {
    table(
        out,
        &["what", "here", "other", "its time", "times faster here"],
        rows.iter().map(|b| {
            vec![
                b.what.clone(),
                told(&b.ours_s),
                b.theirs.0.to_owned(),
                told(&b.theirs.1),
                ratio(b.ratio),
            ]
        }),
    );
}

fn cost(cost: &Result<Cost, String>) -> [String; 3] {
    let number = |v: Option<f64>, digits: usize| v.map_or_else(|| "–".to_owned(), |v| format!("{v:.digits$}"));
    match cost {
        Ok(c) => [
            time(c.wall_s),
            number(c.cpu_s, 2),
            number(c.most_mb.filter(|mb| *mb >= 1.0), 0),
        ],
        Err(why) => [why.clone(), String::new(), String::new()],
    }
}

/// The page.
#[must_use]
pub fn page(measured: &Measured) -> String {
    let mut out = String::from(
        "# How fast\n\nOne run on one machine, made by `cargo run --release -p farhop-benches --bin speed -- --write`; nothing here is edited by \
         hand. Times are on the clock unless it says processor. Where two are compared they took turns, and the ratio is the middle of the \
         ratios of the turns, so that a busy machine matters little to it. One thread each.\n\n",
    );
    for line in &measured.about {
        let _ = writeln!(out, "* {line}");
    }
    out.push_str("\n## Antennas\n\nFrom wires to impedance and currents, one frequency, nothing kept from before. LAPACK solves one full system of that \
         many unknowns (`zgesv`) and does nothing else: with its matrix to be filled first no full solution can be faster than that. ");
    let _ = writeln!(
        out,
        "More than {} unknowns are not solved: the program says so, and gives an antenna that is cut more coarsely.\n",
        most_unknowns()
    );
    beside(&mut out, &measured.antennas);
    out.push_str("## Layers, sun, lines\n\nPyIRI works out more than we do at each point (F1, thicknesses) and no deciles; scikit-rf keeps whole networks. The ratios are rough ones.\n\n");
    beside(&mut out, &measured.others);
    out.push_str(
        "## Every command\n\nCold: nothing kept from before. Warm: everything kept, the middle of three runs. MB is looked at while the program runs: – where it was gone before.\n\n",
    );
    table(
        &mut out,
        &["command", "cold", "processor, s", "MB", "warm", "processor, s", "MB"],
        measured.commands.iter().map(|t| {
            let mut row = vec![format!("`{}`", t.words)];
            row.extend(cost(&t.cold));
            row.extend(cost(&t.warm));
            row
        }),
    );
    if !measured.not_run.is_empty() {
        let _ = writeln!(out, "Not run: {}.\n", measured.not_run.join(", "));
    }
    day(&mut out, measured);
    out.push_str("## How the plan grows\n\nFrom 4 stations with 3 channels each, 2 days, 1 site, 4 messages; one measure at a time, antennas kept.\n\n");
    table(
        &mut out,
        &["along", "count", "plan", "processor, s", "MB"],
        measured.growth.iter().map(|g| {
            let mut row = vec![g.along.to_owned(), g.count.to_string()];
            row.extend(cost(&g.plan));
            row
        }),
    );
    out.trim_end().to_owned() + "\n"
}

fn day(out: &mut String, measured: &Measured) {
    out.push_str("## Pages, and a day on the hill\n\n");
    let day = match &measured.day {
        Ok(day) => day,
        Err(why) => {
            let _ = writeln!(out, "Not measured: {why}.\n");
            return;
        }
    };
    table(
        out,
        &["page", "until the last byte", "kB", "kB compressed"],
        day.pages.iter().map(|p| {
            let kb = |bytes: usize| format!("{:.1}", bytes as f64 / 1_000.0);
            vec![p.path.to_owned(), time(p.s), kb(p.bytes.0), kb(p.bytes.1)]
        }),
    );
    let number =
        |v: Option<f64>, digits: usize| v.map_or_else(|| "not measured".to_owned(), |v| format!("{v:.digits$}"));
    let _ = writeln!(
        out,
        "A day: the plan from nothing, then {} looks at the field page and {} entries. Processor seconds: {} for the plan, {} for the rest. \
         Most memory: {} MB. With {BUSY_W:.0} W more while one core is busy that is {} Wh of a laptop's battery; what it draws for being on \
         is not counted.\n",
        day.counts.0,
        day.counts.1,
        number(day.plan_cpu_s, 1),
        number(day.day_cpu_s, 1),
        number(day.most_mb, 0),
        number(day.wh(), 3),
    );
}

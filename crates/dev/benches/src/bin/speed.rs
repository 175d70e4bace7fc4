//! How fast everything is: prints the page, or writes it to `docs/speed.md` with `--write`.
//!
//! `cargo run --release -p farhop-benches --bin speed -- [--write] [--program PATH]`; under ten minutes. Builds the program first where it is
//! not beside this one. The libraries of others are asked when a Python with them is there (`FARHOP_PYTHON`, `validation/.venv`).

use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};

use farhop_benches::speed::partner::Partner;
use farhop_benches::speed::{commands, day, kernels, page};

fn main() -> ExitCode {
    match run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("speed: {why}");
            ExitCode::from(2)
        }
    }
}

fn run() -> Result<(), String> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let after = |name: &str| words.iter().position(|w| w == name).and_then(|at| words.get(at + 1));
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../..");
    std::env::set_current_dir(&root).map_err(|e| e.to_string())?;
    let program = match after("--program") {
        Some(path) => std::path::absolute(path).map_err(|e| e.to_string())?,
        None => built()?,
    };
    let mut partner = Partner::start();
    let mut about = about();
    about.push(partner.as_mut().map_or_else(
        || "No Python: nothing of others was measured.".to_owned(),
        Partner::versions,
    ));
    let note = |what: &str| eprintln!("measuring {what} …");
    note("antennas");
    let antennas = kernels::antennas(&mut partner);
    note("layers, sun, lines");
    let others = kernels::others(&mut partner);
    drop(partner);
    note("every command");
    let commands = commands::every_command(&program)?;
    note("a day");
    let day = day::field_day(&program);
    note("growth");
    let growth = commands::growth(&program)?;
    let text = page::page(&page::Measured {
        about,
        antennas,
        others,
        commands,
        not_run: commands::not_run(&program),
        day,
        growth,
    });
    if words.iter().any(|w| w == "--write") {
        std::fs::write("docs/speed.md", text).map_err(|e| format!("docs/speed.md: {e}"))
    } else {
        print!("{text}");
        Ok(())
    }
}

/// The program beside this one; it is built where it is not there.
fn built() -> Result<PathBuf, String> {
    let own = std::env::current_exe().map_err(|e| e.to_string())?;
    let program = own.with_file_name(format!("farhop{}", std::env::consts::EXE_SUFFIX));
    let profile = if cfg!(debug_assertions) { "dev" } else { "release" };
    let done = Command::new(env!("CARGO"))
        .args(["build", "--workspace", "--bins", "--locked", "--profile", profile])
        .status();
    match done {
        Ok(status) if status.success() && program.exists() => Ok(program),
        _ => Err("the program could not be built; give its place with --program".to_owned()),
    }
}

/// The machine and the day.
fn about() -> Vec<String> {
    let read = |path: &str| std::fs::read_to_string(path).unwrap_or_default();
    let cpu = read("/proc/cpuinfo");
    let model = cpu
        .lines()
        .find_map(|l| l.strip_prefix("model name")?.split_once(':'))
        .map_or("", |m| m.1.trim());
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let load = read("/proc/loadavg");
    let day = Command::new("date").arg("+%Y-%m-%d").output();
    let day = day
        .map(|d| String::from_utf8_lossy(&d.stdout).trim().to_owned())
        .unwrap_or_default();
    vec![
        format!("{day}, {cores} cores, {model}"),
        format!(
            "Load when it began: {} (a quiet machine has less than 0.5)",
            load.split(' ').next().unwrap_or("not known")
        ),
    ]
}

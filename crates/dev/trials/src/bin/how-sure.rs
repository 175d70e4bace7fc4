//! What each assumption moves in the bottom line of the examples: prints the tables; `--write` renews them in `docs/methods/how-sure.md`.

use std::path::Path;
use std::process::ExitCode;

use farhop_trials::how_sure::{Memory, moved, renewed, table};

/// The examples, by the names of their files.
const EXAMPLES: [&str; 3] = ["demo", "north", "equator"];

fn main() -> ExitCode {
    match run(std::env::args().nth(1).as_deref() == Some("--write")) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{error}");
            ExitCode::FAILURE
        }
    }
}

fn run(write: bool) -> Result<(), String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../..");
    let store = Memory::default();
    let mut tables = String::new();
    for name in EXAMPLES {
        let path = root.join("examples").join(format!("{name}.toml"));
        let text = read(&path)?;
        let reading = farhop_outing_file::read(&text, name, &|file| Err(format!("{file} is not looked for")));
        let outing = reading
            .outing
            .ok_or_else(|| format!("{}: {:?}", path.display(), reading.problems))?;
        let (usual, all) = moved(&outing, &store).map_err(|e| format!("{}: {e}", path.display()))?;
        tables += &table(name, usual, &all);
        tables.push('\n');
    }
    print!("{tables}");
    if write {
        let path = root.join("docs/methods/how-sure.md");
        let page = renewed(&read(&path)?, tables.trim_end_matches('\n'))?;
        std::fs::write(&path, page).map_err(|e| format!("{}: {e}", path.display()))?;
    }
    Ok(())
}

fn read(path: &Path) -> Result<String, String> {
    std::fs::read_to_string(path).map_err(|e| format!("{}: {e}", path.display()))
}

//! Prints the table of agreement and keeps the pages that quote it current.
//!
//! `cargo run -p farhop-agreement` prints; `-- --write` also rewrites the quoted tables; `-- --check` fails when a page
//! is not current or a bar is missed.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use farhop_agreement::{AgreementError, Row, all_rows, pages};

fn main() -> ExitCode {
    let mode = std::env::args().nth(1).unwrap_or_default();
    match run(&mode) {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(error) => {
            eprintln!("{error}");
            ExitCode::from(2)
        }
    }
}

fn run(mode: &str) -> Result<bool, AgreementError> {
    let root = repository_root();
    let rows = all_rows(&root)?;
    print!("{}", pages::table(&rows, true));
    let stale = match mode {
        "--write" => {
            pages::write(&root, &rows)?;
            Vec::new()
        }
        "--check" => pages::stale(&root, &rows)?,
        _ => Vec::new(),
    };
    for page in &stale {
        eprintln!(
            "{} quotes an old table: run `cargo run -p farhop-agreement -- --write`",
            page.display()
        );
    }
    let missed: Vec<&Row> = rows.iter().filter(|row| row.met == Some(false)).collect();
    for row in &missed {
        eprintln!(
            "bar missed: {}: {} against {}: {}",
            row.area, row.what, row.against, row.bar
        );
    }
    Ok(stale.is_empty() && missed.is_empty())
}

fn repository_root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../..")
}

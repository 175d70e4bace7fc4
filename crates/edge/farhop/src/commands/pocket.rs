//! `farhop pocket`: all of it for a phone, as files that any host can give out.

use std::path::{Path, PathBuf};

use farhop_pocket::shell;

use crate::args::PocketArgs;
use crate::exit::Failure;
use crate::files::{self, Own};

/// The engine's file, beside the program or where the script puts it.
const ENGINE: &str = "farhop-engine.wasm";

/// Runs the command.
pub fn run(args: &PocketArgs) -> Result<(), Failure> {
    let engine = engine(args.engine.as_deref())?;
    let own = Own::of(None);
    if let Some(file) = &args.single {
        files::output(file, shell::single(&engine).as_bytes(), args.replace, &own, "Written")?;
        anstream::eprintln!(
            "Open it on the phone and read and log in it; it keeps nothing when it is closed, so save the log first."
        );
    }
    match &args.output {
        Some(folder) => write(engine, folder, args.replace, &own),
        None => Ok(()),
    }
}

fn write(engine: Vec<u8>, folder: &Path, replace: bool, own: &Own) -> Result<(), Failure> {
    std::fs::create_dir_all(folder).map_err(|e| Failure::input(format!("{}: {e}", folder.display())))?;
    let made = shell::folder(engine);
    for file in &made {
        files::ready(&folder.join(&file.name), replace, own)?;
    }
    for file in &made {
        files::put(&folder.join(&file.name), &file.bytes, replace, own)?;
    }
    let bytes: usize = made.iter().map(|file| file.bytes.len()).sum();
    anstream::eprintln!(
        "Written: {} files, {:.1} MB, in {}",
        made.len(),
        bytes as f64 / 1e6,
        folder.display()
    );
    anstream::eprintln!(
        "Put them at the root of a host with https, or try them here: any server of static files at localhost will do."
    );
    Ok(())
}

/// The engine that is asked for, else the one that lies near.
fn engine(asked: Option<&Path>) -> Result<Vec<u8>, Failure> {
    let found = match asked {
        Some(file) => file.to_path_buf(),
        None => near().ok_or_else(|| {
            Failure::input(format!(
                "there is no engine yet: build it with crates/edge/pocket/build, which says what it needs; then --engine FILE, or put it \
                 beside this program as {ENGINE}"
            ))
        })?,
    };
    let bytes = std::fs::read(&found).map_err(|e| Failure::input(format!("{}: {e}", found.display())))?;
    if shell::is_engine(&bytes) {
        Ok(bytes)
    } else {
        Err(Failure::input(format!(
            "{}: this is no engine; crates/edge/pocket/build makes one",
            found.display()
        )))
    }
}

fn near() -> Option<PathBuf> {
    let program = std::env::current_exe().ok()?;
    let beside = program.parent()?;
    let built = beside.parent().map(|target| target.join("pocket").join(ENGINE));
    [Some(beside.join(ENGINE)), built]
        .into_iter()
        .flatten()
        .find(|file| file.is_file())
}

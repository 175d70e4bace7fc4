//! `farhop pocket`: all of it for a phone, as files that any host can give out.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use farhop_outing_file::read;
use farhop_plan::analysis::{self, Part};
use farhop_plan::carried::{Remembering, packed};
use farhop_pocket::shell::{self, Brought, Engine};
use farhop_store::kept::solutions::Solutions;
use farhop_store::open::{read_text, usable};

use crate::args::PocketArgs;
use crate::exit::Failure;
use crate::files::{self, Own};
use crate::progress::Terminal;

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
        Some(folder) => {
            let brought = args.outing.as_deref().map(brought).transpose()?;
            write((engine, brought.as_ref()), folder, args.replace, &own)
        }
        None => Ok(()),
    }
}

/// An outing with the files that it names, and what its plan asks for.
fn brought(path: &Path) -> Result<Brought, Failure> {
    let text = read_text(path).map_err(Failure::input)?;
    let folder = path.parent().unwrap_or(Path::new("")).to_path_buf();
    let files: RefCell<BTreeMap<String, String>> = RefCell::default();
    let name = path.display().to_string();
    let reading = read(&text, &name, &|file| {
        let text = read_text(&folder.join(file))?;
        files.borrow_mut().insert(file.to_owned(), text.clone());
        Ok(text)
    });
    let opened = usable(reading).map_err(Failure::input)?;
    let store = Solutions::of_user();
    let remembering = Remembering::new(&store);
    analysis::plan(&opened.outing, &Part::default(), &remembering, &Terminal::default()).map_err(Failure::input)?;
    Ok(Brought {
        text,
        files: files.into_inner(),
        made: packed(&remembering.seen()),
    })
}

fn write(
    (engine, brought): (Engine, Option<&Brought>),
    folder: &Path,
    replace: bool,
    own: &Own,
) -> Result<(), Failure> {
    std::fs::create_dir_all(folder).map_err(|e| Failure::input(format!("{}: {e}", folder.display())))?;
    let made = shell::folder(engine, brought);
    for file in &made {
        if let Some(parent) = folder.join(&file.name).parent() {
            std::fs::create_dir_all(parent).map_err(|e| Failure::input(format!("{}: {e}", parent.display())))?;
        }
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

/// Everything as one file, where the engine lies near.
pub fn single_if_there() -> Option<std::sync::Arc<str>> {
    let engine = engine_in(&near()?).ok()?;
    Some(shell::single(&engine).into())
}

/// The engine that is asked for, else the one that lies near.
fn engine(asked: Option<&Path>) -> Result<Engine, Failure> {
    let found = match asked {
        Some(file) => file.to_path_buf(),
        None => near().ok_or_else(|| {
            Failure::input(format!(
                "there is no engine yet: build it with crates/edge/pocket/build, which says what it needs; then --engine FILE, or put it \
                 beside this program as {ENGINE}"
            ))
        })?,
    };
    engine_in(&found)
}

/// The engine in a file, with the rest of it from the file beside that, where it was built in two.
fn engine_in(file: &Path) -> Result<Engine, Failure> {
    let module = |file: &Path| {
        let bytes = std::fs::read(file).map_err(|e| Failure::input(format!("{}: {e}", file.display())))?;
        if shell::is_engine(&bytes) {
            Ok(bytes)
        } else {
            Err(Failure::input(format!(
                "{}: this is no engine; crates/edge/pocket/build makes one",
                file.display()
            )))
        }
    };
    let stem = file.file_stem().unwrap_or_default().to_string_lossy();
    let beside = file.with_file_name(format!("{stem}-rest.wasm"));
    Ok(Engine {
        main: module(file)?,
        rest: beside.is_file().then(|| module(&beside)).transpose()?,
    })
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

//! `farhop new`: a commented starter outing in a new folder.

use std::fs::OpenOptions;
use std::io::Write as _;

use farhop_outing_file::STARTER_FILES;

use crate::args::NewArgs;
use crate::exit::Failure;

/// Runs the command. Nothing that exists is overwritten.
pub fn run(args: &NewArgs) -> Result<(), Failure> {
    let folder = &args.folder;
    let fail = |what: &std::path::Path, e: std::io::Error| Failure::input(format!("{}: {e}", what.display()));
    std::fs::create_dir_all(folder).map_err(|e| fail(folder, e))?;
    for file in &STARTER_FILES {
        let path = folder.join(file.name);
        if path.exists() {
            return Err(Failure::input(format!(
                "{} exists; nothing was changed. Choose another folder.",
                path.display()
            )));
        }
    }
    for file in &STARTER_FILES {
        let path = folder.join(file.name);
        let mut handle = OpenOptions::new()
            .write(true)
            .create_new(true)
            .open(&path)
            .map_err(|e| fail(&path, e))?;
        handle.write_all(file.text.as_bytes()).map_err(|e| fail(&path, e))?;
        anstream::println!("made {}", path.display());
    }
    let outing = folder.join(STARTER_FILES[0].name);
    anstream::println!(
        "Fill it in, then: farhop check {0} and farhop plan {0}",
        outing.display()
    );
    Ok(())
}

//! `farhop new`: a commented starter outing in a new folder.

use std::collections::BTreeSet;
use std::fs::OpenOptions;
use std::io::Write as _;

use farhop_exchange::sites::starter_with;
use farhop_outing_file::STARTER_FILES;

use crate::args::NewArgs;
use crate::commands::import::blocks;
use crate::exit::Failure;

/// Runs the command. Nothing that exists is overwritten.
pub fn run(args: &NewArgs) -> Result<(), Failure> {
    let folder = &args.folder;
    let outing_text = outing_text(args)?;
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
        let text = if file.name == STARTER_FILES[0].name {
            &outing_text
        } else {
            file.text
        };
        handle.write_all(text.as_bytes()).map_err(|e| fail(&path, e))?;
        crate::say::outln!("made {}", path.display());
    }
    let outing = folder.join(STARTER_FILES[0].name);
    crate::say::outln!(
        "Fill it in, then: farhop check {0} and farhop plan {0}",
        outing.display()
    );
    Ok(())
}

/// The starter outing, with the waypoints asked for in the place of its own site.
fn outing_text(args: &NewArgs) -> Result<String, Failure> {
    let starter = STARTER_FILES[0].text;
    let Some(file) = &args.sites else {
        return Ok(starter.to_owned());
    };
    let blocks = blocks(file, &BTreeSet::new())?;
    starter_with(starter, &blocks.text)
        .ok_or_else(|| Failure::ours("the starter outing has no site to put these in the place of"))
}

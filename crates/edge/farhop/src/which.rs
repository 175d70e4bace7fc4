//! Which outing a command works on: the one that is named, else `FARHOP_OUTING`, else the only one of the working folder, else the one
//! that was used last there, else the embedded demo, for looking only.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::args::{Command, OutingArg};
use crate::exit::Failure;

/// The variable of the environment that names an outing file.
const VARIABLE: &str = "FARHOP_OUTING";
/// A file is looked into no further for the table of an outing.
const LONGEST_LOOK_BYTES: u64 = 4_000_000;
/// Folders that are remembered; the rest is forgotten.
const MOST_FOLDERS: usize = 200;

/// Fills in the outing of a command that was not given one, and says which it is.
pub fn settle(command: &mut Command) -> Result<(), Failure> {
    let Some(slot) = Slot::of(command) else { return Ok(()) };
    let Slot { outing, demo, name } = slot;
    if demo {
        anstream::eprintln!("Outing: the embedded demo.");
        return Ok(());
    }
    if let Some(path) = outing {
        remember(path);
        return Ok(());
    }
    match here(name)? {
        Some((path, why)) => {
            anstream::eprintln!("Outing: {} ({why}).", path.display());
            remember(&path);
            *outing = Some(path);
        }
        None => {
            anstream::eprintln!("No outing here: using the embedded demo. `farhop new DIR` makes a file of your own.")
        }
    }
    Ok(())
}

/// The outing of the working folder, and why it is that one, for who only wants to know.
///
/// Fails where there are several and none was used before.
pub fn standing() -> Result<Option<(PathBuf, String)>, Failure> {
    here("farhop plan")
}

/// The outing of the working folder for a command that can do without: nothing is said.
pub(crate) fn quietly() -> Option<PathBuf> {
    here("").ok().flatten().map(|(path, _)| path)
}

/// Where a command keeps its outing.
struct Slot<'a> {
    outing: &'a mut Option<PathBuf>,
    demo: bool,
    /// How an outing is named to this command.
    name: &'static str,
}

impl<'a> Slot<'a> {
    fn of(command: &'a mut Command) -> Option<Self> {
        let (arg, name): (&mut OutingArg, _) = match command {
            Command::Plan(args) => (&mut args.outing, "farhop plan"),
            Command::Feed(args) => (&mut args.outing, "farhop feed"),
            Command::Energy(args) => (&mut args.outing, "farhop energy"),
            Command::Days(args) => (&mut args.outing, "farhop days"),
            Command::Kit(args) => (&mut args.outing, "farhop kit"),
            Command::Exposure(args) => (&mut args.outing, "farhop exposure"),
            Command::Fault(args) => (&mut args.outing, "farhop fault"),
            Command::Next(args) => (&mut args.day.outing, "farhop next"),
            Command::Now(args) => (&mut args.day.outing, "farhop now"),
            Command::Debrief(args) => (&mut args.day.outing, "farhop debrief"),
            Command::Export(args) => (&mut args.outing, "farhop export"),
            Command::Conditions(args) => (&mut args.outing, "farhop conditions"),
            Command::Bundle(args) if args.open.is_none() && args.output.is_some() => {
                (&mut args.outing, "farhop bundle")
            }
            Command::Serve(args) => (&mut args.outing, "farhop serve"),
            Command::Card(args) => (&mut args.outing, "farhop card"),
            Command::Check(args) => (&mut args.outing, "farhop check"),
            Command::Antenna(args) if args.what.is_none() && args.wires.is_none() => {
                args.found = args.named.take();
                return Some(Self {
                    outing: &mut args.found,
                    demo: args.demo,
                    name: "farhop antenna",
                });
            }
            Command::Log(args) => {
                return Some(Self {
                    outing: &mut args.outing,
                    demo: args.demo,
                    name: "farhop log --outing",
                });
            }
            Command::Bundle(_)
            | Command::Cache(_)
            | Command::Antenna(_)
            | Command::Path(_)
            | Command::Sky(_)
            | Command::Import(_)
            | Command::Channel(_)
            | Command::New(_)
            | Command::Pages(_)
            | Command::Pocket(_) => return None,
        };
        if let Some(named) = arg.named.take() {
            arg.outing = Some(named);
        }
        Some(Self {
            outing: &mut arg.outing,
            demo: arg.demo,
            name,
        })
    }
}

/// The outing that is meant where none is named, and why.
fn here(name: &str) -> Result<Option<(PathBuf, String)>, Failure> {
    if let Some(path) = std::env::var_os(VARIABLE).filter(|v| !v.is_empty()) {
        let path = PathBuf::from(path);
        if !path.exists() {
            return Err(Failure::input(format!(
                "{VARIABLE} names {}, which is not there; correct the variable or name the outing",
                path.display()
            )));
        }
        return Ok(Some((path, format!("from {VARIABLE}"))));
    }
    let mut files = outings_in(Path::new("."));
    match files.len() {
        0 => Ok(None),
        1 => Ok(files.pop().map(|path| (path, "the only one here".to_owned()))),
        _ => match last_used(&files) {
            Some(path) => Ok(Some((path, "the last one used here".to_owned()))),
            None => Err(Failure::input(format!(
                "{} outing files are here and none was used before: {}. Say which: {name} {}",
                files.len(),
                listed(&files),
                files.first().map_or_else(String::new, |f| f.display().to_string())
            ))),
        },
    }
}

fn listed(files: &[PathBuf]) -> String {
    let names: Vec<String> = files.iter().map(|f| f.display().to_string()).collect();
    names.join(", ")
}

/// The outing files of a folder by their names, in the order of the alphabet.
fn outings_in(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return Vec::new();
    };
    let mut files: Vec<PathBuf> = entries
        .flatten()
        .map(|e| PathBuf::from(e.file_name()))
        .filter(|name| name.extension().is_some_and(|e| e == "toml") && is_outing(&folder.join(name)))
        .collect();
    files.sort();
    files
}

/// Whether a file has the table of an outing. One with mistakes has it too: they are shown when it is read.
fn is_outing(file: &Path) -> bool {
    let small = std::fs::metadata(file).is_ok_and(|m| m.is_file() && m.len() <= LONGEST_LOOK_BYTES);
    let bytes = if small { std::fs::read(file).ok() } else { None };
    bytes.is_some_and(|bytes| {
        let text = String::from_utf8_lossy(&bytes);
        text.lines()
            .any(|line| line.trim_start().replace(' ', "").starts_with("[outing]"))
    })
}

/// Where it is kept which outing was used last in each folder.
fn memory() -> Option<PathBuf> {
    let wanted = std::env::var_os("FARHOP_NO_CACHE").is_none();
    wanted
        .then(farhop_store::kept::solutions::cache_folder)?
        .map(|folder| folder.join("last-used.json"))
}

fn remembered() -> BTreeMap<String, String> {
    let text = memory().and_then(|file| std::fs::read_to_string(file).ok());
    text.and_then(|text| serde_json::from_str(&text).ok())
        .unwrap_or_default()
}

fn last_used(files: &[PathBuf]) -> Option<PathBuf> {
    let folder = std::fs::canonicalize(".").ok()?;
    let name = remembered().remove(&folder.to_string_lossy().into_owned())?;
    files.iter().find(|f| f.as_os_str() == name.as_str()).cloned()
}

/// Keeps which outing was used last in its folder. What cannot be kept is no loss: it is asked for then.
fn remember(path: &Path) {
    let keep = || -> Option<()> {
        let real = std::fs::canonicalize(path).ok()?;
        let (folder, name) = (real.parent()?, real.file_name()?);
        let (folder, name) = (
            folder.to_string_lossy().into_owned(),
            name.to_string_lossy().into_owned(),
        );
        let mut known = remembered();
        if known.insert(folder.clone(), name.clone()).as_ref() == Some(&name) {
            return Some(());
        }
        if known.len() > MOST_FOLDERS {
            known = BTreeMap::from([(folder, name)]);
        }
        let file = memory()?;
        std::fs::create_dir_all(file.parent()?).ok()?;
        farhop_store::whole::replace(&file, serde_json::to_string_pretty(&known).ok()?.as_bytes()).ok()
    };
    let _ = keep();
}

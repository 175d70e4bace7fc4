//! `farhop import`: waypoints of a GPX file as sites of an outing.

use std::collections::BTreeSet;
use std::path::Path;

use farhop_exchange::gpx::waypoints;
use farhop_exchange::sites::{SiteBlocks, appended, site_blocks};
use farhop_outing_file::render_all;
use farhop_store::open::{read_outing_text, read_text};

use crate::args::ImportArgs;
use crate::exit::Failure;
use crate::files;

/// Runs the command.
pub fn run(args: &ImportArgs) -> Result<(), Failure> {
    let Some(outing) = &args.into else {
        let blocks = blocks(&args.file, &BTreeSet::new())?;
        crate::say::out!("{}", blocks.text);
        return Ok(());
    };
    let text = read_text(outing).map_err(Failure::input)?;
    let blocks = blocks(&args.file, &ids_in(&text))?;
    let new = appended(&text, &blocks.text);
    let reading = read_outing_text(&new, outing);
    if reading.outing.is_none() {
        return Err(Failure::input(format!(
            "with these sites the outing would not be usable, so {} was left as it is\n\n{}",
            outing.display(),
            render_all(&reading.problems)
        )));
    }
    files::replace_whole(outing, new.as_bytes())?;
    crate::say::outln!("Added to {}: {}", outing.display(), blocks.ids.join(", "));
    crate::say::outln!(
        "Look at them, set ground, noise and skyline, then: farhop check {}",
        outing.display()
    );
    Ok(())
}

/// The waypoints of a file as blocks; what is odd about them goes to standard error.
pub fn blocks(file: &Path, taken: &BTreeSet<String>) -> Result<SiteBlocks, Failure> {
    let text = read_text(file).map_err(Failure::input)?;
    let found = waypoints(&text).map_err(|e| Failure::input(format!("{}: {e}", file.display())))?;
    if found.is_empty() {
        return Err(Failure::input(format!(
            "{}: no waypoint in it (tracks and routes are passed over)",
            file.display()
        )));
    }
    let blocks = site_blocks(&found, taken);
    for caution in &blocks.cautions {
        anstream::eprintln!("Mind: {caution}");
    }
    Ok(blocks)
}

/// The ids of the sites that a text has, as far as it can be read.
fn ids_in(text: &str) -> BTreeSet<String> {
    let Ok(document) = text.trim_start_matches('\u{feff}').parse::<toml_edit::DocumentMut>() else {
        return BTreeSet::new();
    };
    let sites = document.get("site").and_then(toml_edit::Item::as_array_of_tables);
    let ids = sites.into_iter().flatten().filter_map(|site| site.get("id")?.as_str());
    ids.map(str::to_owned).collect()
}

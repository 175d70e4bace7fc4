//! `farhop cache`: what is kept between runs, and how to be rid of it.

use farhop_store::kept::solutions::{Kept, cache_folder, clear, kept_in};
use serde_json::json;

use crate::args::CacheArgs;
use crate::commands::print_json;
use crate::exit::Failure;

/// Runs the command.
pub fn run(args: &CacheArgs) -> Result<(), Failure> {
    let Some(folder) = cache_folder() else {
        return Err(Failure::input(
            "there is no cache folder: neither XDG_CACHE_HOME nor HOME is set",
        ));
    };
    let kept = if args.clear { clear(&folder) } else { kept_in(&folder) };
    if args.json {
        return print_json(&json!({
            "folder": folder,
            "files": kept.files,
            "bytes": kept.bytes,
            "cleared": args.clear,
        }));
    }
    let what = words(kept);
    if args.clear {
        crate::say::outln!("Removed: {what} from {}.", folder.display());
    } else {
        crate::say::outln!(
            "{what} in {}. All of it can be made again; `farhop cache --clear` removes it.",
            folder.display()
        );
    }
    Ok(())
}

fn words(kept: Kept) -> String {
    let megabytes = kept.bytes as f64 / 1e6;
    let files = if kept.files == 1 { "file" } else { "files" };
    format!("{} {files}, {megabytes:.1} MB", kept.files)
}

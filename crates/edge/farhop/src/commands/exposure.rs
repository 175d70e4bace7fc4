//! `farhop exposure`: who must keep how far from which antenna while sending, and which parts burn.

use farhop_outing::Outing;
use farhop_plan::estimate::Work;
use farhop_plan::safety::of_outing;
use farhop_show::safety::text::safety_document;
use farhop_show::safety::view::safety_view;
use farhop_store::kept::solutions::Solutions;

use crate::args::ExposureArgs;
use crate::commands::print_json;
use crate::exit::Failure;
use crate::outing::load_and_say;
use crate::progress::{self, Terminal};

/// Runs the command.
pub fn run(args: &ExposureArgs) -> Result<(), Failure> {
    let loaded = load_and_say(&args.outing)?;
    let outing = &loaded.outing;
    known(outing, args)?;
    let only = (args.site.as_deref(), args.antenna.as_deref());
    let store = Solutions::of_user();
    progress::tell(&Work::of_near_fields(outing, only, &store));
    let all = of_outing(outing, only, &store, &Terminal::default());
    if all.is_empty() {
        return Err(Failure::input(
            "nothing to show: no such antenna at that site has a channel that it is meant for",
        ));
    }
    let units = outing.header.units;
    if args.json {
        return print_json(&safety_view(outing, &all, units));
    }
    crate::say::out!("{}", safety_document(outing, &all, units).text());
    Ok(())
}

/// Names that the outing does not have are told with those that it has.
fn known(outing: &Outing, args: &ExposureArgs) -> Result<(), Failure> {
    let sites: Vec<&str> = outing.sites.iter().map(|s| s.id.as_str()).collect();
    let antennas: Vec<&str> = outing.kit.antennas.iter().map(|a| a.id.as_str()).collect();
    for (option, asked, all) in [("--site", &args.site, sites), ("--antenna", &args.antenna, antennas)] {
        if let Some(id) = asked.as_deref().filter(|id| !all.contains(id)) {
            let list = all.join(", ");
            return Err(Failure::input(format!(
                "{option} {id}: no such name; this outing has {list}"
            )));
        }
    }
    Ok(())
}

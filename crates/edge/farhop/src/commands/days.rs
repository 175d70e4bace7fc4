//! `farhop days`: the plan tried on drawn days, so that anybody can check the odds.

use farhop_plan::analysis::analyse;
use farhop_plan::rehearsal::{RehearsalAsk, rehearse};
use farhop_show::days::DaysReport;
use farhop_store::kept::solutions::Solutions;

use crate::args::DaysArgs;
use crate::commands::print_json;
use crate::exit::Failure;
use crate::files::{self, Own};
use crate::outing::load_and_say;
use crate::progress::Terminal;

/// Runs the command.
pub fn run(args: &DaysArgs) -> Result<(), Failure> {
    let own = Own::of(args.outing.outing.as_deref());
    if let Some(file) = &args.csv {
        files::ready(file, args.replace, &own)?;
    }
    let loaded = load_and_say(&args.outing)?;
    let outing = &loaded.outing;
    let ask = RehearsalAsk {
        days: args.days,
        seed: args.seed,
    };
    ask.checked().map_err(Failure::input)?;
    let plan = analyse(outing, &Solutions::of_user(), &Terminal::default()).map_err(Failure::input)?;
    let rehearsal = rehearse(outing, &plan, ask).map_err(Failure::input)?;
    let report = DaysReport {
        outing,
        rehearsal: &rehearsal,
    };
    if let Some(file) = &args.csv {
        let what = format!("Written: {} days", rehearsal.played.len());
        files::output(file, report.csv().as_bytes(), args.replace, &own, &what)?;
    }
    if args.json {
        print_json(&report.view())?;
    } else {
        crate::say::out!("{}", report.document().text());
    }
    Ok(())
}

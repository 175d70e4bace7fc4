//! `farhop energy`: how the charge goes on the plan's calls, and when to stop sending.

use farhop_outing_file::{DefaultUsed, Topic};
use farhop_plan::analysis::Part;
use farhop_show::energy::EnergyReport;

use crate::args::EnergyArgs;
use crate::commands::{plan, print_json};
use crate::exit::Failure;
use crate::files::{self, Own};
use crate::outing::{load_and_say, reader};

/// Runs the command.
pub fn run(args: &EnergyArgs) -> Result<(), Failure> {
    let loaded = load_and_say(&args.outing)?;
    let own = Own::of(args.outing.outing.as_deref());
    if let Some(file) = &args.svg {
        files::ready(file, args.replace, &own).map_err(|e| e.of_option("--svg"))?;
    }
    let plan = plan::plan(&loaded.outing, &Part::default())?;
    let forecast = plan.energy.as_ref().map_err(Failure::input)?;
    let kit = &loaded.outing.kit;
    // Nobody wants to know about what stays at home.
    let carried = |d: &&DefaultUsed| d.items.is_empty() || d.items.iter().any(|id| kit.carries(id));
    let worth_telling = loaded
        .defaults
        .iter()
        .filter(|d| d.topic == Topic::Energy)
        .filter(carried);
    let report = EnergyReport {
        outing: &loaded.outing,
        forecast,
        reader: reader(&loaded.outing)?,
        defaults: worth_telling.map(|d| format!("Default: {d}")).collect(),
    };
    if let Some(file) = &args.svg {
        let drawing = report.drawing();
        files::output(
            file,
            drawing.as_bytes(),
            args.replace,
            &own,
            "Drawn: charge through the outing",
        )
        .map_err(|e| e.of_option("--svg"))?;
    }
    if args.json {
        print_json(&report.view())?;
    } else {
        crate::say::out!("{}", report.document().text());
    }
    Ok(())
}

//! `farhop kit`: what the outing hangs on, which spare helps most, and the packing list.

use farhop_kit::spares::Limits;
use farhop_outing::Outing;
use farhop_plan::analysis::Part;
use farhop_plan::readiness::KitAnalysis;
use farhop_show::kit::KitReport;

use crate::args::KitArgs;
use crate::commands::{plan, print_json};
use crate::exit::Failure;
use crate::outing::load_and_say;

/// Runs the command.
pub fn run(args: &KitArgs) -> Result<(), Failure> {
    let loaded = load_and_say(&args.outing)?;
    let outing = &loaded.outing;
    let limits = limits(outing, args)?;
    let plan = plan::plan(outing, &Part::default())?;
    if let Err(why) = &plan.energy {
        anstream::eprintln!("No energy forecast: {why}");
    }
    let kit = KitAnalysis::within(plan.kit.map_err(Failure::input)?.model, limits).map_err(Failure::input)?;
    let report = KitReport {
        outing,
        model: &kit.model,
        readiness: &kit.readiness,
        limit_kg: kit.limits.mass_kg,
        units: outing.header.units,
    };
    if args.json {
        print_json(&report.view())?;
    } else {
        crate::say::out!("{}", report.document().text());
    }
    Ok(())
}

fn limits(outing: &Outing, args: &KitArgs) -> Result<Limits, Failure> {
    let limit = |option: &str, value: Option<f64>| match value {
        Some(value) if !(value.is_finite() && value >= 0.0) => {
            Err(Failure::input(format!("{option} {value}: must be 0 or more")))
        }
        value => Ok(value),
    };
    Ok(Limits {
        mass_kg: limit("--limit-kg", args.limit_kg)?.unwrap_or(outing.kit.spares_limit_kg),
        volume_l: limit("--limit-l", args.limit_l)?,
        price: limit("--limit-price", args.limit_price)?,
    })
}

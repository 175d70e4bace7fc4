//! `farhop export`: the plan in open formats.

use std::collections::BTreeSet;
use std::path::Path;

use farhop_earth::UtcTime;
use farhop_exchange::calendar::calendar;
use farhop_exchange::geo::geojson;
use farhop_exchange::gpx::gpx;
use farhop_exchange::tables::{budgets_csv, calls_csv};
use farhop_exchange::{Exported, Paths};
use farhop_plan::analysis::Part;
use jiff::tz::TimeZone;

use crate::args::ExportArgs;
use crate::commands::plan::Worked;
use crate::exit::Failure;
use crate::files::{self, Own};
use crate::outing::load_and_say;

/// A format that can be asked for.
#[derive(Clone, Copy)]
enum Format {
    Calendar,
    GeoJson,
    Gpx,
    Calls,
    Budgets,
    Json,
}

/// Runs the command.
pub fn run(args: &ExportArgs) -> Result<(), Failure> {
    let own = Own::of(args.outing.outing.as_deref());
    let wanted = wanted(args, &own)?;
    let loaded = load_and_say(&args.outing)?;
    let worked = Worked::new(loaded, &Part::default())?;
    let making = Making {
        zone: worked.zone()?,
        made_at: now()?,
        paths: if args.all { Paths::All } else { Paths::Used },
        every_hour: args.full,
    };
    for (format, path) in wanted {
        let text = text(format, &worked, &making)?;
        files::output(path, text.as_bytes(), args.replace, &own, "Written")?;
    }
    Ok(())
}

/// What was asked for, checked before the plan is made.
fn wanted<'a>(args: &'a ExportArgs, own: &Own) -> Result<Vec<(Format, &'a Path)>, Failure> {
    let all = [
        (Format::Calendar, &args.calendar),
        (Format::GeoJson, &args.geojson),
        (Format::Gpx, &args.gpx),
        (Format::Calls, &args.csv),
        (Format::Budgets, &args.budgets),
        (Format::Json, &args.json),
    ];
    let wanted: Vec<(Format, &'a Path)> = all
        .into_iter()
        .filter_map(|(format, path)| Some((format, path.as_deref()?)))
        .collect();
    if wanted.is_empty() {
        return Err(Failure::input(
            "say what to export: --calendar, --geojson, --gpx, --csv, --budgets or --json, each with a file (- is standard output)",
        ));
    }
    let mut names = BTreeSet::new();
    for (_, path) in &wanted {
        if !names.insert(*path) {
            return Err(Failure::input(format!(
                "{} is named twice; each format needs a file of its own",
                path.display()
            )));
        }
        files::ready(path, args.replace, own)?;
    }
    Ok(wanted)
}

/// What all formats of one export share.
struct Making {
    zone: TimeZone,
    made_at: UtcTime,
    paths: Paths,
    every_hour: bool,
}

fn text(format: Format, worked: &Worked, making: &Making) -> Result<String, Failure> {
    let exported = Exported {
        outing: &worked.loaded.outing,
        plan: &worked.plan,
        zone: &making.zone,
    };
    match format {
        Format::Calendar => Ok(calendar(&exported, making.made_at)),
        Format::GeoJson => Ok(geojson(&exported, making.paths)),
        Format::Gpx => gpx(&exported, making.paths, making.made_at).map_err(Failure::ours),
        Format::Calls => calls_csv(&worked.view(false)?).map_err(Failure::ours),
        Format::Budgets => budgets_csv(&worked.view(true)?).map_err(Failure::ours),
        Format::Json => serde_json::to_string_pretty(&worked.view(making.every_hour)?)
            .map(|text| text + "\n")
            .map_err(Failure::ours),
    }
}

/// The instant at which something is made, for formats that want to be told.
pub fn now() -> Result<UtcTime, Failure> {
    UtcTime::from_unix_s(jiff::Timestamp::now().as_second()).map_err(|e| Failure::input(format!("the clock: {e}")))
}

//! `farhop export`: the plan in open formats.

use std::collections::BTreeSet;
use std::path::Path;

use farhop_earth::UtcTime;
use farhop_exchange::Exported;
use farhop_exchange::calendar::calendar;
use farhop_exchange::geo::geojson;
use farhop_exchange::gpx::gpx;
use farhop_exchange::tables::{budgets_csv, calls_csv};
use farhop_plan::analysis::Part;
use farhop_show::plan_view::PlanView;
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
    let (zone, view) = (worked.zone()?, worked.view()?);
    let made_at = now()?;
    for (format, path) in wanted {
        let text = text(format, &worked, &zone, &view, made_at)?;
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

fn text(
    format: Format,
    worked: &Worked,
    zone: &TimeZone,
    view: &PlanView,
    made_at: UtcTime,
) -> Result<String, Failure> {
    let exported = Exported {
        outing: &worked.loaded.outing,
        plan: &worked.plan,
        zone,
    };
    match format {
        Format::Calendar => Ok(calendar(&exported, made_at)),
        Format::GeoJson => Ok(geojson(&exported)),
        Format::Gpx => gpx(&exported, made_at).map_err(Failure::ours),
        Format::Calls => calls_csv(view).map_err(Failure::ours),
        Format::Budgets => budgets_csv(view).map_err(Failure::ours),
        Format::Json => serde_json::to_string_pretty(view)
            .map(|text| text + "\n")
            .map_err(Failure::ours),
    }
}

/// The instant at which something is made, for formats that want to be told.
pub fn now() -> Result<UtcTime, Failure> {
    UtcTime::from_unix_s(jiff::Timestamp::now().as_second()).map_err(|e| Failure::input(format!("the clock: {e}")))
}

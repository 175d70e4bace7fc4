//! `farhop plan`: when and where a message gets through.

use std::collections::BTreeSet;

use farhop_forecast::engine::EngineBook;
use farhop_forecast::feeding::KitFeed;
use farhop_forecast::plan::Plan;
use farhop_forecast::power::energy_of;
use farhop_forecast::setting::Setting;
use farhop_forecast::survey::{LeftOut, Survey, survey_pair};
use farhop_outing::{Outing, Units};
use farhop_outing_file::{DefaultUsed, Topic, render_all};
use farhop_report::clock::zone;
use farhop_report::plan_text::PlanText;
use farhop_report::plan_view::{PlanView, Viewer};
use rayon::prelude::*;

use crate::args::{PlanArgs, UnitsArg};
use crate::commands::print_json;
use crate::exit::Failure;
use crate::outing::{Loaded, load};
use crate::presolve::presolve;
use crate::progress::Progress;
use crate::solutions::Solutions;

/// Runs the command.
pub fn run(args: &PlanArgs) -> Result<(), Failure> {
    let loaded = load(&args.outing)?;
    if !loaded.cautions.is_empty() {
        anstream::eprintln!("{}\n", render_all(&loaded.cautions));
    }
    let mut plan = plan(&loaded.outing, args)?;
    let energy = energy_of(&loaded.outing, &plan).map_err(|why| {
        plan.left_out.push(LeftOut {
            what: "energy".to_owned(),
            why,
        });
    });
    let text = PlanText {
        energy: energy.as_ref().ok(),
        ..plan_text(&loaded, &plan, args)?
    };
    if args.json {
        let defaults = loaded.defaults.iter().map(ToString::to_string).collect();
        let viewer = Viewer {
            outing: &loaded.outing,
            plan: &plan,
        };
        print_json(&PlanView {
            energy: text.energy_report().map(|report| report.view()),
            ..viewer.plan(text.verdict(), defaults)
        })?;
    } else {
        anstream::print!("{}", text.text());
    }
    Ok(())
}

/// The plan for the sites and stations asked for.
pub fn plan(outing: &Outing, args: &PlanArgs) -> Result<Plan, Failure> {
    let setting = Setting::new(outing).map_err(Failure::input)?;
    let pairs = pairs(outing, args)?;
    let store = Solutions::of_user();
    presolve(outing, &firsts(&pairs), &seconds(&pairs), &store);
    let feed = KitFeed { kit: &outing.kit };
    let book = EngineBook::new(&store, &feed);
    let progress = Progress::new("paths", pairs.len());
    let parts: Vec<Survey> = pairs
        .par_iter()
        .map(|pair| {
            let part = survey_pair(outing, &setting, &book, *pair);
            progress.step();
            part
        })
        .collect();
    progress.done();
    Ok(Plan::new(outing, setting, Survey::joined(parts)))
}

fn pairs(outing: &Outing, args: &PlanArgs) -> Result<Vec<(usize, usize)>, Failure> {
    let site = args.site.as_deref().map(|id| site_index(outing, id)).transpose()?;
    let station = args
        .station
        .as_deref()
        .map(|id| station_index(outing, id))
        .transpose()?;
    let sites = (0..outing.sites.len()).filter(|i| site.is_none_or(|s| s == *i));
    Ok(sites
        .flat_map(|i| (0..outing.stations.len()).map(move |j| (i, j)))
        .filter(|(_, j)| station.is_none_or(|s| s == *j))
        .collect())
}

fn firsts(pairs: &[(usize, usize)]) -> Vec<usize> {
    let set: BTreeSet<usize> = pairs.iter().map(|p| p.0).collect();
    set.into_iter().collect()
}

fn seconds(pairs: &[(usize, usize)]) -> Vec<usize> {
    let set: BTreeSet<usize> = pairs.iter().map(|p| p.1).collect();
    set.into_iter().collect()
}

fn site_index(outing: &Outing, id: &str) -> Result<usize, Failure> {
    let known: Vec<String> = outing.sites.iter().map(|s| s.id.to_string()).collect();
    known.iter().position(|k| k == id).ok_or_else(|| {
        Failure::input(format!(
            "--site {id}: no such site; this outing has {}",
            known.join(", ")
        ))
    })
}

fn station_index(outing: &Outing, id: &str) -> Result<usize, Failure> {
    let found = outing.station(id).map(|s| s.id.clone());
    let position = found.and_then(|id| outing.stations.iter().position(|s| s.id == id));
    let known: Vec<String> = outing.stations.iter().map(|s| s.id.to_string()).collect();
    position.ok_or_else(|| {
        Failure::input(format!(
            "--station {id}: no such station; this outing has {}",
            known.join(", ")
        ))
    })
}

fn plan_text<'a>(loaded: &'a Loaded, plan: &'a Plan, args: &PlanArgs) -> Result<PlanText<'a>, Failure> {
    let imperial = match args.units {
        Some(units) => units == UnitsArg::Imperial,
        None => loaded.outing.header.units == Units::Imperial,
    };
    let worth_telling = loaded.defaults.iter().filter(|d| d.topic() == Topic::Forecast);
    Ok(PlanText {
        outing: &loaded.outing,
        plan,
        zone: zone(&loaded.outing.header.time_zone).map_err(Failure::input)?,
        imperial,
        defaults: worth_telling.map(DefaultUsed::short).collect(),
        energy: None,
    })
}

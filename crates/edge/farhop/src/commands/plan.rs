//! `farhop plan`: when and where a message gets through.

use farhop_forecast::plan::Plan;
use farhop_forecast::power::{EnergyForecast, energy_of};
use farhop_forecast::readiness::{KitModel, Readiness};
use farhop_forecast::survey::LeftOut;
use farhop_kit::spares::Limits;
use farhop_outing::{Outing, Units};
use farhop_outing_file::{DefaultUsed, Topic, render_all};
use farhop_report::clock::zone;
use farhop_report::plan_text::PlanText;
use farhop_report::plan_view::{PlanView, Viewer};
use farhop_workshop::open::Opened;
use farhop_workshop::plan::{self as workshop, Part};
use farhop_workshop::solutions::Solutions;

use crate::args::{PlanArgs, UnitsArg};
use crate::commands::print_json;
use crate::exit::Failure;
use crate::outing::load;
use crate::progress::Terminal;

/// Runs the command.
pub fn run(args: &PlanArgs) -> Result<(), Failure> {
    let loaded = load(&args.outing)?;
    if !loaded.cautions.is_empty() {
        anstream::eprintln!("{}\n", render_all(&loaded.cautions));
    }
    let mut plan = plan(&loaded.outing, &part(args))?;
    let energy = energy_of(&loaded.outing, &plan).map_err(|why| {
        plan.left_out.push(LeftOut {
            what: "energy".to_owned(),
            why,
        });
    });
    let kit = kit(&loaded.outing, &plan, energy.as_ref().ok()).map_err(|why| {
        plan.left_out.push(LeftOut {
            what: "kit".to_owned(),
            why,
        });
    });
    let text = PlanText {
        energy: energy.as_ref().ok(),
        kit: kit.as_ref().ok().map(|(model, readiness)| (model, readiness)),
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
            kit: text.kit_report().map(|report| report.view()),
            ..viewer.plan(text.verdict(), defaults)
        })?;
    } else {
        anstream::print!("{}", text.text());
    }
    Ok(())
}

fn kit(outing: &Outing, plan: &Plan, energy: Option<&EnergyForecast>) -> Result<(KitModel, Readiness), String> {
    let model = KitModel::of(outing, plan, energy)?;
    let limits = Limits::mass(outing.kit.spares_limit_kg);
    let readiness = Readiness::new(&model, &limits).map_err(|e| e.to_string())?;
    Ok((model, readiness))
}

/// The plan for the sites and stations asked for.
pub fn plan(outing: &Outing, part: &Part) -> Result<Plan, Failure> {
    workshop::plan(outing, part, &Solutions::of_user(), &Terminal::default()).map_err(Failure::input)
}

fn part(args: &PlanArgs) -> Part {
    Part {
        site: args.site.clone(),
        station: args.station.clone(),
    }
}

fn plan_text<'a>(loaded: &'a Opened, plan: &'a Plan, args: &PlanArgs) -> Result<PlanText<'a>, Failure> {
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
        kit: None,
    })
}

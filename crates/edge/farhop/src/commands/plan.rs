//! `farhop plan`: when and where a message gets through.

use farhop_earth::clock::zone;
use farhop_kit::spares::Limits;
use farhop_outing::{Outing, Units};
use farhop_outing_file::{DefaultUsed, Topic, guessed_on, render_all};
use farhop_plan::analysis::Analysis;
use farhop_plan::analysis::{self, Part};
use farhop_plan::readiness::{KitModel, Readiness};
use farhop_plan::survey::LeftOut;
use farhop_show::plan_text::PlanText;
use farhop_show::plan_view::{PlanView, Viewer};
use farhop_store::kept::solutions::Solutions;
use farhop_store::open::Opened;
use jiff::tz::TimeZone;

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
    let worked = Worked::new(loaded, &part(args))?;
    if args.json {
        print_json(&worked.view()?)?;
    } else {
        let imperial = args.units.map(|units| units == UnitsArg::Imperial);
        let text = worked.text(imperial)?;
        crate::say::out!("{}", if args.brief { text.brief() } else { text.text() });
    }
    Ok(())
}

/// An outing with its plan and what follows from it.
pub struct Worked {
    /// The outing as it was opened.
    pub loaded: Opened,
    /// Its plan.
    pub plan: Analysis,
    kit: Option<(KitModel, Readiness)>,
}

impl Worked {
    /// Plans a part of an outing.
    pub fn new(loaded: Opened, part: &Part) -> Result<Self, Failure> {
        let mut plan = plan(&loaded.outing, part)?;
        if let Err(why) = &plan.energy {
            plan.left_out.push(left_out("energy", why.clone()));
        }
        let kit = kit(&loaded.outing, &plan);
        let kit = kit.map_err(|why| plan.left_out.push(left_out("kit", why))).ok();
        Ok(Self { loaded, plan, kit })
    }

    /// The zone in which people read times.
    pub fn zone(&self) -> Result<TimeZone, Failure> {
        zone(&self.loaded.outing.header.time_zone).map_err(Failure::input)
    }

    /// The plan as text, in the units asked for or those of the outing.
    pub fn text(&self, imperial: Option<bool>) -> Result<PlanText<'_>, Failure> {
        let outing = &self.loaded.outing;
        let worth_telling = self.loaded.defaults.iter().filter(|d| d.topic() == Topic::Forecast);
        Ok(PlanText {
            outing,
            plan: &self.plan,
            zone: self.zone()?,
            imperial: imperial.unwrap_or(outing.header.units == Units::Imperial),
            defaults: worth_telling.map(DefaultUsed::short).collect(),
            guessed_on: guessed_on(&self.loaded.defaults),
            energy: self.plan.energy.as_ref().ok(),
            kit: self.kit.as_ref().map(|(model, readiness)| (model, readiness)),
        })
    }

    /// The plan as JSON shows it.
    pub fn view(&self) -> Result<PlanView, Failure> {
        let text = self.text(None)?;
        let defaults = self.loaded.defaults.iter().map(ToString::to_string).collect();
        let viewer = Viewer {
            outing: &self.loaded.outing,
            plan: &self.plan,
        };
        Ok(PlanView {
            energy: text.energy_report().map(|report| report.view()),
            kit: text.kit_report().map(|report| report.view()),
            ..viewer.plan(text.verdict(), text.assumes(), defaults)
        })
    }
}

fn left_out(what: &str, why: String) -> LeftOut {
    LeftOut {
        what: what.to_owned(),
        why,
    }
}

fn kit(outing: &Outing, plan: &Analysis) -> Result<(KitModel, Readiness), String> {
    let model = KitModel::of(outing, plan)?;
    let limits = Limits::mass(outing.kit.spares_limit_kg);
    let readiness = Readiness::new(&model, &limits).map_err(|e| e.to_string())?;
    Ok((model, readiness))
}

/// The plan for the sites and stations asked for.
pub fn plan(outing: &Outing, part: &Part) -> Result<Analysis, Failure> {
    analysis::plan(outing, part, &Solutions::of_user(), &Terminal::default()).map_err(Failure::input)
}

fn part(args: &PlanArgs) -> Part {
    Part {
        site: args.site.clone(),
        station: args.station.clone(),
    }
}

//! `farhop plan`: when and where a message gets through.

use farhop_earth::clock::zone;
use farhop_outing::{Outing, Units};
use farhop_outing_file::{DefaultUsed, Topic, guessed_on};
use farhop_plan::analysis::{self, Analysis, Part};
use farhop_plan::estimate::Work;
use farhop_show::plan_text::PlanText;
use farhop_show::plan_view::{PlanView, Told, Viewer};
use farhop_show::reader::Reader;
use farhop_store::kept::solutions::Solutions;
use farhop_store::open::Opened;
use jiff::tz::TimeZone;

use crate::args::PlanArgs;
use crate::commands::print_json;
use crate::exit::Failure;
use crate::outing::load_and_say;
use crate::progress::{self, Terminal};

/// Runs the command.
pub fn run(args: &PlanArgs) -> Result<(), Failure> {
    let loaded = load_and_say(&args.outing)?;
    let worked = Worked::new(loaded, &part(args))?;
    if args.json {
        print_json(&worked.view(args.full)?)?;
    } else {
        let units = args.units.map(Units::from);
        let text = PlanText {
            percent: args.percent,
            ..worked.text(units)?
        };
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
}

impl Worked {
    /// Plans a part of an outing.
    pub fn new(loaded: Opened, part: &Part) -> Result<Self, Failure> {
        let plan = plan(&loaded.outing, part)?;
        Ok(Self { loaded, plan })
    }

    /// The zone in which people read times.
    pub fn zone(&self) -> Result<TimeZone, Failure> {
        zone(&self.loaded.outing.header.time_zone).map_err(Failure::input)
    }

    /// The plan as text, in the units asked for or those of the outing.
    pub fn text(&self, units: Option<Units>) -> Result<PlanText<'_>, Failure> {
        let outing = &self.loaded.outing;
        let worth_telling = self.loaded.defaults.iter().filter(|d| d.topic == Topic::Forecast);
        Ok(PlanText {
            outing,
            plan: &self.plan,
            reader: Reader::new(self.zone()?, units.unwrap_or(outing.header.units)),
            percent: false,
            defaults: worth_telling.map(DefaultUsed::short).collect(),
            guessed_on: guessed_on(&self.loaded.defaults),
        })
    }

    /// The plan as JSON shows it, with every hour of every route or without.
    pub fn view(&self, every_hour: bool) -> Result<PlanView, Failure> {
        let text = self.text(None)?;
        let defaults = self.loaded.defaults.iter().map(ToString::to_string).collect();
        let viewer = Viewer {
            outing: &self.loaded.outing,
            plan: &self.plan,
        };
        Ok(viewer.plan(Told {
            verdict: text.verdict(),
            assumes: text.assumes(),
            defaults,
            energy: text.energy_report().map(|report| report.view()),
            kit: text.kit_report().map(|report| report.view()),
            every_hour,
        }))
    }
}

/// The plan for the sites and stations asked for.
pub fn plan(outing: &Outing, part: &Part) -> Result<Analysis, Failure> {
    let store = Solutions::of_user();
    progress::tell(&Work::of(outing, part, &store));
    analysis::plan(outing, part, &store, &Terminal::default()).map_err(Failure::input)
}

fn part(args: &PlanArgs) -> Part {
    Part {
        site: args.site.clone(),
        station: args.station.clone(),
    }
}

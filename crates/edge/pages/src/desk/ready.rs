//! Everything that follows from an outing, computed once.

use farhop_earth::clock::zone;
use farhop_outing::Outing;
use farhop_outing_file::{DefaultUsed, Problem, Topic, guessed_on};
use farhop_plan::analysis::Analysis;
use farhop_plan::analysis::{self, Part};
use farhop_plan::estimate::{Work, cores};
use farhop_show::energy::EnergyReport;
use farhop_show::kit::KitReport;
use farhop_show::plan_text::PlanText;
use farhop_show::plan_view::{PlanView, Told, Viewer};
use farhop_show::reader::Reader;

use crate::desk::Progress;
use crate::storage::Solutions;

/// An outing with its plan and all that follows.
pub struct Ready {
    /// The outing.
    pub outing: Outing,
    /// Cautions of the file.
    pub cautions: Vec<Problem>,
    /// Defaults in use.
    pub defaults: Vec<DefaultUsed>,
    /// The plan.
    pub plan: Analysis,
    /// Who reads: the clock and the units of the outing.
    pub reader: Reader,
}

impl Ready {
    /// Computes everything.
    ///
    /// # Errors
    /// In words: no plan can be made.
    pub fn make(
        outing: Outing,
        cautions: Vec<Problem>,
        defaults: Vec<DefaultUsed>,
        store: &Solutions,
        progress: &Progress,
    ) -> Result<Self, String> {
        let zone = zone(&outing.header.time_zone).map_err(|e| e.to_string())?;
        let work = Work::of(&outing, &Part::default(), store);
        progress.expect(farhop_show::work::about(&work, cores()).unwrap_or_default());
        let plan = analysis::plan(&outing, &Part::default(), store, progress).map_err(|e| e.to_string())?;
        Ok(Self {
            reader: Reader::new(zone, outing.header.units),
            outing,
            cautions,
            defaults,
            plan,
        })
    }

    /// The plan as text knows its verdicts.
    #[must_use]
    pub fn text(&self) -> PlanText<'_> {
        let worth_telling = self.defaults.iter().filter(|d| d.topic == Topic::Forecast);
        PlanText {
            outing: &self.outing,
            plan: &self.plan,
            reader: self.reader.clone(),
            percent: false,
            defaults: worth_telling.map(DefaultUsed::short).collect(),
            guessed_on: guessed_on(&self.defaults),
        }
    }

    /// The plan as JSON shows it.
    #[must_use]
    pub fn view(&self) -> PlanView {
        let text = self.text();
        self.viewer().plan(Told {
            verdict: text.verdict(),
            assumes: text.assumes(),
            defaults: self.defaults.iter().map(ToString::to_string).collect(),
            energy: text.energy_report().map(|report| report.view()),
            kit: text.kit_report().map(|report| report.view()),
            every_hour: true,
        })
    }

    /// Looks things up in the plan.
    #[must_use]
    pub fn viewer(&self) -> Viewer<'_> {
        Viewer {
            outing: &self.outing,
            plan: &self.plan,
        }
    }

    /// The report of the charge; none where it cannot be computed.
    #[must_use]
    pub fn energy_report(&self) -> Option<EnergyReport<'_>> {
        let kit = &self.outing.kit;
        let carried = |d: &&DefaultUsed| d.items.is_empty() || d.items.iter().any(|id| kit.carries(id));
        let worth_telling = self
            .defaults
            .iter()
            .filter(|d| d.topic == Topic::Energy)
            .filter(carried);
        self.plan.energy.as_ref().ok().map(|forecast| EnergyReport {
            outing: &self.outing,
            forecast,
            reader: self.reader.clone(),
            defaults: worth_telling.map(|d| format!("Default: {d}")).collect(),
        })
    }

    /// The report of the kit; none where it cannot be worked out.
    #[must_use]
    pub fn kit_report(&self) -> Option<KitReport<'_>> {
        self.plan.kit.as_ref().ok().map(|kit| KitReport {
            outing: &self.outing,
            model: &kit.model,
            readiness: &kit.readiness,
            limit_kg: self.outing.kit.spares_limit_kg,
            units: self.reader.units,
        })
    }
}

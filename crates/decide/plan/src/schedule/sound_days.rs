//! What the sky and the stations would give each message with fewer antennas and a sound station.

use farhop_days::{DrawAsk, DrawnDays, WeighedDays};
use farhop_outing::Outing;

use crate::analysis::{Analysis, SEED};
use crate::schedule::{Board, Columns, EnergyLimit, Pending, Scene, SceneParts, search};

/// Days on which combinations of antennas are compared.
const DAYS: usize = 128;

/// The days on which nothing of the own station fails, for asking what is left without some antennas.
pub struct SoundDays<'a> {
    outing: &'a Outing,
    analysis: &'a Analysis,
    days: WeighedDays,
    pending: Vec<Pending>,
    columns: Columns,
}

impl<'a> SoundDays<'a> {
    /// The days of an analysis without own faults.
    #[must_use]
    pub fn new(outing: &'a Outing, analysis: &'a Analysis) -> Self {
        let mut days = DrawnDays::new(&analysis.days.days.axes, &DrawAsk::of(DAYS, SEED));
        days.faults.clear();
        Self {
            outing,
            analysis,
            days: WeighedDays::prior(days),
            pending: Pending::all(outing, outing.header.start),
            columns: Columns::default(),
        }
    }

    /// The chance (dimensionless) of each message, in the order of the outing, under the best schedule with the antennas (indices
    /// into the kit) that `usable` leaves, with charge enough.
    #[must_use]
    pub fn chances(&self, usable: &dyn Fn(usize) -> bool) -> Vec<f64> {
        let scene = Scene::new(SceneParts {
            outing: self.outing,
            days: &self.days,
            tables: &self.analysis.tables,
            responses: &self.analysis.responses,
            stays: &self.analysis.stays,
            now: self.outing.header.start,
            pending: &self.pending,
            energy: EnergyLimit::NONE,
            hanging: None,
            busy_until: self.outing.header.start,
        })
        .sharing(&self.columns)
        .with_antennas(usable);
        let board = Board::with(&scene, search(&scene).blocks);
        let mut chances = vec![0.0; self.outing.messages.len()];
        for (place, pending) in self.pending.iter().enumerate() {
            if let Some(chance) = chances.get_mut(pending.message) {
                *chance = board.chance(place);
            }
        }
        chances
    }
}

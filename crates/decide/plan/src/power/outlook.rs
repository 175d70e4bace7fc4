//! What the simulation says, by message and in whole.

use farhop_earth::UtcTime;
use farhop_energy::spread::Spread3;
use farhop_energy::{EnergyInput, EnergyOutcome, EnergyOuting};

use crate::power::activities::Doing;
use crate::power::keying::{Keying, LeastCharge};
use crate::power::record::Call;
use crate::power::timeline::Segment;

/// What a message costs. Each call is its listening, tuning and sending.
#[derive(Clone, Debug, PartialEq)]
pub struct MessageEnergy {
    /// The call.
    pub call: Call,
    /// Energy from the battery for all that draws for the call from listening to the end, losses included, Wh.
    pub energy_wh: Spread3,
    /// The same beyond what the set draws between calls, Wh.
    pub extra_wh: Spread3,
    /// Share of the scenarios in which everything has power to the end (dimensionless).
    pub chance_powered: f64,
    /// Keying at the call with the charge that nine scenarios in ten have, at the battery's temperature then.
    pub keying: Option<Keying>,
}

/// The same outing with the set switched off between the calls.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CallsOnly {
    /// Charge at the end (dimensionless).
    pub end_share: Spread3,
    /// Chance of running dry (dimensionless).
    pub chance_dry: f64,
}

/// Where the operator is and what the sky does, every five minutes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment {
    /// When, s after the start of the outing.
    pub time_s: f64,
    /// Index of the site; none on the way.
    pub site: Option<usize>,
    /// Height of the sun, degrees.
    pub sun_elevation_deg: f64,
    /// Air temperature, °C.
    pub air_c: f64,
}

/// Energy through the outing.
#[derive(Clone, Debug)]
pub struct EnergyForecast {
    /// Start of the outing.
    pub start: UtcTime,
    /// What was simulated.
    pub outing: EnergyOuting,
    /// What each activity is for, in the order of the input's activities.
    pub doings: Vec<Doing>,
    /// What the simulation says.
    pub outcome: EnergyOutcome,
    /// Index of the source that feeds the transceiver.
    pub main: usize,
    /// Messages with a window, in order of their calls.
    pub messages: Vec<MessageEnergy>,
    /// What draws when.
    pub segments: Vec<Segment>,
    /// Where and under which sun.
    pub moments: Vec<Moment>,
    /// Reserve of the main source, Wh of usable energy.
    pub reserve_wh: f64,
    /// When the charge that nine scenarios in ten have falls below the reserve, s after the start; none if it does not.
    pub below_reserve_s: Option<f64>,
    /// How much charge keying needs: warm, and in the coldest air of the outing.
    pub least_charge: Vec<LeastCharge>,
    /// With the set off between calls; computed where it listens and the reserve does not hold.
    pub calls_only: Option<CallsOnly>,
    /// Index of the site whose skyline stands for the whole outing.
    pub main_site: usize,
    /// What had to be assumed about the wiring, in words.
    pub notes: Vec<String>,
}

impl EnergyForecast {
    /// The numbers that went in.
    #[must_use]
    pub fn input(&self) -> &EnergyInput {
        self.outing.input()
    }

    /// The instant `time_s` (s) after the start.
    #[must_use]
    pub fn at(&self, time_s: f64) -> UtcTime {
        self.start.add_s(time_s.round() as i64)
    }

    /// Charge of the main source at a time (s after the start), dimensionless, at the nearest step.
    #[must_use]
    pub fn share_at(&self, time_s: f64) -> Spread3 {
        let times = &self.outcome.times_s;
        let after = times
            .partition_point(|t| *t < time_s - 1e-6)
            .min(times.len().saturating_sub(1));
        let source = self.outcome.sources.get(self.main);
        source.and_then(|s| s.share.get(after)).copied().unwrap_or_default()
    }

    /// Charge of the main source at the end, dimensionless.
    #[must_use]
    pub fn end_share(&self) -> Spread3 {
        let source = self.outcome.sources.get(self.main);
        source.and_then(|s| s.share.last()).copied().unwrap_or_default()
    }

    /// Chance that the main source runs dry, and when if so (s after the start).
    #[must_use]
    pub fn dry(&self) -> (f64, Spread3) {
        let source = self.outcome.sources.get(self.main);
        source.map_or((0.0, Spread3::default()), |s| (s.chance_dry, s.dry_s))
    }

    /// Mean draw of each load at its battery over a span (s after the start), W.
    #[must_use]
    pub fn mean_draws_w(&self, from_s: f64, to_s: f64) -> Vec<f64> {
        let mut sums = vec![0.0; self.input().loads.len()];
        for segment in &self.segments {
            let share = segment.overlap_s(from_s, to_s) / (to_s - from_s).max(1e-9);
            for (sum, draw_w) in sums.iter_mut().zip(&segment.draws_w) {
                *sum += share * draw_w;
            }
        }
        sums
    }

    /// Nominal energy of each load at its battery over the outing, Wh.
    #[must_use]
    pub fn nominal_wh(&self) -> Vec<f64> {
        let duration_s = self.input().duration_s;
        let mean = self.mean_draws_w(0.0, duration_s);
        mean.into_iter().map(|w| w * duration_s / 3_600.0).collect()
    }

    /// The moment at or before a time (s after the start).
    #[must_use]
    pub fn moment(&self, time_s: f64) -> Option<&Moment> {
        let after = self.moments.partition_point(|m| m.time_s <= time_s + 1e-6);
        self.moments.get(after.saturating_sub(1))
    }
}

//! What the simulation says, by message and in whole.

use farhop_earth::UtcTime;
use farhop_energy::simulate::TransmitStop;
use farhop_energy::spread::Spread3;
use farhop_energy::{EnergyInput, EnergyOutcome, EnergyOuting};

use crate::power::activities::Doing;
use crate::power::calls::Call;
use crate::power::keying::{Keying, LeastCharge};
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
    /// The reserve holds then with all calls.
    pub keeps_reserve: bool,
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
    /// With the set off between calls the reserve holds where it does not hold with the habit of listening.
    #[must_use]
    pub fn holds_with_set_off(&self) -> bool {
        self.calls_only.is_some_and(|off| off.keeps_reserve)
    }

    /// The calls take what is kept back: the reserve would hold without them, with the set off between calls.
    #[must_use]
    pub fn calls_break_reserve(&self) -> bool {
        matches!(self.outcome.transmit.stop, TransmitStop::At { .. }) && !self.holds_with_set_off()
    }

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

    /// Indices of the sources that the set is put on one after the other, the first one first; the main one alone where there is no other.
    #[must_use]
    pub fn supply(&self) -> &[usize] {
        let turn = self.outcome.turns.first();
        turn.map_or(std::slice::from_ref(&self.main), |t| t.sources.as_slice())
    }

    /// Charge of what feeds the set, all batteries together, through time (dimensionless), at [`EnergyOutcome::times_s`].
    #[must_use]
    pub fn share(&self) -> &[Spread3] {
        let source = self.outcome.sources.get(self.main);
        match self.outcome.turns.first() {
            Some(turn) => &turn.share,
            None => source.map_or(&[], |s| s.share.as_slice()),
        }
    }

    /// Usable energy of what feeds the set, all batteries together, through time, Wh, at [`EnergyOutcome::times_s`].
    #[must_use]
    pub fn usable_wh(&self) -> &[Spread3] {
        usable_wh(&self.outcome, self.main)
    }

    /// Place among [`EnergyOutcome::times_s`] of a time (s after the start): the nearest step at or after it.
    fn place(&self, time_s: f64) -> usize {
        let times = &self.outcome.times_s;
        times
            .partition_point(|t| *t < time_s - 1e-6)
            .min(times.len().saturating_sub(1))
    }

    /// Charge of what feeds the set at a time (s after the start), dimensionless, at the nearest step.
    #[must_use]
    pub fn share_at(&self, time_s: f64) -> Spread3 {
        self.share().get(self.place(time_s)).copied().unwrap_or_default()
    }

    /// Charge of one source at a time (s after the start), dimensionless, at the nearest step.
    #[must_use]
    pub fn share_of(&self, source: usize, time_s: f64) -> Spread3 {
        let of = self.outcome.sources.get(source);
        of.and_then(|s| s.share.get(self.place(time_s)))
            .copied()
            .unwrap_or_default()
    }

    /// Index of the source that the set hangs on at a time (s after the start), in the median scenario.
    #[must_use]
    pub fn in_use_at(&self, time_s: f64) -> usize {
        let turn = self.outcome.turns.first();
        turn.and_then(|t| t.in_use.get(self.place(time_s)))
            .copied()
            .unwrap_or(self.main)
    }

    /// Charge of what feeds the set at the end, dimensionless.
    #[must_use]
    pub fn end_share(&self) -> Spread3 {
        self.share().last().copied().unwrap_or_default()
    }

    /// Chance that what feeds the set runs dry, and when if so (s after the start).
    #[must_use]
    pub fn dry(&self) -> (f64, Spread3) {
        let source = self.outcome.sources.get(self.main);
        match self.outcome.turns.first() {
            Some(turn) => (turn.chance_dry, turn.dry_s),
            None => source.map_or((0.0, Spread3::default()), |s| (s.chance_dry, s.dry_s)),
        }
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

/// Usable energy of what feeds the set, Wh, where `main` is the index of the first source.
pub(super) fn usable_wh(outcome: &EnergyOutcome, main: usize) -> &[Spread3] {
    match outcome.turns.first() {
        Some(turn) => &turn.usable_wh,
        None => outcome.sources.get(main).map_or(&[], |s| s.usable_wh.as_slice()),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

    use crate::demo::demo;
    use crate::power::energy_with;
    use farhop_outing::Outing;

    /// A forecast without calls, after a change.
    fn forecast(change: impl Fn(&mut farhop_outing::OutingParts)) -> super::EnergyForecast {
        let mut parts = demo().into_parts();
        change(&mut parts);
        energy_with(&Outing::new(parts).unwrap(), Vec::new()).unwrap()
    }

    #[test]
    fn what_loads_draw_adds_up_over_any_cut_of_the_time() {
        let told = forecast(|_| ());
        let end_s = told.input().duration_s;
        let whole = told.nominal_wh();
        assert_eq!(whole.len(), told.input().loads.len());
        assert!(whole.iter().sum::<f64>() > 1.0);
        let cuts = [0.0, 7_000.0, 50_000.0, end_s];
        for (load, wh) in whole.iter().enumerate() {
            let part_wh = |ends: &[f64]| told.mean_draws_w(ends[0], ends[1])[load] * (ends[1] - ends[0]) / 3_600.0;
            let parts_wh: f64 = cuts.windows(2).map(part_wh).sum();
            assert!((parts_wh - wh).abs() < 1e-6 * (1.0 + wh), "{load}: {parts_wh} {wh}");
            // A segment draws what it draws.
            let first = &told.segments[0];
            let mean_w = told.mean_draws_w(first.start_s, first.start_s + 1.0)[load];
            assert!((mean_w - first.draws_w[load]).abs() < 1e-9);
        }
    }

    #[test]
    fn what_feeds_the_set_is_told_with_its_end_and_whether_it_runs_dry() {
        let full = forecast(|parts| {
            parts.kit.batteries.iter_mut().for_each(|b| b.capacity_ah = 50.0);
        });
        assert_eq!(full.supply(), [full.main]);
        assert_eq!(full.dry().0, 0.0);
        let end = full.end_share();
        assert!(
            end.p10 > 0.5 && end.p10 <= end.p50 && end.p50 <= end.p90 && end.p90 <= 1.0,
            "{end:?}"
        );
        let flat = forecast(|parts| {
            parts.kit.panels.clear();
            parts.kit.transceiver.listen_h_per_day = 24.0;
            parts.kit.batteries.iter_mut().for_each(|b| b.start_charge = 0.3);
        });
        let (chance, when_s) = flat.dry();
        assert!(
            chance > 0.99 && when_s.p50 > 0.0 && when_s.p50 < flat.input().duration_s,
            "{chance} {when_s:?}"
        );
        // A battery that begins nearly empty, without sun, keeps no reserve with the set off either, though nothing is sent; of sizes
        // that listening all day breaks there is one that holds with the set off.
        assert!(!flat.holds_with_set_off());
        let listening = |capacity_ah: f64| {
            forecast(|parts| {
                parts.kit.transceiver.listen_h_per_day = 24.0;
                parts.kit.batteries.iter_mut().for_each(|b| b.capacity_ah = capacity_ah);
            })
        };
        assert!(
            [4.0, 6.0, 8.0, 10.0]
                .into_iter()
                .any(|ah| listening(ah).holds_with_set_off())
        );
        assert!(
            !full.holds_with_set_off(),
            "where the reserve holds with listening nobody asks"
        );
    }

    #[test]
    fn the_moment_of_a_time_is_the_one_at_or_before_it() {
        let told = forecast(|_| ());
        let (first, second) = (&told.moments[0], &told.moments[1]);
        assert_eq!(told.moment(first.time_s), Some(first));
        assert_eq!(told.moment(second.time_s - 1.0), Some(first));
        assert_eq!(told.moment(second.time_s), Some(second));
        assert_eq!(told.moment(1e12), told.moments.last());
        assert_eq!(told.at(59.6).unix_s() - told.start.unix_s(), 60);
    }

    #[test]
    fn the_reserve_is_a_share_of_what_the_battery_has_and_the_time_below_it_is_told() {
        let with = |capacity_ah: f64, reserve: f64| {
            forecast(|parts| {
                parts.header.reserve = reserve;
                parts.kit.batteries.iter_mut().for_each(|b| b.capacity_ah = capacity_ah);
            })
        };
        let (small, large, double) = (with(3.0, 0.2), with(6.0, 0.2), with(3.0, 0.4));
        assert!(
            (large.reserve_wh / small.reserve_wh - 2.0).abs() < 0.02,
            "{} {}",
            large.reserve_wh,
            small.reserve_wh
        );
        assert!((double.reserve_wh / small.reserve_wh - 2.0).abs() < 1e-9);
        // Four cells of 3.2 V, 3 Ah of which four fifths are left after seven winters: 30.7 Wh, and a fifth of it.
        assert!((small.reserve_wh - 0.2 * 30.7).abs() < 0.8, "{}", small.reserve_wh);
    }
}

//! The automatic tuner: a reversible L network with relay-switched coils and capacitors, searched over all states.
//!
//! The search is exact but does not visit all states. For each capacitor (capacitor at the antenna) or each coil
//! (capacitor at the radio) the remaining part moves the impedance or admittance along a straight line, on which the
//! mismatch is convex (see the module `ray`). The state with the lowest SWR on that line is next to a closed-form minimum.
//! Loss grows with the moving part, so the state of least loss within an SWR bound is the first one within the bound,
//! found by bisection. So 512 lines stand for 131 072 states.

use super::bank::RelayBank;
use super::ray::Ray;
use super::{ACCEPT_SWR, CapacitorSide, Setting, TunerAnswer, TunerMatch, TunerRatings, evaluate, mark, quality};
use crate::REFERENCE_OHM;
use crate::error::{FeedError, passive, positive};
use crate::ladder::{Ladder, Part, PartPlace, PartRole, capacitor_siemens, coil_ohm};
use crate::swr::mismatch_ratio_of_swr;
use num_complex::Complex64;

/// The numbers of an automatic tuner; check them with [`AutoTuner::new`].
#[derive(Clone, Debug, PartialEq)]
pub struct AutoTunerValues {
    /// The coils, µH each, at most 12.
    pub coils_uh: Vec<f64>,
    /// The capacitors, pF each, at most 12.
    pub capacitors_pf: Vec<f64>,
    /// Quality of the coils (dimensionless).
    pub q_coil: f64,
    /// Quality of the capacitors (dimensionless).
    pub q_capacitor: f64,
    /// SWR (dimensionless) at which the tuner is content.
    pub accept_swr: f64,
    /// Stated limits.
    pub ratings: TunerRatings,
}

/// A checked automatic tuner.
#[derive(Clone, Debug, PartialEq)]
pub struct AutoTuner {
    values: AutoTunerValues,
    coils: RelayBank,
    capacitors: RelayBank,
}

/// One relay state with its figures, as the search compares them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Candidate {
    /// Where the capacitors are.
    pub side: CapacitorSide,
    /// Index of the inductance in rising order.
    pub l_index: usize,
    /// Index of the capacitance in rising order.
    pub c_index: usize,
    /// Mismatch ratio 1 / (1 − |Γ|²) (dimensionless).
    pub mismatch: f64,
    /// Power in over power out (dimensionless).
    pub power_ratio: f64,
}

/// The two answers of the state search.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StateSearch {
    /// The lowest SWR; among equals the least loss.
    pub lowest_swr: Candidate,
    /// The least loss within the accepted SWR; among equals the lowest SWR.
    pub least_loss: Option<Candidate>,
}

impl AutoTunerValues {
    /// A generic portable automatic tuner: 8 coils from 0.06 µH (15.3 µH in all), 8 capacitors from 8 pF (2 040 pF in
    /// all), coil Q 120, capacitor Q 700, content at 1.5. From memory of typical portable tuners.
    #[must_use]
    pub fn portable() -> Self {
        Self {
            coils_uh: (0..8).map(|n| 0.06 * f64::from(1u32 << n)).collect(),
            capacitors_pf: (0..8).map(|n| 8.0 * f64::from(1u32 << n)).collect(),
            q_coil: 120.0,
            q_capacitor: 700.0,
            accept_swr: ACCEPT_SWR,
            ratings: TunerRatings::PORTABLE,
        }
    }
}

impl AutoTuner {
    /// A tuner of own values.
    ///
    /// # Errors
    /// [`FeedError::BadValue`] for parts or Q that are not above zero, too many relays, or an accepted SWR outside
    /// 1.01 to 10.
    pub fn new(values: AutoTunerValues) -> Result<Self, FeedError> {
        quality("coil Q", values.q_coil)?;
        quality("capacitor Q", values.q_capacitor)?;
        mark(values.accept_swr)?;
        values.ratings.check()?;
        let coils = RelayBank::new("tuner coil (uH)", &values.coils_uh)?;
        let capacitors = RelayBank::new("tuner capacitor (pF)", &values.capacitors_pf)?;
        Ok(Self {
            values,
            coils,
            capacitors,
        })
    }

    /// The default portable tuner.
    #[must_use]
    pub fn portable() -> Self {
        let values = AutoTunerValues::portable();
        let (coils, capacitors) = (RelayBank::of(&values.coils_uh), RelayBank::of(&values.capacitors_pf));
        Self {
            values,
            coils,
            capacitors,
        }
    }

    /// The values.
    #[must_use]
    pub fn values(&self) -> &AutoTunerValues {
        &self.values
    }

    /// The stated limits.
    #[must_use]
    pub fn ratings(&self) -> TunerRatings {
        self.values.ratings
    }

    /// Number of relay states.
    #[must_use]
    pub fn state_count(&self) -> usize {
        2 * self.coils.sums().len() * self.capacitors.sums().len()
    }

    /// The best states for a load, exactly as a visit to every state would find them.
    ///
    /// # Errors
    /// [`FeedError::BadImpedance`] or [`FeedError::BadValue`] for a bad load or frequency.
    pub fn search(&self, load_ohm: Complex64, freq_mhz: f64) -> Result<StateSearch, FeedError> {
        let load_ohm = passive("the load of the tuner", load_ohm)?;
        positive("frequency (MHz)", freq_mhz)?;
        let coil = coil_ohm(1.0, self.values.q_coil, freq_mhz);
        let capacitor = capacitor_siemens(1.0, self.values.q_capacitor, freq_mhz);
        let mut pick = Pick::new(mismatch_ratio_of_swr(self.values.accept_swr));
        let at_antenna = Sweep {
            start: load_ohm.inv(),
            fixed: capacitor,
            moving: coil,
            reference: REFERENCE_OHM,
        };
        at_antenna.run(self.capacitors.sums(), self.coils.sums(), &mut pick, |fixed, moving| {
            (CapacitorSide::Antenna, moving, fixed)
        });
        let at_radio = Sweep {
            start: load_ohm,
            fixed: coil,
            moving: capacitor,
            reference: 1.0 / REFERENCE_OHM,
        };
        at_radio.run(self.coils.sums(), self.capacitors.sums(), &mut pick, |fixed, moving| {
            (CapacitorSide::Radio, fixed, moving)
        });
        pick.finish()
    }

    /// The best settings with their circuits.
    pub(crate) fn solve(&self, load_ohm: Complex64, freq_mhz: f64) -> Result<TunerAnswer, FeedError> {
        let found = self.search(load_ohm, freq_mhz)?;
        Ok(TunerAnswer {
            lowest_swr: self.realise(found.lowest_swr, load_ohm, freq_mhz)?,
            least_loss: found
                .least_loss
                .map(|c| self.realise(c, load_ohm, freq_mhz))
                .transpose()?,
            accept_swr: Some(self.values.accept_swr),
        })
    }

    fn realise(&self, state: Candidate, load_ohm: Complex64, freq_mhz: f64) -> Result<TunerMatch, FeedError> {
        let (l_uh, c_pf) = (self.coils.sum(state.l_index), self.capacitors.sum(state.c_index));
        let setting = Setting::Relays {
            side: state.side,
            l_mask: self.coils.mask(state.l_index),
            c_mask: self.capacitors.mask(state.c_index),
            l_uh,
            c_pf,
        };
        let coil = coil_ohm(l_uh, self.values.q_coil, freq_mhz);
        let capacitor = capacitor_siemens(c_pf, self.values.q_capacitor, freq_mhz);
        evaluate(setting, l_network(state.side, coil, capacitor), load_ohm)
    }
}

/// The circuit of an L network; parts of zero value are left out.
pub(crate) fn l_network(side: CapacitorSide, coil: Complex64, capacitor_siemens: Complex64) -> Ladder {
    let mut parts = Vec::with_capacity(2);
    if coil.im > 0.0 {
        parts.push(Part {
            role: PartRole::Inductor,
            place: PartPlace::Series,
            impedance_ohm: coil,
        });
    }
    if capacitor_siemens.im > 0.0 {
        let shunt = Part {
            role: PartRole::Capacitor,
            place: PartPlace::Shunt,
            impedance_ohm: capacitor_siemens.inv(),
        };
        let at = if side == CapacitorSide::Radio { 0 } else { parts.len() };
        parts.insert(at, shunt);
    }
    Ladder::new(parts)
}

/// All states of one topology: the part next to the load is fixed line by line, the other moves along the line.
/// Admittance first and then impedance with the capacitor at the antenna; the other way round at the radio.
struct Sweep {
    start: Complex64,
    fixed: Complex64,
    moving: Complex64,
    reference: f64,
}

impl Sweep {
    fn run(
        &self,
        fixed: &[f64],
        moving: &[f64],
        pick: &mut Pick,
        name: impl Fn(usize, usize) -> (CapacitorSide, usize, usize),
    ) {
        for (fixed_index, &value) in fixed.iter().enumerate() {
            let with_fixed = self.start + self.fixed * value;
            let ray = Ray {
                base: with_fixed.inv(),
                unit: self.moving,
                reference: self.reference,
            };
            let fixed_ratio = with_fixed.re / self.start.re;
            let candidate = |index: usize| {
                let here = ray.base + ray.unit * moving.get(index).copied().unwrap_or(0.0);
                let (side, l_index, c_index) = name(fixed_index, index);
                let mismatch = crate::swr::mismatch_ratio(here, self.reference);
                Candidate {
                    side,
                    l_index,
                    c_index,
                    mismatch,
                    power_ratio: fixed_ratio * (here.re / ray.base.re),
                }
            };
            let (best, least) = ray.best_index(moving);
            pick.offer_match(candidate(best));
            if least <= pick.most && pick.may_lose_less(fixed_ratio) {
                pick.offer_loss(candidate(ray.first_within(moving, best, pick.most)));
            }
        }
    }
}

/// The best states so far.
struct Pick {
    most: f64,
    lowest_swr: Option<Candidate>,
    least_loss: Option<Candidate>,
}

impl Pick {
    fn new(most: f64) -> Self {
        Self {
            most,
            lowest_swr: None,
            least_loss: None,
        }
    }

    fn may_lose_less(&self, power_ratio: f64) -> bool {
        self.least_loss.is_none_or(|best| power_ratio <= best.power_ratio)
    }

    fn offer_match(&mut self, new: Candidate) {
        let better = |old: Candidate| (new.mismatch, new.power_ratio) < (old.mismatch, old.power_ratio);
        if new.mismatch.is_finite() && self.lowest_swr.is_none_or(better) {
            self.lowest_swr = Some(new);
        }
    }

    fn offer_loss(&mut self, new: Candidate) {
        let better = |old: Candidate| (new.power_ratio, new.mismatch) < (old.power_ratio, old.mismatch);
        if self.least_loss.is_none_or(better) {
            self.least_loss = Some(new);
        }
    }

    fn finish(self) -> Result<StateSearch, FeedError> {
        let lowest_swr = self.lowest_swr.ok_or(FeedError::NotFinite {
            what: "the tuner search",
        })?;
        Ok(StateSearch {
            lowest_swr,
            least_loss: self.least_loss,
        })
    }
}

#[cfg(test)]
#[path = "auto_tests.rs"]
mod tests;

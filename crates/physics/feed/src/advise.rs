//! The smallest change that makes it match, by search.
//!
//! Each kind of change is walked outwards from nothing in small steps, both ways, until the chain matches; the last
//! step is then halved down to a stated resolution. What matches is ranked by effort; what does not but helps comes after,
//! by SWR. A match that lies wholly between two steps is not seen. Changes of line length and transformer need no new antenna solution.

mod effort;

pub use effort::EffortRates;

use crate::caution::Limits;
use crate::chain::{AntennaFeed, ChainAnswer, FeedChain, Stage};
use crate::error::{FeedError, positive, within};
use crate::line::{LONGEST_LINE_M, Line};
use crate::transformer::TransformerType;

/// A change that needs a new antenna solution.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AntennaChange {
    /// Nothing changed.
    None,
    /// Longer (or shorter) radiating wire.
    WireLength {
        /// By how much, m.
        delta_m: f64,
    },
    /// Higher (or lower) antenna.
    Height {
        /// By how much, m.
        delta_m: f64,
    },
    /// Longer (or shorter) counterpoise.
    Counterpoise {
        /// By how much, m.
        delta_m: f64,
    },
}

/// One change to the station.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Change {
    /// At the antenna.
    Antenna(AntennaChange),
    /// Longer (or shorter) line.
    LineLength {
        /// Which stage after the tuner, counted from the tuner at 0.
        stage: usize,
        /// By how much, m.
        delta_m: f64,
    },
    /// Another transformer in place of the present one, or a new one at the antenna end.
    Transformer {
        /// The kind put in.
        kind: TransformerType,
    },
}

/// The steps to try. Signed lengths in metres; an empty list leaves that kind out.
#[derive(Clone, Debug, PartialEq)]
pub struct ChangeSteps {
    /// Wire length changes, m.
    pub wire_length_m: Vec<f64>,
    /// Height changes, m.
    pub height_m: Vec<f64>,
    /// Counterpoise changes, m.
    pub counterpoise_m: Vec<f64>,
    /// Line length changes, m.
    pub line_length_m: Vec<f64>,
    /// Transformers at hand.
    pub transformers: Vec<TransformerType>,
    /// How finely the smallest change is found, m.
    pub resolution_m: f64,
}

impl ChangeSteps {
    /// Up to 5 m of wire and counterpoise, 3 m of height, 10 m of line, all transformers, to 10 cm. Own choice.
    /// Line goes in quarter metres because it costs no antenna solution and a high line's window can be narrow.
    #[must_use]
    pub fn usual() -> Self {
        let both = |steps: &[f64]| steps.iter().flat_map(|&s| [s, -s]).collect();
        Self {
            wire_length_m: both(&[0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0]),
            height_m: both(&[1.0, 2.0, 3.0]),
            counterpoise_m: both(&[1.0, 2.0, 3.0, 5.0]),
            line_length_m: (1..=40)
                .flat_map(|n| [0.25 * f64::from(n), -0.25 * f64::from(n)])
                .collect(),
            transformers: TransformerType::ALL.to_vec(),
            resolution_m: 0.1,
        }
    }
}

/// What a change would do.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    /// The change.
    pub change: Change,
    /// Effort by the rates given (dimensionless).
    pub effort: f64,
    /// The chain after the change: SWR, loss, radiated power and the rest.
    pub answer: ChainAnswer,
}

/// The outcome of the search.
#[derive(Clone, Debug, PartialEq)]
pub struct AdviceList {
    /// The chain as it is.
    pub as_is: ChainAnswer,
    /// Changes, best first: those that match by effort, then those that only help by SWR. Empty when it matches already.
    pub ranked: Vec<Advice>,
    /// Changes that could not be worked out, with the reason.
    pub failed: Vec<(Change, FeedError)>,
    /// How many times the antenna was solved.
    pub antenna_solutions: usize,
}

impl AdviceList {
    /// The smallest change that matches.
    #[must_use]
    pub fn smallest(&self) -> Option<&Advice> {
        self.ranked.first().filter(|advice| advice.answer.matched)
    }
}

/// Searches for the smallest change. `solve` gives the antenna after a change (called first with
/// [`AntennaChange::None`]) or says why it cannot be.
///
/// # Errors
/// [`FeedError::BadValue`] for steps or resolution that are not finite or a resolution not above zero;
/// [`FeedError::Antenna`] or another error when the chain as it is cannot be worked out. A single change that fails
/// is listed, not fatal.
pub fn advise(
    chain: &FeedChain,
    freq_mhz: f64,
    steps: &ChangeSteps,
    rates: &EffortRates,
    solve: impl FnMut(AntennaChange) -> Result<AntennaFeed, String>,
) -> Result<AdviceList, FeedError> {
    positive("advice resolution (m)", steps.resolution_m)?;
    let lists = [
        &steps.wire_length_m,
        &steps.height_m,
        &steps.counterpoise_m,
        &steps.line_length_m,
    ];
    for &step_m in lists.into_iter().flatten() {
        within("advice step (m)", step_m, "finite", |_| true)?;
    }
    let mut search = Search {
        chain,
        freq_mhz,
        rates,
        solve,
        solutions: 0,
        found: Vec::new(),
        failed: Vec::new(),
    };
    let antenna = search.antenna(AntennaChange::None)?;
    let as_is = chain.solve(freq_mhz, antenna, &Limits::USUAL)?;
    if !as_is.matched {
        search.all(steps, antenna);
    }
    let Search {
        solutions,
        found,
        failed,
        ..
    } = search;
    Ok(AdviceList {
        ranked: rank(found, &as_is),
        as_is,
        failed,
        antenna_solutions: solutions,
    })
}

/// Drops what does not help and sorts the rest.
fn rank(found: Vec<Advice>, as_is: &ChainAnswer) -> Vec<Advice> {
    let mut ranked: Vec<Advice> = found
        .into_iter()
        .filter(|a| a.answer.matched || a.answer.best_swr() < as_is.best_swr())
        .collect();
    let key = |a: &Advice| {
        if a.answer.matched {
            (0, a.effort)
        } else {
            (1, a.answer.best_swr())
        }
    };
    ranked.sort_by(|a, b| {
        let (group_a, value_a) = key(a);
        let (group_b, value_b) = key(b);
        let more_radiated = b.answer.power.radiated_w.total_cmp(&a.answer.power.radiated_w);
        group_a
            .cmp(&group_b)
            .then(value_a.total_cmp(&value_b))
            .then(more_radiated)
    });
    ranked
}

struct Search<'a, F> {
    chain: &'a FeedChain,
    freq_mhz: f64,
    rates: &'a EffortRates,
    solve: F,
    solutions: usize,
    found: Vec<Advice>,
    failed: Vec<(Change, FeedError)>,
}

impl<F: FnMut(AntennaChange) -> Result<AntennaFeed, String>> Search<'_, F> {
    fn antenna(&mut self, change: AntennaChange) -> Result<AntennaFeed, FeedError> {
        self.solutions += 1;
        (self.solve)(change).map_err(|reason| FeedError::Antenna {
            what: format!("{change:?}"),
            reason,
        })
    }

    fn all(&mut self, steps: &ChangeSteps, as_is: AntennaFeed) {
        let resolution_m = steps.resolution_m;
        let antenna = |f: fn(f64) -> AntennaChange| move |delta_m| Change::Antenna(f(delta_m));
        self.walk(
            &steps.wire_length_m,
            resolution_m,
            as_is,
            antenna(|delta_m| AntennaChange::WireLength { delta_m }),
        );
        self.walk(
            &steps.height_m,
            resolution_m,
            as_is,
            antenna(|delta_m| AntennaChange::Height { delta_m }),
        );
        self.walk(
            &steps.counterpoise_m,
            resolution_m,
            as_is,
            antenna(|delta_m| AntennaChange::Counterpoise { delta_m }),
        );
        for (stage, kind) in self.chain.after_tuner.iter().enumerate() {
            if let Stage::Line(line) = kind {
                let possible = |d: &&f64| (0.0..=LONGEST_LINE_M).contains(&(line.length_m() + **d));
                let steps_m: Vec<f64> = steps.line_length_m.iter().filter(possible).copied().collect();
                self.walk(&steps_m, resolution_m, as_is, |delta_m| Change::LineLength {
                    stage,
                    delta_m,
                });
            }
        }
        for &kind in &steps.transformers {
            let change = Change::Transformer { kind };
            match self.try_change(change, as_is) {
                Ok(advice) => self.found.push(advice),
                Err(error) => self.failed.push((change, error)),
            }
        }
    }

    /// Walks both ways from zero; keeps for each way the smallest match, else the best SWR.
    fn walk(&mut self, steps_m: &[f64], resolution_m: f64, as_is: AntennaFeed, change: impl Fn(f64) -> Change) {
        for sign in [1.0, -1.0] {
            let mut sizes_m: Vec<f64> = steps_m.iter().map(|s| s * sign).filter(|&s| s > 0.0).collect();
            sizes_m.sort_by(f64::total_cmp);
            let mut unmatched_m = 0.0;
            let mut best: Option<Advice> = None;
            for size_m in sizes_m {
                let tried = change(sign * size_m);
                match self.try_change(tried, as_is) {
                    Err(error) => self.failed.push((tried, error)),
                    Ok(advice) if advice.answer.matched => {
                        let bracket = (unmatched_m * sign, size_m * sign);
                        best = Some(self.halve(bracket, resolution_m, advice, as_is, &change));
                        break;
                    }
                    Ok(advice) => {
                        unmatched_m = size_m;
                        if best
                            .as_ref()
                            .is_none_or(|b| advice.answer.best_swr() < b.answer.best_swr())
                        {
                            best = Some(advice);
                        }
                    }
                }
            }
            self.found.extend(best);
        }
    }

    /// Halves the step between the last change that failed and the first that matched.
    fn halve(
        &mut self,
        (mut short_m, mut enough_m): (f64, f64),
        resolution_m: f64,
        matched: Advice,
        as_is: AntennaFeed,
        change: impl Fn(f64) -> Change,
    ) -> Advice {
        let mut best = matched;
        while (enough_m - short_m).abs() > resolution_m {
            let middle_m = 0.5 * (short_m + enough_m);
            match self.try_change(change(middle_m), as_is) {
                Ok(advice) if advice.answer.matched => (enough_m, best) = (middle_m, advice),
                _ => short_m = middle_m,
            }
        }
        best
    }

    fn try_change(&mut self, change: Change, as_is: AntennaFeed) -> Result<Advice, FeedError> {
        let effort = self.rates.effort(change);
        let answer = match change {
            Change::Antenna(antenna_change) => {
                let antenna = self.antenna(antenna_change)?;
                self.chain.solve(self.freq_mhz, antenna, &Limits::USUAL)?
            }
            _ => changed_chain(self.chain, change)?.solve(self.freq_mhz, as_is, &Limits::USUAL)?,
        };
        Ok(Advice { change, effort, answer })
    }
}

/// The chain after a change of line or transformer; changes at the antenna leave it as it is.
///
/// # Errors
/// [`FeedError::BadValue`] when the line would get an impossible length or the stage is no line.
pub(crate) fn changed_chain(chain: &FeedChain, change: Change) -> Result<FeedChain, FeedError> {
    let mut changed = chain.clone();
    match change {
        Change::Antenna(_) => {}
        Change::LineLength { stage, delta_m } => match changed.after_tuner.get_mut(stage) {
            Some(Stage::Line(line)) => *line = Line::new(line.constants(), line.length_m() + delta_m)?,
            _ => {
                let need = "the place of a line after the tuner";
                return Err(FeedError::BadValue {
                    what: "stage",
                    value: stage as f64,
                    need,
                });
            }
        },
        Change::Transformer { kind } => {
            let present = changed
                .after_tuner
                .iter_mut()
                .find(|s| matches!(s, Stage::Transformer(_)));
            match present {
                Some(stage) => *stage = Stage::Transformer(kind.typical()),
                None => changed.after_tuner.push(Stage::Transformer(kind.typical())),
            }
        }
    }
    Ok(changed)
}

#[cfg(test)]
#[path = "advise_tests.rs"]
mod tests;

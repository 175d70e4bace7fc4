//! The plan tried on freshly drawn days: what it promised, and how often that came true.
//!
//! The days are of the same kind as those that the plan was made with, but other ones: other deviations of sky, noise and station,
//! other faults and fade-outs. Whatever the plan only weighs is tossed for: a station that is busy, a slip, the session itself. So this
//! shows whether the chances are reckoned rightly, and not whether the real sky keeps to the forecast: the debrief shows that.

mod played;
mod reliability;
mod rows;
mod sessions;

pub use played::{Lost, PlayedDay};
pub use reliability::{Reliability, Tenth};
pub use rows::{DayRow, FadeOfDay, OwnFaultOfDay};

use crate::error::PlanError;
use farhop_days::{DrawAsk, DrawnDays, WeighedDays};
use farhop_outing::Outing;

use crate::analysis::{Analysis, SEED};
use crate::chance::Chance;

/// Fewest and most days that are played.
pub(crate) const DAYS_ALLOWED: (usize, usize) = (100, 10_000);

/// On which days.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RehearsalAsk {
    /// How many, within `DAYS_ALLOWED`.
    pub days: usize,
    /// Their seed: the same seed gives the same days; not that of the plan's own days.
    pub seed: u64,
}

impl RehearsalAsk {
    /// Whether these days can be played.
    ///
    /// # Errors
    /// In words: a number of days that is not allowed, or the seed of the plan's own days.
    pub fn checked(self) -> Result<(), PlanError> {
        let (fewest, most) = DAYS_ALLOWED;
        if !(fewest..=most).contains(&self.days) {
            return Err(PlanError::Days {
                days: self.days,
                fewest,
                most,
            });
        }
        if self.seed == SEED {
            return Err(PlanError::DaysOfThePlan(SEED));
        }
        Ok(())
    }
}

/// A message on all days.
#[derive(Clone, Debug, PartialEq)]
pub struct MessageRehearsal {
    /// Index in the outing.
    pub message: usize,
    /// The plan's chance that it is through by its deadline.
    pub planned: Chance,
    /// Days on which it was.
    pub through: usize,
    /// What the other days lost it to, and on how many: the most frequent first.
    pub lost: Vec<(Lost, usize)>,
}

/// A plan on days of its own.
#[derive(Clone, Debug)]
pub struct Rehearsal {
    /// How the days were drawn.
    pub ask: RehearsalAsk,
    /// Days that the plan itself was made with.
    pub plan_days: usize,
    /// What each day held, in order.
    pub rows: Vec<DayRow>,
    /// How each day went, in the same order.
    pub played: Vec<PlayedDay>,
    /// The messages, in the order of the outing.
    pub messages: Vec<MessageRehearsal>,
    /// How often the chances of the hour table came true.
    pub reliability: Reliability,
}

/// A share of `count` cases with its binomial standard error (both dimensionless). Where all or none came true the error is that of half
/// a case, so that nothing looks certain.
#[must_use]
pub fn share_with_error(came_true: usize, count: usize) -> (f64, f64) {
    let n = count.max(1) as f64;
    let share = came_true as f64 / n;
    // Standard error of a binomial share, √(p(1 − p)/n).
    let held = share.clamp(0.5 / n, 1.0 - 0.5 / n);
    (share, (held * (1.0 - held) / n).sqrt())
}

/// Plays the plan on days of its own.
///
/// # Errors
/// As [`RehearsalAsk::checked`].
pub fn rehearse(outing: &Outing, plan: &Analysis, ask: RehearsalAsk) -> Result<Rehearsal, PlanError> {
    ask.checked()?;
    let days = DrawnDays::new(&plan.days.days.axes, &DrawAsk::of(ask.days, ask.seed));
    let fresh = WeighedDays::prior(days);
    let played = played::play(outing, plan, &fresh, ask.seed);
    let messages = plan.messages.iter().map(|m| of_message(m, &played)).collect();
    Ok(Rehearsal {
        rows: rows::rows(outing, &fresh),
        reliability: reliability::reliability(outing, plan, &fresh, ask.seed),
        plan_days: plan.days.days.count,
        played,
        messages,
        ask,
    })
}

fn of_message(plan: &crate::analysis::MessagePlan, played: &[PlayedDay]) -> MessageRehearsal {
    let message = plan.message;
    let lost_on = |why: Lost| {
        let days = played.iter().filter(|d| d.lost_to.get(message) == Some(&Some(why)));
        (why, days.count())
    };
    let mut lost: Vec<(Lost, usize)> = Lost::ALL.into_iter().map(lost_on).filter(|l| l.1 > 0).collect();
    lost.sort_by_key(|l| std::cmp::Reverse(l.1));
    let through = |d: &&PlayedDay| d.through_at.get(message).is_some_and(Option::is_some);
    MessageRehearsal {
        message,
        planned: plan.chance.chance,
        through: played.iter().filter(through).count(),
        lost,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// √(0.3 · 0.7 / 100) = 0.045826 by hand.
    #[test]
    fn the_error_of_a_share_is_that_of_the_binomial_distribution() {
        let (share, error) = share_with_error(30, 100);
        assert!((share - 0.3).abs() < 1e-12 && (error - 0.045_826).abs() < 1e-6);
        let (none, error) = share_with_error(0, 400);
        assert!(none == 0.0 && error > 0.001 && error < 0.003, "{error}");
        assert_eq!(share_with_error(0, 0).0, 0.0);
    }

    #[test]
    fn all_and_none_are_as_unsure_as_each_other() {
        let (all, error) = share_with_error(400, 400);
        assert!(all == 1.0 && (error - share_with_error(0, 400).1).abs() < 1e-12);
        let (most, error) = share_with_error(70, 100);
        assert!((most - 0.7).abs() < 1e-12 && (error - 0.045_826).abs() < 1e-6);
    }

    #[test]
    fn days_that_are_not_allowed_are_refused() {
        let (fewest, most) = DAYS_ALLOWED;
        let checked = |days, seed| RehearsalAsk { days, seed }.checked();
        assert!(checked(fewest, SEED + 1).is_ok() && checked(most, SEED + 1).is_ok());
        for days in [fewest - 1, most + 1] {
            assert!(matches!(checked(days, SEED + 1), Err(PlanError::Days { .. })), "{days}");
        }
        assert!(matches!(checked(fewest, SEED), Err(PlanError::DaysOfThePlan(_))));
    }
}

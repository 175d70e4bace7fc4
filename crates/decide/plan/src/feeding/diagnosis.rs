//! What readings of the own station say about it: typed candidates with likelihoods, before anybody wonders about the sky.

use crate::error::PlanError;
use farhop_earth::{Ground, GroundConstants};
use farhop_feed::reading::SLIP_SHARE;
use farhop_feed::reading::{Condition, MeterPlace, ReadingModels, judge_reading, wet_variations};
use farhop_feed::swr::gamma_of_swr;
use farhop_feed::{FeedChain, Sample, Surface, VariationSize};
use farhop_num::maths;
use farhop_outing::Antenna;

use crate::feeding::variation::{moist_ground, varied};
use farhop_feed::AntennaFeed;

/// How a candidate shows itself on the air.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Shows {
    /// Everything as forecast, wet or dry.
    Nothing,
    /// Nothing goes out, and next to nothing comes in.
    NothingOut,
    /// Less goes out.
    WeakOut,
}

/// A state of the own station that a reading speaks for or against.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// How it shows itself.
    pub shows: Shows,
    /// In a few words: `wire off or broken at the feed point`.
    pub words: &'static str,
    /// Likelihood of the reading in this state over that in order (dimensionless).
    pub likelihood_ratio: f64,
    /// Chance after the reading with the usual chances before (dimensionless).
    pub chance: f64,
}

/// The antenna as it may be when in order, dry and wet.
///
/// `solve` gives the feed of an antenna over a ground.
///
/// # Errors
/// Says in words which variation has no solution.
pub fn reading_models(
    antenna: &Antenna,
    ground: Ground,
    mut solve: impl FnMut(&Antenna, GroundConstants) -> Result<AntennaFeed, PlanError>,
) -> Result<ReadingModels, PlanError> {
    let mut solved = |v: &farhop_feed::Variation| solve(&varied(antenna, v), moist_ground(ground, v.ground_step));
    let surface = Surface::build(VariationSize::FIELD, |v| solved(&v).map_err(|e| e.to_string()))?;
    // Rain is one more state; an antenna that has no solution so is judged dry.
    let wet = wet_variations().into_iter().filter_map(|v| solved(&v).ok());
    let wet = wet.map(|antenna| Sample { antenna, weight: 1.0 }).collect();
    Ok(ReadingModels::with_small_meter(surface.samples(), wet))
}

/// What an SWR reading (dimensionless, 1 or more) after tuning says about the feed, most likely first.
///
/// # Errors
/// Says in words which value cannot be computed.
pub fn swr_candidates(
    chain: &FeedChain,
    freq_mhz: f64,
    swr: f64,
    models: &ReadingModels,
) -> Result<Vec<Candidate>, PlanError> {
    let verdict = judge_reading(chain, freq_mhz, MeterPlace::AfterTuning, swr, models)?;
    let stop = gamma_of_swr(models.meter_most_swr);
    // Any reading is as likely as any other: a density of 1 over |Γ|, at the meter's end stop the rest of it.
    let other = if gamma_of_swr(swr) >= stop { 1.0 - stop } else { 1.0 };
    let fits = verdict.fits.iter().map(|fit| {
        let (shows, words) = told(fit.condition);
        (
            shows,
            words,
            fit.likelihood,
            (1.0 - OTHER_PRIOR) * fit.condition.prior(),
        )
    });
    let other = (
        Shows::WeakOut,
        "a broken strand, a wrong link or another length",
        other,
        OTHER_PRIOR,
    );
    Ok(weighed(fits.chain([other]).collect()))
}

/// Chance of a fault of the antenna that is none of the feed's conditions (dimensionless; a judgement): it may show any SWR.
const OTHER_PRIOR: f64 = 0.03;

/// Bayes' rule over states with their likelihoods and chances before, the first that shows nothing being the one in order; the most likely
/// comes first.
fn weighed(states: Vec<(Shows, &'static str, f64, f64)>) -> Vec<Candidate> {
    let total: f64 = states.iter().map(|(_, _, likely, before)| likely * before).sum();
    let in_order = states.iter().find(|s| s.1 == IN_ORDER).map_or(1.0, |s| s.2);
    let one = |(shows, words, likely, before): (Shows, &'static str, f64, f64)| Candidate {
        shows,
        words,
        likelihood_ratio: likely / in_order,
        chance: likely * before / total,
    };
    let mut list: Vec<Candidate> = states.into_iter().map(one).collect();
    list.sort_by(|a, b| b.chance.total_cmp(&a.chance));
    list
}

/// The words of the state in order.
const IN_ORDER: &str = "in order";

fn told(condition: Condition) -> (Shows, &'static str) {
    match condition {
        Condition::Fine => (Shows::Nothing, IN_ORDER),
        Condition::Wet => (Shows::Nothing, "wet antenna or line, nothing to repair"),
        Condition::LossyLine => (Shows::WeakOut, "water or damage in the feed line"),
        Condition::OpenFeed => (Shows::NothingOut, "wire off or broken at the feed point"),
        Condition::ShortFeed => (Shows::NothingOut, "short circuit at the feed point"),
        Condition::Unplugged => (Shows::NothingOut, "no line plugged into the set"),
    }
}

/// Spread of a small wattmeter, as a standard deviation of the logarithm of its reading (dimensionless; common practice, from memory:
/// 10 % of the reading).
const WATT_SD: f64 = 0.1;
/// A meter without power shows up to this share of the set power (dimensionless; a judgement).
const IDLE_SHARE: f64 = 0.02;
/// Chances before a reading of power out: in order, weak, nothing (dimensionless; judgements).
const POWER_PRIORS: [f64; 3] = [0.9, 0.07, 0.03];

/// What a reading of power out (W) says, where `forecast_w` (W) is what the set should give into this SWR; most likely first.
#[must_use]
pub fn power_candidates(read_w: f64, forecast_w: f64) -> Vec<Candidate> {
    let share = (read_w / forecast_w.max(1e-6)).max(0.0);
    let z = maths::ln(share.max(1e-6)) / WATT_SD;
    // Densities over the share of the forecast power.
    let fine = maths::exp(-0.5 * z * z) / (WATT_SD * share.max(1e-6) * (std::f64::consts::TAU).sqrt());
    let weak = if (IDLE_SHARE..0.9).contains(&share) {
        1.0 / (0.9 - IDLE_SHARE)
    } else {
        0.0
    };
    let none = if share <= IDLE_SHARE { 1.0 / IDLE_SHARE } else { 0.0 };
    let likely = [fine, weak, none].map(|l| (1.0 - SLIP_SHARE) * l + SLIP_SHARE);
    let named = [
        (Shows::Nothing, IN_ORDER),
        (Shows::WeakOut, "the set gives less than it should"),
        (Shows::NothingOut, "the set gives nothing"),
    ];
    let states = named.iter().zip(likely).zip(POWER_PRIORS);
    weighed(
        states
            .map(|(((shows, words), l), before)| (*shows, *words, l, before))
            .collect(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn leading(read_w: f64) -> (Shows, f64) {
        let list = power_candidates(read_w, 5.0);
        let sum: f64 = list.iter().map(|c| c.chance).sum();
        assert!((sum - 1.0).abs() < 1e-12);
        (list[0].shows, list[0].chance)
    }

    /// Bayes' rule by hand for 4.5 of 5 W: z = ln 0.9 / 0.1 = -1.0536, density 0.57406 / (0.1 · 0.9 · 2.50663) = 2.5446; weak has
    /// 0 at 0.9, nothing 0; with slips 2.5292 : 0.01 : 0.01, so in order 0.9 · 2.5292 / (0.9 · 2.5292 + 0.1 · 0.01) = 0.99956.
    #[test]
    fn a_reading_near_the_set_power_is_in_order() {
        let (shows, chance) = leading(4.5);
        assert_eq!(shows, Shows::Nothing);
        assert!((chance - 0.99956).abs() < 1e-5, "{chance}");
    }

    /// Bayes' rule by hand for an SWR that fits no condition of the feed: slips leave a density of 0.01 for each of them, the other fault
    /// has 1; so 0.03 / (0.03 + 0.97 · 0.01) = 0.7557.
    #[test]
    fn a_reading_that_fits_nothing_speaks_for_another_fault() {
        let states = vec![
            (Shows::Nothing, IN_ORDER, 0.01, 0.97),
            (Shows::WeakOut, "other", 1.0, OTHER_PRIOR),
        ];
        let list = weighed(states);
        assert_eq!(list[0].words, "other");
        assert!((list[0].chance - 0.7557).abs() < 1e-4 && (list[0].likelihood_ratio - 100.0).abs() < 1e-9);
    }

    #[test]
    fn a_meter_that_does_not_move_is_nothing_out_and_a_watt_of_five_is_weak() {
        assert_eq!(leading(0.0).0, Shows::NothingOut);
        assert_eq!(leading(1.0).0, Shows::WeakOut);
    }
}

//! Primary, alternate, contingency, emergency: four entries that fail for different reasons.
//!
//! A candidate fails when one of its causes strikes: the ionosphere as a whole, its band, its station, its mode, its own
//! site, or chance of its own. A cause with the same name (the same band, the same station …) strikes all its candidates together:
//! one hidden severity, uniform on 0 to 1, fells every candidate whose failure chance for that cause exceeds it (comonotone, the
//! strongest correlation there is). Different causes are independent. That is a shared-cause model in the manner of the
//! beta-factor and common-cause models of reliability engineering (NUREG/CR-4780, from memory), chosen because it gives the chance
//! that at least one of a few entries works in closed form: by inclusion and exclusion, where all of a set work with chance
//! product over causes of (1 - greatest failure chance in the set).

use crate::error::{MessageError, within};
use farhop_num::maths;

/// Most entries of an order.
pub(crate) const ENTRIES_MAX: usize = 4;

/// What an entry depends on; equal names mean the same thing fails.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Traits {
    /// Band, for example `40 m`.
    pub band: String,
    /// Station at the other end.
    pub station: String,
    /// Mode.
    pub mode: String,
    /// Own site.
    pub site: String,
}

/// How the logarithm of a candidate's chance is shared among causes (dimensionless, summing to 1 with `own` as the rest).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shares {
    /// The ionosphere as a whole, or the operator: common to all.
    pub everything: f64,
    /// The band.
    pub band: f64,
    /// The station.
    pub station: f64,
    /// The mode.
    pub mode: f64,
    /// The site.
    pub site: f64,
}

impl Default for Shares {
    /// 10 % everything, 40 % band, 20 % station, 5 % mode, 15 % site, 10 % its own. Assumptions.
    fn default() -> Self {
        Self {
            everything: 0.10,
            band: 0.40,
            station: 0.20,
            mode: 0.05,
            site: 0.15,
        }
    }
}

/// Something that could be an entry.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// Chance that it works (dimensionless).
    pub chance: f64,
    /// What it depends on.
    pub traits: Traits,
    /// How its failures are shared among its causes.
    pub shares: Shares,
}

/// What an entry protects against: what must fail for all entries before it, and does not touch it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Protects {
    /// The bands before are dead; this is another band.
    DeadBand,
    /// The stations before are off, busy or deaf; this is another station.
    LostStation,
    /// The modes before do not get through; this is another mode.
    FailingMode,
    /// The sites before are noisy, shadowed or out of reach; this is another site.
    BadSite,
    /// Nothing in particular: it repeats an entry at another time.
    BadLuck,
}

/// One entry of the order.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Index into the candidates.
    pub candidate: usize,
    /// Chance that it works when all entries before it have failed (dimensionless).
    pub chance_after_failures: f64,
    /// Chance that this or an entry before it works (dimensionless).
    pub chance_so_far: f64,
    /// What it protects against; empty for the first entry.
    pub protects: Vec<Protects>,
}

/// Draws an order: first the likeliest candidate, then each time the one that raises the chance that any works the most
/// (on equal gain the likelier one).
///
/// # Errors
/// A chance or a share is out of range.
pub fn draw(candidates: &[Candidate], entries: usize) -> Result<Vec<Entry>, MessageError> {
    let causes = causes_of(candidates)?;
    let mut chosen: Vec<usize> = Vec::new();
    let mut order = Vec::new();
    let mut so_far = 0.0;
    while order.len() < entries.min(ENTRIES_MAX).min(candidates.len()) {
        let Some((best, chance)) = best_addition(&causes, candidates, &chosen) else {
            break;
        };
        let chance_after_failures = if so_far < 1.0 {
            (chance - so_far).max(0.0) / (1.0 - so_far)
        } else {
            0.0
        };
        let protects = protects(candidates, &chosen, best);
        chosen.push(best);
        order.push(Entry {
            candidate: best,
            chance_after_failures,
            chance_so_far: chance,
            protects,
        });
        so_far = chance;
    }
    Ok(order)
}

#[cfg(test)]
/// Chance (dimensionless) that at least one of the candidates at `chosen` works; at most [`ENTRIES_MAX`] are looked at.
///
/// # Errors
/// A chance or a share is out of range.
pub(crate) fn chance_of_any(candidates: &[Candidate], chosen: &[usize]) -> Result<f64, MessageError> {
    let causes = causes_of(candidates)?;
    let held: Vec<usize> = chosen
        .iter()
        .copied()
        .filter(|&index| index < candidates.len())
        .take(ENTRIES_MAX)
        .collect();
    Ok(any_works(&causes, &held))
}

/// Failure chances by cause and the name each cause goes by, as small numbers for speed.
struct Causes {
    /// `[everything, band, station, mode, site, own]`
    failure: [f64; 6],
    /// Equal numbers at the same place mean the same cause.
    name: [usize; 6],
}

fn causes_of(candidates: &[Candidate]) -> Result<Vec<Causes>, MessageError> {
    let first = |same: &dyn Fn(&Traits) -> bool| candidates.iter().position(|c| same(&c.traits)).unwrap_or(0);
    candidates
        .iter()
        .enumerate()
        .map(|(index, candidate)| {
            let (own, shares) = (&candidate.traits, share_list(&candidate.shares)?);
            within("chance of a candidate", candidate.chance, 0.0..=1.0, "0 to 1")?;
            Ok(Causes {
                // Product over causes of (1 - failure) is the candidate's chance.
                failure: shares.map(|share| {
                    if share > 0.0 {
                        1.0 - maths::powf(candidate.chance, share)
                    } else {
                        0.0
                    }
                }),
                name: [
                    0,
                    first(&|other| other.band == own.band),
                    first(&|other| other.station == own.station),
                    first(&|other| other.mode == own.mode),
                    first(&|other| other.site == own.site),
                    index,
                ],
            })
        })
        .collect()
}

fn share_list(shares: &Shares) -> Result<[f64; 6], MessageError> {
    let given = [shares.everything, shares.band, shares.station, shares.mode, shares.site];
    for share in given {
        within("share of a cause", share, 0.0..=1.0, "0 to 1")?;
    }
    let own = 1.0 - given.iter().sum::<f64>();
    within(
        "share left for a candidate's own failures",
        own,
        -1e-9..=1.0,
        "shares that sum to at most 1",
    )?;
    Ok([given[0], given[1], given[2], given[3], given[4], own.max(0.0)])
}

fn best_addition(causes: &[Causes], candidates: &[Candidate], chosen: &[usize]) -> Option<(usize, f64)> {
    let mut best: Option<(usize, f64)> = None;
    let mut set = chosen.to_vec();
    for index in (0..candidates.len()).filter(|index| !chosen.contains(index)) {
        set.push(index);
        let chance = any_works(causes, &set);
        set.pop();
        let better = best.is_none_or(|(held, held_chance)| {
            chance > held_chance + 1e-12
                || (chance > held_chance - 1e-12 && candidates[index].chance > candidates[held].chance)
        });
        if better {
            best = Some((index, chance));
        }
    }
    best
}

/// Inclusion and exclusion over the subsets of `set`.
fn any_works(causes: &[Causes], set: &[usize]) -> f64 {
    let mut chance = 0.0;
    for subset in 1_u32..(1 << set.len()) {
        let members: Vec<&Causes> = set
            .iter()
            .enumerate()
            .filter(|(k, _)| subset >> k & 1 == 1)
            .map(|(_, &index)| &causes[index])
            .collect();
        let sign = if subset.count_ones() % 2 == 1 { 1.0 } else { -1.0 };
        chance += sign * all_work(&members);
    }
    chance.clamp(0.0, 1.0)
}

fn all_work(members: &[&Causes]) -> f64 {
    let mut chance = 1.0;
    for place in 0..6 {
        for (k, member) in members.iter().enumerate() {
            let same = |other: &&&Causes| other.name[place] == member.name[place];
            if members[..k].iter().any(|other| same(&other)) {
                continue;
            }
            let worst = members
                .iter()
                .filter(same)
                .map(|other| other.failure[place])
                .fold(0.0, f64::max);
            chance *= 1.0 - worst;
        }
    }
    chance
}

fn protects(candidates: &[Candidate], before: &[usize], index: usize) -> Vec<Protects> {
    if before.is_empty() {
        return Vec::new();
    }
    let own = &candidates[index].traits;
    let differs = |same: &dyn Fn(&Traits) -> bool| before.iter().all(|&other| !same(&candidates[other].traits));
    let found = [
        (Protects::DeadBand, differs(&|other| other.band == own.band)),
        (Protects::LostStation, differs(&|other| other.station == own.station)),
        (Protects::FailingMode, differs(&|other| other.mode == own.mode)),
        (Protects::BadSite, differs(&|other| other.site == own.site)),
    ];
    let protects: Vec<Protects> = found
        .into_iter()
        .filter(|(_, yes)| *yes)
        .map(|(reason, _)| reason)
        .collect();
    if protects.is_empty() {
        vec![Protects::BadLuck]
    } else {
        protects
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn candidate(chance: f64, band: &str, station: &str, site: &str) -> Candidate {
        let traits = Traits {
            band: band.into(),
            station: station.into(),
            mode: "narrow-500".into(),
            site: site.into(),
        };
        Candidate {
            chance,
            traits,
            shares: Shares::default(),
        }
    }

    #[test]
    fn a_set_of_one_has_its_own_chance() {
        let one = [candidate(0.63, "40 m", "QA1A", "hill")];
        assert!((chance_of_any(&one, &[0]).unwrap() - 0.63).abs() < 1e-12);
    }

    #[test]
    fn the_alternate_is_on_another_band_rather_than_the_second_best_repeat() {
        let all = [
            candidate(0.80, "40 m", "QA1A", "hill"),
            candidate(0.79, "40 m", "QA1A", "hill"),
            candidate(0.65, "80 m", "QB2B", "hill"),
            candidate(0.50, "30 m", "QC3C", "valley"),
        ];
        let order = draw(&all, 4).unwrap();
        assert_eq!(order[0].candidate, 0);
        assert_eq!(order[1].candidate, 2);
        assert!(order[1].protects.contains(&Protects::DeadBand) && order[1].protects.contains(&Protects::LostStation));
        assert!(order[2].protects.contains(&Protects::BadSite), "{order:?}");
        assert_eq!(order[3].protects, vec![Protects::BadLuck]);
        assert!(
            order
                .windows(2)
                .all(|pair| pair[1].chance_so_far >= pair[0].chance_so_far)
        );
    }

    #[test]
    fn independent_entries_multiply_their_failures() {
        let none = Shares {
            everything: 0.0,
            band: 0.0,
            station: 0.0,
            mode: 0.0,
            site: 0.0,
        };
        let all = [0.5, 0.4, 0.3].map(|chance| Candidate {
            shares: none,
            ..candidate(chance, "40 m", "QA1A", "hill")
        });
        let exact = 1.0 - 0.5 * 0.6 * 0.7;
        assert!((chance_of_any(&all, &[0, 1, 2]).unwrap() - exact).abs() < 1e-12);
    }

    #[test]
    fn wholly_shared_causes_leave_the_best_chance() {
        let shared = Shares {
            everything: 0.0,
            band: 1.0,
            station: 0.0,
            mode: 0.0,
            site: 0.0,
        };
        let all = [0.5, 0.4].map(|chance| Candidate {
            shares: shared,
            ..candidate(chance, "40 m", "QA1A", "hill")
        });
        assert!((chance_of_any(&all, &[0, 1]).unwrap() - 0.5).abs() < 1e-12);
    }

    #[test]
    fn shares_beyond_one_are_refused() {
        let mut bad = candidate(0.5, "40 m", "QA1A", "hill");
        bad.shares.band = 0.9;
        assert!(draw(&[bad], 1).is_err());
        assert!(draw(&[], 4).unwrap().is_empty());
    }

    proptest! {
        #[test]
        fn greedy_is_close_to_the_best_set(chances in prop::collection::vec(0.05..0.95_f64, 8),
                                           places in prop::collection::vec(0..3_usize, 24)) {
            let all: Vec<Candidate> = chances.iter().enumerate().map(|(k, &chance)| {
                candidate(chance, &places[3 * k].to_string(), &places[3 * k + 1].to_string(), &places[3 * k + 2].to_string())
            }).collect();
            let greedy = draw(&all, 3).unwrap().last().map_or(0.0, |entry| entry.chance_so_far);
            let mut best: f64 = 0.0;
            for a in 0..8 { for b in 0..a { for c in 0..b {
                best = best.max(chance_of_any(&all, &[a, b, c]).unwrap());
            } } }
            // The chance that any works is submodular: greedy reaches 1 - 1/e of the best (Nemhauser, Wolsey & Fisher 1978).
            // It mostly comes far closer (0.97 in nearly every draw), but no theorem says so.
            prop_assert!(greedy <= best + 1e-12 && greedy >= (1.0 - (-1.0_f64).exp()) * best, "{greedy} {best}");
        }
    }
}

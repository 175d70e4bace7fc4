//! The best set of candidates under limits, by branch and bound.
//!
//! More parts never lower the chance of success, so the chance with every undecided candidate that still fits by
//! itself is an upper bound for all that can follow. A branch whose bound does not beat the best set found is cut off.

use crate::error::{KitError, within};
use crate::graph::PartIx;
use crate::success::Model;

/// Chances closer than this count as equal (dimensionless).
const SAME: f64 = 1e-12;
/// Mass, volume and price may exceed their limit by this share of it: sums of decimal numbers are not exact (dimensionless).
const SLACK: f64 = 1e-9;
/// Evaluations after which the search stops and says that its answer may not be the best.
const MOST_EVALUATIONS: u64 = 2_000_000;

/// What may be added.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Mass in kg, 0 or more.
    pub mass_kg: f64,
    /// Volume in litres, if limited, 0 or more.
    pub volume_l: Option<f64>,
    /// Price in the currency of the parts (dimensionless), if limited, 0 or more.
    pub price: Option<f64>,
}

impl Limits {
    /// A limit on mass in kg alone.
    #[must_use]
    pub fn mass(mass_kg: f64) -> Self {
        Self {
            mass_kg,
            volume_l: None,
            price: None,
        }
    }

    pub(super) fn check(&self) -> Result<(), KitError> {
        within("the limit of mass in kg", self.mass_kg, 0.0, 1e6)?;
        within("the limit of volume in litres", self.volume_l.unwrap_or(0.0), 0.0, 1e9)?;
        within("the limit of price", self.price.unwrap_or(0.0), 0.0, 1e12)?;
        Ok(())
    }

    fn each(&self) -> [f64; 3] {
        let loose = |limit: f64| limit * (1.0 + SLACK) + SLACK;
        [
            loose(self.mass_kg),
            self.volume_l.map_or(f64::INFINITY, loose),
            self.price.map_or(f64::INFINITY, loose),
        ]
    }
}

/// The best set.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// Candidates to take along, in the order of the kit; none that changes nothing.
    pub parts: Vec<PartIx>,
    /// Their mass in kg.
    pub mass_kg: f64,
    /// Their volume in litres, as far as known.
    pub volume_l: f64,
    /// Their price (dimensionless), as far as known.
    pub price: f64,
    /// Chance of success without them (dimensionless).
    pub before: f64,
    /// Chance of success with them (dimensionless).
    pub after: f64,
    /// No other set within the limits is better; false only when the search was stopped for its length.
    pub exact: bool,
    /// How often the chance was worked out.
    pub evaluations: u64,
    /// Chosen parts whose volume or price is limited but not known: they count as 0.
    pub not_known: Vec<PartIx>,
}

/// Candidates for which each limit alone leaves room, and that can change the chance.
pub(super) fn usable(model: &Model<'_>, limits: &Limits) -> Vec<PartIx> {
    let most = limits.each();
    let fits = |p: &PartIx| sizes(model, *p).iter().zip(most).all(|(s, m)| *s <= m);
    model
        .kit()
        .candidates()
        .filter(fits)
        .filter(|p| model.matters(*p))
        .collect()
}

fn sizes(model: &Model<'_>, part: PartIx) -> [f64; 3] {
    let p = model.kit().part(part);
    [p.mass_kg, p.volume_l.unwrap_or(0.0), p.price.unwrap_or(0.0)]
}

/// Whether a set of candidates keeps within the limits.
pub(super) fn fit(model: &Model<'_>, parts: &[PartIx], limits: &Limits) -> bool {
    let most = limits.each();
    (0..3).all(|i| parts.iter().map(|p| sizes(model, *p)[i]).sum::<f64>() <= most[i])
}

/// The set of candidates within the limits that makes the chance of success greatest.
///
/// Of sets with equal chance one is given from which no part can be left out; it need not be the lightest of them.
///
/// # Errors
/// A limit is negative or not a number.
pub fn best_spares(model: &Model<'_>, limits: &Limits) -> Result<Choice, KitError> {
    limits.check()?;
    let mut items: Vec<Item> = usable(model, limits)
        .into_iter()
        .map(|part| Item {
            part,
            sizes: sizes(model, part),
        })
        .collect();
    let carried = model.kit().carried();
    let mut search = Search {
        model,
        space: Vec::new(),
        evaluations: 0,
        best: model.success(&carried),
        best_set: carried.clone(),
    };
    let before = search.best;
    search.sort(&mut items, &carried);
    search.branch(&items, &mut carried.clone(), limits.each());
    search.drop_useless(&items);
    Ok(choice(&search, limits, before))
}

#[derive(Clone, Copy)]
struct Item {
    part: PartIx,
    sizes: [f64; 3],
}

struct Search<'m, 'k> {
    model: &'m Model<'k>,
    space: Vec<f64>,
    evaluations: u64,
    best: f64,
    best_set: Vec<bool>,
}

impl Search<'_, '_> {
    fn chance(&mut self, taken: &[bool]) -> f64 {
        self.evaluations += 1;
        self.model.asked(taken, &mut self.space)
    }

    /// First what is missed most from the full set: deciding it early moves the bound most.
    fn sort(&mut self, items: &mut Vec<Item>, carried: &[bool]) {
        let mut full = carried.to_vec();
        items.iter().for_each(|i| full[i.part.0] = true);
        let mut ranked: Vec<(f64, Item)> = Vec::new();
        for item in items.iter() {
            full[item.part.0] = false;
            ranked.push((self.chance(&full), *item));
            full[item.part.0] = true;
        }
        ranked.sort_by(|a, b| a.0.total_cmp(&b.0));
        *items = ranked.into_iter().map(|r| r.1).collect();
    }

    fn branch(&mut self, items: &[Item], taken: &mut Vec<bool>, room: [f64; 3]) {
        let fits = |item: &Item| item.sizes.iter().zip(room).all(|(s, r)| *s <= r);
        let items: Vec<Item> = items.iter().filter(|i| fits(i)).copied().collect();
        let Some((first, rest)) = items.split_first() else {
            return;
        };
        if self.evaluations >= MOST_EVALUATIONS || self.bound(&items, taken, room) <= self.best + SAME {
            return;
        }
        taken[first.part.0] = true;
        let chance = self.chance(taken);
        if chance > self.best + SAME {
            self.best = chance;
            self.best_set.clone_from(taken);
        }
        let left = [0, 1, 2].map(|i| room[i] - first.sizes[i]);
        self.branch(rest, taken, left);
        taken[first.part.0] = false;
        self.branch(rest, taken, room);
    }

    /// Highest chance that can follow. When all undecided candidates together are too much, at least one stays out; the
    /// bound is then the best of the sets that lack one.
    fn bound(&mut self, items: &[Item], taken: &mut [bool], room: [f64; 3]) -> f64 {
        items.iter().for_each(|i| taken[i.part.0] = true);
        let mut bound = self.chance(taken);
        let all_fit = (0..3).all(|k| items.iter().map(|i| i.sizes[k]).sum::<f64>() <= room[k]);
        if !all_fit && bound > self.best + SAME {
            let mut lacking = 0.0_f64;
            for item in items {
                taken[item.part.0] = false;
                lacking = lacking.max(self.chance(taken));
                taken[item.part.0] = true;
                if lacking > self.best + SAME {
                    break;
                }
            }
            if lacking <= self.best + SAME {
                bound = lacking;
            }
        }
        items.iter().for_each(|i| taken[i.part.0] = false);
        bound
    }

    /// Takes out, heaviest first, what the best set does not need.
    fn drop_useless(&mut self, items: &[Item]) {
        let mut chosen: Vec<Item> = items.iter().filter(|i| self.best_set[i.part.0]).copied().collect();
        chosen.sort_by(|a, b| b.sizes[0].total_cmp(&a.sizes[0]));
        for item in chosen {
            let mut without = self.best_set.clone();
            without[item.part.0] = false;
            if self.chance(&without) >= self.best - SAME {
                self.best_set = without;
            }
        }
    }
}

fn choice(search: &Search<'_, '_>, limits: &Limits, before: f64) -> Choice {
    let kit = search.model.kit();
    let parts: Vec<PartIx> = kit.candidates().filter(|p| search.best_set[p.0]).collect();
    let sum = |i: usize| parts.iter().map(|p| sizes(search.model, *p)[i]).sum();
    let not_known = |p: &PartIx| {
        let part = kit.part(*p);
        (limits.volume_l.is_some() && part.volume_l.is_none()) || (limits.price.is_some() && part.price.is_none())
    };
    Choice {
        mass_kg: sum(0),
        volume_l: sum(1),
        price: sum(2),
        before,
        after: search.model.success(&search.best_set),
        exact: search.evaluations < MOST_EVALUATIONS,
        evaluations: search.evaluations,
        not_known: parts.iter().copied().filter(not_known).collect(),
        parts,
    }
}

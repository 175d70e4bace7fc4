//! The chance that the outing's messages go through: kit × energy × sky.
//!
//! Parts fail independently of each other, and of energy and sky once it is known which antennas and batteries are
//! available. Energy and sky are chances per available subset, so that an antenna lost with its coax is counted with
//! the loss of every other antenna on that coax. What ties parts together beyond the graph (one fall breaks two
//! parts) is left out.

use crate::bdd::{FALSE, Node, Ref, TRUE, probabilities};
use crate::error::{KitError, within};
use crate::graph::{Kit, PartIx};
use crate::priors::Chances;
use crate::structure::Structure;

/// Most parts that energy and sky together may depend on.
const MOST_WATCHED: usize = 10;

/// A chance for each subset of some parts that is available.
///
/// A part is available when it works, or a stand-in does that is not itself in the list. Having more never hurts: a
/// chance lower than that of a smaller subset is raised to it, since one may leave a part unused.
#[derive(Clone, Debug, PartialEq)]
pub struct PerAvailable {
    parts: Vec<PartIx>,
    chance: Vec<f64>,
}

impl PerAvailable {
    /// A chance (dimensionless, 0 to 1) that does not depend on what is available.
    ///
    /// # Errors
    /// The chance is out of range.
    pub fn constant(chance: f64) -> Result<Self, KitError> {
        Ok(Self {
            parts: Vec::new(),
            chance: vec![within("a chance", chance, 0.0, 1.0)?],
        })
    }

    /// `chance` is asked once for each subset: which of `parts` are available, in their order (dimensionless, 0 to 1).
    ///
    /// # Errors
    /// An unknown id, too many parts, or a chance out of range.
    pub fn new(kit: &Kit, ids: &[&str], mut chance: impl FnMut(&[bool]) -> f64) -> Result<Self, KitError> {
        limit(ids.len())?;
        let parts = ids.iter().map(|id| kit.find(id)).collect::<Result<Vec<_>, _>>()?;
        let mut table = Vec::with_capacity(1 << parts.len());
        for subset in 0..1_usize << parts.len() {
            let available: Vec<bool> = (0..parts.len()).map(|i| subset >> i & 1 == 1).collect();
            let mut value = within("the chance for a subset of parts", chance(&available), 0.0, 1.0)?;
            for i in (0..parts.len()).filter(|i| available[*i]) {
                value = value.max(table[subset & !(1 << i)]);
            }
            table.push(value);
        }
        Ok(Self { parts, chance: table })
    }

    /// The parts it depends on.
    #[must_use]
    pub fn parts(&self) -> &[PartIx] {
        &self.parts
    }

    fn of(&self, available: &[PartIx]) -> f64 {
        let bits = self
            .parts
            .iter()
            .enumerate()
            .map(|(i, p)| usize::from(available.contains(p)) << i);
        self.chance.get(bits.sum::<usize>()).copied().unwrap_or(0.0)
    }
}

fn limit(count: usize) -> Result<(), KitError> {
    if count > MOST_WATCHED {
        return Err(KitError::TooMany {
            what: "parts that energy and sky depend on",
            count,
            limit: MOST_WATCHED,
        });
    }
    Ok(())
}

/// What the outing depends on besides whole parts.
#[derive(Clone, Debug, PartialEq)]
pub struct Outside {
    /// Chance that the charge lasts.
    pub energy: PerAvailable,
    /// Chance that the messages get through when kit and charge hold.
    pub sky: PerAvailable,
}

impl Outside {
    /// Energy and sky never fail: what remains is the kit alone.
    #[must_use]
    pub fn sure() -> Self {
        let sure = PerAvailable {
            parts: Vec::new(),
            chance: vec![1.0],
        };
        Self {
            energy: sure.clone(),
            sky: sure,
        }
    }
}

/// The chance of success as a function of which parts are taken along: built once, asked often.
#[derive(Clone, Debug)]
pub struct Model<'k> {
    kit: &'k Kit,
    structure: Structure,
    whole: Vec<f64>,
    outside: Outside,
    nodes: Vec<Node>,
    /// (chance of energy and sky, place of "vital functions work with exactly this available").
    weighted: Vec<(f64, Ref)>,
}

impl<'k> Model<'k> {
    /// The model over all parts, candidates included.
    ///
    /// # Errors
    /// The diagram grows too large, or energy and sky depend on too many parts.
    pub fn new(kit: &'k Kit, chances: &Chances, outside: &Outside) -> Result<Self, KitError> {
        let all = vec![true; kit.parts().len()];
        let mut structure = Structure::new(kit, &all)?;
        let split = split(kit, &mut structure, outside)?;
        structure.bdd.finish();
        let roots: Vec<Ref> = split.iter().map(|s| s.1).collect();
        let (nodes, places) = structure.bdd.cut_out(&roots);
        let weight = |set: &[PartIx]| outside.energy.of(set) * outside.sky.of(set);
        Ok(Self {
            kit,
            whole: chances.whole(),
            outside: outside.clone(),
            weighted: split
                .iter()
                .zip(places)
                .map(|(s, place)| (weight(&s.0), place))
                .collect(),
            structure,
            nodes,
        })
    }

    /// The kit.
    #[must_use]
    pub fn kit(&self) -> &'k Kit {
        self.kit
    }

    /// Chance of success (dimensionless) when the parts with `true` are taken along; parts beyond the end are not.
    #[must_use]
    pub fn success(&self, taken: &[bool]) -> f64 {
        self.asked(taken, &mut Vec::new())
    }

    /// As [`Self::success`], with working space to use again.
    pub(crate) fn asked(&self, taken: &[bool], space: &mut Vec<f64>) -> f64 {
        self.node_values(taken, space);
        self.weighted.iter().map(|(w, root)| w * space[*root as usize]).sum()
    }

    fn node_values(&self, taken: &[bool], space: &mut Vec<f64>) {
        let mut at_level = vec![0.0; self.whole.len()];
        for (part, level) in self.structure.level.iter().enumerate() {
            if taken.get(part).copied().unwrap_or(false) {
                at_level[*level] = self.whole[part];
            }
        }
        probabilities(&self.nodes, &at_level, space);
    }

    /// Whether the chance can depend on a part at all.
    #[must_use]
    pub fn matters(&self, part: PartIx) -> bool {
        let level = self.structure.level[part.0] as u32;
        self.nodes.iter().skip(2).any(|n| n.level == level)
    }

    /// The chance with its factors when the parts with `true` are taken along.
    ///
    /// # Errors
    /// The diagram grows too large.
    pub fn explained(&self, taken: &[bool]) -> Result<Success, KitError> {
        let mut structure = Structure::new(self.kit, taken)?;
        let (mut kit, mut with_energy, mut total) = (0.0, 0.0, 0.0);
        let at_level = structure.at_level(&self.whole);
        for (set, root) in split(self.kit, &mut structure, &self.outside)? {
            let p = structure.bdd.probability(root, &at_level);
            let energy = self.outside.energy.of(&set);
            kit += p;
            with_energy += p * energy;
            total += p * energy * self.outside.sky.of(&set);
        }
        let share = |part: f64, of: f64| if of > 0.0 { part / of } else { 0.0 };
        Ok(Success {
            kit,
            energy: share(with_energy, kit),
            sky: share(total, with_energy),
            total,
        })
    }
}

/// The chance of success with its factors; `total` is the product of the other three. All are dimensionless.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Success {
    /// All vital functions work (dimensionless).
    pub kit: f64,
    /// The charge lasts, given that (dimensionless).
    pub energy: f64,
    /// The messages get through, given both (dimensionless).
    pub sky: f64,
    /// All three (dimensionless).
    pub total: f64,
}

/// The chance of success of what is carried.
///
/// # Errors
/// As [`Model::new`].
pub fn success(kit: &Kit, chances: &Chances, outside: &Outside) -> Result<Success, KitError> {
    Model::new(kit, chances, outside)?.explained(&kit.carried())
}

/// "All vital functions work and exactly this subset of the watched parts is available", for each subset possible.
fn split(kit: &Kit, structure: &mut Structure, outside: &Outside) -> Result<Vec<(Vec<PartIx>, Ref)>, KitError> {
    let mut watched: Vec<PartIx> = outside.energy.parts.iter().chain(&outside.sky.parts).copied().collect();
    watched.sort_unstable();
    watched.dedup();
    limit(watched.len())?;
    let mut found = vec![(Vec::new(), structure.vital)];
    for part in &watched {
        let available = available(kit, structure, *part, &watched)?;
        let mut next = Vec::with_capacity(2 * found.len());
        for (set, root) in found {
            let without = structure.bdd.and_not(root, available)?;
            let with = structure.bdd.and(root, available)?;
            let longer = set.iter().copied().chain([*part]).collect();
            next.extend(
                [(set, without), (longer, with)]
                    .into_iter()
                    .filter(|(_, r)| *r != FALSE),
            );
        }
        found = next;
    }
    Ok(found)
}

/// Works, or a stand-in (through other stand-ins too) works that is not watched for itself.
fn available(kit: &Kit, structure: &mut Structure, part: PartIx, watched: &[PartIx]) -> Result<Ref, KitError> {
    let mut any = structure.works[part.0];
    let mut seen = vec![part.0];
    let mut open = vec![part.0];
    while let Some(next) = open.pop() {
        for s in kit.stand_ins(next) {
            if !seen.contains(s) && !watched.contains(&PartIx(*s)) {
                seen.push(*s);
                open.push(*s);
                any = structure.bdd.or(any, structure.works[*s])?;
            }
        }
    }
    Ok(any)
}

/// Minutes that changing over to stand-ins is expected to cost. This is not part of the chance of success.
///
/// For each part that some function needs, directly or through others: the chance that it does not work and that the
/// quickest stand-in that works is this one, times its minutes, summed. A stand-in reached only through another
/// stand-in is not counted.
///
/// # Errors
/// The diagram grows too large.
pub fn changeover_loss_min(kit: &Kit, chances: &Chances) -> Result<f64, KitError> {
    let mut structure = Structure::new(kit, &kit.carried())?;
    let at_level = structure.at_level(&chances.whole());
    let mut total_min = 0.0;
    for part in in_use(kit) {
        let mut left = structure.bdd.and_not(TRUE, structure.works[part])?;
        for s in kit.stand_ins(part) {
            let works = structure.works[*s];
            let used = structure.bdd.and(left, works)?;
            total_min += structure.bdd.probability(used, &at_level) * kit.parts()[*s].changeover_min;
            left = structure.bdd.and_not(left, works)?;
        }
    }
    Ok(total_min)
}

/// Carried parts that a function reaches by needs, without stand-ins.
fn in_use(kit: &Kit) -> Vec<usize> {
    let mut seen = vec![false; kit.parts().len()];
    let mut open: Vec<usize> = (0..kit.functions().len())
        .flat_map(|f| kit.function_needs(f).concat())
        .collect();
    while let Some(part) = open.pop() {
        if !seen[part] && kit.parts()[part].carried {
            seen[part] = true;
            open.extend(kit.needs(part).iter().flatten());
        }
    }
    (0..seen.len()).filter(|p| seen[*p]).collect()
}

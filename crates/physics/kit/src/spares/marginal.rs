//! What each addition brings by itself, and the chosen set as steps, the most helpful first.

use super::points;
use super::search::{Choice, Limits, fit, usable};
use crate::error::KitError;
use crate::graph::PartIx;
use crate::success::Model;

/// Points below which an addition is not worth a line (dimensionless).
const WORTH_POINTS: f64 = 1e-6;
/// How many times what both bring alone a pair must bring to be listed as one (dimensionless; a judgement): chances multiply,
/// so that every pair brings a little more than the sum.
const TOGETHER_FACTOR: f64 = 1.25;

/// One addition: "add 0.3 kg: +14 points".
#[derive(Clone, Debug, PartialEq)]
pub struct Addition {
    /// What is added: one candidate, or two or more that help only together.
    pub parts: Vec<PartIx>,
    /// Their mass in kg.
    pub mass_kg: f64,
    /// Percentage points of success gained (dimensionless).
    pub gain_points: f64,
    /// Chance of success afterwards (dimensionless).
    pub after: f64,
}

impl Addition {}

fn addition(model: &Model<'_>, taken: &[bool], parts: &[PartIx]) -> Addition {
    let mut with = taken.to_vec();
    parts.iter().for_each(|p| with[p.0] = true);
    let after = model.success(&with);
    Addition {
        parts: parts.to_vec(),
        mass_kg: parts.iter().map(|p| model.kit().part(*p).mass_kg).sum(),
        gain_points: points(model.success(taken), after),
        after,
    }
}

/// Every candidate within the limits by itself, and pairs that bring much more than both alone; greatest gain first.
///
/// # Errors
/// A limit is negative or not a number.
pub fn additions(model: &Model<'_>, limits: &Limits) -> Result<Vec<Addition>, KitError> {
    limits.check()?;
    let carried = model.kit().carried();
    let usable = usable(model, limits);
    let alone: Vec<Addition> = usable.iter().map(|p| addition(model, &carried, &[*p])).collect();
    let mut found: Vec<Addition> = Vec::new();
    for (i, a) in alone.iter().enumerate() {
        for b in &alone[i + 1..] {
            let both = [a.parts.as_slice(), b.parts.as_slice()].concat();
            if fit(model, &both, limits) {
                let together = addition(model, &carried, &both);
                if together.gain_points > TOGETHER_FACTOR * (a.gain_points + b.gain_points) + WORTH_POINTS {
                    found.push(together);
                }
            }
        }
    }
    found.extend(alone);
    found.retain(|a| a.gain_points > WORTH_POINTS);
    rank(&mut found);
    Ok(found)
}

fn rank(list: &mut [Addition]) {
    list.sort_by(|a, b| {
        b.gain_points
            .total_cmp(&a.gain_points)
            .then(a.mass_kg.total_cmp(&b.mass_kg))
    });
}

/// A chosen set as steps, each on top of those before, the greatest gain first. Parts that help only together make one
/// step.
#[must_use]
pub fn in_steps(model: &Model<'_>, choice: &Choice) -> Vec<Addition> {
    let mut taken = model.kit().carried();
    let mut left = choice.parts.clone();
    let mut steps = Vec::new();
    while !left.is_empty() {
        let mut options: Vec<Addition> = left.iter().map(|p| addition(model, &taken, &[*p])).collect();
        rank(&mut options);
        if options.first().is_none_or(|o| o.gain_points <= WORTH_POINTS) {
            options = pairs(&left).map(|pair| addition(model, &taken, &pair)).collect();
            rank(&mut options);
        }
        let step = match options.into_iter().next() {
            Some(best) if best.gain_points > WORTH_POINTS => best,
            _ => addition(model, &taken, &left),
        };
        step.parts.iter().for_each(|p| taken[p.0] = true);
        left.retain(|p| !step.parts.contains(p));
        steps.push(step);
    }
    steps
}

fn pairs(parts: &[PartIx]) -> impl Iterator<Item = [PartIx; 2]> + '_ {
    parts
        .iter()
        .enumerate()
        .flat_map(|(i, a)| parts[i + 1..].iter().map(|b| [*a, *b]))
}

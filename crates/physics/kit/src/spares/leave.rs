//! What can stay at home.

use super::points;
use crate::error::{KitError, within};
use crate::graph::PartIx;
use crate::structure::evaluate;
use crate::success::Model;

/// A carried part and what leaving it at home costs.
#[derive(Clone, Debug, PartialEq)]
pub struct Leave {
    /// The part.
    pub part: PartIx,
    /// Its mass in kg.
    pub mass_kg: f64,
    /// Percentage points of success lost without it (dimensionless).
    pub loss_points: f64,
    /// Places in the list of functions of those that cannot work without it, vital or not.
    pub functions_lost: Vec<usize>,
}

/// Carried parts whose absence costs at most `most_points` percentage points (dimensionless, 0 to 100), heaviest first.
/// A part that a function cannot do without is listed too, with that function; leaving it is a choice, not a saving.
///
/// # Errors
/// `most_points` is out of range.
pub fn what_can_stay(model: &Model<'_>, most_points: f64) -> Result<Vec<Leave>, KitError> {
    within("the points that may be lost", most_points, 0.0, 100.0)?;
    let taken = model.kit().carried();
    let mut found: Vec<Leave> = carried(model).map(|p| leave(model, &taken, p)).collect();
    found.retain(|l| l.loss_points <= most_points);
    found.sort_by(|a, b| {
        b.mass_kg
            .total_cmp(&a.mass_kg)
            .then(a.loss_points.total_cmp(&b.loss_points))
    });
    Ok(found)
}

fn carried(model: &Model<'_>) -> impl Iterator<Item = PartIx> + use<> {
    let taken = model.kit().carried();
    model.kit().indices().filter(move |p| taken[p.0])
}

fn leave(model: &Model<'_>, taken: &[bool], part: PartIx) -> Leave {
    let kit = model.kit();
    let mut without = taken.to_vec();
    without[part.0] = false;
    let before = evaluate(kit, taken).functions;
    let after = evaluate(kit, &without).functions;
    Leave {
        part,
        mass_kg: kit.part(part).mass_kg,
        loss_points: points(model.success(&without), model.success(taken)),
        functions_lost: (0..before.len()).filter(|f| before[*f] && !after[*f]).collect(),
    }
}

/// Parts that can stay at home together.
#[derive(Clone, Debug, PartialEq)]
pub struct LeaveTogether {
    /// The parts, in the order in which they were taken out.
    pub parts: Vec<PartIx>,
    /// Their mass in kg.
    pub mass_kg: f64,
    /// Percentage points of success lost without all of them (dimensionless).
    pub loss_points: f64,
    /// Chance of success that remains (dimensionless).
    pub after: f64,
}

/// Takes out parts one by one, the heaviest first that keeps the whole loss within `most_points` and every function
/// possible. A good set, not always the heaviest possible.
///
/// # Errors
/// `most_points` is out of range (percentage points, 0 to 100, dimensionless).
pub fn leave_together(model: &Model<'_>, most_points: f64) -> Result<LeaveTogether, KitError> {
    within("the points that may be lost", most_points, 0.0, 100.0)?;
    let kit = model.kit();
    let mut taken = kit.carried();
    let before = model.success(&taken);
    let mut order: Vec<PartIx> = carried(model).filter(|p| kit.part(*p).mass_kg > 0.0).collect();
    order.sort_by(|a, b| kit.part(*b).mass_kg.total_cmp(&kit.part(*a).mass_kg));
    let mut parts = Vec::new();
    for part in order {
        let option = leave(model, &taken, part);
        taken[part.0] = false;
        let total = points(model.success(&taken), before);
        if total <= most_points && option.functions_lost.is_empty() {
            parts.push(part);
        } else {
            taken[part.0] = true;
        }
    }
    let after = model.success(&taken);
    Ok(LeaveTogether {
        mass_kg: parts.iter().map(|p| kit.part(*p).mass_kg).sum(),
        parts,
        loss_points: points(after, before),
        after,
    })
}

//! Which part matters how much.
//!
//! Birnbaum: P(success | part whole) − P(success | part failed). Fussell-Vesely: chance, given that a vital function has
//! failed, that some minimal cut set with this part has failed; exact, by the union of those cut sets.
//! Source: M. Rausand and A. Høyland, "System Reliability Theory", 2nd ed., ch. 5; NUREG-0492, ch. XI.

use crate::bdd::{Bdd, FALSE, TRUE, probabilities};
use crate::cuts::CutSets;
use crate::error::KitError;
use crate::graph::{Kit, PartIx};
use crate::priors::Chances;
use crate::structure::Structure;

/// Importance of one part. All numbers are dimensionless unless said.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Importance {
    /// The part.
    pub part: PartIx,
    /// Chance that it fails (all pieces) (dimensionless).
    pub fails: f64,
    /// Birnbaum importance (dimensionless, 0 to 1).
    pub birnbaum: f64,
    /// Fussell-Vesely importance (dimensionless, 0 to 1); a lower bound where the cut sets are not complete.
    pub fussell_vesely: f64,
    /// Percentage points of success gained if it could not fail: 100 × `fails` × `birnbaum` (dimensionless).
    pub gain_points: f64,
}

/// Importance of every carried part for the vital functions, the greatest gain first.
///
/// # Errors
/// The diagrams grow too large.
pub fn importance(
    kit: &Kit,
    structure: &Structure,
    chances: &Chances,
    cuts: &CutSets,
) -> Result<Vec<Importance>, KitError> {
    let whole = chances.whole();
    let (nodes, roots) = structure.bdd.cut_out(&[structure.vital]);
    let root = roots.first().copied().unwrap_or(FALSE) as usize;
    let mut at_level = structure.at_level(&whole);
    let mut values = Vec::new();
    probabilities(&nodes, &at_level, &mut values);
    let failure = 1.0 - values[root];
    let mut result = Vec::new();
    for part in kit.indices().filter(|p| kit.part(*p).carried) {
        let level = structure.level[part.0];
        let keep = std::mem::replace(&mut at_level[level], 1.0);
        probabilities(&nodes, &at_level, &mut values);
        let with = values[root];
        at_level[level] = 0.0;
        probabilities(&nodes, &at_level, &mut values);
        let without = values[root];
        at_level[level] = keep;
        let fails = 1.0 - keep;
        let birnbaum = with - without;
        let blamed = union_with(structure, cuts, part, &whole)?;
        result.push(Importance {
            part,
            fails,
            birnbaum,
            fussell_vesely: if failure > 0.0 {
                (blamed / failure).min(1.0)
            } else {
                0.0
            },
            gain_points: 100.0 * fails * birnbaum,
        });
    }
    result.sort_by(|a, b| b.gain_points.total_cmp(&a.gain_points));
    Ok(result)
}

/// Chance that at least one of the cut sets that contain the part has failed.
fn union_with(structure: &Structure, cuts: &CutSets, part: PartIx, whole: &[f64]) -> Result<f64, KitError> {
    let mut bdd = Bdd::new();
    let mut any = FALSE;
    for set in cuts.sets.iter().filter(|s| s.contains(&part)) {
        let mut all = TRUE;
        for member in set {
            let failed = bdd.variable(structure.level[member.0] as u32)?;
            all = bdd.and(all, failed)?;
        }
        any = bdd.or(any, all)?;
    }
    let fails: Vec<f64> = whole.iter().map(|p| 1.0 - p).collect();
    Ok(bdd.probability(any, &structure.at_level(&fails)))
}

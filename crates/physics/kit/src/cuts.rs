//! Minimal cut sets: the smallest sets of failures that end the outing; and single points of failure.
//!
//! Sources: W. E. Vesely et al., "Fault Tree Handbook", NUREG-0492 (1981), ch. VII; A. Rauzy, "New algorithms for fault
//! trees analysis", Reliab. Eng. Syst. Saf. 40 (1993), for minimal sets from a decision diagram.

use crate::bdd::{FALSE, TRUE};
use crate::error::KitError;
use crate::graph::{Kit, PartIx};
use crate::structure::{Structure, evaluate};

/// Most sets kept for one node of the diagram.
const MOST_SETS: usize = 20_000;

/// Minimal cut sets of the vital functions.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutSets {
    /// The sets, smallest first, each in the order of the kit. One empty set means: fails even when all is whole.
    pub sets: Vec<Vec<PartIx>>,
    /// Largest order that was looked for.
    pub max_order: usize,
    /// No set was dropped for its order: the list is all there is.
    pub complete: bool,
}

impl CutSets {
    /// The minimal cut sets with at most `max_order` parts.
    ///
    /// # Errors
    /// There are too many sets; ask for a lower order.
    pub fn of(structure: &Structure, max_order: usize) -> Result<Self, KitError> {
        let (nodes, roots) = structure.bdd.cut_out(&[structure.vital]);
        let mut complete = true;
        // By node, children first; false has the empty cut, true has none.
        let mut by_node: Vec<Vec<Vec<usize>>> = vec![Vec::new(); nodes.len()];
        by_node[FALSE as usize] = vec![Vec::new()];
        by_node[TRUE as usize] = Vec::new();
        for i in 2..nodes.len() {
            let node = nodes[i];
            let mut sets = by_node[node.high as usize].clone();
            let whole = sets.len();
            for cut in &by_node[node.low as usize] {
                if sets[..whole].iter().any(|other| within(other, cut)) {
                    continue;
                }
                if cut.len() >= max_order {
                    complete = false;
                    continue;
                }
                // Levels rise downwards, so the new one stands first and the set stays sorted.
                let mut longer = Vec::with_capacity(cut.len() + 1);
                longer.push(node.level as usize);
                longer.extend(cut);
                sets.push(longer);
            }
            if sets.len() > MOST_SETS {
                return Err(KitError::TooMany {
                    what: "minimal cut sets",
                    count: sets.len(),
                    limit: MOST_SETS,
                });
            }
            by_node[i] = sets;
        }
        let found = roots
            .first()
            .map(|r| std::mem::take(&mut by_node[*r as usize]))
            .unwrap_or_default();
        Ok(Self {
            sets: by_part(structure, &found),
            max_order,
            complete,
        })
    }

    /// Sum over the sets of the product of failure chances (dimensionless): an upper bound of the chance of failure, close
    /// to it while chances are small. `fails[i]` is the chance that part i fails.
    #[must_use]
    pub fn rare_event_sum(&self, fails: &[f64]) -> f64 {
        let product = |set: &Vec<PartIx>| {
            set.iter()
                .map(|p| fails.get(p.0).copied().unwrap_or(0.0))
                .product::<f64>()
        };
        self.sets.iter().map(product).sum()
    }
}

/// Whether all of `small` (sorted) is in `large` (sorted).
fn within(small: &[usize], large: &[usize]) -> bool {
    let mut rest = large.iter();
    small.len() <= large.len() && small.iter().all(|x| rest.any(|y| y == x))
}

fn by_part(structure: &Structure, sets: &[Vec<usize>]) -> Vec<Vec<PartIx>> {
    let mut part_at = vec![0; structure.level.len()];
    for (part, level) in structure.level.iter().enumerate() {
        part_at[*level] = part;
    }
    let mut result: Vec<Vec<PartIx>> = sets
        .iter()
        .map(|set| {
            let mut parts: Vec<PartIx> = set.iter().map(|l| PartIx(part_at[*l])).collect();
            parts.sort_unstable();
            parts
        })
        .collect();
    result.sort_by(|a, b| a.len().cmp(&b.len()).then_with(|| a.cmp(b)));
    result
}

/// A part whose failure alone takes something down.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SinglePoint {
    /// The part.
    pub part: PartIx,
    /// Places in the list of functions of those that fail with it, vital or not.
    pub functions: Vec<usize>,
    /// Whether a vital function is among them: the outing hangs on this part.
    pub vital: bool,
    /// Other carried parts that stop working with it.
    pub parts: Vec<PartIx>,
}

/// Carried parts whose failure alone takes a function down, those that a vital function hangs on first.
#[must_use]
pub fn single_points(kit: &Kit) -> Vec<SinglePoint> {
    let mut whole = kit.carried();
    let before = evaluate(kit, &whole);
    let mut found = Vec::new();
    for part in kit.indices().filter(|p| kit.part(*p).carried) {
        whole[part.0] = false;
        let after = evaluate(kit, &whole);
        whole[part.0] = true;
        let lost = |b: &[bool], a: &[bool]| -> Vec<usize> { (0..b.len()).filter(|i| b[*i] && !a[*i]).collect() };
        let functions = lost(&before.functions, &after.functions);
        if functions.is_empty() {
            continue;
        }
        let parts = lost(&before.works, &after.works);
        found.push(SinglePoint {
            part,
            vital: functions.iter().any(|f| kit.functions()[*f].vital),
            functions,
            parts: parts.into_iter().filter(|p| *p != part.0).map(PartIx).collect(),
        });
    }
    found.sort_by_key(|s| !s.vital);
    found
}

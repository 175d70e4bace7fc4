//! Kinds of days: the normal deviates at which foF2 and sporadic E are taken, and how likely each is.
//!
//! The range of probabilities is cut into cells; a cell stands at its middle. A cell in which a mode appears or goes is cut
//! once more exactly there, so that the share of days that carry comes out right however few the cells are.

use farhop_num::normal_quantile;

/// Equally likely cells of foF2.
const FOF2_CELLS: u8 = 9;

/// Inner edges (probability that foEs is lower, dimensionless) of the twelve cells of sporadic E: finer toward the rare strong days.
const ES_EDGES: [f64; 11] = [0.25, 0.45, 0.58, 0.68, 0.76, 0.83, 0.88, 0.92, 0.95, 0.975, 0.99];

/// A cut nearer than this to an edge (dimensionless) is not made: half a day in a hundred.
const NEAR: f64 = 0.005;

/// One kind of day by one of its factors.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Node {
    /// Normal deviate, dimensionless.
    pub z: f64,
    /// Share of the days, dimensionless.
    pub weight: f64,
}

/// Cells of foF2, cut at these probabilities (dimensionless) too.
pub(crate) fn fof2_nodes(cuts: impl Iterator<Item = f64>) -> Vec<Node> {
    let edges = (1..FOF2_CELLS).map(|i| f64::from(i) / f64::from(FOF2_CELLS));
    nodes(edges.collect(), cuts)
}

/// Cells of foEs, cut at these probabilities (dimensionless) too.
pub(crate) fn es_nodes(cuts: impl Iterator<Item = f64>) -> Vec<Node> {
    nodes(ES_EDGES.to_vec(), cuts)
}

fn nodes(mut edges: Vec<f64>, cuts: impl Iterator<Item = f64>) -> Vec<Node> {
    for cut in cuts.filter(|c| (NEAR..=1.0 - NEAR).contains(c)) {
        if edges.iter().all(|e| (e - cut).abs() >= NEAR) {
            edges.push(cut);
        }
    }
    edges.push(1.0);
    edges.sort_by(f64::total_cmp);
    let mut low = 0.0;
    let cell = |high: f64| {
        let node = Node {
            z: normal_quantile(0.5 * (low + high)),
            weight: high - low,
        };
        low = high;
        node
    };
    edges.into_iter().map(cell).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weights_add_up_to_one_whatever_the_cuts() {
        let cuts = [0.001, 0.11, 0.5, 0.502, 0.86, 0.999, f64::NAN, 2.0];
        for set in [
            fof2_nodes(cuts.into_iter()),
            es_nodes(cuts.into_iter()),
            es_nodes([].into_iter()),
        ] {
            let sum: f64 = set.iter().map(|n| n.weight).sum();
            assert!((sum - 1.0).abs() < 1e-12 && set.len() >= 7, "{set:?}");
            assert!(set.windows(2).all(|pair| pair[0].z < pair[1].z));
            assert!(set.iter().all(|n| n.z.is_finite() && n.weight >= NEAR - 1e-12));
        }
    }

    /// The deviates are quantiles (scipy 1.17, norm.ppf at 17/18 and 15/18), and the strong half of the days of sporadic E has the
    /// second moment of a half normal distribution, 0.5, within a tenth.
    #[test]
    fn the_cells_stand_for_a_normal_distribution() {
        let set = fof2_nodes([].into_iter());
        assert!((set[8].z - 1.593_219).abs() < 1e-4 && (set[7].z - 0.967_422).abs() < 1e-4);
        let strong = es_nodes([].into_iter()).into_iter().filter(|n| n.z > 0.0);
        let moment: f64 = strong.map(|n| n.weight * n.z * n.z).sum();
        assert!((0.45..=0.55).contains(&moment), "{moment}");
    }
}

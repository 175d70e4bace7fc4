//! A small reduced ordered binary decision diagram: an exact form of a Boolean function, shared parts counted once.
//!
//! Source of the method: R. E. Bryant, "Graph-based algorithms for Boolean function manipulation", IEEE Trans. Computers
//! C-35 (1986); for fault trees A. Rauzy, "New algorithms for fault trees analysis", Reliab. Eng. Syst. Saf. 40 (1993).

use std::collections::HashMap;

use crate::error::KitError;

/// Most nodes before giving up with an error.
pub(crate) const MOST_NODES: usize = 400_000;

/// A function in the diagram.
pub(crate) type Ref = u32;
pub(crate) const FALSE: Ref = 0;
pub(crate) const TRUE: Ref = 1;
const LEAF: u32 = u32::MAX;

/// `if variable at level then high else low`; children always stand before their parents.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) struct Node {
    pub(crate) level: u32,
    pub(crate) low: Ref,
    pub(crate) high: Ref,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum Op {
    And,
    Or,
    /// a and not b.
    AndNot,
}

#[derive(Clone, Debug)]
pub(crate) struct Bdd {
    nodes: Vec<Node>,
    unique: HashMap<Node, Ref>,
    done: HashMap<(Op, Ref, Ref), Ref>,
}

impl Bdd {
    pub(crate) fn new() -> Self {
        let leaf = Node {
            level: LEAF,
            low: 0,
            high: 0,
        };
        Self {
            nodes: vec![leaf, leaf],
            unique: HashMap::new(),
            done: HashMap::new(),
        }
    }

    pub(crate) fn node(&self, f: Ref) -> Node {
        self.nodes[f as usize]
    }

    fn make(&mut self, level: u32, low: Ref, high: Ref) -> Result<Ref, KitError> {
        if low == high {
            return Ok(low);
        }
        let node = Node { level, low, high };
        if let Some(found) = self.unique.get(&node) {
            return Ok(*found);
        }
        if self.nodes.len() >= MOST_NODES {
            return Err(KitError::TooComplex { limit: MOST_NODES });
        }
        let new = self.nodes.len() as Ref;
        self.nodes.push(node);
        self.unique.insert(node, new);
        Ok(new)
    }

    /// The function "variable at this level is true".
    pub(crate) fn variable(&mut self, level: u32) -> Result<Ref, KitError> {
        self.make(level, FALSE, TRUE)
    }

    pub(crate) fn and(&mut self, a: Ref, b: Ref) -> Result<Ref, KitError> {
        self.apply(Op::And, a, b)
    }

    pub(crate) fn or(&mut self, a: Ref, b: Ref) -> Result<Ref, KitError> {
        self.apply(Op::Or, a, b)
    }

    pub(crate) fn and_not(&mut self, a: Ref, b: Ref) -> Result<Ref, KitError> {
        self.apply(Op::AndNot, a, b)
    }

    fn apply(&mut self, op: Op, a: Ref, b: Ref) -> Result<Ref, KitError> {
        let simple = match (op, a, b) {
            (Op::And, FALSE, _) | (Op::And, _, FALSE) | (Op::AndNot, FALSE, _) | (Op::AndNot, _, TRUE) => Some(FALSE),
            (Op::Or, TRUE, _) | (Op::Or, _, TRUE) => Some(TRUE),
            (Op::And, TRUE, x) | (Op::Or, FALSE, x) => Some(x),
            (Op::And, x, TRUE) | (Op::Or, x, FALSE) | (Op::AndNot, x, FALSE) => Some(x),
            (Op::And | Op::Or, x, y) if x == y => Some(x),
            (Op::AndNot, x, y) if x == y => Some(FALSE),
            _ => None,
        };
        if let Some(result) = simple {
            return Ok(result);
        }
        let key = if op != Op::AndNot && a > b {
            (op, b, a)
        } else {
            (op, a, b)
        };
        if let Some(found) = self.done.get(&key) {
            return Ok(*found);
        }
        let (x, y) = (self.node(a), self.node(b));
        let level = x.level.min(y.level);
        let (a0, a1) = if x.level == level { (x.low, x.high) } else { (a, a) };
        let (b0, b1) = if y.level == level { (y.low, y.high) } else { (b, b) };
        let low = self.apply(op, a0, b0)?;
        let high = self.apply(op, a1, b1)?;
        let result = self.make(level, low, high)?;
        self.done.insert(key, result);
        Ok(result)
    }

    /// Drops what is only needed while building.
    pub(crate) fn finish(&mut self) {
        self.done = HashMap::new();
    }

    /// The nodes below some roots, children first, with the roots as places in it: what repeated evaluation needs.
    pub(crate) fn cut_out(&self, roots: &[Ref]) -> (Vec<Node>, Vec<Ref>) {
        let mut wanted = vec![false; self.nodes.len()];
        wanted[0] = true;
        wanted[1] = true;
        for root in roots {
            wanted[*root as usize] = true;
        }
        for i in (2..self.nodes.len()).rev() {
            if wanted[i] {
                wanted[self.nodes[i].low as usize] = true;
                wanted[self.nodes[i].high as usize] = true;
            }
        }
        let mut place = vec![0; self.nodes.len()];
        let mut kept = Vec::new();
        for (i, node) in self.nodes.iter().enumerate().filter(|(i, _)| wanted[*i]) {
            place[i] = kept.len() as Ref;
            kept.push(Node {
                level: node.level,
                low: place[node.low as usize],
                high: place[node.high as usize],
            });
        }
        (kept, roots.iter().map(|r| place[*r as usize]).collect())
    }

    /// Probability of one function when the variable at level i is true with `at_level[i]`.
    pub(crate) fn probability(&self, root: Ref, at_level: &[f64]) -> f64 {
        let (nodes, roots) = self.cut_out(&[root]);
        let mut values = Vec::new();
        probabilities(&nodes, at_level, &mut values);
        roots.first().map_or(0.0, |r| values[*r as usize])
    }
}

/// Probability of every node, children first (Shannon expansion): P = p P(high) + (1 − p) P(low).
pub(crate) fn probabilities(nodes: &[Node], at_level: &[f64], values: &mut Vec<f64>) {
    values.clear();
    values.extend([0.0, 1.0]);
    for node in nodes.iter().skip(2) {
        let p = at_level[node.level as usize];
        values.push(p * values[node.high as usize] + (1.0 - p) * values[node.low as usize]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_functions_are_the_same_node() {
        let mut b = Bdd::new();
        let (x, y, z) = (b.variable(0).unwrap(), b.variable(1).unwrap(), b.variable(2).unwrap());
        let yz = b.or(y, z).unwrap();
        let left = b.and(x, yz).unwrap();
        let (xy, xz) = (b.and(x, y).unwrap(), b.and(x, z).unwrap());
        assert_eq!(left, b.or(xy, xz).unwrap());
        let not_x = b.and_not(TRUE, x).unwrap();
        assert_eq!(b.and(x, not_x).unwrap(), FALSE);
        assert_eq!(b.or(x, not_x).unwrap(), TRUE);
    }

    #[test]
    fn a_shared_variable_is_counted_once() {
        let mut b = Bdd::new();
        let (x, y) = (b.variable(0).unwrap(), b.variable(1).unwrap());
        let xy = b.and(x, y).unwrap();
        let f = b.or(x, xy).unwrap();
        assert!((b.probability(f, &[0.3, 0.9]) - 0.3).abs() < 1e-15);
    }
}

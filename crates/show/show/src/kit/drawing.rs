//! The kit as a picture: functions on top, what they need below, single points ringed.

use std::collections::BTreeMap;

use crate::kit::KitReport;
use crate::sheet::{Anchor, Fill, INK, Letters, PAPER, Pen, SOFT, Sheet, TINT};

/// Width of a box and the gaps around it.
const BOX: (f64, f64) = (118.0, 40.0);
const GAP: (f64, f64) = (14.0, 34.0);
/// Boxes in one row.
const PER_ROW: usize = 6;

struct Node {
    name: String,
    x: f64,
    y: f64,
    ringed: bool,
    function: bool,
}

impl KitReport<'_> {
    /// The graph of needs as SVG. Parts that stand in are left out: the table of spares has them.
    #[must_use]
    pub fn drawing(&self) -> String {
        let kit = &self.model.kit;
        let depth = self.depths();
        let rows = depth.values().copied().max().unwrap_or(0) + 1;
        let mut nodes: Vec<Node> = Vec::new();
        let mut of_part: BTreeMap<String, usize> = BTreeMap::new();
        let mut y = 8.0;
        for function in kit.functions() {
            let place = nodes.len();
            nodes.push(Node {
                name: function.name.clone(),
                x: 8.0 + (place % PER_ROW) as f64 * (BOX.0 + GAP.0),
                y: y + (place / PER_ROW) as f64 * (BOX.1 + GAP.1),
                ringed: false,
                function: true,
            });
        }
        y += kit.functions().len().div_ceil(PER_ROW) as f64 * (BOX.1 + GAP.1);
        let functions = nodes.len();
        for level in 1..rows {
            let names: Vec<&String> = depth.iter().filter(|(_, d)| **d == level).map(|(id, _)| id).collect();
            for (index, id) in names.iter().enumerate() {
                let Ok(part) = kit.find(id) else { continue };
                of_part.insert((*id).clone(), nodes.len());
                nodes.push(Node {
                    name: self.name(part).to_owned(),
                    x: 8.0 + (index % PER_ROW) as f64 * (BOX.0 + GAP.0),
                    y: y + (index / PER_ROW) as f64 * (BOX.1 + GAP.1),
                    ringed: self.readiness.single_points.iter().any(|s| s.vital && s.part == part),
                    function: false,
                });
            }
            y += names.len().div_ceil(PER_ROW).max(1) as f64 * (BOX.1 + GAP.1);
        }
        let width = 8.0 + PER_ROW as f64 * (BOX.0 + GAP.0);
        let mut sheet = Sheet::new(width, y, "What needs what; parts with a thick ring have no stand-in");
        self.lines(&mut sheet, &nodes[..functions], &nodes, &of_part);
        nodes.iter().for_each(|n| boxed(&mut sheet, n));
        sheet.finished()
    }

    /// How far each carried part is from a function, by the shortest chain of needs: 1 is needed directly.
    fn depths(&self) -> BTreeMap<String, usize> {
        let kit = &self.model.kit;
        let mut depth: BTreeMap<String, usize> = BTreeMap::new();
        let mut open: Vec<(String, usize)> = kit
            .functions()
            .iter()
            .flat_map(|f| &f.needs)
            .flat_map(|n| n.any_of.iter().map(|id| (id.to_string(), 1)))
            .collect();
        while let Some((id, level)) = open.pop() {
            let Ok(part) = kit.find(&id) else { continue };
            if !kit.part(part).carried || depth.get(&id).is_some_and(|d| *d >= level) || level > 8 {
                continue;
            }
            depth.insert(id, level);
            let needs = kit.part(part).needs.iter().flat_map(|n| n.any_of.iter());
            open.extend(needs.map(|id| (id.to_string(), level + 1)));
        }
        depth
    }

    fn lines(&self, sheet: &mut Sheet, functions: &[Node], nodes: &[Node], of_part: &BTreeMap<String, usize>) {
        let kit = &self.model.kit;
        let mut line = |from: &Node, id: &str, one_of_many: bool| {
            let Some(to) = of_part.get(id).and_then(|i| nodes.get(*i)) else {
                return;
            };
            let pen = if one_of_many {
                Pen::broken(SOFT, 1.0)
            } else {
                Pen::full(SOFT, 1.0)
            };
            let foot = (from.x + BOX.0 / 2.0, from.y + BOX.1);
            sheet.thread(foot, (to.x + BOX.0 / 2.0, to.y), 16.0, pen);
        };
        for (function, node) in kit.functions().iter().zip(functions) {
            for need in &function.needs {
                need.any_of
                    .iter()
                    .for_each(|id| line(node, id.as_str(), need.any_of.len() > 1));
            }
        }
        for (id, place) in of_part {
            let Ok(part) = kit.find(id) else { continue };
            for need in &kit.part(part).needs {
                need.any_of
                    .iter()
                    .for_each(|other| line(&nodes[*place], other.as_str(), need.any_of.len() > 1));
            }
        }
    }
}

fn boxed(sheet: &mut Sheet, node: &Node) {
    let (stroke, width) = match (node.function, node.ringed) {
        (true, _) => (TINT, 1.5),
        (false, true) => (INK, 3.0),
        (false, false) => (SOFT, 1.0),
    };
    let corner = if node.function { 12.0 } else { 2.0 };
    sheet.card(
        (node.x, node.y),
        BOX,
        corner,
        Fill::solid(PAPER),
        Pen::full(stroke, width),
    );
    let lines = broken(&node.name);
    let top = node.y + BOX.1 / 2.0 + 4.0 - 7.0 * (lines.len() - 1) as f64;
    let letters = Letters::bare(13.0).at(Anchor::Middle);
    for (index, text) in lines.iter().enumerate() {
        sheet.text((node.x + BOX.0 / 2.0, top + 14.0 * index as f64), letters, text);
    }
}

/// At most two lines of some eighteen letters.
fn broken(name: &str) -> Vec<String> {
    const MOST: usize = 18;
    let mut lines = vec![String::new()];
    for word in name.split_whitespace() {
        let last = lines.len() - 1;
        if lines[last].is_empty() {
            lines[last] = word.to_owned();
        } else if lines[last].chars().count() + 1 + word.chars().count() <= MOST {
            lines[last].push(' ');
            lines[last].push_str(word);
        } else if last == 0 {
            lines.push(word.to_owned());
        } else {
            lines[1].push('…');
            break;
        }
    }
    lines.iter().map(|l| l.chars().take(MOST + 1).collect()).collect()
}

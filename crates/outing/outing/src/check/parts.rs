//! Checks of the graph of parts and functions.

use std::collections::HashMap;

use super::{Check, references};
use crate::kit::Kit;
use crate::limits;
use farhop_gear::Part;

pub(super) fn all(check: &mut Check, kit: &Kit) {
    let ids: Vec<&str> = kit.parts.iter().map(|p| p.id.as_str()).collect();
    check.inside("kit", |c| {
        c.each("part", &kit.parts, |c, part| {
            references::needs(c, &part.needs, &ids);
            references::known(c, "stands_in_for", &part.stands_in_for, ids.iter().copied(), "part");
            if part.stands_in_for.contains(&part.id) {
                c.error(
                    "stands_in_for",
                    format!("\"{}\" stands in for itself", part.id),
                    "Name the other part.",
                );
            }
        });
        c.each("function", &kit.functions, |c, function| {
            references::needs(c, &function.needs, &ids);
            if function.needs.is_empty() {
                c.error(
                    "needs",
                    format!("function \"{}\" needs nothing", function.id),
                    "Name the parts it needs.",
                );
            }
        });
        references::unique(c, "part", "id", ids.iter().copied());
        references::unique(c, "function", "id", kit.functions.iter().map(|f| f.id.as_str()));
        references::few(c, "part", kit.parts.len());
        circles(c, &kit.parts);
    });
}

/// A part must not need itself, directly or through others.
fn circles(c: &mut Check, parts: &[Part]) {
    let index: HashMap<&str, usize> = parts.iter().enumerate().map(|(i, p)| (p.id.as_str(), i)).collect();
    let below: Vec<Vec<usize>> = parts
        .iter()
        .map(|p| {
            p.needs
                .iter()
                .flat_map(|n| &n.any_of)
                .filter_map(|id| index.get(id.as_str()).copied())
                .collect()
        })
        .collect();
    for (start, part) in parts.iter().enumerate().take(limits::MOST_ITEMS) {
        let mut seen = vec![false; parts.len()];
        let mut open = below.get(start).cloned().unwrap_or_default();
        while let Some(next) = open.pop() {
            if next == start {
                let cause = format!("\"{}\" needs itself, through other parts", part.id);
                c.error(
                    &format!("part[{start}].needs"),
                    cause,
                    "Break the circle: needs run one way only.",
                );
                break;
            }
            if let Some(mark) = seen.get_mut(next).filter(|m| !**m) {
                *mark = true;
                open.extend(below.get(next).into_iter().flatten());
            }
        }
    }
}

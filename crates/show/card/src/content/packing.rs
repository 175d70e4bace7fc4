//! What goes into which bag.

use crate::source::Source;

/// One bag.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BagRow {
    /// Its name.
    pub name: String,
    /// What goes in.
    pub items: Vec<ItemRow>,
}

/// One line of a bag.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ItemRow {
    /// Name with the number of pieces: `2 × Spare fuses`.
    pub name: String,
    /// The outing hangs on it: it is looked at twice.
    pub vital: bool,
    /// A spare that the choice adds.
    pub added: bool,
}

/// The packing list of the readiness report, or the carried parts by bag where there is none.
#[must_use]
pub fn rows(source: &Source<'_>) -> Vec<BagRow> {
    match source.plan.kit.as_ref().ok().map(|kit| (&kit.model, &kit.readiness)) {
        Some((model, readiness)) => {
            let item = |i: &farhop_kit::packing::Item| ItemRow {
                name: counted(i.count, &model.kit.part(i.part).name),
                vital: i.vital_alone,
                added: i.added,
            };
            let bag = |b: &farhop_kit::packing::Bag| BagRow {
                name: b.name.clone(),
                items: b.items.iter().map(item).collect(),
            };
            readiness.packing.bags.iter().map(bag).collect()
        }
        None => from_parts(source),
    }
}

fn from_parts(source: &Source<'_>) -> Vec<BagRow> {
    let mut bags: Vec<BagRow> = Vec::new();
    for part in source.outing.kit.parts.iter().filter(|p| p.carried) {
        let item = ItemRow {
            name: counted(part.count, &part.name),
            vital: false,
            added: false,
        };
        match bags.iter_mut().find(|b| b.name == part.bag) {
            Some(bag) => bag.items.push(item),
            None => bags.push(BagRow {
                name: part.bag.clone(),
                items: vec![item],
            }),
        }
    }
    bags
}

fn counted(count: u32, name: &str) -> String {
    if count > 1 {
        format!("{count} × {name}")
    } else {
        name.to_owned()
    }
}

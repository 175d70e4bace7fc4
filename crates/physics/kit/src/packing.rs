//! The packing list by bag, and the order in which two people check it.

use crate::cuts::single_points;
use crate::graph::{Kit, PartIx};

/// One line of the packing list.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// The part.
    pub part: PartIx,
    /// How many pieces.
    pub count: u32,
    /// Mass in kg of all pieces; 0 may mean that it was not given.
    pub mass_kg: f64,
    /// A vital function hangs on this part alone.
    pub vital_alone: bool,
    /// It was added as a spare by the choice.
    pub added: bool,
}

/// One bag.
#[derive(Clone, Debug, PartialEq)]
pub struct Bag {
    /// Its name.
    pub name: String,
    /// What goes in: first what the outing hangs on, then as in the kit.
    pub items: Vec<Item>,
    /// Mass in kg of the contents.
    pub mass_kg: f64,
}

/// The whole list.
#[derive(Clone, Debug, PartialEq)]
pub struct PackingList {
    /// Bags in the order in which the kit first names them.
    pub bags: Vec<Bag>,
    /// Mass in kg of everything.
    pub mass_kg: f64,
}

/// The packing list: all carried parts and the candidates in `added`.
#[must_use]
pub fn packing_list(kit: &Kit, added: &[PartIx]) -> PackingList {
    let alone: Vec<PartIx> = single_points(kit)
        .into_iter()
        .filter(|s| s.vital)
        .map(|s| s.part)
        .collect();
    let mut bags: Vec<Bag> = Vec::new();
    for part in kit.indices() {
        let spec = kit.part(part);
        let extra = !spec.carried && added.contains(&part);
        if !spec.carried && !extra {
            continue;
        }
        let item = Item {
            part,
            count: spec.count,
            mass_kg: spec.mass_kg,
            vital_alone: alone.contains(&part),
            added: extra,
        };
        if let Some(bag) = bags.iter_mut().find(|b| b.name == spec.bag) {
            bag.items.push(item);
        } else {
            bags.push(Bag {
                name: spec.bag.clone(),
                items: vec![item],
                mass_kg: 0.0,
            });
        }
    }
    for bag in &mut bags {
        bag.items.sort_by_key(|i| !i.vital_alone);
        bag.mass_kg = bag.items.iter().map(|i| i.mass_kg).sum();
    }
    PackingList {
        mass_kg: bags.iter().map(|b| b.mass_kg).sum(),
        bags,
    }
}

/// One of the two who check.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Person {
    /// Who packed.
    Packer,
    /// The other.
    Other,
}

/// One step of the check.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CheckStep {
    /// Name of the bag that is open.
    pub bag: String,
    /// The part.
    pub part: PartIx,
    /// How many pieces to count.
    pub count: u32,
    /// Who reads the line aloud.
    pub reads: Person,
    /// Who puts a hand on the part and answers.
    pub touches: Person,
    /// Second look at a part that the outing hangs on, with the roles changed: it is shown working or looked at closely.
    pub second_look: bool,
}

/// The order of the check (common practice: nobody confirms his own packing).
///
/// Each bag is opened once: the packer reads, the other touches; then, before the bag is closed, the other reads and the
/// packer shows what the outing hangs on.
#[must_use]
pub fn cross_check(list: &PackingList) -> Vec<CheckStep> {
    let mut steps = Vec::new();
    for bag in &list.bags {
        let step = |item: &Item, second_look: bool| CheckStep {
            bag: bag.name.clone(),
            part: item.part,
            count: item.count,
            reads: if second_look { Person::Other } else { Person::Packer },
            touches: if second_look { Person::Packer } else { Person::Other },
            second_look,
        };
        steps.extend(bag.items.iter().map(|i| step(i, false)));
        steps.extend(bag.items.iter().filter(|i| i.vital_alone).map(|i| step(i, true)));
    }
    steps
}

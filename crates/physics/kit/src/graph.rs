//! The checked graph of parts and functions.
//!
//! A part works when a piece of it is whole and every need is served. A need is served when one of its parts is. A part
//! is served when it works or when a part that stands in for it is served. Needs must not run in circles. Stand-ins may
//! (two phones that stand in for each other): such a circle serves nobody by itself (least fixed point).

use std::collections::HashMap;

use crate::error::{KitError, within};
use crate::part::KitSpec;
use farhop_gear::{Function, Need, Part};

/// Most parts or functions a kit may have.
pub const MOST_ITEMS: usize = 1000;

/// Id that stands for causes outside the kit in the search for a fault; no part may bear it.
pub const OUTSIDE_ID: &str = "outside-the-kit";

const MINUTES: (f64, f64) = (0.0, 10_000.0);

/// A part of one kit. Only valid for the kit that gave it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PartIx(pub(crate) usize);

impl PartIx {
    /// Place of the part in the list of parts, from 0.
    #[must_use]
    pub fn index(self) -> usize {
        self.0
    }
}

/// Needs resolved: all of the outer list, any one of the inner.
pub(crate) type Needs = Vec<Vec<usize>>;

/// A checked kit: all ids are known, numbers are in range, needs have no circles, and something is vital.
#[derive(Clone, Debug, PartialEq)]
pub struct Kit {
    parts: Vec<Part>,
    functions: Vec<Function>,
    needs: Vec<Needs>,
    stand_ins: Vec<Vec<usize>>,
    function_needs: Vec<Needs>,
    order: Vec<usize>,
}

impl Kit {
    /// Checks a kit.
    ///
    /// # Errors
    /// Doubled, reserved or unknown ids, empty needs, circles, numbers out of range, nothing vital, too many items.
    pub fn new(spec: KitSpec) -> Result<Self, KitError> {
        let KitSpec { parts, functions } = spec;
        few("parts", parts.len())?;
        few("functions", functions.len())?;
        let index = unique("part", parts.iter().map(|p| p.id.as_str()))?;
        unique("function", functions.iter().map(|f| f.id.as_str()))?;
        parts.iter().try_for_each(numbers)?;
        if !functions.iter().any(|f| f.vital) {
            return Err(KitError::NothingVital);
        }
        let resolve = |kind: &str, id: &str, needs: &[Need]| resolve(&format!("{kind} \"{id}\""), needs, &index);
        let needs = parts
            .iter()
            .map(|p| resolve("part", p.id.as_str(), &p.needs))
            .collect::<Result<Vec<_>, _>>()?;
        let function_needs = functions
            .iter()
            .map(|f| resolve("function", f.id.as_str(), &f.needs))
            .collect::<Result<Vec<_>, _>>()?;
        if let Some(circle) = circle(&needs) {
            return Err(circle_error(&parts, &circle));
        }
        let stand_ins = stand_ins(&parts, &index)?;
        let order = order(&needs, &stand_ins, &function_needs);
        drop(index);
        Ok(Self {
            parts,
            functions,
            needs,
            stand_ins,
            function_needs,
            order,
        })
    }

    /// All parts, in the order given.
    #[must_use]
    pub fn parts(&self) -> &[Part] {
        &self.parts
    }

    /// All functions, in the order given.
    #[must_use]
    pub fn functions(&self) -> &[Function] {
        &self.functions
    }

    /// One part of this kit.
    #[must_use]
    pub fn part(&self, ix: PartIx) -> &Part {
        &self.parts[ix.0]
    }

    /// Handles of all parts.
    pub fn indices(&self) -> impl Iterator<Item = PartIx> + use<> {
        (0..self.parts.len()).map(PartIx)
    }

    /// The part with an id.
    ///
    /// # Errors
    /// There is no such part; the error lists those that exist.
    pub fn find(&self, id: &str) -> Result<PartIx, KitError> {
        self.parts
            .iter()
            .position(|p| p.id == id)
            .map(PartIx)
            .ok_or_else(|| KitError::UnknownPart {
                what: "the question".to_owned(),
                id: id.to_owned(),
                known: known(self.parts.iter().map(|p| p.id.as_str())),
            })
    }

    /// Candidates: parts that are not carried.
    pub fn candidates(&self) -> impl Iterator<Item = PartIx> + '_ {
        self.indices().filter(|ix| !self.parts[ix.0].carried)
    }

    /// For each part whether it is carried.
    #[must_use]
    pub fn carried(&self) -> Vec<bool> {
        self.parts.iter().map(|p| p.carried).collect()
    }

    /// Mass in kg of what is carried.
    #[must_use]
    pub fn carried_mass_kg(&self) -> f64 {
        self.parts.iter().filter(|p| p.carried).map(|p| p.mass_kg).sum()
    }

    pub(crate) fn needs(&self, part: usize) -> &Needs {
        &self.needs[part]
    }

    /// Parts that stand in for a part, quickest first.
    pub(crate) fn stand_ins(&self, part: usize) -> &[usize] {
        &self.stand_ins[part]
    }

    pub(crate) fn function_needs(&self, function: usize) -> &Needs {
        &self.function_needs[function]
    }

    /// An order in which what is needed comes before what needs it, as far as stand-ins allow.
    pub(crate) fn order(&self) -> &[usize] {
        &self.order
    }
}

fn few(what: &'static str, count: usize) -> Result<(), KitError> {
    if count > MOST_ITEMS {
        return Err(KitError::TooMany {
            what,
            count,
            limit: MOST_ITEMS,
        });
    }
    Ok(())
}

fn unique<'a>(kind: &'static str, ids: impl Iterator<Item = &'a str>) -> Result<HashMap<&'a str, usize>, KitError> {
    let mut index = HashMap::new();
    for (i, id) in ids.enumerate() {
        if id == OUTSIDE_ID {
            return Err(KitError::ReservedId { id: id.to_owned() });
        }
        if index.insert(id, i).is_some() {
            return Err(KitError::DuplicateId {
                kind,
                id: id.to_owned(),
            });
        }
    }
    Ok(index)
}

fn numbers(part: &Part) -> Result<(), KitError> {
    let check = |what: &str, value: f64, (low, high): (f64, f64)| {
        within(format!("{what} of part \"{}\"", part.id), value, low, high).map(|_| ())
    };
    check("changeover in minutes", part.changeover_min, MINUTES)?;
    check("checking time in minutes", part.check_min, MINUTES)?;
    check("mass in kg", part.mass_kg, (0.0, 1000.0))?;
    check("volume in litres", part.volume_l.unwrap_or(0.0), (0.0, 10_000.0))?;
    check("price", part.price.unwrap_or(0.0), (0.0, 1e9))?;
    check(
        "chance of failure per outing",
        part.fail_per_outing.unwrap_or(0.0),
        (0.0, 1.0),
    )?;
    check(
        "chance of failure per hour",
        part.fail_per_hour.unwrap_or(0.0),
        (0.0, 1.0),
    )?;
    check("number of pieces", f64::from(part.count), (1.0, 10_000.0))
}

fn known<'a>(ids: impl Iterator<Item = &'a str>) -> String {
    let mut ids: Vec<&str> = ids.collect();
    ids.sort_unstable();
    ids.join(", ")
}

fn look_up(what: &str, id: &str, index: &HashMap<&str, usize>) -> Result<usize, KitError> {
    index.get(id).copied().ok_or_else(|| KitError::UnknownPart {
        what: what.to_owned(),
        id: id.to_owned(),
        known: known(index.keys().copied()),
    })
}

fn resolve(what: &str, needs: &[Need], index: &HashMap<&str, usize>) -> Result<Needs, KitError> {
    let one = |need: &Need| {
        if need.any_of.is_empty() {
            return Err(KitError::EmptyNeed { what: what.to_owned() });
        }
        need.any_of.iter().map(|id| look_up(what, id.as_str(), index)).collect()
    };
    needs.iter().map(one).collect()
}

fn stand_ins(parts: &[Part], index: &HashMap<&str, usize>) -> Result<Vec<Vec<usize>>, KitError> {
    let mut result = vec![Vec::new(); parts.len()];
    for (i, part) in parts.iter().enumerate() {
        for id in &part.stands_in_for {
            let other = look_up(&format!("part \"{}\"", part.id), id.as_str(), index)?;
            if other == i {
                return Err(KitError::StandsInForItself {
                    id: part.id.to_string(),
                });
            }
            if !result[other].contains(&i) {
                result[other].push(i);
            }
        }
    }
    for list in &mut result {
        list.sort_by(|a, b| parts[*a].changeover_min.total_cmp(&parts[*b].changeover_min));
    }
    Ok(result)
}

/// A circle of needs, if there is one: first and last are the same.
fn circle(needs: &[Needs]) -> Option<Vec<usize>> {
    // 0 not seen, 1 on the way, 2 done. The walk keeps its own stack: a chain may be a thousand parts long.
    let mut colour = vec![0_u8; needs.len()];
    for start in 0..needs.len() {
        if colour[start] != 0 {
            continue;
        }
        let mut way = vec![(start, needs[start].concat())];
        colour[start] = 1;
        while let Some((_, below)) = way.last_mut() {
            let Some(next) = below.pop() else {
                if let Some((done, _)) = way.pop() {
                    colour[done] = 2;
                }
                continue;
            };
            if colour[next] == 1 {
                let mut circle: Vec<usize> = way.iter().map(|w| w.0).skip_while(|p| *p != next).collect();
                circle.push(next);
                return Some(circle);
            }
            if colour[next] == 0 {
                colour[next] = 1;
                way.push((next, needs[next].concat()));
            }
        }
    }
    None
}

fn circle_error(parts: &[Part], circle: &[usize]) -> KitError {
    let ids: Vec<&str> = circle.iter().map(|i| parts[*i].id.as_str()).collect();
    KitError::Circle {
        id: ids.first().copied().unwrap_or_default().to_owned(),
        circle: ids.join(" needs "),
    }
}

/// Depth first from the functions, then the rest: needs and stand-ins before the part itself.
fn order(needs: &[Needs], stand_ins: &[Vec<usize>], functions: &[Needs]) -> Vec<usize> {
    let mut seen = vec![false; needs.len()];
    let mut order = Vec::with_capacity(needs.len());
    let roots = functions.iter().flatten().flatten().copied().chain(0..needs.len());
    for root in roots {
        let mut way = vec![(root, false)];
        while let Some((part, finished)) = way.pop() {
            if finished {
                order.push(part);
            } else if !seen[part] {
                seen[part] = true;
                way.push((part, true));
                let below = needs[part].iter().flatten().chain(&stand_ins[part]);
                way.extend(below.filter(|p| !seen[**p]).map(|p| (*p, false)));
            }
        }
    }
    order
}

#[cfg(test)]
mod tests {
    use super::*;
    use farhop_gear::{Id, PartClass};

    fn part(id: &str, needs: &[&str]) -> Part {
        Part {
            needs: needs.iter().map(|n| Need::one(*n)).collect(),
            ..Part::new(id, PartClass::Other)
        }
    }

    fn kit(parts: Vec<Part>) -> Result<Kit, KitError> {
        let functions = vec![Function {
            id: Id::ours("f"),
            name: "f".into(),
            needs: vec![Need::one("a")],
            vital: true,
        }];
        Kit::new(KitSpec { parts, functions })
    }

    #[test]
    fn circles_are_named() {
        let error = kit(vec![part("a", &["b"]), part("b", &["c"]), part("c", &["b"])]).unwrap_err();
        assert_eq!(
            error.to_string(),
            "\"b\" needs itself: b needs c needs b; break the circle, needs run one way only"
        );
    }

    #[test]
    fn unknown_and_doubled_ids_are_named() {
        let error = kit(vec![part("a", &["x"]), part("b", &[])]).unwrap_err();
        assert_eq!(
            error.to_string(),
            "part \"a\" refers to \"x\", which is not among the parts; name one of: a, b"
        );
        assert!(matches!(
            kit(vec![part("a", &[]), part("a", &[])]),
            Err(KitError::DuplicateId { .. })
        ));
        assert!(matches!(kit(vec![part("b", &[])]), Err(KitError::UnknownPart { .. })));
    }

    #[test]
    fn a_circle_of_stand_ins_is_allowed() {
        let mut a = part("a", &[]);
        a.stands_in_for = vec![Id::ours("b")];
        let mut b = part("b", &[]);
        b.stands_in_for = vec![Id::ours("a")];
        let kit = kit(vec![a, b]).unwrap();
        assert_eq!(kit.stand_ins(0), [1]);
        assert_eq!(kit.order().len(), 2);
    }

    #[test]
    fn bad_numbers_are_refused() {
        for bad in [f64::NAN, -1.0, f64::INFINITY] {
            let mut a = part("a", &[]);
            a.mass_kg = bad;
            assert!(matches!(kit(vec![a]), Err(KitError::OutOfRange { .. })), "{bad}");
        }
        let mut a = part("a", &[]);
        a.fail_per_outing = Some(1.01);
        assert!(kit(vec![a]).is_err());
        let mut a = part("a", &[]);
        a.count = 0;
        assert!(kit(vec![a]).is_err());
    }

    #[test]
    fn a_long_chain_does_not_overflow() {
        let name = |i: usize| if i == 0 { "a".to_owned() } else { format!("p{i}") };
        let link = |i| Part {
            needs: (i < 899).then(|| Need::one(name(i + 1))).into_iter().collect(),
            ..part(&name(i), &[])
        };
        let parts = (0..900).map(link).collect();
        assert_eq!(kit(parts).unwrap().order().first(), Some(&899));
    }
}

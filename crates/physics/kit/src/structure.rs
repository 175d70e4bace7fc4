//! The structure function: which parts and functions work, given what is whole.
//!
//! [`evaluate`] answers for one state, by repetition until nothing changes. [`Structure`] is the same function for all
//! states at once, as a decision diagram.

use crate::bdd::{Bdd, FALSE, Ref, TRUE};
use crate::error::KitError;
use crate::graph::{Kit, Needs};

/// What works in one state of the kit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct State {
    /// For each part: it is whole and all its needs are served.
    pub works: Vec<bool>,
    /// For each part: it or something that stands in for it works.
    pub served: Vec<bool>,
    /// For each function: all its needs are served.
    pub functions: Vec<bool>,
    /// All vital functions work.
    pub vital: bool,
}

/// What works when exactly the parts with `true` are there and whole. Parts beyond the end of `whole` count as missing.
#[must_use]
pub fn evaluate(kit: &Kit, whole: &[bool]) -> State {
    let n = kit.parts().len();
    let (mut works, mut served) = (vec![false; n], vec![false; n]);
    let met = |needs: &Needs, served: &[bool]| needs.iter().all(|any| any.iter().any(|p| served[*p]));
    loop {
        let mut changed = false;
        for &p in kit.order() {
            if !works[p] && whole.get(p).copied().unwrap_or(false) && met(kit.needs(p), &served) {
                works[p] = true;
                changed = true;
            }
            if !served[p] && (works[p] || kit.stand_ins(p).iter().any(|s| served[*s])) {
                served[p] = true;
                changed = true;
            }
        }
        if !changed {
            break;
        }
    }
    let functions: Vec<bool> = (0..kit.functions().len())
        .map(|f| met(kit.function_needs(f), &served))
        .collect();
    let vital = kit.functions().iter().zip(&functions).all(|(f, ok)| *ok || !f.vital);
    State {
        works,
        served,
        functions,
        vital,
    }
}

/// The structure function of a kit as a decision diagram over "this part is whole".
#[derive(Clone, Debug)]
pub struct Structure {
    pub(crate) bdd: Bdd,
    /// Level of each part in the diagram.
    pub(crate) level: Vec<usize>,
    pub(crate) works: Vec<Ref>,
    pub(crate) served: Vec<Ref>,
    pub(crate) functions: Vec<Ref>,
    pub(crate) vital: Ref,
}

impl Structure {
    /// Builds the diagram; parts with `false` in `there` (or beyond its end) are missing for good.
    ///
    /// # Errors
    /// The diagram grows too large.
    pub fn new(kit: &Kit, there: &[bool]) -> Result<Self, KitError> {
        let n = kit.parts().len();
        let mut level = vec![0; n];
        for (place, part) in kit.order().iter().enumerate() {
            level[*part] = place;
        }
        let mut s = Self {
            bdd: Bdd::new(),
            level,
            works: vec![FALSE; n],
            served: vec![FALSE; n],
            functions: Vec::new(),
            vital: TRUE,
        };
        while s.round(kit, there)? {}
        for f in 0..kit.functions().len() {
            let met = s.met(kit.function_needs(f))?;
            s.functions.push(met);
        }
        for (f, function) in kit.functions().iter().enumerate() {
            if function.vital {
                s.vital = s.bdd.and(s.vital, s.functions[f])?;
            }
        }
        Ok(s)
    }

    /// One round of the fixed point; whether anything changed.
    fn round(&mut self, kit: &Kit, there: &[bool]) -> Result<bool, KitError> {
        let mut changed = false;
        for &p in kit.order() {
            if there.get(p).copied().unwrap_or(false) {
                let whole = self.bdd.variable(self.level[p] as u32)?;
                let met = self.met(kit.needs(p))?;
                let works = self.bdd.and(whole, met)?;
                changed |= works != self.works[p];
                self.works[p] = works;
            }
            let mut served = self.works[p];
            for s in kit.stand_ins(p) {
                served = self.bdd.or(served, self.served[*s])?;
            }
            changed |= served != self.served[p];
            self.served[p] = served;
        }
        Ok(changed)
    }

    fn met(&mut self, needs: &Needs) -> Result<Ref, KitError> {
        let mut all = TRUE;
        for any_of in needs {
            let mut any = FALSE;
            for p in any_of {
                any = self.bdd.or(any, self.served[*p])?;
            }
            all = self.bdd.and(all, any)?;
        }
        Ok(all)
    }

    /// Probabilities by level from probabilities by part.
    pub(crate) fn at_level(&self, by_part: &[f64]) -> Vec<f64> {
        let mut result = vec![0.0; self.level.len()];
        for (part, level) in self.level.iter().enumerate() {
            result[*level] = by_part.get(part).copied().unwrap_or(0.0);
        }
        result
    }

    /// Chance (dimensionless) that all vital functions work when part i is whole with chance `whole[i]`.
    #[must_use]
    pub fn chance_vital(&self, whole: &[f64]) -> f64 {
        self.bdd.probability(self.vital, &self.at_level(whole))
    }
}

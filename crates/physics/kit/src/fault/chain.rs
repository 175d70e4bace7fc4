//! The chain of parts in use, and what each does in it.

use crate::error::{KitError, within};
use crate::graph::{Kit, Needs, PartIx};
use crate::priors::RATE_SCALE;
use farhop_gear::{PartClass, Role};

/// Where the search looks.
#[derive(Clone, Debug, PartialEq)]
pub struct Setup {
    /// Ids of parts that are in use where the kit leaves a choice, for example the antenna that hangs, or a spare that
    /// has been put in. Otherwise the first carried part of each need is taken.
    pub in_use: Vec<String>,
    /// Ids of the functions that fail; empty means all that a station part (radio, modem, antenna) belongs to.
    pub functions: Vec<String>,
    /// Chance (dimensionless, 0 to 1) that sky, distant station or a setting is at fault and no part of the kit.
    pub outside_fails: f64,
    /// Minutes to check settings, frequency and time.
    pub outside_check_min: f64,
    /// There is a meter, or a lamp that shows whether power comes through a lead.
    pub can_measure: bool,
}

impl Default for Setup {
    /// Chance 5 % (from memory, judged beside the class numbers of parts and scaled with them) and 3 minutes for causes outside, a meter,
    /// all else from the kit.
    fn default() -> Self {
        Self {
            in_use: Vec::new(),
            functions: Vec::new(),
            outside_fails: 0.05 * RATE_SCALE,
            outside_check_min: 3.0,
            can_measure: true,
        }
    }
}

/// What a part does in the chain.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Place {
    /// Battery or panel.
    Source,
    /// Passes power on: cable, fuse, converter.
    PowerLink,
    /// The transceiver.
    Radio,
    /// Cable or box at the radio that carries no power.
    RadioLink,
    /// The tuner.
    Tuner,
    /// The antenna.
    Antenna,
    /// Cable, connector or box between radio and antenna.
    Feed,
    /// Holds the antenna up.
    Support,
    /// The modem.
    Modem,
    /// Signal cable or box of the modem.
    ModemLink,
    /// The computer.
    Computer,
    /// Signal cable or box of the computer.
    ComputerLink,
    /// Program or file.
    Program,
    /// Something else.
    Other,
}

/// Kinds of load that can be left without power.
pub(crate) const LOADS: [Place; 3] = [Place::Radio, Place::Modem, Place::Computer];

/// The parts in use. Parts are counted by their place in `parts`.
#[derive(Clone, Debug)]
pub(crate) struct Chain {
    pub(crate) parts: Vec<PartIx>,
    pub(crate) places: Vec<Place>,
    /// The part itself and all it needs, directly or through others.
    pub(crate) upstream: Vec<Vec<usize>>,
    /// Whether losing the part leaves radio, modem, computer dark.
    pub(crate) darkens: Vec<[bool; 3]>,
    /// Which of radio, modem, computer are fed through parts of the chain.
    pub(crate) powered: [bool; 3],
}

impl Chain {
    pub(crate) fn new(kit: &Kit, setup: &Setup) -> Result<Self, KitError> {
        within("chance of a cause outside the kit", setup.outside_fails, 0.0, 1.0)?;
        within("minutes to check settings", setup.outside_check_min, 0.0, 10_000.0)?;
        let in_use = setup
            .in_use
            .iter()
            .map(|id| kit.find(id))
            .collect::<Result<Vec<_>, _>>()?;
        let choose = |needs: &Needs| chosen(kit, needs, &in_use);
        let mut parts: Vec<usize> = Vec::new();
        for function in functions(kit, setup, &choose)? {
            reach(kit, choose(kit.function_needs(function)), &choose, &mut parts);
        }
        if parts.is_empty() {
            return Err(KitError::NothingInUse {
                what: setup.functions.join(", "),
            });
        }
        parts.sort_unstable();
        let place = |p: &usize| parts.iter().position(|x| x == p);
        let needs: Vec<Vec<usize>> = parts
            .iter()
            .map(|p| choose(kit.needs(*p)).iter().filter_map(place).collect())
            .collect();
        let upstream: Vec<Vec<usize>> = (0..parts.len()).map(|i| closure(i, &needs)).collect();
        let places = places(kit, &parts, &upstream);
        let (darkens, powered) = darkness(&places, &upstream);
        Ok(Self {
            parts: parts.into_iter().map(PartIx).collect(),
            places,
            upstream,
            darkens,
            powered,
        })
    }

    /// Whether it makes sense to measure what comes out of a part.
    pub(crate) fn measurable(&self, element: usize) -> bool {
        self.places.get(element) == Some(&Place::PowerLink) && self.upstream[element].len() > 1
    }
}

/// For each need the part in use: one that was named, a named stand-in, or the first carried.
fn chosen(kit: &Kit, needs: &Needs, in_use: &[PartIx]) -> Vec<usize> {
    let named = |p: &usize| in_use.contains(&PartIx(*p));
    let pick = |any: &Vec<usize>| {
        any.iter()
            .find(|p| named(p))
            .or_else(|| any.iter().flat_map(|p| kit.stand_ins(*p)).find(|p| named(p)))
            .or_else(|| any.iter().find(|p| kit.parts()[**p].carried))
            .copied()
    };
    needs.iter().filter_map(pick).collect()
}

fn reach(kit: &Kit, from: Vec<usize>, choose: &dyn Fn(&Needs) -> Vec<usize>, parts: &mut Vec<usize>) {
    let mut open = from;
    while let Some(part) = open.pop() {
        if !parts.contains(&part) {
            parts.push(part);
            open.extend(choose(kit.needs(part)));
        }
    }
}

fn functions(kit: &Kit, setup: &Setup, choose: &dyn Fn(&Needs) -> Vec<usize>) -> Result<Vec<usize>, KitError> {
    let all = 0..kit.functions().len();
    if !setup.functions.is_empty() {
        let find = |id: &String| {
            kit.functions()
                .iter()
                .position(|f| f.id == *id)
                .ok_or_else(|| KitError::UnknownFunction {
                    id: id.clone(),
                    known: kit
                        .functions()
                        .iter()
                        .map(|f| f.id.as_str())
                        .collect::<Vec<_>>()
                        .join(", "),
                })
        };
        return setup.functions.iter().map(find).collect();
    }
    let station = |f: &usize| {
        let mut parts = Vec::new();
        reach(kit, choose(kit.function_needs(*f)), choose, &mut parts);
        parts.iter().any(|p| {
            let part = &kit.parts()[*p];
            matches!(part.role, Some(Role::Transceiver | Role::Modem | Role::Antenna)) || part.class == PartClass::Wire
        })
    };
    let found: Vec<usize> = all.clone().filter(station).collect();
    Ok(if found.is_empty() { all.collect() } else { found })
}

fn closure(start: usize, needs: &[Vec<usize>]) -> Vec<usize> {
    let (mut seen, mut open) = (vec![start], vec![start]);
    while let Some(next) = open.pop() {
        for below in &needs[next] {
            if !seen.contains(below) {
                seen.push(*below);
                open.push(*below);
            }
        }
    }
    seen.sort_unstable();
    seen
}

/// What role or class alone tells.
fn known_place(role: Option<Role>, class: PartClass) -> Option<Place> {
    match (role, class) {
        (Some(Role::Transceiver), _) => Some(Place::Radio),
        (Some(Role::Tuner), _) => Some(Place::Tuner),
        (Some(Role::Antenna), _) => Some(Place::Antenna),
        (Some(Role::FeedLine), _) => Some(Place::Feed),
        (Some(Role::Modem), _) => Some(Place::Modem),
        (Some(Role::Computer), _) => Some(Place::Computer),
        (Some(Role::Source), _) => Some(Place::Source),
        (Some(Role::PowerLink), _) => Some(Place::PowerLink),
        (None, PartClass::Battery | PartClass::Panel) => Some(Place::Source),
        (None, PartClass::Fuse) => Some(Place::PowerLink),
        (None, PartClass::Wire) => Some(Place::Antenna),
        (None, PartClass::Computer) => Some(Place::Computer),
        (None, PartClass::Software) => Some(Place::Program),
        (None, PartClass::Shelter) => Some(Place::Other),
        (None, PartClass::Connector | PartClass::Cable | PartClass::Electronics) => None,
        (None, PartClass::Mechanical | PartClass::Other) => None,
    }
}

/// A part that needs a source passes power on; else it belongs to whatever needs it, the antenna side first.
fn places(kit: &Kit, parts: &[usize], upstream: &[Vec<usize>]) -> Vec<Place> {
    let known: Vec<Option<Place>> = parts
        .iter()
        .map(|p| known_place(kit.parts()[*p].role, kit.parts()[*p].class))
        .collect();
    let needed_by = |i: usize, place: Place| {
        (0..parts.len()).any(|j| j != i && known[j] == Some(place) && upstream[j].contains(&i))
    };
    let derive = |i: usize| {
        let class = kit.parts()[parts[i]].class;
        let carries = matches!(class, PartClass::Connector | PartClass::Cable | PartClass::Electronics);
        let fed = upstream[i].iter().any(|j| known[*j] == Some(Place::Source));
        let aloft = [Place::Antenna, Place::Tuner, Place::Feed]
            .into_iter()
            .any(|p| needed_by(i, p));
        match (fed, aloft, carries) {
            (true, _, true) => Place::PowerLink,
            (_, true, true) => Place::Feed,
            (_, true, false) => Place::Support,
            (_, false, true) if needed_by(i, Place::Modem) => Place::ModemLink,
            (_, false, true) if needed_by(i, Place::Computer) => Place::ComputerLink,
            (_, false, true) if needed_by(i, Place::Radio) => Place::RadioLink,
            _ => Place::Other,
        }
    };
    known
        .iter()
        .enumerate()
        .map(|(i, k)| k.unwrap_or_else(|| derive(i)))
        .collect()
}

fn darkness(places: &[Place], upstream: &[Vec<usize>]) -> (Vec<[bool; 3]>, [bool; 3]) {
    let mut darkens = vec![[false; 3]; places.len()];
    let mut powered = [false; 3];
    for (place, up) in places.iter().zip(upstream) {
        let Some(kind) = LOADS.iter().position(|l| l == place) else {
            continue;
        };
        for below in up
            .iter()
            .filter(|b| matches!(places[**b], Place::Source | Place::PowerLink))
        {
            darkens[*below][kind] = true;
            powered[kind] = true;
        }
    }
    (darkens, powered)
}

//! How likely each own fault is, from the kit's graph of needs.

use farhop_days::{FaultClass, FaultPriors};
use farhop_kit::{CutSets, Kit, PartClass, Role, Structure, importance};
use farhop_num::maths;
use farhop_outing::Outing;

use crate::readiness::KitModel;

/// Largest cut sets that are looked at.
const MOST_PARTS_IN_A_CUT: usize = 2;
/// What a broken transceiver does: nothing out, nothing in, no power (shares, dimensionless; judgement).
const OF_TRANSCEIVER: [(FaultClass, f64); 4] = [
    (FaultClass::NothingOut, 0.35),
    (FaultClass::WeakOut, 0.25),
    (FaultClass::NothingIn, 0.15),
    (FaultClass::NoPower, 0.25),
];
/// What a broken antenna, line or tuner does (shares, dimensionless; judgement).
const OF_ANTENNA: [(FaultClass, f64); 2] = [(FaultClass::NothingOut, 0.5), (FaultClass::WeakOut, 0.5)];

/// The own faults of an outing as it is packed: what a part's failure would cost the vital functions, sorted by how one would notice
/// it. No faults where the kit cannot be worked out.
#[must_use]
pub(crate) fn fault_priors(outing: &Outing) -> FaultPriors {
    let Ok(model) = KitModel::alone(outing) else {
        return FaultPriors::default();
    };
    let Ok(structure) = Structure::new(&model.kit, &model.kit.carried()) else {
        return FaultPriors::default();
    };
    let Ok(list) = CutSets::of(&structure, MOST_PARTS_IN_A_CUT)
        .and_then(|cuts| importance(&model.kit, &structure, &model.chances, &cuts))
    else {
        return FaultPriors::default();
    };
    let mut priors = FaultPriors::default();
    let (mut at_first, mut all) = (0.0, 0.0);
    for part in list {
        let lost = part.fails * part.birnbaum;
        if !shares(&model.kit, part.part.index()).is_empty() {
            all += lost;
            at_first += lost * from_start(&model, part.part.index());
        }
        for (class, share) in shares(&model.kit, part.part.index()) {
            priors.by_class[class.index()] += share * lost;
        }
    }
    priors.from_start = if all > 0.0 { at_first / all } else { 0.0 };
    priors
}

/// Share (dimensionless) of a part's failures that belongs to the outing as such (packing, carrying, hanging) and not to the hours of
/// use: by the rates that the kit's own model adds up.
fn from_start(model: &KitModel, part: usize) -> f64 {
    let Some(failure) = model.chances.failures().get(part) else {
        return 0.0;
    };
    let rate = |p: f64| -maths::ln_1p(-p);
    let (outing, hours) = (
        rate(failure.per_outing),
        rate(failure.per_hour) * model.assumed.circumstances.hours_h,
    );
    if outing + hours > 0.0 {
        outing / (outing + hours)
    } else {
        0.0
    }
}

/// The classes of a part's failure with their shares; none for parts that have nothing to do with the station.
fn shares(kit: &Kit, part: usize) -> Vec<(FaultClass, f64)> {
    let spec = &kit.parts()[part];
    match spec.role.or_else(|| role_of_user(kit, spec.id.as_str(), 0)) {
        Some(Role::Transceiver) if spec.role.is_none() => vec![(FaultClass::NoPower, 1.0)],
        Some(Role::Transceiver) => OF_TRANSCEIVER.to_vec(),
        Some(Role::Tuner) => vec![(FaultClass::WeakOut, 1.0)],
        Some(Role::Antenna | Role::FeedLine) => OF_ANTENNA.to_vec(),
        Some(Role::Modem | Role::Computer) => vec![(FaultClass::NoModem, 1.0)],
        Some(Role::Source | Role::PowerLink) => vec![(FaultClass::NoPower, 1.0)],
        None if spec.class == PartClass::Battery || spec.class == PartClass::Fuse => vec![(FaultClass::NoPower, 1.0)],
        None => Vec::new(),
    }
}

/// The role of the nearest part that needs this one.
fn role_of_user(kit: &Kit, id: &str, depth: usize) -> Option<Role> {
    if depth > 6 {
        return None;
    }
    let users = kit
        .parts()
        .iter()
        .filter(|p| p.needs.iter().any(|n| n.any_of.iter().any(|o| o == id)));
    let mut deeper = Vec::new();
    for user in users {
        if user.role.is_some() {
            return user.role;
        }
        deeper.push(user.id.clone());
    }
    deeper
        .iter()
        .find_map(|user| role_of_user(kit, user.as_str(), depth + 1))
}

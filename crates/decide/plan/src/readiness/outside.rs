//! Energy by the batteries that are left, sky by the antennas that are left.

use crate::error::PlanError;
use farhop_kit::{Kit, Outside, PerAvailable};
use farhop_outing::{Battery, Id, Outing, Priority};

use crate::analysis::Analysis;
use crate::power::{afforded, calls_of};
use crate::schedule::Send;
use crate::schedule::sound_days::SoundDays;

/// Most antennas, and most batteries, that are looked at in every combination; the others count as one that never fails.
const MOST_COMBINED: usize = 5;

/// The message that stands for all.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hardest {
    /// Index of the message in the outing.
    pub message: usize,
    /// Chance (dimensionless) that it gets through under the best schedule.
    pub chance: f64,
}

/// The messages that matter: high and normal priority, or all where there are no such.
fn mattering(outing: &Outing) -> Vec<usize> {
    let all = 0..outing.messages.len();
    let some: Vec<usize> = all
        .clone()
        .filter(|m| outing.messages[*m].priority != Priority::Low)
        .collect();
    if some.is_empty() { all.collect() } else { some }
}

/// The hardest message with all antennas: its chance on days on which nothing of the own station fails and charge is enough.
pub fn hardest(outing: &Outing, days: &SoundDays<'_>) -> Option<Hardest> {
    let chances = days.chances(&|_| true);
    let of = |message: usize| Hardest {
        message,
        chance: chances.get(message).copied().unwrap_or(0.0),
    };
    mattering(outing)
        .into_iter()
        .map(of)
        .min_by(|a, b| a.chance.total_cmp(&b.chance))
}

/// Both factors.
///
/// # Errors
/// The kit crate's, in words.
pub fn outside(
    outing: &Outing,
    analysis: &Analysis,
    days: &SoundDays<'_>,
    kit: &Kit,
    notes: &mut Vec<String>,
) -> Result<Outside, PlanError> {
    Ok(Outside {
        energy: match &analysis.energy {
            Ok(_) => energy_left(outing, &analysis.sends, kit, notes)?,
            Err(_) => PerAvailable::constant(1.0)?,
        },
        sky: sky_left(outing, days, kit, notes)?,
    })
}

fn sky_left(
    outing: &Outing,
    days: &SoundDays<'_>,
    kit: &Kit,
    notes: &mut Vec<String>,
) -> Result<PerAvailable, PlanError> {
    let messages = mattering(outing);
    if messages.is_empty() {
        notes.push("there are no messages: the sky counts as sure".to_owned());
        return PerAvailable::constant(1.0).map_err(PlanError::from);
    }
    let watched = watched(kit, outing.kit.antennas.iter().map(|a| &a.id));
    let ids: Vec<&str> = watched.iter().map(|(_, id)| id.as_str()).collect();
    PerAvailable::new(kit, &ids, |available| {
        let usable = |antenna: usize| {
            let place = watched.iter().position(|(index, _)| *index == antenna);
            place.is_none_or(|p| available[p])
        };
        let chances = days.chances(&usable);
        let of = |message: &usize| chances.get(*message).copied().unwrap_or(0.0);
        messages.iter().map(of).fold(1.0, f64::min)
    })
    .map_err(PlanError::from)
}

/// Items whose id is a part, with their place in the outing's list.
fn watched<'a>(kit: &Kit, ids: impl Iterator<Item = &'a Id>) -> Vec<(usize, &'a Id)> {
    ids.enumerate()
        .filter(|(_, id)| kit.find(id.as_str()).is_ok())
        .take(MOST_COMBINED)
        .collect()
}

fn energy_left(outing: &Outing, sends: &[Send], kit: &Kit, notes: &mut Vec<String>) -> Result<PerAvailable, PlanError> {
    let watched = watched(kit, outing.kit.batteries.iter().map(|b| &b.id));
    let ids: Vec<&str> = watched.iter().map(|(_, id)| id.as_str()).collect();
    if ids.len() > 1 {
        notes.push("batteries of one chemistry and voltage count as swapped when the first is empty".to_owned());
    }
    PerAvailable::new(kit, &ids, |available| {
        let left = |index: usize| {
            let place = watched.iter().position(|(i, _)| *i == index);
            place.map_or(outing.kit.carries(outing.kit.batteries[index].id.as_str()), |p| {
                available[p]
            })
        };
        with_batteries(outing, &left).map_or(0.0, |left| powered(&left, sends))
    })
    .map_err(PlanError::from)
}

/// Chance (dimensionless) that every call of the plan has power.
fn powered(outing: &Outing, sends: &[Send]) -> f64 {
    afforded(outing, calls_of(outing, sends)).map_or(0.0, |held| held.least())
}

/// The outing with only the batteries that are left. Loads of a lost battery hang on the first that is left; a battery like it
/// takes over when it is empty, which is reckoned as one larger battery. None when no battery is left.
fn with_batteries(outing: &Outing, left: &dyn Fn(usize) -> bool) -> Option<Outing> {
    let mut changed = outing.clone().into_parts();
    let kept: Vec<Battery> = outing
        .kit
        .batteries
        .iter()
        .enumerate()
        .filter(|(index, _)| left(*index))
        .map(|(_, battery)| battery.clone())
        .collect();
    let main = kept.first()?.clone();
    let alike = |b: &&Battery| b.chemistry == main.chemistry && b.cells == main.cells && b.id != main.id;
    let rated_ah = |b: &Battery| b.capacity_ah * b.health * b.start_charge;
    let more_ah: f64 = kept.iter().filter(alike).map(rated_ah).sum();
    let whole = Battery {
        capacity_ah: main.capacity_ah + more_ah / (main.health * main.start_charge).max(1e-6),
        ..main.clone()
    };
    let gone = |id: &Option<Id>| id.as_ref().is_some_and(|id| !kept.iter().any(|b| b.id == *id));
    let was_battery = |id: &Option<Id>| {
        id.as_ref()
            .is_some_and(|id| outing.kit.batteries.iter().any(|b| b.id == *id))
    };
    let kit = &mut changed.kit;
    let mut sources: Vec<&mut Option<Id>> = vec![&mut kit.transceiver.source, &mut kit.modem.source];
    sources.extend(kit.computer.as_mut().map(|c| &mut c.source));
    sources.extend(kit.converters.iter_mut().map(|c| &mut c.source));
    sources.extend(kit.loads.iter_mut().map(|l| &mut l.source));
    sources.extend(kit.panels.iter_mut().map(|p| &mut p.charges));
    for source in sources.into_iter().filter(|s| gone(s) && was_battery(s)) {
        *source = Some(main.id.clone());
    }
    for part in &mut kit.parts {
        part.carried |= part.id == main.id;
    }
    kit.batteries = vec![whole];
    kit.batteries.extend(kept.iter().skip(1).filter(|b| !alike(b)).cloned());
    Outing::new(changed).ok()
}

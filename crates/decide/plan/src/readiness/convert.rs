//! From the outing's kit to the graph of needs.

use farhop_kit::{Function, Id, KitSpec, Need, Part, PartClass, Role};
use farhop_outing::{Kit, Outing, TunerKind};

/// The graph as written. Where no function is written down, the equipment itself makes a plain chain, and a note says so.
pub(crate) fn spec_of(outing: &Outing, notes: &mut Vec<String>) -> KitSpec {
    let kit = &outing.kit;
    let mut parts: Vec<Part> = kit.parts.iter().map(|part| known(kit, part)).collect();
    let mut functions: Vec<Function> = kit.functions.clone();
    if functions.is_empty() {
        let known: Vec<Id> = parts.iter().map(|p| p.id.clone()).collect();
        parts.extend(equipment(kit).into_iter().filter(|p| !known.contains(&p.id)));
        functions.push(send(kit));
        notes.push(
            "no [[kit.function]] is written down: sending needs transceiver, modem, computer and one antenna"
                .to_owned(),
        );
    } else if !functions.iter().any(|f| f.vital) {
        notes.push(
            "no function is vital, so nothing that fails would end the outing; the first one counts as vital"
                .to_owned(),
        );
        if let Some(first) = functions.first_mut() {
            first.vital = true;
        }
    }
    KitSpec { parts, functions }
}

/// The part with what it does in the station.
fn known(kit: &Kit, part: &Part) -> Part {
    Part {
        role: role(kit, part.id.as_str()),
        ..part.clone()
    }
}

/// What a part does in the station: it bears the id of a piece of equipment.
fn role(kit: &Kit, id: &str) -> Option<Role> {
    match id {
        "transceiver" => return Some(Role::Transceiver),
        "tuner" => return Some(Role::Tuner),
        "modem" => return Some(Role::Modem),
        "computer" => return Some(Role::Computer),
        _ => {}
    }
    let is = |other: &Id| other.as_str() == id;
    if kit.antennas.iter().any(|a| is(&a.id)) {
        Some(Role::Antenna)
    } else if kit.feedlines.iter().any(|l| is(&l.id)) {
        Some(Role::FeedLine)
    } else if kit.batteries.iter().any(|b| is(&b.id)) || kit.panels.iter().any(|p| is(&p.id)) {
        Some(Role::Source)
    } else if kit.converters.iter().any(|c| is(&c.id)) {
        Some(Role::PowerLink)
    } else {
        None
    }
}

/// The pieces of equipment as parts with usual numbers, each needing what feeds it.
fn equipment(kit: &Kit) -> Vec<Part> {
    let first = kit.batteries.iter().find(|b| kit.carries(b.id.as_str()));
    let fed = |source: &Option<Id>| -> Vec<Need> {
        let id = source.as_ref().or(first.map(|b| &b.id));
        id.map(|id| Need::one(id.to_string())).into_iter().collect()
    };
    let part = |id: &str, class, needs: Vec<Need>| Part {
        role: role(kit, id),
        needs,
        ..Part::new(id, class)
    };
    let mut parts = vec![
        Part {
            name: kit.transceiver.name.clone(),
            ..part("transceiver", PartClass::Electronics, fed(&kit.transceiver.source))
        },
        part("modem", PartClass::Electronics, fed(&kit.modem.source)),
    ];
    parts.extend(
        kit.computer
            .iter()
            .map(|c| part("computer", PartClass::Computer, fed(&c.source))),
    );
    if kit.tuner.kind != TunerKind::None {
        parts.push(part("tuner", PartClass::Electronics, Vec::new()));
    }
    parts.extend(kit.antennas.iter().map(|a| Part {
        name: a.name.clone(),
        ..part(
            a.id.as_str(),
            PartClass::Wire,
            a.feedline.iter().map(|l| Need::one(l.to_string())).collect(),
        )
    }));
    parts.extend(
        kit.feedlines
            .iter()
            .map(|l| part(l.id.as_str(), PartClass::Cable, Vec::new())),
    );
    parts.extend(
        kit.batteries
            .iter()
            .map(|b| part(b.id.as_str(), PartClass::Battery, Vec::new())),
    );
    parts.extend(
        kit.panels
            .iter()
            .map(|p| part(p.id.as_str(), PartClass::Panel, Vec::new())),
    );
    parts.extend(
        kit.converters
            .iter()
            .map(|c| part(c.id.as_str(), PartClass::Electronics, fed(&c.source))),
    );
    parts
}

fn send(kit: &Kit) -> Function {
    let mut needs = vec![Need::one("transceiver"), Need::one("modem")];
    if kit.computer.is_some() {
        needs.push(Need::one("computer"));
    }
    needs.push(Need::any(kit.antennas.iter().map(|a| a.id.to_string())));
    Function {
        id: Id::ours("send"),
        name: "Send a message".to_owned(),
        needs,
        vital: true,
    }
}

//! From the outing's kit to the graph of needs.

use farhop_kit::{FunctionSpec, KitSpec, Need, PartClass, PartSpec, Role, WeakTo};
use farhop_outing::{Kit, Outing, TunerKind};

/// The graph as written. Where no function is written down, the equipment itself makes a plain chain, and a note says so.
pub fn spec_of(outing: &Outing, notes: &mut Vec<String>) -> KitSpec {
    let kit = &outing.kit;
    let mut parts: Vec<PartSpec> = kit.parts.iter().map(|part| part_spec(kit, part)).collect();
    let mut functions: Vec<FunctionSpec> = kit.functions.iter().map(function_spec).collect();
    if functions.is_empty() {
        let known: Vec<String> = parts.iter().map(|p| p.id.clone()).collect();
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

fn part_spec(kit: &Kit, part: &farhop_outing::Part) -> PartSpec {
    PartSpec {
        id: part.id.to_string(),
        name: part.name.clone(),
        class: class(part.class),
        role: role(kit, part.id.as_str()),
        needs: needs(&part.needs),
        stands_in_for: part.stands_in_for.iter().map(ToString::to_string).collect(),
        changeover_min: part.changeover_min,
        check_min: part.check_min,
        mass_kg: part.mass_kg,
        volume_l: part.volume_l,
        price: part.price,
        fail_per_outing: part.fail_per_outing,
        fail_per_hour: part.fail_per_hour,
        weak_to: part.weak_to.iter().map(|w| weak_to(*w)).collect(),
        recovery: part.recovery.clone(),
        bag: part.bag.clone(),
        carried: part.carried,
        count: part.count,
    }
}

fn function_spec(function: &farhop_outing::Function) -> FunctionSpec {
    FunctionSpec {
        id: function.id.to_string(),
        name: function.name.clone(),
        needs: needs(&function.needs),
        vital: function.vital,
    }
}

fn needs(needs: &[farhop_outing::Need]) -> Vec<Need> {
    needs
        .iter()
        .map(|n| Need::any(n.any_of.iter().map(ToString::to_string)))
        .collect()
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
    let is = |other: &farhop_outing::Id| other.as_str() == id;
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
fn equipment(kit: &Kit) -> Vec<PartSpec> {
    let first = kit.batteries.iter().find(|b| kit.carries(b.id.as_str()));
    let fed = |source: &Option<farhop_outing::Id>| -> Vec<Need> {
        let id = source.as_ref().or(first.map(|b| &b.id));
        id.map(|id| Need::one(id.to_string())).into_iter().collect()
    };
    let part = |id: &str, class, needs: Vec<Need>| PartSpec {
        role: role(kit, id),
        needs,
        ..PartSpec::new(id, class)
    };
    let mut parts = vec![
        PartSpec {
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
    parts.extend(kit.antennas.iter().map(|a| PartSpec {
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

fn send(kit: &Kit) -> FunctionSpec {
    let mut needs = vec![Need::one("transceiver"), Need::one("modem")];
    if kit.computer.is_some() {
        needs.push(Need::one("computer"));
    }
    needs.push(Need::any(kit.antennas.iter().map(|a| a.id.to_string())));
    FunctionSpec {
        id: "send".to_owned(),
        name: "Send a message".to_owned(),
        needs,
        vital: true,
    }
}

fn class(class: farhop_outing::PartClass) -> PartClass {
    use farhop_outing::PartClass as Word;
    match class {
        Word::Connector => PartClass::Connector,
        Word::Cable => PartClass::Cable,
        Word::Wire => PartClass::Wire,
        Word::Battery => PartClass::Battery,
        Word::Panel => PartClass::Panel,
        Word::Fuse => PartClass::Fuse,
        Word::Electronics => PartClass::Electronics,
        Word::Computer => PartClass::Computer,
        Word::Software => PartClass::Software,
        Word::Mechanical => PartClass::Mechanical,
        Word::Shelter => PartClass::Shelter,
        Word::Other => PartClass::Other,
    }
}

fn weak_to(word: farhop_outing::WeakTo) -> WeakTo {
    use farhop_outing::WeakTo as Word;
    match word {
        Word::Wet => WeakTo::Wet,
        Word::Cold => WeakTo::Cold,
        Word::Dust => WeakTo::Dust,
        Word::Drop => WeakTo::Drop,
    }
}

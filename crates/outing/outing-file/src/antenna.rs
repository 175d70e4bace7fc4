//! `[[kit.antenna]]`, and antennas as they hang at a site.

use farhop_outing::{Antenna, AntennaKind, DeclaredShape, EndFedShape, Id, Loading, Transformer, Wire, WireMetal};
use toml::de::{DeTable, DeValue};

use crate::fields::Fields;
use crate::session::Session;
use crate::suggest;

/// Reads one antenna.
pub(crate) fn read(s: &mut Session, mut f: Fields<'_>, number: usize) -> Option<Antenna> {
    let id = f.need_id(s, number)?;
    let name = f.text(s, "name").unwrap_or_else(|| id.to_string());
    let kind = kind(s, &mut f);
    let wire = wire(s, &mut f, kind.as_ref());
    let azimuth_deg = f.number(s, "azimuth_deg");
    let usable_mhz = f.numbers(s, "mhz").unwrap_or_default();
    let feedline = f.id(s, "feedline");
    let transformer = f.inner(s, "transformer").map(|mut inner| {
        let ratio = inner.need_number(s, "ratio", "Impedance ratio: 1 for a choke, 4, 9 or 49.");
        let loss_db = inner.number_or(s, "loss_db", 0.5, "a usual ferrite transformer (common practice)");
        inner.finish(s);
        Transformer { ratio, loss_db }
    });
    let setup_min = f.number_or(s, "setup_min", 20.0, "time to hang a wire with two people");
    let notes = f.notes(s, "notes");
    if kind.is_some() {
        f.finish(s);
    }
    // Without a kind its keys cannot be judged; anything stands in, the kind is already reported.
    let kind = kind.unwrap_or(STAND_IN_KIND);
    Some(Antenna {
        id,
        name,
        kind,
        wire,
        azimuth_deg,
        usable_mhz,
        feedline,
        transformer,
        setup_min,
        notes,
    })
}

/// Reads an antenna of a site: numbers of the site over those of the kit.
pub(crate) fn hung(s: &mut Session, mut f: Fields<'_>, kit: &[&DeTable<'_>]) -> Option<Antenna> {
    let id = f.need_id(s, 0)?;
    let same = |table: &&&DeTable<'_>| {
        table
            .get("id")
            .is_some_and(|v| matches!(v.get_ref(), DeValue::String(t) if t.as_ref() == id.as_str()))
    };
    let Some(base) = kit.iter().find(same) else {
        let path = f.path_of("id");
        let spot = f.get(s, "id").map_or_else(|| f.own_spot(), |v| f.spot_of(v));
        let hint = "A site can only change antennas that the kit has: see [[kit.antenna]].";
        s.error(spot, &path, format!("there is no antenna \"{id}\" in the kit"), hint);
        return stand_in(id);
    };
    if let Some(kind) = f.table().get("kind") {
        let (spot, path) = (f.spot_of(kind), f.path_of("kind"));
        s.error(
            spot,
            &path,
            "a site cannot change the kind of an antenna",
            "Make it a second [[kit.antenna]].",
        );
        return stand_in(id);
    }
    read(s, f.over(base), 0)
}

/// Stands in for an antenna after a report, so that the others keep their numbers.
fn stand_in(id: Id) -> Option<Antenna> {
    Some(Antenna {
        name: id.to_string(),
        id,
        kind: STAND_IN_KIND,
        wire: Wire {
            metal: WireMetal::Copper,
            diameter_mm: 1.0,
        },
        azimuth_deg: None,
        usable_mhz: Vec::new(),
        feedline: None,
        transformer: None,
        setup_min: 0.0,
        notes: String::new(),
    })
}

const STAND_IN_KIND: AntennaKind = AntennaKind::Declared {
    shape: DeclaredShape::Dipole,
    height_m: 5.0,
    efficiency: 0.5,
};

fn wire(s: &mut Session, f: &mut Fields<'_>, kind: Option<&AntennaKind>) -> Wire {
    let copper = ("copper", WireMetal::Copper);
    let metal = f.word_or(s, "wire", &WireMetal::WORDS, copper, "the usual metal of field wires");
    if let Some(AntennaKind::SmallLoop {
        conductor_diameter_mm, ..
    }) = kind
    {
        return Wire {
            metal,
            diameter_mm: *conductor_diameter_mm,
        };
    }
    if matches!(kind, Some(AntennaKind::Declared { .. })) {
        return Wire {
            metal,
            diameter_mm: f.number(s, "wire_diameter_mm").unwrap_or(1.0),
        };
    }
    Wire {
        metal,
        diameter_mm: f.number_or(s, "wire_diameter_mm", 1.0, "the usual thickness of field wires"),
    }
}

fn kind(s: &mut Session, f: &mut Fields<'_>) -> Option<AntennaKind> {
    let known = AntennaKind::WORDS;
    if !f.has("kind") {
        f.known("kind");
        f.missing(s, "kind", &format!("One of: {}.", known.join(", ")));
        return None;
    }
    let path = f.path_of("kind");
    let word = f.text(s, "kind")?;
    let Some(kind) = of_word(s, f, &word) else {
        let spot = f.get(s, "kind").map_or_else(|| f.own_spot(), |v| f.spot_of(v));
        s.error(
            spot,
            &path,
            format!("there is no kind of antenna \"{word}\""),
            suggest::hint(&word, &known),
        );
        return None;
    };
    Some(kind)
}

fn of_word(s: &mut Session, f: &mut Fields<'_>, word: &str) -> Option<AntennaKind> {
    let mut need = |key: &str| f.need_number(s, key, "In metres; a key ending in _ft is feet.");
    Some(match word {
        "flat-dipole" => AntennaKind::FlatDipole {
            length_m: need("length_m"),
            height_m: need("height_m"),
        },
        "inverted-v" => AntennaKind::InvertedV {
            length_m: need("length_m"),
            apex_height_m: need("apex_height_m"),
            end_height_m: need("end_height_m"),
        },
        "linked-dipole" => {
            let (apex_height_m, end_height_m) = (need("apex_height_m"), need("end_height_m"));
            let legs = f.numbers(s, "leg_lengths_m");
            if legs.is_none() {
                f.missing(
                    s,
                    "leg_lengths_m",
                    "Lengths of one leg in metres, shortest first: [6.9, 10.2].",
                );
            }
            AntennaKind::LinkedDipole {
                leg_lengths_m: legs.unwrap_or_default(),
                apex_height_m,
                end_height_m,
            }
        }
        "end-fed" => end_fed(s, f),
        "vertical" => vertical(s, f),
        "whip" => whip(s, f),
        "small-loop" => small_loop(s, f),
        "horizontal-loop" => AntennaKind::HorizontalLoop {
            perimeter_m: need("perimeter_m"),
            height_m: need("height_m"),
        },
        "delta-loop" => AntennaKind::DeltaLoop {
            perimeter_m: need("perimeter_m"),
            apex_height_m: need("apex_height_m"),
            base_height_m: need("base_height_m"),
        },
        "wires" => wires(s, f),
        "declared" => declared(s, f),
        _ => return None,
    })
}

const METRES: &str = "In metres; a key ending in _ft is feet.";

fn end_fed(s: &mut Session, f: &mut Fields<'_>) -> AntennaKind {
    let sloping = ("sloping", EndFedShape::Sloping);
    let shape = f.word_or(s, "shape", &EndFedShape::WORDS, sloping, "the usual way to hang it");
    let far_height_m = f.need_number(s, "far_height_m", METRES);
    AntennaKind::EndFed {
        wire_m: f.need_number(s, "wire_m", METRES),
        shape,
        feed_height_m: f.number_or(s, "feed_height_m", 0.5, "the transformer hangs at knee height"),
        far_height_m,
        corner_height_m: f.number(s, "corner_height_m").unwrap_or(far_height_m),
        counterpoise_m: f.need_number(s, "counterpoise_m", METRES),
        transformer_ratio: f.number_or(
            s,
            "transformer_ratio",
            9.0,
            "the usual transformer for a wire of any length",
        ),
    }
}

fn vertical(s: &mut Session, f: &mut Fields<'_>) -> AntennaKind {
    let length_m = f.need_number(s, "length_m", METRES);
    AntennaKind::Vertical {
        length_m,
        base_height_m: f.number_or(s, "base_height_m", 0.0, "it stands on the ground"),
        radials: f.count_or(s, "radials", 4, "the usual number for a field antenna"),
        radial_m: f.number(s, "radial_m").unwrap_or_else(|| {
            f.default(s, "radial_m", "as long as the vertical", "the usual length of radials");
            length_m
        }),
    }
}

fn whip(s: &mut Session, f: &mut Fields<'_>) -> AntennaKind {
    AntennaKind::Whip {
        length_m: f.need_number(s, "length_m", METRES),
        mast_m: f.number_or(s, "mast_m", 0.0, "no extension mast is given"),
        loading: f.word_or(
            s,
            "loading",
            &Loading::WORDS,
            ("none", Loading::None),
            "no coil is given",
        ),
        coil_uh: f.number(s, "coil_uh"),
        coil_q: f.number_or(s, "coil_q", 200.0, "a good air-wound coil (common practice)"),
        lean_deg: f.number_or(s, "lean_deg", 0.0, "it stands upright"),
        lean_toward_deg: f.number(s, "lean_toward_deg").unwrap_or(0.0),
        counterpoises: f.count_or(s, "counterpoises", 2, "the usual number"),
        counterpoise_m: f.number_or(s, "counterpoise_m", 5.0, "the usual length"),
        counterpoise_height_m: f.number_or(s, "counterpoise_height_m", 0.05, "wires laid on grass"),
    }
}

fn small_loop(s: &mut Session, f: &mut Fields<'_>) -> AntennaKind {
    AntennaKind::SmallLoop {
        diameter_m: f.need_number(s, "diameter_m", METRES),
        turns: f.count_or(s, "turns", 1, "the usual loop"),
        conductor_diameter_mm: f.need_number(
            s,
            "conductor_diameter_mm",
            "Thickness of the tube or cable, for example 10.",
        ),
        height_m: f.number_or(s, "height_m", 1.0, "lowest point of a loop on a stand"),
        capacitor_min_pf: f.number_or(s, "capacitor_min_pf", 10.0, "a usual air capacitor"),
        capacitor_max_pf: f.number_or(s, "capacitor_max_pf", 250.0, "a usual air capacitor"),
        capacitor_q: f.number_or(
            s,
            "capacitor_q",
            1500.0,
            "an air capacitor without sliding contacts (from memory)",
        ),
    }
}

fn wires(s: &mut Session, f: &mut Fields<'_>) -> AntennaKind {
    let wires = f.groups::<6>(
        s,
        "wires",
        "six numbers in metres for each wire: [x1, y1, z1, x2, y2, z2]",
    );
    if wires.is_none() {
        f.missing(
            s,
            "wires",
            "Write [[x1, y1, z1, x2, y2, z2], …] in metres: x east, y north, z up.",
        );
    }
    let feed_wire = f.count_or(s, "feed_wire", 1, "it is fed in the middle of the first wire");
    AntennaKind::Wires {
        wires_m: wires.unwrap_or_default(),
        feed_wire,
    }
}

fn declared(s: &mut Session, f: &mut Fields<'_>) -> AntennaKind {
    let dipole = ("dipole", DeclaredShape::Dipole);
    AntennaKind::Declared {
        shape: f.word_or(s, "shape", &DeclaredShape::WORDS, dipole, "the usual shape"),
        height_m: f.number_or(s, "height_m", 5.0, "a usual height in the field"),
        efficiency: f.need_number(
            s,
            "efficiency",
            "From 0 to 1: 0.8 for a good wire, 0.05 for a small loop on 80 m.",
        ),
    }
}

//! The usual cautions, beside what they concern. They defer to local codes, the operator's licence and licensed practice.

use farhop_outing::{Antenna, AntennaKind, Outing};

/// Cautions for an outing: those that always hold, and those that its kit and sites call for.
#[must_use]
pub fn cautions(outing: &Outing) -> Vec<String> {
    let mut list = vec![
        "Your licence and local rules decide which frequencies, powers and modes you may use: check them.".to_owned(),
        "Thunder heard means lightning can reach you: take the wire down first, then leave the ridge.".to_owned(),
        "Keep every wire and mast farther from power lines than its own full length plus a good margin.".to_owned(),
    ];
    if outing.kit.antennas.iter().any(is_loop) {
        list.push(
            "A small loop carries around a kilovolt at its capacitor even on 5 W: nobody touches it while sending."
                .to_owned(),
        );
    }
    list.push(
        "Wire ends and the feed point burn fingers while sending: put them out of reach of people and animals."
            .to_owned(),
    );
    if !outing.kit.batteries.is_empty() {
        list.push(
            "Carry batteries with covered terminals and a fuse; do not charge lithium cells below freezing.".to_owned(),
        );
    }
    if outing.sites.iter().any(|s| s.night_temperature_c < 5.0) {
        list.push("Warmth before radio: cold hands and slow thinking come first, the message second.".to_owned());
    }
    list.push("Do not climb for an antenna what you would not climb without one.".to_owned());
    list
}

/// Cautions for a kit: what its parts can do to people.
#[must_use]
pub fn kit_cautions(outing: &Outing) -> Vec<String> {
    let mut list = vec![
        "A shorted battery burns: cover terminals and spares, carry them apart from tools and keys, keep the fuse close to the battery.".to_owned(),
        "Carriers and airlines have rules for batteries: check them before you travel.".to_owned(),
    ];
    if !outing.kit.panels.is_empty() {
        list.push(
            "Do not charge lithium cells below freezing. A panel in the sun is hot, and live as long as it sees light."
                .to_owned(),
        );
    }
    list.push("Warmth before radio: shelter, dry clothes, food and the way home weigh more than any spare.".to_owned());
    list
}

fn is_loop(antenna: &Antenna) -> bool {
    matches!(antenna.kind, AntennaKind::SmallLoop { .. })
}

//! The usual cautions, beside what they concern. They defer to local codes, the operator's licence and licensed practice.

use farhop_outing::{Antenna, AntennaKind, Outing};

/// Cautions for an outing: what the rules say, then what can hurt.
#[must_use]
pub fn cautions(outing: &Outing) -> Vec<String> {
    let mut list = crate::safety::rules::rules_lines(outing);
    list.extend(hazards(outing));
    list
}

/// One line that names what the cautions are about, to stand above them where they are folded.
#[must_use]
pub fn named(outing: &Outing) -> String {
    let words: Vec<&str> = headed(outing).into_iter().map(|(head, _)| head).collect();
    format!("Cautions: rules, {}", words.join(", "))
}

/// The same in short: what the rules say, and one paragraph of what can hurt. The card and the pages have the whole.
#[must_use]
pub(crate) fn in_short(outing: &Outing) -> Vec<String> {
    let mut list = vec![crate::safety::rules::rules_short(outing)];
    let touched = if outing.kit.antennas.iter().any(is_loop) {
        "wire ends, feed point or loop (a kilovolt at its capacitor, also on 5 W)"
    } else {
        "wire ends or feed point"
    };
    list.push(format!(
        "`farhop exposure` has the distances. Thunder within 30 s of the flash: stop, leave wire, mast and ridge, back 30 minutes after the last (the 30-30 rule of practice). \
         Wires and masts stay farther from power lines than their own full length. Nobody touches {touched} while sending. Batteries: \
         covered, fused, not charged below freezing. Climb nothing for an antenna; a mast falls on nobody. Warmth, weather and the way \
         home come before the message; local code and licensed practice before anything here."
    ));
    list
}

/// What can hurt: hazards that are always there, and those that the kit and the sites bring.
#[must_use]
pub fn hazards(outing: &Outing) -> Vec<String> {
    headed(outing).into_iter().map(|(_, text)| text).collect()
}

/// The hazards, each with the word for it.
fn headed(outing: &Outing) -> Vec<(&'static str, String)> {
    let near = outing.header.units.distance(10.0);
    let lightning = format!(
        "Lightning: thunder within 30 s of the flash is within {near}. Stop at once, leave wire, mast and ridge, and come back 30 minutes after the last thunder (the 30-30 rule of practice); take the wire down before a storm, never in one."
    );
    let mut list = vec![("lightning", lightning)];
    let mut add = |head, text: &str| list.push((head, text.to_owned()));
    add(
        "power lines",
        "Keep every wire, mast and throwing line farther from power lines than its own full length plus a good margin, falling or blown over included.",
    );
    if outing.kit.antennas.iter().any(is_loop) {
        add(
            "high voltage",
            "A small loop carries around a kilovolt at its capacitor, also on 5 W: nobody touches it while sending.",
        );
    }
    add(
        "burns",
        "Wire ends and the feed point burn fingers while sending: put them out of reach of people and animals.",
    );
    if !outing.kit.batteries.is_empty() {
        add(
            "batteries",
            "Carry batteries with covered terminals and a fuse; do not charge lithium cells below freezing.",
        );
    }
    if outing.sites.iter().any(|s| s.night_temperature_c < 5.0) {
        add(
            "cold",
            "Warmth before radio: cold hands and slow thinking come first, the message second.",
        );
    }
    add(
        "falls",
        "Do not climb for an antenna what you would not climb without one; guy a mast so that it can fall on nobody.",
    );
    add(
        "weather",
        "Weather and the way home decide, not the message. Local code and licensed practice go before anything here.",
    );
    list
}

/// Cautions for a kit: what its parts can do to people.
#[must_use]
pub(crate) fn kit_cautions(outing: &Outing) -> Vec<String> {
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
    matches!(antenna.kind, AntennaKind::SmallLoop(_))
}

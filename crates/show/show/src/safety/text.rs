//! What is said of exposure.

use farhop_exposure::contact::{NAMED_FROM_V, REACHABLE_M};
use farhop_exposure::profile::KeepOut;
use farhop_outing::Outing;
use farhop_plan::safety::{BandSafety, NearSafety};

use crate::document::{Column, Document, Table};
use crate::reader::Units;
use crate::safety::rules::rules_lines;
use crate::safety::words;

/// The answer in one sentence: what keeps everybody safe from every antenna here.
#[must_use]
pub fn answer(outing: &Outing, all: &[BandSafety], units: Units) -> String {
    let near = || all.iter().filter_map(|s| s.near.as_ref().ok());
    let missing = all.iter().filter(|s| s.near.is_err()).count();
    let left = match missing {
        0 => String::new(),
        1 => " One antenna and band could not be computed: see below.".to_owned(),
        n => format!(" {n} antennas and bands could not be computed: see below."),
    };
    let most = |of: fn(&NearSafety) -> f64| near().filter(|n| !words::anywhere(n)).map(of).reduce(f64::max);
    let (Some(others_m), Some(operator_m)) = (most(NearSafety::public_m), most(NearSafety::controlled_m)) else {
        let said = match near().count() {
            0 => "No near field could be computed.",
            _ => "Nobody on the ground comes near enough to these antennas to exceed a limit.",
        };
        return format!("{said}{left}");
    };
    format!(
        "Keep others {} and yourself {} from every antenna here while sending with {} W.{left}",
        words::told(others_m, units),
        words::told(operator_m, units),
        outing.kit.transceiver.power_w
    )
}

/// The whole report.
#[must_use]
pub fn safety_document(outing: &Outing, all: &[BandSafety], units: Units) -> Document {
    let mut doc = Document::new(answer(outing, all, units));
    for own in all.chunk_by(|a, b| (a.site, a.antenna) == (b.site, b.antenna)) {
        antenna(&mut doc, outing, own, units);
    }
    doc.section("basis", "What it rests on");
    doc.items(basis(outing, units));
    doc.section("rules", "Rules");
    doc.items(rules_lines(outing));
    doc.section("mind", "Mind");
    doc.items(crate::cautions::hazards(outing));
    doc
}

/// One antenna at one site: the distances by band, and what stands beside them.
fn antenna(doc: &mut Document, outing: &Outing, own: &[BandSafety], units: Units) {
    let Some(first) = own.first() else { return };
    let site = outing.sites.get(first.site).map_or("", |s| s.name.as_str());
    let antenna = outing.kit.antennas.get(first.antenna).map_or("", |a| a.name.as_str());
    doc.section("antenna", format!("{antenna}, {site}"));
    let mut table = Table::new([
        Column::number("MHz"),
        Column::number("others"),
        Column::number("yourself"),
        Column::number("key down"),
        Column::words("asked for by"),
    ]);
    let mut beside = Vec::new();
    for safety in own {
        let freq_mhz = safety.sending.freq_mhz;
        let near = match &safety.near {
            Ok(near) => near,
            Err(why) => {
                let far = words::told(safety.far_field_m.1, units);
                beside.push(format!(
                    "{freq_mhz:.3} MHz: {why}. The far-field formula alone gives {far} for others, which is too little close to a small antenna: keep everybody well beyond it."
                ));
                continue;
            }
        };
        let distance = |m: f64| {
            if words::anywhere(near) {
                "anywhere".to_owned()
            } else {
                words::told(m, units)
            }
        };
        table.row([
            format!("{freq_mhz:.3}"),
            distance(near.public_m()),
            distance(near.controlled_m()),
            format!("{:.0} %", safety.sending.key_share * 100.0),
            binding(near),
        ]);
        for contact in near.contacts.iter().filter(|c| c.rms_v >= NAMED_FROM_V) {
            beside.push(format!(
                "{freq_mhz:.3} MHz: {} at {}: {}, {}",
                words::part(contact.part),
                units.length(contact.height_m),
                words::volts(contact.rms_v),
                words::burn(contact.burn)
            ));
        }
    }
    doc.table(table);
    doc.items(beside);
}

/// The rule behind the distance for others.
fn binding(near: &NearSafety) -> String {
    if words::anywhere(near) {
        return "nothing: the wires hang high enough".to_owned();
    }
    let (fcc, icnirp): (&KeepOut, &KeepOut) = (&near.fcc.public, &near.icnirp.public);
    let most = if icnirp.distance_m > fcc.distance_m {
        icnirp
    } else {
        fcc
    };
    format!("{}, {}", most.limit.rule.name(), words::quantity(most.quantity))
}

/// What the figures rest on.
#[must_use]
pub fn basis(outing: &Outing, units: Units) -> Vec<String> {
    let (standing, reach) = (units.length(2.0), units.length(REACHABLE_M));
    let step = match units {
        Units::Metric => "tenth of a metre",
        Units::Imperial => "foot",
    };
    vec![
        format!("Distances are between a standing person, from the ground to {standing}, and the nearest part of the wire. Others: whoever does not know of the field. Yourself: who knows and can keep clear."),
        format!("The stricter of 47 CFR 1.1310 and ICNIRP 2020 (limits from memory: check them), strongest place from foot to head without a mean over the body, a twentieth more, then up to the next {step}."),
        format!(
            "Near fields of the antenna's own currents over the ground of the site, with all {} W in the antenna: losses of tuner and line are on the safe side. Sending is taken to go on for the whole averaging time with the key down for the share shown.",
            outing.kit.transceiver.power_w
        ),
        format!(
            "Burns: what carries {NAMED_FROM_V:.0} V rms or more within {reach} of the ground (common practice); nothing below that is called safe either. A steady carrier while tuning counts with the key down all the time."
        ),
        "The feed line is not in the model: a line that is hot with common-mode current has fields and burns of its own. Metal, fences and wet ground nearby change fields by some tens of per cent and more.".into(),
        "Your administration's rules and local code bind, not this table.".into(),
    ]
}

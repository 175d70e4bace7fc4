//! Exposure as text of at most 80 columns.

use std::fmt::Write as _;

use farhop_exposure::contact::{NAMED_FROM_V, REACHABLE_M};
use farhop_exposure::profile::KeepOut;
use farhop_outing::Outing;
use farhop_plan::safety::{BandSafety, NearSafety};

use crate::safety::rules::rules_lines;
use crate::safety::words;
use crate::wrap::paragraph;

/// The answer in one sentence: what keeps everybody safe from every antenna here.
#[must_use]
pub fn answer(outing: &Outing, all: &[BandSafety], imperial: bool) -> String {
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
        words::told(others_m, imperial),
        words::told(operator_m, imperial),
        outing.kit.transceiver.power_w
    )
}

/// The whole text.
#[must_use]
pub fn safety_text(outing: &Outing, all: &[BandSafety], imperial: bool) -> String {
    let mut out = paragraph(&answer(outing, all, imperial), "", "");
    let mut last = None;
    for safety in all {
        if last != Some((safety.site, safety.antenna)) {
            last = Some((safety.site, safety.antenna));
            heading(&mut out, outing, safety);
        }
        row(&mut out, safety, imperial);
    }
    section(&mut out, "What it rests on", &basis(outing));
    section(&mut out, "Rules", &rules_lines(outing));
    section(&mut out, "Mind", &crate::cautions::hazards(outing));
    out
}

fn heading(out: &mut String, outing: &Outing, safety: &BandSafety) {
    let site = outing.sites.get(safety.site).map_or("", |s| s.name.as_str());
    let antenna = outing.kit.antennas.get(safety.antenna).map_or("", |a| a.name.as_str());
    out.push('\n');
    out.push_str(&paragraph(&format!("{antenna}, {site}"), "", "  "));
    out.push_str("     MHz   others  yourself  key down  asked for by\n");
}

fn row(out: &mut String, safety: &BandSafety, imperial: bool) {
    let freq_mhz = safety.sending.freq_mhz;
    let near = match &safety.near {
        Ok(near) => near,
        Err(why) => {
            let far_m = safety.far_field_m.1;
            let line = format!(
                "{freq_mhz:.3}: {why}. The far-field formula alone gives {far_m:.2} m for others, which is too little close to a small antenna: keep everybody well beyond it."
            );
            out.push_str(&paragraph(&line, "  ", "    "));
            return;
        }
    };
    let distance = |m: f64| {
        if words::anywhere(near) {
            "anywhere".to_owned()
        } else {
            words::told(m, imperial)
        }
    };
    let head = format!(
        "{freq_mhz:8.3} {:>8} {:>9} {:>7.0} %  ",
        distance(near.public_m()),
        distance(near.controlled_m()),
        safety.sending.key_share * 100.0
    );
    out.push_str(&paragraph(&binding(near), &head, &" ".repeat(39)));
    for contact in near.contacts.iter().filter(|c| c.rms_v >= NAMED_FROM_V) {
        let _ = writeln!(
            out,
            "         {} at {:.1} m: {}, {}",
            words::part(contact.part),
            contact.height_m,
            words::volts(contact.rms_v),
            words::burn(contact.burn)
        );
    }
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

fn section(out: &mut String, head: &str, lines: &[String]) {
    let _ = writeln!(out, "\n{head}");
    for line in lines {
        out.push_str(&paragraph(line, "- ", "  "));
    }
}

/// What the figures rest on.
#[must_use]
pub fn basis(outing: &Outing) -> Vec<String> {
    vec![
        "Distances are between a standing person, from the ground to 2 m, and the nearest part of the wire. Others: whoever does not know of the field. Yourself: who knows and can keep clear.".into(),
        "The stricter of 47 CFR 1.1310 and ICNIRP 2020 (limits from memory: check them), strongest place from foot to head without a mean over the body, a twentieth more, then up to the next tenth of a metre.".into(),
        format!(
            "Near fields of the antenna's own currents over the ground of the site, with all {} W in the antenna: losses of tuner and line are on the safe side. Sending is taken to go on for the whole averaging time with the key down for the share shown.",
            outing.kit.transceiver.power_w
        ),
        format!(
            "Burns: what carries {NAMED_FROM_V:.0} V rms or more within {REACHABLE_M} m of the ground (common practice); nothing below that is called safe either. A steady carrier while tuning counts with the key down all the time."
        ),
        "The feed line is not in the model: a line that is hot with common-mode current has fields and burns of its own. Metal, fences and wet ground nearby change fields by some tens of per cent and more.".into(),
        "Your administration's rules and local code bind, not this table.".into(),
    ]
}

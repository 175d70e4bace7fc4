//! Exposure in a plan: one line for each antenna that it names.

use farhop_outing::{AntennaKind, Outing};
use farhop_plan::safety::{BandSafety, NearSafety};

use crate::reader::Units;
use crate::safety::words;

/// One line for each antenna of the plan: whom to keep how far, and what burns. The worst of its bands counts.
#[must_use]
pub fn plan_lines(outing: &Outing, all: &[BandSafety], units: Units) -> Vec<String> {
    let mut lines = antenna_lines(outing, all, units);
    if !lines.is_empty() {
        lines.push(
            "Distances by 47 CFR 1.1310 and ICNIRP 2020, the stricter (limits from memory); `farhop exposure` has the working. Local code binds."
                .to_owned(),
        );
    }
    lines
}

/// The same without the sources.
#[must_use]
pub fn antenna_lines(outing: &Outing, all: &[BandSafety], units: Units) -> Vec<String> {
    let mut antennas: Vec<usize> = all.iter().map(|s| s.antenna).collect();
    antennas.sort_unstable();
    antennas.dedup();
    let line = |index: &usize| {
        let own: Vec<&BandSafety> = all.iter().filter(|s| s.antenna == *index).collect();
        antenna_line(outing, *index, &own, units)
    };
    antennas.iter().map(line).collect()
}

fn antenna_line(outing: &Outing, index: usize, own: &[&BandSafety], units: Units) -> String {
    let antenna = outing.kit.antennas.get(index);
    let name = antenna.map_or("antenna", |a| a.name.as_str());
    let near: Vec<&NearSafety> = own.iter().filter_map(|s| s.near.as_ref().ok()).collect();
    if near.len() < own.len() || near.is_empty() {
        let why = own
            .iter()
            .find_map(|s| s.near.as_ref().err())
            .map_or_else(String::new, ToString::to_string);
        return format!("{name}: no distances, because {why}. Keep everybody well away while sending.");
    }
    let reachable = || near.iter().filter(|n| !words::anywhere(n));
    let most = |of: fn(&NearSafety) -> f64| reachable().map(|n| of(n)).reduce(f64::max);
    let power_w = outing.kit.transceiver.power_w;
    let distance = match (most(NearSafety::public_m), most(NearSafety::controlled_m)) {
        (Some(others_m), Some(operator_m)) => format!(
            "{name}: keep others {} and yourself {} away while sending ({power_w} W)",
            words::told(others_m, units),
            words::told(operator_m, units)
        ),
        _ => format!("{name}: nobody on the ground comes too near while sending ({power_w} W)"),
    };
    let contacts = near.iter().filter_map(|n| words::worst_contact(n));
    let worst = contacts.max_by(|a, b| a.rms_v.total_cmp(&b.rms_v));
    let place = antenna.map_or("", |a| match a.kind {
        AntennaKind::SmallLoop(_) => " of the loop",
        _ => "",
    });
    match worst {
        Some(c) => format!(
            "{distance}. Its {}{place} stands at {}: nobody touches it.",
            words::part(c.part),
            words::volts(c.rms_v)
        ),
        None => format!("{distance}."),
    }
}

//! What the rules say, in lines for plan, card and pages.

use farhop_allocations::Source;
use farhop_outing::Outing;
use farhop_outing_file::allocations::named;

/// Which table the channels were held against, how often to give the callsign, and that the licence decides.
#[must_use]
pub fn rules_lines(outing: &Outing) -> Vec<String> {
    let asked = outing.header.operator.allocation.as_deref();
    let Some(allocation) = asked.and_then(named) else {
        return vec![
            "No `allocation` is stated, so that only distress and time-signal frequencies are refused. Your licence and local rules decide which frequencies, powers and modes you may use: check them."
                .to_owned(),
        ];
    };
    let mut lines = vec![format!(
        "Both edges of each channel are compared with the bands of {} ({}). Your licence and local rules decide which frequencies, powers and modes you may use: check them.",
        allocation.title,
        dated(&allocation.source)
    )];
    if let Some(call) = &allocation.identification {
        let end = if call.at_end {
            " and at the end of each contact"
        } else {
            ""
        };
        lines.push(format!(
            "Give your callsign at least every {} min{end} ({}{}).",
            call.every_min,
            call.source.text,
            if call.source.from_memory { "; from memory" } else { "" }
        ));
    }
    lines
}

/// The same in one or two short sentences.
#[must_use]
pub(crate) fn rules_short(outing: &Outing) -> String {
    let asked = outing.header.operator.allocation.as_deref();
    let check = "your licence and local rules decide what you may send: check them";
    let Some(allocation) = asked.and_then(named) else {
        return format!("No `allocation` is stated; {check}.");
    };
    let memory = if allocation.source.from_memory {
        ", from memory"
    } else {
        ""
    };
    let held = format!("Channels are held against {}{memory}; {check}.", allocation.title);
    allocation.identification.as_ref().map_or(held.clone(), |call| {
        let end = if call.at_end { " and at the end" } else { "" };
        format!("{held} Callsign every {} min{end}.", call.every_min)
    })
}

fn dated(source: &Source) -> String {
    let memory = if source.from_memory { ", from memory" } else { "" };
    format!("{}{memory}", source.date)
}

//! What the allocation that binds the operator says about the channels of an outing.

use farhop_allocations::{Allocation, ChannelUse, Finding, PowerLimit, Weight, check, reserved_by};
use farhop_outing::{Channel, Flaw, OutingParts, Severity};

use crate::allocations::{all, kept_free, named};
use crate::suggest;

/// Said with every finding.
pub const CHECK_YOUR_LICENCE: &str = "Check your licence and local rules.";

/// Everything that rules have to say about an outing: channels that are refused, channels that need care, a name that is unknown.
pub(crate) fn flaws(parts: &OutingParts) -> Vec<Flaw> {
    let mut list = Vec::new();
    let asked = parts.header.operator.allocation.as_deref();
    let allocation = asked.and_then(named);
    if let (Some(name), None) = (asked, allocation) {
        let known: Vec<&str> = all().iter().map(|a| a.name.as_str()).collect();
        list.push(Flaw {
            severity: Severity::Error,
            path: "outing.allocation".into(),
            cause: format!("there is no allocation table \"{name}\""),
            hint: suggest::hint(name, &known),
        });
    }
    for (i, station) in parts.stations.iter().enumerate() {
        for (j, channel) in station.channels.iter().enumerate() {
            let place = format!("station[{i}].channels[{j}]");
            list.extend(of_channel(allocation, channel, parts.kit.transceiver.power_w, &place));
        }
    }
    list
}

fn of_channel(allocation: Option<&Allocation>, channel: &Channel, power_w: f64, place: &str) -> Vec<Flaw> {
    let used = ChannelUse {
        centre_mhz: channel.freq_mhz,
        width_hz: channel.bandwidth_hz,
        power_w,
    };
    let kept = reserved_by(kept_free(), &used).map(|r| Flaw {
        severity: severity(r.kind.weight()),
        path: format!("{place}.mhz"),
        cause: format!(
            "{} MHz with a width of {} Hz reaches into what is kept free for {}",
            channel.freq_mhz, channel.bandwidth_hz, r.what
        ),
        hint: "Take another channel of this station.".into(),
    });
    let mut list: Vec<Flaw> = kept.collect();
    // What is refused for distress or time needs no second reason.
    if list.iter().any(|f| f.severity == Severity::Error) {
        return list;
    }
    if let Some(allocation) = allocation {
        list.extend(check(allocation, &used).iter().map(|finding| {
            let (cause, hint) = finding_words(finding, &used, allocation);
            let key = match finding {
                Finding::TooWide { .. } | Finding::WiderThanPlan { .. } => "bandwidth_hz",
                _ => "mhz",
            };
            Flaw {
                severity: severity(finding.weight()),
                path: format!("{place}.{key}"),
                cause,
                hint: format!("{hint} {CHECK_YOUR_LICENCE}"),
            }
        }));
    }
    list
}

fn severity(weight: Weight) -> Severity {
    match weight {
        Weight::Refused => Severity::Error,
        Weight::Mind => Severity::Caution,
    }
}

/// What is wrong and what to do, in words.
#[must_use]
pub fn finding_words(finding: &Finding, used: &ChannelUse, allocation: &Allocation) -> (String, String) {
    let (freq, title) = (used.centre_mhz, &allocation.title);
    match finding {
        Finding::Outside { nearest_mhz } => (
            format!("{freq} MHz lies outside every band of: {title}"),
            nearest_mhz.map_or(String::new(), |(low, high)| {
                format!("The nearest band is {low} to {high} MHz.")
            }),
        ),
        Finding::OverEdge { edge_mhz, by_hz } => (
            format!(
                "{freq} MHz with a width of {} Hz reaches {by_hz:.0} Hz over the band edge at {edge_mhz} MHz ({title})",
                used.width_hz
            ),
            "Both edges of the occupied band have to lie inside.".into(),
        ),
        Finding::NoData { band_mhz, note } => (
            format!(
                "{freq} MHz: {} to {} MHz is not for data ({title})",
                band_mhz.0, band_mhz.1
            ),
            format!("The table says: {note}."),
        ),
        Finding::TooWide { width_hz, limit_hz } => (
            format!("{freq} MHz: {width_hz} Hz is wider than the {limit_hz} Hz allowed there ({title})"),
            "Take a narrower mode or another channel.".into(),
        ),
        Finding::WiderThanPlan {
            width_hz,
            limit_hz,
            note,
        } => (
            format!("{freq} MHz: {width_hz} Hz is wider than the {limit_hz} Hz of the band plan there ({note})"),
            "A band plan is custom, not law: others will expect narrower signals.".into(),
        ),
        Finding::TooStrong { power_w, limit } => (
            format!("{freq} MHz: {power_w} W is more than {} ({title})", limit_words(limit)),
            "Set less power.".into(),
        ),
        Finding::PerhapsTooStrong { radiated_w, limit } => (
            format!(
                "{freq} MHz: with a full-size dipole {radiated_w:.3} W would be radiated, more than {} ({title})",
                limit_words(limit)
            ),
            "Set less power there, unless your antenna loses that much.".into(),
        ),
    }
}

fn limit_words(limit: &PowerLimit) -> String {
    format!("the {} W {} allowed there", limit.power_w, limit.basis.words())
}

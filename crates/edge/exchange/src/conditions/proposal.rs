//! From what was understood to the lines of `[conditions]`.

use std::fmt::Write as _;

use farhop_earth::UtcTime;
use farhop_earth::clock::rfc3339;

use super::{Dated, Forecast, Sounded, Understood};

const DAY_S: f64 = 86_400.0;
/// Days after which a measured K or A says nothing about the sky any more: storms last one to three days (common knowledge of the
/// trade; a judgement).
const FRESH_DAYS: f64 = 3.0;
/// Days after which a day's flux is too old to rely on: one turn of the sun.
const FLUX_DAYS: f64 = 27.0;

/// Lines for `[conditions]` and what to mind about them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Proposal {
    /// Keys with their values, in the order of the file, each with where it comes from.
    pub values: Vec<(&'static str, f64, String)>,
    /// Ionosonde readings to add.
    pub fof2: Vec<Sounded>,
    /// What to mind.
    pub cautions: Vec<String>,
}

impl Proposal {
    /// The section as it would stand in an outing file.
    #[must_use]
    pub fn text(&self) -> String {
        let mut out = String::from("[conditions]\n");
        for (key, value, from) in &self.values {
            let _ = writeln!(out, "{key} = {value}  # {from}");
        }
        if !self.fof2.is_empty() {
            out.push_str("fof2 = [\n");
            for reading in &self.fof2 {
                let _ = writeln!(
                    out,
                    "    {{ mhz = {}, at = {}, place = \"{}\" }},",
                    reading.fof2_mhz,
                    rfc3339(reading.at),
                    reading.place
                );
            }
            out.push_str("]\n");
        }
        out
    }

    /// Whether there is anything to write.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.values.is_empty() && self.fof2.is_empty()
    }
}

/// What an outing from `start` to `end` can take from it.
#[must_use]
pub fn propose(understood: &Understood, start: UtcTime, end: UtcTime) -> Proposal {
    let mut proposal = Proposal {
        fof2: understood.fof2.clone(),
        ..Proposal::default()
    };
    let during: Vec<Forecast> = understood
        .forecast
        .iter()
        .filter(|f| f.from < end && f.until > start)
        .copied()
        .collect();
    activity(&mut proposal, understood, &during, start);
    disturbance(&mut proposal, understood, &during, start);
    if !understood.forecast.is_empty() && during.is_empty() {
        proposal.cautions.push(format!(
            "The forecast reaches from {} to {} and does not cover the outing.",
            understood
                .forecast
                .first()
                .map_or_else(String::new, |f| rfc3339(f.from)),
            understood
                .forecast
                .last()
                .map_or_else(String::new, |f| rfc3339(f.until))
        ));
    }
    proposal
}

fn activity(proposal: &mut Proposal, understood: &Understood, during: &[Forecast], start: UtcTime) {
    let forecast: Vec<f64> = during.iter().filter_map(|f| f.flux_sfu).collect();
    if let Some(ssn) = understood.ssn {
        proposal.values.push(("ssn", ssn.value_own_unit, stated(ssn)));
    } else if !forecast.is_empty() {
        let mean_sfu = (forecast.iter().sum::<f64>() / forecast.len() as f64).round();
        let from = format!("forecast, mean of {}", counted(forecast.len(), "day"));
        proposal.values.push(("flux_sfu", mean_sfu, from));
    } else if let Some(flux) = understood.flux_sfu {
        proposal.values.push(("flux_sfu", flux.value_own_unit, stated(flux)));
        if age_days(flux, start).is_some_and(|days| days > FLUX_DAYS) {
            proposal
                .cautions
                .push("This flux is more than one turn of the sun (27 days) older than the outing.".to_owned());
        }
    }
    if proposal.values.iter().any(|(key, ..)| *key == "flux_sfu") {
        proposal.cautions.push(
            "The maps of the ionosphere want a mean over months; the flux of some days stands for it only roughly."
                .to_owned(),
        );
        if let Some(mean_sfu) = understood.flux_mean_sfu {
            proposal.cautions.push(format!(
                "The mean of the last ninety days is given as {mean_sfu:.0} sfu: flux_sfu = {mean_sfu:.0} is steadier."
            ));
        }
    }
}

/// K and A: from the forecast for the days of the outing, else as measured when that is fresh.
fn disturbance(proposal: &mut Proposal, understood: &Understood, during: &[Forecast], start: UtcTime) {
    let worst = |pick: fn(&Forecast) -> Option<f64>| during.iter().filter_map(pick).reduce(f64::max);
    let pairs = [
        ("k", worst(|f| f.k_index), understood.k_index),
        ("a", worst(|f| f.a_index), understood.a_index),
    ];
    for (key, forecast, measured) in pairs {
        if let Some(value) = forecast {
            let from = "forecast, largest during the outing".to_owned();
            proposal.values.push((key, value, from));
        } else if let Some(measured) = measured {
            match age_days(measured, start) {
                Some(days) if days > FRESH_DAYS => proposal.cautions.push(format!(
                    "{} = {} is left out: it was measured {days:.0} days before the outing begins and says nothing about it.",
                    key, measured.value_own_unit
                )),
                _ => proposal.values.push((key, measured.value_own_unit, stated(measured))),
            }
        }
    }
}

/// Days from a value to the start of the outing.
fn age_days(value: Dated, start: UtcTime) -> Option<f64> {
    value.at.map(|at| (start.unix_s() - at.unix_s()) as f64 / DAY_S)
}

fn stated(value: Dated) -> String {
    value
        .at
        .map_or_else(|| "without a date".to_owned(), |at| format!("of {}", rfc3339(at)))
}

fn counted(count: usize, word: &str) -> String {
    format!("{count} {word}{}", if count == 1 { "" } else { "s" })
}

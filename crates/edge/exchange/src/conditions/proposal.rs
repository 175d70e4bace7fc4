//! From what was understood to the lines of `[conditions]`.

use std::fmt::Write as _;

use farhop_earth::UtcTime;
use farhop_earth::clock::rfc3339;

use super::{Dated, Forecast, Level, Sounded, Timing, Understood};

const DAY_S: f64 = 86_400.0;
/// Days after which a measured K or A says nothing about the sky any more: storms last one to three days (common knowledge of the
/// trade; a judgement).
const FRESH_DAYS: f64 = 3.0;
/// Days after which a day's flux is too old to rely on: one turn of the sun.
const FLUX_DAYS: f64 = 27.0;

/// How long before the outing a flare may have begun and still matter, s: the strongest are over after some hours (from memory).
const FLARE_S: i64 = 6 * 3_600;

/// A flare to add.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ProposedFlare {
    /// X-ray class at which its level begins.
    pub class: &'static str,
    /// When it began.
    pub at: UtcTime,
    /// When it was over, where that is said.
    pub until: Option<UtcTime>,
}

/// A proton storm to add.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ProposedProtons {
    /// Protons above 10 MeV at which its level begins, protons/(cm² s sr).
    pub flux_per_cm2_s_sr: f64,
    /// From when.
    pub from: UtcTime,
    /// Until when, where that is said.
    pub until: Option<UtcTime>,
}

/// Lines for `[conditions]` and what to mind about them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Proposal {
    /// Keys with their values, in the order of the file, each with where it comes from.
    pub values: Vec<(&'static str, f64, String)>,
    /// Ionosonde readings to add.
    pub fof2: Vec<Sounded>,
    /// Flares to add.
    pub flares: Vec<ProposedFlare>,
    /// Proton storms to add.
    pub polar_cap: Vec<ProposedProtons>,
    /// The text it comes from and its date, for remarks in the file.
    pub source: String,
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
        let until = |until: Option<UtcTime>| until.map_or_else(String::new, |t| format!(", until = {}", rfc3339(t)));
        if !self.flares.is_empty() {
            out.push_str("flare = [\n");
            for flare in &self.flares {
                let (class, at) = (flare.class, rfc3339(flare.at));
                let _ = writeln!(out, "    {{ class = \"{class}\", at = {at}{} }},", until(flare.until));
            }
            out.push_str("]\n");
        }
        if !self.polar_cap.is_empty() {
            out.push_str("polar_cap = [\n");
            for protons in &self.polar_cap {
                let (flux, from) = (protons.flux_per_cm2_s_sr, rfc3339(protons.from));
                let _ = writeln!(out, "    {{ flux = {flux}, from = {from}{} }},", until(protons.until));
            }
            out.push_str("]\n");
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
        self.values.is_empty() && self.fof2.is_empty() && self.flares.is_empty() && self.polar_cap.is_empty()
    }
}

/// What an outing from `start` to `end` can take from it.
#[must_use]
pub fn propose(understood: &Understood, start: UtcTime, end: UtcTime) -> Proposal {
    let mut proposal = Proposal {
        fof2: understood.fof2.clone(),
        source: source(understood),
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
    for level in &understood.levels {
        take_level(&mut proposal, level, (start, end));
    }
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

/// The text and its date in a few words.
fn source(understood: &Understood) -> String {
    let issued = understood
        .issued
        .map_or_else(String::new, |at| format!(", issued {}", rfc3339(at)));
    format!("{}{issued}", understood.form.words())
}

/// A level becomes a key where it touches the outing and its time is known well enough for that.
fn take_level(proposal: &mut Proposal, level: &Level, (start, end): (UtcTime, UtcTime)) {
    let name = level.words();
    let touches = level.from < end && level.until.is_none_or(|until| until > start);
    if let Some(class) = level.flare_class() {
        if level.timing != Timing::Exact {
            proposal.cautions.push(format!(
                "{name} (flares from {class} on): a flare is over within hours, and the text does not say when it comes. Nothing is \
                 written; when you hear of one, write flare with its class and its time."
            ));
        } else if level.from < end && level.from.add_s(FLARE_S) > start {
            proposal.flares.push(ProposedFlare {
                class,
                at: level.from,
                until: level.until,
            });
        } else {
            proposal
                .cautions
                .push(format!("{name} is left out: it is not of the days of the outing."));
        }
        return;
    }
    if !touches {
        proposal
            .cautions
            .push(format!("{name} is left out: it is not of the days of the outing."));
        return;
    }
    if let Some(flux_per_cm2_s_sr) = level.proton_flux() {
        proposal.polar_cap.push(ProposedProtons {
            flux_per_cm2_s_sr,
            from: level.from,
            until: level.until,
        });
    }
    let Some(k_index) = level.k_index() else { return };
    let from = match level.timing {
        Timing::Foretold => format!("{name} is foretold"),
        Timing::Observed | Timing::Exact => format!("{name} was observed"),
    };
    match proposal.values.iter_mut().find(|(key, ..)| *key == "k") {
        Some((_, known, _)) if *known >= k_index => {}
        Some(value) => (value.1, value.2) = (k_index, from),
        None => proposal.values.push(("k", k_index, from)),
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

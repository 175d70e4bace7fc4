//! What each assumption moves in an outing's bottom line: one changed at a time, everything else as it is.

use std::collections::HashMap;
use std::fmt::Write as _;
use std::sync::{Arc, Mutex, PoisonError};

use farhop_days::{Axes, SizeTable};
use farhop_earth::{Ground, GroundClass};
use farhop_outing::{Activity, Learned, Outing, OutingParts, Spread};
use farhop_plan::analysis::{Analysis, AnalysisParts, analyse};
use farhop_plan::engine::{SolutionStore, SolvedAntenna};
use farhop_plan::tables::TableStore;
use farhop_plan::watch::Unwatched;

/// Where the tables stand on the page.
pub const OPEN: &str = "<!-- how-sure -->";
/// Their end.
pub const CLOSE: &str = "<!-- /how-sure -->";

/// Antenna solutions and session tables of one run.
#[derive(Default)]
pub struct Memory {
    antennas: Mutex<HashMap<Vec<u8>, Arc<SolvedAntenna>>>,
    tables: Mutex<HashMap<String, Arc<SizeTable>>>,
}

impl SolutionStore for Memory {
    fn get(&self, key: &[u8]) -> Option<Arc<SolvedAntenna>> {
        let kept = self.antennas.lock().unwrap_or_else(PoisonError::into_inner);
        kept.get(key).cloned()
    }
    fn put(&self, key: &[u8], solved: &Arc<SolvedAntenna>) {
        let mut kept = self.antennas.lock().unwrap_or_else(PoisonError::into_inner);
        kept.insert(key.to_vec(), Arc::clone(solved));
    }
}

impl TableStore for Memory {
    fn table(&self, key: &str) -> Option<Arc<SizeTable>> {
        let kept = self.tables.lock().unwrap_or_else(PoisonError::into_inner);
        kept.get(key).cloned()
    }
    fn keep_table(&self, key: &str, table: &Arc<SizeTable>) {
        let mut kept = self.tables.lock().unwrap_or_else(PoisonError::into_inner);
        kept.insert(key.to_owned(), Arc::clone(table));
    }
}

/// How an assumption is changed: in the days' factors, or in the outing.
enum Change {
    Axes(fn(&mut Axes)),
    Outing(fn(&mut OutingParts, f64)),
}

/// An assumption with what is tried instead, the worse and the better way.
struct Assumption {
    name: &'static str,
    tried: [(&'static str, Change); 2],
}

/// An assumption and what it moves, in points of the bottom line's message.
#[derive(Clone, Debug, PartialEq)]
pub struct Moved {
    /// The assumption.
    pub name: &'static str,
    /// What was tried, and what it moved in percentage points.
    pub tried: [(&'static str, f64); 2],
}

impl Moved {
    /// The greater of the two (percentage points, without sign).
    #[must_use]
    pub fn most_points(&self) -> f64 {
        self.tried[0].1.abs().max(self.tried[1].1.abs())
    }
}

/// The bottom line of an outing (percent) and what each assumption moves in it, the greatest first.
///
/// The message of the bottom line stays the one that it is with nothing changed; the plan is made anew for each change.
///
/// # Errors
/// In words: the outing cannot be forecast, or a change makes it unsound.
pub fn moved(outing: &Outing, store: &Memory) -> Result<(f64, Vec<Moved>), String> {
    let base = analyse(outing, store, &Unwatched).map_err(|e| e.to_string())?;
    let message = base.bottom.ok_or("the outing has no message")?.message;
    let percent_of = |plan: &Analysis| {
        let of = plan.messages.iter().find(|m| m.message == message);
        100.0 * of.map_or(0.0, |m| m.chance.chance.probability())
    };
    let usual = percent_of(&base);
    let r12 = base.setting.conditions.activity.r12();
    let with = |change: &Change| -> Result<f64, String> {
        let plan = match change {
            Change::Axes(change) => {
                let mut axes = base.days.days.axes.clone();
                change(&mut axes);
                let parts = AnalysisParts {
                    setting: base.setting.clone(),
                    axes,
                    responses: base.responses.clone(),
                    strips: Vec::new(),
                    left_out: Vec::new(),
                    tables: base.tables.clone(),
                    only_site: None,
                };
                Analysis::new(outing, parts)
            }
            Change::Outing(change) => {
                let mut parts = outing.clone().into_parts();
                change(&mut parts, r12);
                let changed = Outing::new(parts).map_err(|flaws| format!("{flaws:?}"))?;
                analyse(&changed, store, &Unwatched).map_err(|e| e.to_string())?
            }
        };
        Ok(percent_of(&plan) - usual)
    };
    let mut all = Vec::new();
    for Assumption { name, tried } in assumptions() {
        let [(worse, first), (better, second)] = tried;
        all.push(Moved {
            name,
            tried: [(worse, with(&first)?), (better, with(&second)?)],
        });
    }
    all.sort_by(|a, b| b.most_points().total_cmp(&a.most_points()));
    Ok((usual, all))
}

/// The table of one outing.
#[must_use]
pub fn table(name: &str, usual: f64, all: &[Moved]) -> String {
    let mut text = format!(
        "### {name}: {usual:.1} %\n\n| assumption | tried | points | tried | points |\n|---|---|---:|---|---:|\n"
    );
    for of in all {
        let [(worse, first), (better, second)] = of.tried;
        let _ = writeln!(
            text,
            "| {} | {worse} | {first:+.1} | {better} | {second:+.1} |",
            of.name
        );
    }
    text
}

/// A page with what stands between the markers renewed.
///
/// # Errors
/// In words: a marker is missing.
pub fn renewed(page: &str, tables: &str) -> Result<String, String> {
    let (before, rest) = page
        .split_once(OPEN)
        .ok_or_else(|| format!("no `{OPEN}` in the page"))?;
    let (_, after) = rest
        .split_once(CLOSE)
        .ok_or_else(|| format!("no `{CLOSE}` in the page"))?;
    Ok(format!("{before}{OPEN}\n\n{tables}\n{CLOSE}{after}"))
}

fn assumptions() -> Vec<Assumption> {
    let axes = |name, worse: (&'static str, fn(&mut Axes)), better: (&'static str, fn(&mut Axes))| Assumption {
        name,
        tried: [(worse.0, Change::Axes(worse.1)), (better.0, Change::Axes(better.1))],
    };
    type InOuting = fn(&mut OutingParts, f64);
    let outing = |name, worse: (&'static str, InOuting), better: (&'static str, InOuting)| Assumption {
        name,
        tried: [(worse.0, Change::Outing(worse.1)), (better.0, Change::Outing(better.1))],
    };
    vec![
        outing(
            "mean error of the method, 0 dB",
            ("-6 dB", |p, _| own_station(p, -6.0)),
            ("+6 dB", |p, _| own_station(p, 6.0)),
        ),
        axes(
            "spread of the own station's error, 4 dB",
            ("8 dB", |a| a.own_sd_db = 8.0),
            ("2 dB", |a| a.own_sd_db = 2.0),
        ),
        outing(
            "magnetic index as stated, or quiet",
            ("K 6", |p, _| p.conditions.k_index = Some(6.0)),
            ("K 0", |p, _| p.conditions.k_index = Some(0.0)),
        ),
        axes(
            "fade-outs",
            ("three times as many", |a| a.fade_outs_per_day *= 3.0),
            ("none", |a| a.fade_outs_per_day = 0.0),
        ),
        axes(
            "others on the channel, usual",
            ("twice as many", |a| a.occupied.level *= 2.0),
            ("nobody", |a| a.occupied.level = 0.0),
        ),
        outing(
            "steps of a session",
            ("twice as long", |p, _| steps(p, 2.0)),
            ("none", |p, _| steps(p, 0.0)),
        ),
        axes(
            "own faults",
            ("five times", |a| faults(a, 5.0)),
            ("none", |a| faults(a, 0.0)),
        ),
        axes(
            "stations off, as stated or 10 % of the days",
            ("three times", |a| {
                a.stations.iter_mut().for_each(|s| s.off = (3.0 * s.off).min(0.9))
            }),
            ("never", |a| a.stations.iter_mut().for_each(|s| s.off = 0.0)),
        ),
        axes(
            "stations busy, as stated or 15 %",
            ("three times", |a| {
                a.stations.iter_mut().for_each(|s| s.busy = (3.0 * s.busy).min(0.9))
            }),
            ("never", |a| a.stations.iter_mut().for_each(|s| s.busy = 0.0)),
        ),
        outing(
            "noise class at the sites",
            ("one noisier", |p, _| noise(p, -1)),
            ("one quieter", |p, _| noise(p, 1)),
        ),
        outing(
            "ground at the sites",
            ("very dry", |p, _| soil(p, GroundClass::VeryDry)),
            ("wet", |p, _| soil(p, GroundClass::Wet)),
        ),
        outing(
            "smoothed sunspot number R12",
            ("14 less", |p, r12| sunspots(p, r12 - 14.0)),
            ("14 more", |p, r12| sunspots(p, r12 + 14.0)),
        ),
    ]
}

fn own_station(parts: &mut OutingParts, offset_db: f64) {
    let learned = parts.conditions.learned.get_or_insert_with(Learned::default);
    let known = learned.own_station_db;
    learned.own_station_db = Some(Spread {
        value_own_unit: known.map_or(0.0, |s| s.value_own_unit) + offset_db,
        sd_own_unit: known.map_or(farhop_days::priors::OWN_SD_DB, |s| s.sd_own_unit),
    });
}

fn steps(parts: &mut OutingParts, factor: f64) {
    let steps = &mut parts.kit.modem.steps;
    for step_s in [
        &mut steps.settle_s,
        &mut steps.listen_s,
        &mut steps.handshake_s,
        &mut steps.greeting_s,
        &mut steps.offers_s,
        &mut steps.acknowledge_s,
        &mut steps.sign_off_s,
    ] {
        *step_s *= factor;
    }
}

fn faults(axes: &mut Axes, factor: f64) {
    // Together they stay below one.
    let sum: f64 = axes.faults.by_class.iter().sum();
    let held = factor.min(0.9 / sum.max(1e-9));
    axes.faults.by_class.iter_mut().for_each(|p| *p *= held);
}

/// Classes stand from noisy to quiet; at an end nothing moves.
fn noise(parts: &mut OutingParts, quieter: isize) {
    let words = farhop_outing::NoiseClass::WORDS;
    for site in &mut parts.sites {
        let at = words.iter().position(|w| w.1 == site.noise).unwrap_or(0);
        let moved = at.saturating_add_signed(quieter).min(words.len() - 1);
        site.noise = words[moved].1;
    }
}

fn soil(parts: &mut OutingParts, class: GroundClass) {
    parts
        .sites
        .iter_mut()
        .for_each(|site| site.ground = Ground::Class(class));
}

fn sunspots(parts: &mut OutingParts, ssn: f64) {
    parts.conditions.activity = Some(Activity::Sunspots { ssn: ssn.max(0.0) });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_stands_between_the_markers_is_renewed() {
        let page = format!("before\n{OPEN}\nold\n{CLOSE}\nafter\n");
        let made = renewed(&page, "new").unwrap();
        assert_eq!(made, format!("before\n{OPEN}\n\nnew\n{CLOSE}\nafter\n"));
        assert_eq!(renewed(&made, "new").unwrap(), made);
        assert!(renewed("no markers", "new").is_err());
    }

    #[test]
    fn a_change_of_the_outing_is_the_one_that_it_says() {
        let mut parts = crate::made_up::MadeUp::default().outing().into_parts();
        let was = parts.sites[0].noise;
        noise(&mut parts, 1);
        assert_eq!(parts.sites[0].noise, was, "quiet rural is the quietest class");
        noise(&mut parts, -1);
        assert_ne!(parts.sites[0].noise, was);
        own_station(&mut parts, -6.0);
        let learned = parts.conditions.learned.clone().unwrap();
        assert!((learned.own_station_db.unwrap().value_own_unit + 6.0).abs() < 1e-12);
        steps(&mut parts, 2.0);
        assert!((parts.kit.modem.steps.offers_s - 50.0).abs() < 1e-12);
    }
}

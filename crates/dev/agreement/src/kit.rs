//! Agreement of the kit crate with textbook systems, with a visit to every state, and of the guided search with other orders.

use std::path::Path;

use farhop_kit::fault::{Case, Evidence, Setup, Suspect, Symptom};
use farhop_kit::spares::{Limits, best_spares};
use farhop_kit::{
    Chances, Circumstances, CutSets, Function, Id, Kit, KitSpec, Model, Need, Outside, Part, PartClass, Structure,
    importance,
};
use farhop_lots::trial::{Strategy, compare};
use farhop_lots::{random_station, sample};

use crate::row::{fail, table};
use crate::{AgreementError, Row, Spread};

const AREA: &str = "kit";
/// The same sums in another order: differences in units of 1e-15, at most 1e-12.
const SUM_UNIT: f64 = 1e-15;
const SUM_BAR: f64 = 1000.0;
const TEXTS: &str = "closed forms of reliability texts, NUREG-0492 pressure tank (from memory)";
const STATES: &str = "every state visited, exact fractions (Python)";
const TRIALS: u32 = 20_000;

/// The rows of the kit crate.
///
/// # Errors
/// A vector file is missing or malformed.
pub fn rows(root: &Path) -> Result<Vec<Row>, AgreementError> {
    let folder = root.join("validation/kit");
    let mut rows = textbook(&folder)?;
    rows.extend(random_kits(&folder)?);
    rows.extend(posterior()?);
    rows.extend(search()?);
    Ok(rows)
}

fn text(row: &csv::StringRecord, column: usize) -> &str {
    row.get(column).unwrap_or_default()
}

fn number(text: &str) -> Result<f64, AgreementError> {
    text.parse().map_err(|_| fail(format!("\"{text}\" is not a number")))
}

fn row(what: &str, against: &str, errors: Vec<f64>, unit: &'static str, bar: f64) -> Row {
    let spread = Spread::of(errors);
    Row {
        area: AREA,
        what: what.into(),
        against: against.into(),
        met: Some(spread.n > 0 && spread.worst <= bar),
        spread,
        unit,
        bar: format!("worst <= {bar} {unit}"),
    }
}

fn needs(text: &str) -> Vec<Need> {
    let one = |any: &str| Need::any(any.split('|').map(|p| format!("p{p}")));
    text.split('&').filter(|t| !t.is_empty()).map(one).collect()
}

/// Parts with chances of failure and needs, as written in the vector files.
fn parts(fails: &str, all_needs: &str) -> Result<Vec<Part>, AgreementError> {
    let one = |(i, (fails, its)): (usize, (&str, &str))| {
        Ok(Part {
            fail_per_outing: Some(number(fails)?),
            fail_per_hour: Some(0.0),
            needs: needs(its),
            ..Part::new(format!("p{i}"), PartClass::Other)
        })
    };
    fails
        .split(';')
        .zip(all_needs.split(';'))
        .enumerate()
        .map(one)
        .collect()
}

fn kit(parts: Vec<Part>, function: &str) -> Result<Kit, AgreementError> {
    let functions = vec![Function {
        id: Id::ours("system"),
        name: "system".into(),
        needs: needs(function),
        vital: true,
    }];
    Kit::new(KitSpec { parts, functions }).map_err(fail)
}

fn chances(kit: &Kit) -> Result<Chances, AgreementError> {
    Chances::of(kit, &Circumstances::default()).map_err(fail)
}

fn cut_text(kit: &Kit, cuts: &CutSets) -> Vec<String> {
    let can_fail = |p: &&farhop_kit::PartIx| kit.part(**p).fail_per_outing != Some(0.0);
    let real = cuts.sets.iter().filter(|s| s.iter().all(|p| can_fail(&p)));
    let mut list: Vec<String> = real
        .map(|s| s.iter().map(|p| p.index().to_string()).collect::<Vec<_>>().join(" "))
        .map(|s| if s.is_empty() { "-".to_owned() } else { s })
        .collect();
    list.sort();
    list
}

/// 0 when the lists of cut sets are the same, else 1.
fn cuts_differ(kit: &Kit, structure: &Structure, want: &str) -> Result<f64, AgreementError> {
    let cuts = CutSets::of(structure, usize::MAX).map_err(fail)?;
    let mut want: Vec<String> = want.split(';').filter(|s| !s.is_empty()).map(str::to_owned).collect();
    want.sort();
    Ok(if cut_text(kit, &cuts) == want { 0.0 } else { 1.0 })
}

fn textbook(folder: &Path) -> Result<Vec<Row>, AgreementError> {
    let (mut chance, mut cuts) = (Vec::new(), Vec::new());
    for row in table(folder, "textbook.csv")? {
        let kit = kit(parts(text(&row, 1), text(&row, 2))?, text(&row, 3))?;
        let structure = Structure::new(&kit, &kit.carried()).map_err(fail)?;
        let got = structure.chance_vital(&chances(&kit)?.whole());
        chance.push((got - number(text(&row, 4))?).abs() / SUM_UNIT);
        cuts.push(cuts_differ(&kit, &structure, text(&row, 5))?);
    }
    Ok(vec![
        row("chance of success, difference", TEXTS, chance, "1e-15", SUM_BAR),
        row("minimal cut sets, systems that differ", TEXTS, cuts, "(0 or 1)", 0.0),
    ])
}

fn random_kits(folder: &Path) -> Result<Vec<Row>, AgreementError> {
    let mut errors: [Vec<f64>; 5] = Default::default();
    for (i, row) in table(folder, "random_kits.csv")?.iter().enumerate() {
        let kit = random_kit(row)?;
        let chances = chances(&kit)?;
        let structure = Structure::new(&kit, &kit.carried()).map_err(fail)?;
        let want = number(text(row, 8))?;
        errors[0].push((structure.chance_vital(&chances.whole()) - want).abs() / SUM_UNIT);
        errors[1].push(cuts_differ(&kit, &structure, text(row, 9))?);
        errors[2].extend(birnbaum(&kit, &structure, &chances, text(row, 10))?);
        let model = Model::new(&kit, &chances, &Outside::sure()).map_err(fail)?;
        let choice = best_spares(&model, &Limits::mass(number(text(row, 7))?)).map_err(fail)?;
        errors[3].push((choice.after - number(text(row, 11))?).abs() / SUM_UNIT);
        let drawn = sample(&kit, &chances, TRIALS, i as u64);
        errors[4].push((drawn.chance - want).abs() / drawn.standard_error);
    }
    let [chance, cuts, birnbaum, spares, drawn] = errors;
    Ok(vec![
        row("chance of success, difference", STATES, chance, "1e-15", SUM_BAR),
        row("minimal cut sets, kits that differ", STATES, cuts, "(0 or 1)", 0.0),
        row("Birnbaum importance, difference", STATES, birnbaum, "1e-15", SUM_BAR),
        row(
            "best spares under a limit, chance lost",
            "every subset visited (Python)",
            spares,
            "(0 to 1)",
            SUM_BAR,
        ),
        row(
            "chance by drawing lots, difference",
            STATES,
            drawn,
            "standard errors",
            4.0,
        ),
    ])
}

fn random_kit(row: &csv::StringRecord) -> Result<Kit, AgreementError> {
    let mut parts = parts(text(row, 1), text(row, 2))?;
    for pair in text(row, 3).split(';').filter(|p| !p.is_empty()) {
        let (spare, of) = pair
            .split_once('>')
            .ok_or_else(|| fail(format!("\"{pair}\" is no pair")))?;
        let spare: usize = spare.parse().map_err(fail)?;
        let part = parts.get_mut(spare).ok_or_else(|| fail(format!("no part {spare}")))?;
        part.stands_in_for.push(Id::ours(format!("p{of}")));
    }
    for (part, carried) in parts.iter_mut().zip(text(row, 5).chars()) {
        part.carried = carried == '1';
    }
    for (part, mass) in parts.iter_mut().zip(text(row, 6).split(';')) {
        part.mass_kg = number(mass)?;
    }
    kit(parts, text(row, 4))
}

fn birnbaum(kit: &Kit, structure: &Structure, chances: &Chances, want: &str) -> Result<Vec<f64>, AgreementError> {
    let cuts = CutSets::of(structure, usize::MAX).map_err(fail)?;
    let want: Vec<&str> = want.split(';').collect();
    let list = importance(kit, structure, chances, &cuts).map_err(fail)?;
    let one = |i: &farhop_kit::Importance| {
        let want = want.get(i.part.index()).copied().unwrap_or_default();
        number(want).map(|w| (i.birnbaum - w).abs() / SUM_UNIT)
    };
    list.iter().map(one).collect()
}

/// Chance of each cause by going through all sets of at most `most` (2 or 3) causes.
fn enumerated(case: &Case<'_>, fails: &[f64], seen: &[Symptom], most: usize) -> Vec<f64> {
    let elements: Vec<Suspect> = case
        .parts()
        .map(|p| Suspect::Part(p.0))
        .chain([Suspect::Outside])
        .collect();
    let n = elements.len();
    let mut sets: Vec<Vec<usize>> = vec![vec![]];
    let mut last = sets.clone();
    for _ in 0..most {
        last = last
            .iter()
            .flat_map(|s| (s.last().map_or(0, |l| l + 1)..n).map(move |i| [s.as_slice(), &[i]].concat()))
            .collect();
        sets.extend(last.clone());
    }
    let (mut total, mut sums) = (0.0, vec![0.0; n]);
    for set in &sets {
        let failed: Vec<Suspect> = set.iter().map(|i| elements[*i]).collect();
        let shown = case.symptom_chances(&failed);
        let prior: f64 = (0..n)
            .map(|i| if set.contains(&i) { fails[i] } else { 1.0 - fails[i] })
            .product();
        let evidence: f64 = Symptom::ALL
            .iter()
            .zip(shown)
            .filter(|(s, _)| seen.contains(s))
            .map(|(_, p)| p)
            .product();
        total += prior * evidence;
        set.iter().for_each(|i| sums[*i] += prior * evidence);
    }
    sums.iter().map(|s| s / total).collect()
}

fn posterior() -> Result<Vec<Row>, AgreementError> {
    let (mut exact, mut left_out) = (Vec::new(), Vec::new());
    for seed in 0..20 {
        let kit = random_station(seed, 0.0).map_err(fail)?;
        let chances = chances(&kit)?;
        let setup = Setup::default();
        let case = Case::new(&kit, &chances, &setup).map_err(fail)?;
        let order: Vec<Suspect> = case
            .parts()
            .map(|p| Suspect::Part(p.0))
            .chain([Suspect::Outside])
            .collect();
        let prior = |s: &Suspect| match s {
            Suspect::Part(p) => chances.failures()[p.index()].one_piece,
            Suspect::Outside => setup.outside_fails,
        };
        let fails: Vec<f64> = order.iter().map(prior).collect();
        let seen = [Symptom::ALL[seed as usize % 7]];
        let evidence = Evidence {
            symptoms: seen.iter().map(|s| farhop_kit::fault::Observation::seen(*s)).collect(),
            answers: Vec::new(),
        };
        let got = case.posterior(&evidence).map_err(fail)?;
        let two = enumerated(&case, &fails, &seen, 2);
        let three = enumerated(&case, &fails, &seen, 3);
        for (i, suspect) in order.iter().enumerate() {
            let chance = got
                .iter()
                .find(|r| r.suspect == *suspect)
                .map_or(f64::NAN, |r| r.chance);
            exact.push((chance - two[i]).abs() / SUM_UNIT);
            left_out.push(100.0 * (chance - three[i]).abs());
        }
    }
    let mut third = row(
        "chance of a cause, effect of leaving out three at once",
        "all sets of three causes",
        left_out,
        "points",
        0.0,
    );
    third.met = None;
    third.bar = "–".into();
    let against = "all sets of at most two causes";
    Ok(vec![
        row("chance of a cause, difference", against, exact, "1e-15", SUM_BAR),
        third,
    ])
}

/// What is believed when nothing is known but the classes.
fn by_class(kit: &Kit) -> Result<Chances, AgreementError> {
    let unknown = |p: &Part| Part {
        fail_per_outing: None,
        ..p.clone()
    };
    let spec = KitSpec {
        parts: kit.parts().iter().map(unknown).collect(),
        functions: kit.functions().to_vec(),
    };
    chances(&Kit::new(spec).map_err(fail)?)
}

fn search() -> Result<Vec<Row>, AgreementError> {
    let orders = [
        (Strategy::FixedOrder, "parts in the order of the kit"),
        (Strategy::RandomOrder, "parts in random order"),
        (Strategy::PriorOrder, "parts by their chance before any symptom"),
    ];
    let mut rows = Vec::new();
    for (measure, true_priors) in [(true, true), (false, true), (false, false)] {
        let minutes = minutes(measure, true_priors)?;
        for (i, (_, name)) in orders.iter().enumerate() {
            let what = format!(
                "minutes of the guided search as a share, mean of each station ({}{})",
                if measure { "with a meter" } else { "no meter" },
                if true_priors { "" } else { ", class defaults believed" }
            );
            rows.push(minutes_row(&what, name, &minutes, i + 1));
        }
    }
    Ok(rows)
}

/// For each station the minutes of each trial, by guided, fixed, random and prior order.
fn minutes(can_measure: bool, true_priors: bool) -> Result<Vec<Vec<Vec<f64>>>, AgreementError> {
    let all = [
        Strategy::Guided,
        Strategy::FixedOrder,
        Strategy::RandomOrder,
        Strategy::PriorOrder,
    ];
    let mut stations = Vec::new();
    for seed in 1000..1060 {
        let kit = random_station(seed, 0.0).map_err(fail)?;
        let setup = Setup {
            can_measure,
            ..Setup::default()
        };
        let truth = Case::new(&kit, &chances(&kit)?, &setup).map_err(fail)?;
        let believed = Case::new(&kit, &by_class(&kit)?, &setup).map_err(fail)?;
        let case = if true_priors { &truth } else { &believed };
        let mut trials = Vec::new();
        for t in 0..20 {
            trials.extend(compare(&truth, case, &all, 1000 * seed + t).map_err(fail)?);
        }
        stations.push(trials);
    }
    Ok(stations)
}

fn minutes_row(what: &str, against: &str, stations: &[Vec<Vec<f64>>], other: usize) -> Row {
    let sum = |trials: &[Vec<f64>], i: usize| trials.iter().map(|t| t[i]).sum::<f64>();
    let saved: Vec<f64> = stations.iter().flatten().map(|t| t[other] - t[0]).collect();
    let n = saved.len() as f64;
    let mean = saved.iter().sum::<f64>() / n;
    let error = (saved.iter().map(|s| (s - mean).powi(2)).sum::<f64>() / (n - 1.0) / n).sqrt();
    Row {
        area: AREA,
        what: what.into(),
        against: against.into(),
        spread: Spread::of(stations.iter().map(|t| sum(t, 0) / sum(t, other)).collect()),
        unit: "ratio",
        bar: "mean minutes saved > 5 standard errors".into(),
        met: Some(mean > 5.0 * error),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_bar_of_the_kit_is_met() {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../..");
        let rows = rows(&root).expect("vectors");
        println!("{}", crate::pages::table(&rows, false));
        assert!(rows.len() >= 12 && rows.iter().all(|r| r.met != Some(false)));
    }
}

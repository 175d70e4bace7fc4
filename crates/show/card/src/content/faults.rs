//! Finding a fault without a device: ten lines from the kit's own graph, and how parts are brought back.

use farhop_kit::fault::{CheckKind, Suspect, Symptom};
use farhop_plan::readiness::{FaultSearch, KitModel};

use crate::source::Source;

/// One line of the search.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FaultRow {
    /// What is seen.
    pub seen: String,
    /// What to check, the quickest to tell first.
    pub checks: Vec<String>,
}

/// How a part is brought back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RecoveryRow {
    /// Name of the part.
    pub part: String,
    /// What has helped.
    pub notes: Vec<String>,
}

/// Most lines, those that hold for every kit included.
pub const MOST_LINES: usize = 10;
/// Checks named for a symptom.
const CHECKS: usize = 4;

/// The lines: what holds always, then one a symptom.
#[must_use]
pub fn rows(source: &Source<'_>) -> Vec<FaultRow> {
    let line = |seen: &str, checks: &[&str]| FaultRow {
        seen: seen.to_owned(),
        checks: checks.iter().map(|c| (*c).to_owned()).collect(),
    };
    let mut rows = vec![line(
        "First",
        &[
            "warm your hands",
            "switches, volume",
            "frequency, mode, clock",
            "every plug",
            "one change at a time",
        ],
    )];
    rows.extend(symptoms(source));
    rows.push(line(
        "Heard, still no link",
        &["wait for the next call", "next choice in the order", "other site"],
    ));
    rows.push(line(
        "Nothing helps",
        &[
            "rest a minute, eat, begin again",
            "fallback site",
            "go home while it is light",
        ],
    ));
    rows.truncate(MOST_LINES);
    rows
}

/// One line a symptom that this kit can have.
fn symptoms(source: &Source<'_>) -> Vec<FaultRow> {
    let alone;
    let model = match source.plan.kit.as_ref().ok().map(|kit| (&kit.model, &kit.readiness)) {
        Some((model, _)) => model,
        None => match KitModel::alone(source.outing) {
            Ok(model) => {
                alone = model;
                &alone
            }
            Err(_) => return usual_symptoms(),
        },
    };
    let rows: Vec<FaultRow> = Symptom::ALL
        .iter()
        .filter_map(|symptom| symptom_row(model, *symptom))
        .collect();
    if rows.is_empty() { usual_symptoms() } else { rows }
}

fn symptom_row(model: &KitModel, symptom: Symptom) -> Option<FaultRow> {
    let search = FaultSearch {
        symptoms: vec![symptom],
        ..FaultSearch::default()
    };
    let diagnosis = search.diagnose(model).ok()?;
    let mut checks: Vec<String> = Vec::new();
    for value in &diagnosis.checks {
        let name = match (value.check.suspect, value.check.kind) {
            (Suspect::Outside, _) => "sky, station or a setting".to_owned(),
            (Suspect::Part(part), CheckKind::Itself) => model.kit.part(part).name.clone(),
            (Suspect::Part(part), CheckKind::Output) => format!("power after {}", model.kit.part(part).name),
        };
        if !checks.contains(&name) && checks.len() < CHECKS {
            checks.push(name);
        }
    }
    (!checks.is_empty()).then(|| FaultRow {
        seen: capital(symptom.words()),
        checks,
    })
}

/// The order of common practice, where the outing names no parts.
fn usual_symptoms() -> Vec<FaultRow> {
    let rows: [(Symptom, &[&str]); 7] = [
        (
            Symptom::NothingPowered,
            &["fuse", "battery's protection", "power cable", "battery's charge"],
        ),
        (
            Symptom::RadioDead,
            &["power cable at the radio", "fuse", "switch", "voltage under load"],
        ),
        (
            Symptom::HighSwr,
            &[
                "plugs of the feed line",
                "links and wire ends",
                "height and ground",
                "tuner's own fault",
            ],
        ),
        (
            Symptom::NotHeard,
            &["SWR", "power setting", "frequency and mode", "antenna's direction"],
        ),
        (
            Symptom::HearsNothing,
            &["feed line", "antenna", "gain and volume", "band"],
        ),
        (
            Symptom::ModemSilent,
            &["audio cable", "its power", "restart it", "port in the program"],
        ),
        (Symptom::ComputerOff, &["warm it", "its power", "cable", "restart it"]),
    ];
    let row = |(symptom, checks): (Symptom, &[&str])| FaultRow {
        seen: capital(symptom.words()),
        checks: checks.iter().map(|c| (*c).to_owned()).collect(),
    };
    rows.into_iter().map(row).collect()
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Recovery notes of what is carried, parts with the greatest part in failures first.
#[must_use]
pub fn recovery(source: &Source<'_>) -> Vec<RecoveryRow> {
    let parts = &source.outing.kit.parts;
    let mut noted: Vec<(f64, RecoveryRow)> = parts
        .iter()
        .filter(|p| p.carried && !p.recovery.is_empty())
        .map(|p| {
            let row = RecoveryRow {
                part: p.name.clone(),
                notes: p.recovery.clone(),
            };
            (weight(source, p.id.as_str()), row)
        })
        .collect();
    noted.sort_by(|a, b| b.0.total_cmp(&a.0));
    noted.into_iter().map(|(_, row)| row).collect()
}

/// Share of failures in which a part has a part (dimensionless), Fussell–Vesely.
fn weight(source: &Source<'_>, id: &str) -> f64 {
    let Some((model, readiness)) = source.plan.kit.as_ref().ok().map(|kit| (&kit.model, &kit.readiness)) else {
        return 0.0;
    };
    let Ok(part) = model.kit.find(id) else { return 0.0 };
    let mine = readiness.importance.iter().find(|i| i.part == part);
    mine.map_or(0.0, |i| i.fussell_vesely)
}

//! A search for a fault as text, so that it can be taken up again.

use farhop_kit::fault::{Answer, CheckKind, Finding, Symptom};
use farhop_plan::readiness::FaultSearch;
use serde::{Deserialize, Serialize};

/// The search as it stands as text.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Kept {
    symptoms: Vec<String>,
    in_use: Vec<String>,
    no_meter: bool,
    answers: Vec<KeptAnswer>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct KeptAnswer {
    about: String,
    measured_output: bool,
    ok: bool,
}

/// The search that a text holds.
///
/// # Errors
/// In words: it is no search.
pub fn from_text(text: &str) -> Result<FaultSearch, String> {
    let kept: Kept = serde_json::from_str(text).map_err(|e| e.to_string())?;
    let symptoms = kept
        .symptoms
        .iter()
        .map(|words| Symptom::from_words(words).ok_or_else(|| format!("\"{words}\" is no symptom")));
    Ok(FaultSearch {
        symptoms: symptoms.collect::<Result<_, _>>()?,
        in_use: kept.in_use,
        no_meter: kept.no_meter,
        answers: kept.answers.into_iter().map(answer).collect(),
    })
}

fn answer(kept: KeptAnswer) -> Answer {
    Answer {
        about: kept.about,
        kind: if kept.measured_output {
            CheckKind::Output
        } else {
            CheckKind::Itself
        },
        finding: if kept.ok { Finding::Ok } else { Finding::Bad },
    }
}

/// The search as text.
///
/// # Errors
/// None for searches that can be.
pub fn to_text(search: &FaultSearch) -> Result<String, String> {
    let kept = Kept {
        symptoms: search.symptoms.iter().map(|s| s.words().to_owned()).collect(),
        in_use: search.in_use.clone(),
        no_meter: search.no_meter,
        answers: search
            .answers
            .iter()
            .map(|a| KeptAnswer {
                about: a.about.clone(),
                measured_output: a.kind == CheckKind::Output,
                ok: a.finding == Finding::Ok,
            })
            .collect(),
    };
    serde_json::to_string_pretty(&kept).map_err(|e| e.to_string())
}

//! Finding a fault without a device: questions with yes and no, from the fault finder's own search of this kit.

use farhop_kit::PartIx;
use farhop_kit::fault::{Answer, Case, CheckKind, Evidence, Finding, Setup, Suspect, Symptom};
use farhop_plan::readiness::KitModel;

use super::{Body, Desk, Line, Panel};

/// Checks printed for a symptom.
const CHECKS: usize = 3;
/// A cause is named where its fault alone brings the symptom with at least this chance (dimensionless; a judgement): less is a
/// coincidence.
const CAN_BRING: f64 = 0.15;
/// With fewer causes than this in the outing file common practice stands in.
const LEAST_CAUSES: usize = 2;

/// A question whose "no" leads to its checks, in the order in which they are asked.
const QUESTIONS: [(Symptom, &str); 7] = [
    (Symptom::NothingPowered, "Does anything have power?"),
    (Symptom::RadioDead, "Is the radio on?"),
    (Symptom::ComputerOff, "Does the computer start?"),
    (Symptom::ModemSilent, "Does the modem answer?"),
    (
        Symptom::HearsNothing,
        "Do you hear stations, or noise that changes with the antenna?",
    ),
    (Symptom::HighSwr, "Is the SWR low?"),
    (Symptom::NotHeard, "Does a station answer?"),
];

/// What to look at, and what to do when it is not in order.
struct Check {
    ask: String,
    else_do: String,
}

/// The tree.
pub(super) fn panel(desk: &Desk<'_>) -> Panel {
    let branches = branches(desk);
    let count = branches.len();
    let mut lines = vec![Line::new(
        "First:",
        "warm your hands; switches, volume, every plug; then one change at a time.",
    )];
    for (k, (question, checks, usual)) in branches.into_iter().enumerate() {
        let next = if k + 1 < count {
            format!("yes: go to {}.", k + 2)
        } else {
            "yes: go on.".to_owned()
        };
        let note = if usual { " (common practice)" } else { "" };
        lines.push(Line::new(format!("{}. {question}", k + 1), format!("{next} No{note}:")));
        for check in checks {
            lines.push(Line::branch(check.ask, format!("no: {}", check.else_do)));
        }
    }
    lines.push(Line::new(
        "Nothing helps:",
        "rest, eat, begin again at 1. Go home while it is light.",
    ));
    Panel {
        heading: Some("IF IT FAILS"),
        wide: false,
        body: Body::Lines(lines),
    }
}

fn branches(desk: &Desk<'_>) -> Vec<(&'static str, Vec<Check>, bool)> {
    let alone;
    let model = match desk.source.plan.kit.as_ref() {
        Ok(kit) => Some(&kit.model),
        Err(_) => {
            alone = KitModel::alone(desk.source.outing).ok();
            alone.as_ref()
        }
    };
    let case = model.and_then(|m| Some((m, Case::new(&m.kit, &m.chances, &Setup::default()).ok()?)));
    let one = |(symptom, question): &(Symptom, &'static str)| {
        let known = case.as_ref().and_then(|(model, case)| checks(model, case, *symptom));
        match known {
            Some(checks) => Some((*question, checks, false)),
            None => usual(*symptom, case.is_some()).map(|checks| (*question, checks, true)),
        }
    };
    QUESTIONS.iter().filter_map(one).collect()
}

/// The checks of the fault finder for a symptom, the one that tells most for its minutes first; only causes that can bring it.
fn checks(model: &KitModel, case: &Case<'_>, symptom: Symptom) -> Option<Vec<Check>> {
    let place = Symptom::ALL.iter().position(|s| *s == symptom)?;
    let brings = |s: &Suspect| case.symptom_chances(&[*s])[place] >= CAN_BRING;
    let parts = case
        .suspects()
        .into_iter()
        .filter(|s| *s != Suspect::Outside)
        .filter(brings)
        .count();
    if parts < LEAST_CAUSES {
        return None;
    }
    let reported = Evidence::reported(&[symptom]);
    let diagnosis = case.diagnose(&reported).ok()?;
    let itself = diagnosis
        .checks
        .iter()
        .map(|v| v.check)
        .filter(|c| c.kind == CheckKind::Itself);
    let asked = itself.filter(|c| brings(&c.suspect)).take(CHECKS);
    let check = |suspect: Suspect| match suspect {
        Suspect::Outside => outside(symptom),
        Suspect::Part(part) => Check {
            ask: format!("{} in order?", model.kit.part(part).name),
            else_do: mended(model, case, &reported, part),
        },
    };
    Some(asked.map(|c| check(c.suspect)).collect())
}

/// What is no part of the kit: settings, other stations, the sky.
fn outside(symptom: Symptom) -> Check {
    let (ask, else_do) = match symptom {
        Symptom::NotHeard => (
            "Frequency, mode, clock, power set as the row says?",
            "set them; then the next call of the row.",
        ),
        Symptom::HearsNothing => (
            "Band, gain, volume, filter set?",
            "set them; then another band, or wait for the next row.",
        ),
        _ => ("Settings and switches as usual?", "set them as usual."),
    };
    Check {
        ask: ask.to_owned(),
        else_do: else_do.to_owned(),
    }
}

/// What the fault finder advises for a part that was found bad: its notes, further pieces, what stands in.
fn mended(model: &KitModel, case: &Case<'_>, reported: &Evidence, part: PartIx) -> String {
    let mut evidence = reported.clone();
    let id = model.kit.part(part).id.to_string();
    evidence.answers.push(Answer::found(id, Finding::Bad));
    let advice = case.diagnose(&evidence).ok();
    let recovery = advice.into_iter().flat_map(|d| d.recovery).find(|r| r.part == part);
    let mut ways: Vec<String> = Vec::new();
    if let Some(recovery) = recovery {
        ways.extend(recovery.notes.iter().map(|n| n.trim_end_matches('.').to_owned()));
        if recovery.more_pieces > 0 {
            ways.push("take another one".to_owned());
        }
        let stand_in = recovery.stand_ins.first();
        ways.extend(stand_in.map(|s| format!("use {}", model.kit.part(s.part).name)));
    }
    if ways.is_empty() {
        "mend it, or do without.".to_owned()
    } else {
        format!("{}.", ways.join("; "))
    }
}

/// Common practice for a symptom (from memory), where the outing file has too little to go by; none for what is not carried.
fn usual(symptom: Symptom, known_kit: bool) -> Option<Vec<Check>> {
    let list: &[(&str, &str)] = match symptom {
        Symptom::NothingPowered => &[
            ("Battery switched on and connected?", "connect it; cold: warm it."),
            ("Fuse whole?", "change it; look for the short first."),
            ("Power lead whole?", "bend it, try the other end, change it."),
        ],
        Symptom::RadioDead => &[
            ("Power plug in the radio firm?", "push it in, clean it."),
            ("Voltage holds while sending?", "less power, warm the battery."),
        ],
        Symptom::HearsNothing => &[
            (
                "Feed line in both plugs?",
                "plug it in; try the radio's end with a bare wire.",
            ),
            ("Antenna up, links closed?", "hang it again."),
            ("Gain and volume up?", "turn them up."),
        ],
        Symptom::HighSwr => &[
            ("Plugs of the feed line firm?", "push them in, dry them."),
            ("Links and wire ends as under HANG IT?", "set them so."),
            ("Wire clear of ground, metal and wet branches?", "move it."),
        ],
        Symptom::NotHeard => &[
            ("Power set, SWR low?", "set it; tune again."),
            (
                "Frequency, mode, clock as the row says?",
                "set them; then the next call of the row.",
            ),
        ],
        // A kit that is written down and has no computer or modem in use needs no question about it.
        Symptom::ModemSilent | Symptom::ComputerOff if known_kit => return None,
        Symptom::ModemSilent => &[
            ("Cable to the radio in?", "plug it in."),
            ("Its own power on, program on the right port?", "restart both."),
        ],
        Symptom::ComputerOff => &[("Warm and charged?", "warm it in your jacket, charge it, restart.")],
    };
    let check = |(ask, else_do): &(&str, &str)| Check {
        ask: (*ask).to_owned(),
        else_do: (*else_do).to_owned(),
    };
    Some(list.iter().map(check).collect())
}

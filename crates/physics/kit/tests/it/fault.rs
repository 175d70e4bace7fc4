//! The search for a fault: rules from the graph, posteriors against enumeration, minutes against other orders.

use crate::common::{chances, raw, station};
use farhop_kit::fault::*;
use farhop_kit::graph::OUTSIDE_ID;
use farhop_kit::*;
use farhop_lots::random_station;
use farhop_lots::trial::{Strategy, compare};
use proptest::prelude::*;
use proptest::sample::subsequence;

fn evidence(symptoms: &[Symptom], answers: &[(&str, Finding)]) -> Evidence {
    Evidence {
        symptoms: Evidence::reported(symptoms).symptoms,
        answers: answers.iter().map(|(id, f)| Answer::found(*id, *f)).collect(),
    }
}

fn case(kit: &Kit) -> Case<'_> {
    Case::new(
        kit,
        &Chances::of(kit, &Circumstances::default()).unwrap(),
        &Setup::default(),
    )
    .unwrap()
}

fn top(kit: &Kit, d: &Diagnosis) -> String {
    match d.suspects[0].suspect {
        Suspect::Outside => OUTSIDE_ID.to_owned(),
        Suspect::Part(p) => kit.part(p).id.to_string(),
    }
}

#[test]
fn places_follow_from_the_graph() {
    let kit = station();
    let case = case(&kit);
    let place = |id: &str| {
        case.parts()
            .find(|(p, _)| kit.part(*p).id == id)
            .map(|(_, place)| place)
    };
    assert_eq!(place("power-cable"), Some(Place::PowerLink));
    assert_eq!(place("five-volt"), Some(Place::PowerLink));
    assert_eq!(place("audio-cable"), Some(Place::ModemLink));
    assert_eq!(place("mast"), Some(Place::Support));
    assert_eq!(place("battery"), Some(Place::Source));
    // Not in use: the first antenna hangs.
    assert_eq!(place("tuner"), None);
    let setup = Setup {
        in_use: vec!["end-fed".into(), "cord".into()],
        ..Setup::default()
    };
    let other = Case::new(&kit, &Chances::of(&kit, &Circumstances::default()).unwrap(), &setup).unwrap();
    let parts: Vec<_> = other
        .parts()
        .map(|(p, place)| (kit.part(p).id.as_str(), place))
        .collect();
    assert!(parts.contains(&("jumper", Place::Feed)) && parts.contains(&("cord", Place::Support)));
    assert!(!parts.iter().any(|p| p.0 == "mast" || p.0 == "dipole"));
}

#[test]
fn symptoms_point_where_they_should() {
    let kit = station();
    let case = case(&kit);
    let first = |s: &[Symptom]| top(&kit, &case.diagnose(&evidence(s, &[])).unwrap());
    assert_eq!(first(&[Symptom::NothingPowered]), "battery");
    assert!(["power-cable", "fuse"].contains(&first(&[Symptom::RadioDead]).as_str()));
    assert!(["coax", "dipole"].contains(&first(&[Symptom::HighSwr]).as_str()));
    assert_eq!(first(&[Symptom::ModemSilent, Symptom::NotHeard]), "audio-cable");
    assert_eq!(first(&[Symptom::NotHeard]), OUTSIDE_ID);
    assert_eq!(first(&[Symptom::ComputerOff, Symptom::ModemSilent]), "five-volt");
    // A symptom that was looked for and is not there counts too.
    let mut off_alone = evidence(&[Symptom::ComputerOff], &[]);
    off_alone.symptoms.push(Observation {
        symptom: Symptom::ModemSilent,
        seen: false,
    });
    assert_eq!(top(&kit, &case.diagnose(&off_alone).unwrap()), "computer");
}

#[test]
fn notes_appear_when_their_part_is_suspected() {
    let kit = station();
    let case = case(&kit);
    let d = case.diagnose(&evidence(&[Symptom::NothingPowered], &[])).unwrap();
    assert!(
        d.recovery
            .iter()
            .any(|r| r.notes.iter().any(|n| n.starts_with("Protection has tripped")))
    );
    assert_eq!(top(&kit, &d), "battery");
    assert_eq!(d.recovery[0].reason, RecoveryReason::Likely);
    let swr = case.diagnose(&evidence(&[Symptom::HighSwr], &[])).unwrap();
    assert!(swr.recovery.iter().all(|r| r.part != kit.find("battery").unwrap()));
}

#[test]
fn a_session_runs_to_its_end() {
    let kit = station();
    let case = case(&kit);
    let (ok, bad) = (Finding::Ok, Finding::Bad);
    let swr = [Symptom::HighSwr];
    let found = case
        .diagnose(&evidence(&swr, &[("dipole", ok), ("coax", bad)]))
        .unwrap();
    assert_eq!(found.advice, Advice::Mend(kit.find("coax").unwrap()));
    assert!(found.several > 0.0 && found.several < 0.2);
    // Mended, and the trouble goes on: the coax is out of it now.
    let on = case
        .diagnose(&evidence(&swr, &[("dipole", ok), ("coax", bad), ("coax", ok)]))
        .unwrap();
    let coax = on
        .suspects
        .iter()
        .find(|r| r.suspect == Suspect::Part(kit.find("coax").unwrap()))
        .unwrap();
    assert!(coax.chance.abs() < 1e-15);
    let every: Vec<(&str, Finding)> = case
        .parts()
        .map(|(p, _)| (kit.part(p).id.as_str(), ok))
        .chain([(OUTSIDE_ID, ok)])
        .collect();
    let end = case.diagnose(&evidence(&swr, &every)).unwrap();
    assert_eq!(end.advice, Advice::StartAgain);
    assert!((end.nothing_wrong - 1.0).abs() < 1e-12 && end.open_bits.abs() < 1e-12);
    let outside = case
        .diagnose(&evidence(&[Symptom::NotHeard], &[(OUTSIDE_ID, bad)]))
        .unwrap();
    assert_eq!(outside.advice, Advice::LookOutside);
    let spare = case.diagnose(&evidence(&[], &[("tuner", bad)])).unwrap();
    assert_eq!(spare.without_bearing, [kit.find("tuner").unwrap()]);
    assert!(case.diagnose(&evidence(&[], &[("nothing", bad)])).is_err());
}

#[test]
fn measuring_halves_the_chain_and_contradictions_are_said() {
    let kit = station();
    let case = case(&kit);
    let output = |id: &str, finding| Answer {
        about: id.into(),
        kind: CheckKind::Output,
        finding,
    };
    let with = |answers: Vec<Answer>| {
        let symptoms = vec![Observation::seen(Symptom::RadioDead)];
        case.diagnose(&Evidence { symptoms, answers })
    };
    let dead = with(vec![output("power-cable", Finding::Bad)]).unwrap();
    let chance = |d: &Diagnosis, id: &str| {
        let part = kit.find(id).unwrap();
        d.suspects
            .iter()
            .find(|r| r.suspect == Suspect::Part(part))
            .unwrap()
            .chance
    };
    assert!(chance(&dead, "power-cable") + chance(&dead, "fuse") + chance(&dead, "battery") >= 1.0);
    let live = with(vec![output("power-cable", Finding::Ok)]).unwrap();
    assert!(chance(&live, "fuse").abs() < 1e-15 && top(&kit, &live) == "transceiver");
    let torn = vec![
        output("power-cable", Finding::Bad),
        Answer::found("power-cable", Finding::Ok),
        Answer::found("fuse", Finding::Ok),
        Answer::found("battery", Finding::Ok),
    ];
    assert_eq!(with(torn).unwrap().advice, Advice::Contradiction);
    let mended = vec![
        output("power-cable", Finding::Bad),
        Answer::found("fuse", Finding::Bad),
        Answer::found("fuse", Finding::Ok),
        Answer::found("power-cable", Finding::Ok),
        Answer::found("battery", Finding::Ok),
    ];
    assert_ne!(with(mended).unwrap().advice, Advice::Contradiction);
    assert!(matches!(
        with(vec![output("coax", Finding::Ok)]),
        Err(KitError::NoSuchCheck { .. })
    ));
}

const CLASSES: [PartClass; 6] = [
    PartClass::Cable,
    PartClass::Battery,
    PartClass::Wire,
    PartClass::Computer,
    PartClass::Electronics,
    PartClass::Fuse,
];

/// Posterior of each cause by visiting all sets of causes, with the same bound on their number.
fn by_enumeration(case: &Case<'_>, kit: &Kit, fails: &[f64], evidence: &Evidence) -> Vec<f64> {
    let elements: Vec<Suspect> = case
        .parts()
        .map(|(p, _)| Suspect::Part(p))
        .chain([Suspect::Outside])
        .collect();
    let id = |s: &Suspect| match s {
        Suspect::Part(p) => kit.part(*p).id.to_string(),
        Suspect::Outside => OUTSIDE_ID.to_owned(),
    };
    let n = elements.len();
    let mut totals = vec![0.0; n + 1];
    for set in 0..1_u32 << n {
        let has = |i: usize| set >> i & 1 == 1;
        let agrees = evidence.answers.iter().all(|a| {
            let i = elements.iter().position(|e| id(e) == a.about).unwrap();
            has(i) == (a.finding == Finding::Bad)
        });
        let found_bad = evidence.answers.iter().filter(|a| a.finding == Finding::Bad).count();
        if !agrees || set.count_ones() as usize > found_bad + 2 {
            continue;
        }
        let failed: Vec<Suspect> = (0..n).filter(|i| has(*i)).map(|i| elements[i]).collect();
        let shown = case.symptom_chances(&failed);
        let mut p: f64 = (0..n).map(|i| if has(i) { fails[i] } else { 1.0 - fails[i] }).product();
        for o in &evidence.symptoms {
            let i = Symptom::ALL.iter().position(|s| *s == o.symptom).unwrap();
            p *= if o.seen { shown[i] } else { 1.0 - shown[i] };
        }
        totals[n] += p;
        (0..n).filter(|i| has(*i)).for_each(|i| totals[i] += p);
    }
    totals.iter().map(|t| t / totals[n]).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn posterior_by_enumeration(
        raw in raw(9, true),
        classes in prop::collection::vec(0_usize..6, 9),
        seen in subsequence(Symptom::ALL.to_vec(), 0..=3),
        absent in subsequence(Symptom::ALL.to_vec(), 0..=2),
        answers in prop::collection::vec((0_usize..9, prop::bool::ANY), 0..=3),
        outside in 0.001..0.5_f64,
    ) {
        let kit = raw.kit();
        let parts = kit.parts().iter().zip(&classes).map(|(p, c)| Part { class: CLASSES[*c], ..p.clone() }).collect();
        let kit = Kit::new(KitSpec { parts, functions: kit.functions().to_vec() }).unwrap();
        let setup = Setup { outside_fails: outside, ..Setup::default() };
        let case = Case::new(&kit, &chances(&kit), &setup).unwrap();
        let chain: Vec<PartIx> = case.parts().map(|p| p.0).collect();
        let fails: Vec<f64> = chain.iter().map(|p| raw.fails[p.index()]).chain([outside]).collect();
        prop_assume!(fails.iter().all(|q| (1e-6..0.999_999).contains(q)));
        let mut evidence = Evidence { symptoms: seen.iter().map(|s| Observation::seen(*s)).collect(), answers: vec![] };
        let absent = absent.iter().filter(|s| !seen.contains(s));
        evidence.symptoms.extend(absent.map(|s| Observation { symptom: *s, seen: false }));
        for (i, bad) in answers {
            let about = kit.part(chain[i % chain.len()]).id.to_string();
            if evidence.answers.iter().all(|a| a.about != about) {
                evidence.answers.push(Answer::found(about, if bad { Finding::Bad } else { Finding::Ok }));
            }
        }
        let want = by_enumeration(&case, &kit, &fails, &evidence);
        for got in case.posterior(&evidence).unwrap() {
            let i = match got.suspect {
                Suspect::Part(p) => chain.iter().position(|c| *c == p).unwrap(),
                Suspect::Outside => chain.len(),
            };
            prop_assert!((got.chance - want[i]).abs() < 1e-10, "{got:?} {}", want[i]);
        }
    }
}

/// Mean and standard error.
fn mean(values: &[f64]) -> (f64, f64) {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let variance = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (n - 1.0);
    (mean, (variance / n).sqrt())
}

/// What is believed when nothing is known but the classes.
fn by_class(kit: &Kit) -> Chances {
    let unknown = |p: &Part| Part {
        fail_per_outing: None,
        ..p.clone()
    };
    let parts = kit.parts().iter().map(unknown).collect();
    chances(
        &Kit::new(KitSpec {
            parts,
            functions: kit.functions().to_vec(),
        })
        .unwrap(),
    )
}

#[test]
fn the_guided_search_takes_fewer_minutes() {
    use Strategy::*;
    for (can_measure, true_priors) in [(true, true), (false, true), (false, false)] {
        let mut minutes: Vec<Vec<f64>> = Vec::new();
        for seed in 0..60 {
            let kit = random_station(seed, 0.0).unwrap();
            let setup = Setup {
                can_measure,
                ..Setup::default()
            };
            let truth = Case::new(&kit, &chances(&kit), &setup).unwrap();
            let believed = Case::new(&kit, &by_class(&kit), &setup).unwrap();
            let case = if true_priors { &truth } else { &believed };
            let all = [Guided, FixedOrder, RandomOrder, PriorOrder];
            let trials = (0..10).map(|t| compare(&truth, case, &all, 1000 * seed + t));
            minutes.extend(trials.filter_map(|t| t.unwrap()));
        }
        assert!(minutes.len() > 400);
        for other in 1..4 {
            let plain = mean(&minutes.iter().map(|m| m[other]).collect::<Vec<_>>()).0;
            let saved = mean(&minutes.iter().map(|m| m[other] - m[0]).collect::<Vec<_>>());
            println!("measure {can_measure}, true {true_priors}, order {other}: {plain} min, saved {saved:?}");
            // Paired differences; 5 standard errors away from no difference.
            assert!(saved.0 > 5.0 * saved.1, "{saved:?}");
        }
    }
}

#[test]
fn wrong_questions_are_refused() {
    let kit = station();
    let usual = Chances::of(&kit, &Circumstances::default()).unwrap();
    let refused = |setup: Setup| Case::new(&kit, &usual, &setup).unwrap_err();
    assert!(matches!(
        refused(Setup {
            functions: vec!["fly".into()],
            ..Setup::default()
        }),
        KitError::UnknownFunction { .. }
    ));
    assert!(matches!(
        refused(Setup {
            in_use: vec!["kite".into()],
            ..Setup::default()
        }),
        KitError::UnknownPart { .. }
    ));
    assert!(matches!(
        refused(Setup {
            outside_fails: f64::NAN,
            ..Setup::default()
        }),
        KitError::OutOfRange { .. }
    ));
}

//! Examples of the texts, each named, all from memory; closed forms can be checked by hand.

use crate::common::{chances, function, part};
use farhop_kit::*;

fn kit(parts: Vec<Part>, needs: Vec<Need>) -> Kit {
    Kit::new(KitSpec {
        parts,
        functions: vec![function("system", needs)],
    })
    .unwrap()
}

fn names(kit: &Kit, cuts: &CutSets) -> Vec<String> {
    // A part that cannot fail only ties others together; it is no cause.
    let name = |p: &PartIx| kit.part(*p).id.to_string();
    let real = |s: &&Vec<PartIx>| s.iter().all(|p| kit.part(*p).fail_per_outing != Some(0.0));
    let mut sets: Vec<String> = cuts
        .sets
        .iter()
        .filter(real)
        .map(|s| s.iter().map(name).collect::<Vec<_>>().join(" "))
        .collect();
    sets.sort();
    sets
}

fn tie(id: &str, needs: &[&str]) -> Part {
    part(id, 0.0, needs.iter().map(|n| Need::one(*n)).collect())
}

/// Pressure tank of the Fault Tree Handbook, NUREG-0492, ch. VIII, with the probabilities of its table VIII-1 (from
/// memory): rupture of the tank T 5e-6, relay K2 3e-5, pressure switch S 1e-4, relay K1 3e-5, timer relay R 1e-4, push
/// button S1 3e-5. Cut sets T; K2; S S1; S K1; S R.
fn pressure_tank() -> Kit {
    kit(
        vec![
            part("T", 5e-6, vec![]),
            part("K2", 3e-5, vec![]),
            part("S", 1e-4, vec![]),
            part("S1", 3e-5, vec![]),
            part("K1", 3e-5, vec![]),
            part("R", 1e-4, vec![]),
            tie("timer", &["S1", "K1", "R"]),
        ],
        vec![Need::one("T"), Need::one("K2"), Need::any(["S", "timer"])],
    )
}

#[test]
fn pressure_tank_of_the_handbook() {
    let kit = pressure_tank();
    let structure = Structure::new(&kit, &kit.carried()).unwrap();
    let cuts = CutSets::of(&structure, 9).unwrap();
    assert_eq!(names(&kit, &cuts), ["K2", "S K1", "S R", "S S1", "T"]);
    let fails: Vec<f64> = chances(&kit).whole().iter().map(|p| 1.0 - p).collect();
    // 5e-6 + 3e-5 + 3e-9 + 1e-8 + 3e-9; the handbook rounds to two digits.
    assert!((cuts.rare_event_sum(&fails) - 3.5016e-5).abs() < 1e-14);
    let failure = 1.0 - structure.chance_vital(&chances(&kit).whole());
    // 1 - (1-T)(1-K2)(1 - S (1 - (1-S1)(1-K1)(1-R)))
    let timer = 1.0 - (1.0 - 3e-5_f64).powi(2) * (1.0 - 1e-4);
    let want = 1.0 - (1.0 - 5e-6) * (1.0 - 3e-5) * (1.0 - 1e-4 * timer);
    assert!((failure - want).abs() < 1e-15);
    // Shares of the total in the handbook's table of importance: K2 86 %, T 14 %, the rest under 0.1 %.
    let list = importance(&kit, &structure, &chances(&kit), &cuts).unwrap();
    let share = |id: &str| list.iter().find(|i| kit.part(i.part).id == id).unwrap().fussell_vesely;
    assert!((share("K2") - 0.86).abs() < 0.005);
    assert!((share("T") - 0.14).abs() < 0.005);
    assert!(share("S") < 0.001 && share("R") < 0.001);
    assert_eq!(kit.part(list[0].part).id, "K2");
}

/// Bridge of five equal parts (Barlow and Proschan, "Statistical Theory of Reliability and Life Testing"; Rausand and
/// Høyland, sec. 3.11): R = 2p² + 2p³ − 5p⁴ + 2p⁵.
#[test]
fn bridge() {
    for p in [0.0, 0.1, 0.5, 0.9, 0.99, 1.0] {
        let q = 1.0 - p;
        let mut parts: Vec<Part> = (1..=5).map(|i| part(&i.to_string(), q, vec![])).collect();
        let ways: [&[&str]; 4] = [&["1", "4"], &["2", "5"], &["1", "3", "5"], &["2", "3", "4"]];
        parts.extend(ways.iter().enumerate().map(|(i, w)| tie(&format!("way{i}"), w)));
        let kit = kit(parts, vec![Need::any(["way0", "way1", "way2", "way3"])]);
        let structure = Structure::new(&kit, &kit.carried()).unwrap();
        let p = 1.0 - q;
        let want = 2.0 * p.powi(2) + 2.0 * p.powi(3) - 5.0 * p.powi(4) + 2.0 * p.powi(5);
        assert!(
            (structure.chance_vital(&chances(&kit).whole()) - want).abs() < 1e-14,
            "{p}"
        );
        if p > 0.0 && p < 1.0 {
            let cuts = CutSets::of(&structure, 9).unwrap();
            assert_eq!(names(&kit, &cuts), ["1 2", "1 3 5", "2 3 4", "4 5"]);
        }
    }
}

/// Two out of three (Rausand and Høyland, sec. 3.10): R = 3p² − 2p³; Birnbaum of each part 2p(1 − p).
#[test]
fn two_out_of_three() {
    let p = 0.8;
    let mut parts: Vec<Part> = ["1", "2", "3"].iter().map(|i| part(i, 1.0 - p, vec![])).collect();
    parts.extend([tie("12", &["1", "2"]), tie("13", &["1", "3"]), tie("23", &["2", "3"])]);
    let kit = kit(parts, vec![Need::any(["12", "13", "23"])]);
    let structure = Structure::new(&kit, &kit.carried()).unwrap();
    let whole = chances(&kit).whole();
    assert!((structure.chance_vital(&whole) - 0.896).abs() < 1e-14);
    let cuts = CutSets::of(&structure, 9).unwrap();
    assert_eq!(names(&kit, &cuts), ["1 2", "1 3", "2 3"]);
    let list = importance(&kit, &structure, &chances(&kit), &cuts).unwrap();
    for i in list.iter().filter(|i| i.fails > 0.0) {
        assert!((i.birnbaum - 2.0 * p * (1.0 - p)).abs() < 1e-14);
    }
}

/// A spare in parallel, both behind one fuse: p_f (1 − q²); pieces of one part count as parallel too.
#[test]
fn spare_behind_a_shared_fuse() {
    let fuse = || vec![Need::one("fuse")];
    let spare = Part {
        stands_in_for: vec![Id::ours("radio")],
        changeover_min: 4.0,
        ..part("spare", 0.2, fuse())
    };
    let shared = kit(
        vec![part("fuse", 0.1, vec![]), part("radio", 0.2, fuse()), spare],
        vec![Need::one("radio")],
    );
    let got = success(&shared, &chances(&shared), &Outside::sure()).unwrap();
    assert!((got.total - 0.9 * 0.96).abs() < 1e-15);
    // The radio fails and the spare works: 0.9 × 0.2 × 0.8, times 4 minutes.
    assert!((changeover_loss_min(&shared, &chances(&shared)).unwrap() - 0.9 * 0.16 * 4.0).abs() < 1e-14);
    let two = kit(
        vec![
            part("fuse", 0.1, vec![]),
            Part {
                count: 2,
                ..part("radio", 0.2, fuse())
            },
        ],
        vec![Need::one("radio")],
    );
    let got = success(&two, &chances(&two), &Outside::sure()).unwrap();
    assert!((got.total - 0.9 * 0.96).abs() < 1e-15);
}

/// Two antennas on one coax, sky 0.9 with both or the first, 0.5 with the second: 0.98 × (0.8×0.9 + 0.2×0.7×0.5).
#[test]
fn sky_follows_the_antennas_that_are_left() {
    let coax = || vec![Need::one("coax")];
    let kit = kit(
        vec![
            part("coax", 0.02, vec![]),
            part("long", 0.2, coax()),
            part("short", 0.3, coax()),
        ],
        vec![Need::any(["long", "short"])],
    );
    let sky = PerAvailable::new(&kit, &["long", "short"], |a| match a {
        [true, _] => 0.9,
        [false, true] => 0.5,
        _ => 0.0,
    })
    .unwrap();
    let energy = PerAvailable::constant(0.75).unwrap();
    let got = success(&kit, &chances(&kit), &Outside { energy, sky }).unwrap();
    assert!((got.total - 0.75 * 0.98 * (0.8 * 0.9 + 0.2 * 0.7 * 0.5)).abs() < 1e-15);
    assert!((got.energy - 0.75).abs() < 1e-15);
    assert!((got.kit - 0.98 * 0.94).abs() < 1e-15);
}

#[test]
fn wrong_chances_are_refused() {
    let kit = pressure_tank();
    assert!(PerAvailable::constant(f64::NAN).is_err());
    assert!(PerAvailable::constant(1.2).is_err());
    assert!(PerAvailable::new(&kit, &["nothing"], |_| 1.0).is_err());
    assert!(PerAvailable::new(&kit, &["T"], |_| -0.1).is_err());
    assert!(PerAvailable::new(&kit, &["T"; 11], |_| 0.5).is_err());
}
